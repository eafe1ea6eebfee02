#include "reading/head/head_start.h"

#include <algorithm>
#include <cmath>

#include "words/say.h"

namespace armslength::head_internal {
namespace {

constexpr double kDefaultSigma = 0.006;  // head heights; careful marking by hand

std::optional<Vec2> Middle(const FigureMarks& m, std::initializer_list<PointId> ids) {
  Vec2 sum = Vec2::Zero();
  int n = 0;
  for (PointId id : ids)
    if (const auto p = m.At(id)) {
      sum += *p;
      ++n;
    }
  return n ? std::optional<Vec2>(sum / n) : std::nullopt;
}

HeadStart NotReadable(std::string why, std::string ask) {
  HeadStart s;
  s.why_not = std::move(why);
  s.ask = std::move(ask);
  return s;
}

Vec2 Up(const Vec2& v) { return {v.x(), -v.y()}; }

}  // namespace

Result<HeadStart> StartHead(const FigureMarks& marks, const BodyReading* body) {
  using P = PointId;
  const auto eye_l = Middle(marks, {P::kEyeLInner, P::kEyeLOuter, P::kEyeLTop, P::kEyeLBottom});
  const auto eye_r = Middle(marks, {P::kEyeRInner, P::kEyeROuter, P::kEyeRTop, P::kEyeRBottom});
  if (!eye_l && !eye_r) return NotReadable(Say("no eye is marked"), Say("mark the corners of both eyes"));
  if (!eye_l || !eye_r)
    return NotReadable(eye_l ? Say("only the left eye is marked: in a profile the two sides cannot be compared")
                             : Say("only the right eye is marked: in a profile the two sides cannot be compared"),
                       Say("mark the other eye when any of it can be seen"));
  const auto top = marks.Has(P::kHeadTop) ? marks.At(P::kHeadTop) : marks.At(P::kCrown);
  const auto chin = marks.At(P::kChin);
  const auto mouth = Middle(marks, {P::kMouthCentre, P::kMouthL, P::kMouthR});
  const Vec2 eyes = 0.5 * (*eye_l + *eye_r);

  // What runs down the face, with its usual height: the first guess of axis and scale.
  struct Level {
    Vec2 at;
    double height;
  };
  std::vector<Level> levels;
  if (top) levels.push_back({*top, 1.0});
  if (const auto p = marks.At(P::kHairline)) levels.push_back({*p, 0.84});
  levels.push_back({eyes, 0.45});
  if (const auto p = marks.At(P::kNoseBase)) levels.push_back({*p, 0.23});
  if (mouth) levels.push_back({*mouth, 0.14});
  if (chin) levels.push_back({*chin, 0.0});
  if (levels.size() < 3)
    return NotReadable(Say("too few points down the face"), Say("mark two of: top of the head, chin, base of the nose, mouth"));
  const bool edge = marks.Has(P::kContourL) || marks.Has(P::kContourR) || marks.Has(P::kJawL) || marks.Has(P::kJawR);
  if (!edge)
    return NotReadable(Say("no edge of the face is marked"), Say("mark the edge of the face at eye level, contour_l or contour_r"));

  const Level& high = levels.front();
  const Level& low = levels.back();
  Vec2 axis = Up(high.at - low.at);  // y up
  if (high.height - low.height < 0.25 || axis.norm() < 1e-6)
    return NotReadable(Say("the marked points lie too close together"), Say("mark the chin or the top of the head"));
  HeadView v;
  v.unit_px = axis.norm() / (high.height - low.height);
  v.centre_px = low.at + (high.at - low.at) * ((0.5 - low.height) / (high.height - low.height));
  v.roll0 = std::atan2(-axis.x(), axis.y());
  const Vec2 across(std::cos(v.roll0), std::sin(v.roll0));
  const auto u = [&](const Vec2& px) { return Up(px - v.centre_px).dot(across) / v.unit_px; };

  if (u(*eye_l) < u(*eye_r))
    return BadInput("", "/points/eye_l_inner", "the left eye is marked where the figure's right eye must be",
                    "swap _l and _r: they are the figure's own left and right, so the left eye of a face "
                    "looking at you is at picture right");
  const auto side_l = marks.At(P::kContourL), side_r = marks.At(P::kContourR);
  if (side_l && side_r && u(*side_l) < u(*side_r))
    return BadInput("", "/points/contour_l", "the left and right face edges are swapped",
                    "swap contour_l and contour_r: they are the figure's own left and right");

  for (std::size_t i = 0; i < kHeadPoints.size(); ++i) {
    const auto p = marks.At(kHeadPoints[i]);
    if (!p) continue;
    std::size_t slot = i;
    // A crown alone is the top of the skull; with head_top beside it, the top of the hair.
    if (kHeadPoints[i] == P::kCrown && !marks.Has(P::kHeadTop)) slot = iHeadTop;
    v.marked[slot] = true;
    v.at[slot] = Up(*p - v.centre_px) / v.unit_px;
    v.noise[slot] = kNoiseFactor[slot];
    ++v.count;
  }
  // Faces are often marked more finely than the figure: the usual error of the head's own marks
  // is the unit, single marks keep theirs.
  const double stated = marks.marking_error_px ? std::max(*marks.marking_error_px / v.unit_px, 0.001) : kDefaultSigma;
  std::array<double, kHeadPointCount> own{};
  std::vector<double> all;
  for (std::size_t i = 0; i < kHeadPoints.size(); ++i) {
    const std::size_t slot = kHeadPoints[i] == P::kCrown && !marks.Has(P::kHeadTop) ? static_cast<std::size_t>(iHeadTop) : i;
    if (!marks.Has(kHeadPoints[i])) continue;
    const auto error = marks.point_error_px.find(kHeadPoints[i]);
    own[slot] = error != marks.point_error_px.end() && error->second > 0 ? std::max(error->second / v.unit_px, 0.001) : stated;
    all.push_back(own[slot]);
  }
  std::nth_element(all.begin(), all.begin() + static_cast<std::ptrdiff_t>(all.size() / 2), all.end());
  v.sigma = all[all.size() / 2];
  for (std::size_t i = 0; i < kHeadPoints.size(); ++i)
    if (v.marked[i]) v.noise[i] *= own[i] / v.sigma;

  double side_middle = 0.0;
  if (side_l && side_r) side_middle = 0.5 * (u(*side_l) + u(*side_r));
  else if (side_r) side_middle = u(*side_r) + 0.35;
  else if (side_l) side_middle = u(*side_l) - 0.35;
  else if (marks.Has(P::kJawL) && marks.Has(P::kJawR)) side_middle = 0.5 * (u(*marks.At(P::kJawL)) + u(*marks.At(P::kJawR)));
  else if (marks.Has(P::kJawL)) side_middle = u(*marks.At(P::kJawL)) - 0.26;
  else side_middle = u(*marks.At(P::kJawR)) + 0.26;
  v.start = {0.0, 0.0, 0.0, std::asin(std::clamp((u(eyes) - side_middle) / 0.36, -0.95, 0.95)), 0.0, v.roll0, 0.08};

  const Vec2 eye_line = Up(*eye_l - *eye_r);
  v.eye_roll = std::atan2(eye_line.y(), eye_line.x());

  if (body && body->usable) {
    const double head = body->length[static_cast<std::size_t>(BoneId::kHead)] * body->camera.scale_px /
                        (1.0 + body->camera.inverse_distance * body->Joint(P::kChin).z());
    if (head > 0) v.log_scale_prior = std::log(head / v.unit_px);
  }
  HeadStart out;
  out.view = v;
  return out;
}

}  // namespace armslength::head_internal
