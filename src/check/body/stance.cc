// Tilts of shoulders and hips, the spine between them, the line of action.
#include <algorithm>
#include <cmath>
#include <limits>

#include <Eigen/Geometry>
#include "check/body/balance.h"
#include "check/body/body_facts.h"
#include "check/body/guides.h"
#include "words/say.h"

namespace armslength::body_check {
namespace {

using P = PointId;

constexpr double kLevel_deg = 1.5;    // "level" to the eye; default, editable
constexpr double kTilted_deg = 3.0;   // a tilt one sees; default, editable
constexpr double kSpine_deg = 45.0;   // bend or twist between hips and shoulders; default, editable
constexpr double kStiff = 0.02;       // bow of the line of action over its length; default, editable

// Tilt of a pair's line over the horizon, degrees, > 0: the left one is higher.
double Tilt(const Vec3& left, const Vec3& right, const Vec3& up) {
  const Vec3 d = left - right;
  return d.norm() > 1e-9 ? std::asin(std::clamp(d.dot(up) / d.norm(), -1.0, 1.0)) / kDegree : 0.0;
}

Measure PairTilt(const BodyFacts& facts, P left) {
  const std::vector<P> ids = {left, Mirrored(left)};
  const Vec3 up = facts.Up();
  const Vec3 d = facts.Joint(ids[0]).at - facts.Joint(ids[1]).at;
  // A line that runs into depth tips with the camera's elevation, whose doubt counts then.
  const double depth_share = d.norm() > 1e-9 ? std::abs(d.z()) / d.norm() : 0.0;
  const double extra = std::hypot(kRollSd, depth_share * kElevationSd) / kDegree;
  return facts.Propagate(ids, [&](std::span<const Vec3> p) { return Tilt(p[0], p[1], up); }, extra);
}

std::string TiltWords(const Measure& m) {
  if (std::abs(m.value) <= kLevel_deg) return Say("level");
  if (std::abs(m.value) <= m.sd) return Say("level as far as one can tell");
  return m.value > 0 ? Say("{:.0f} degrees, the figure's left side higher", std::abs(m.value))
                     : Say("{:.0f} degrees, the figure's right side higher", std::abs(m.value));
}

void Tilts(const BodyFacts& facts, const Stand& stand, std::vector<Finding>& out) {
  if (!facts.Marked({P::kShoulderL, P::kShoulderR, P::kHipL, P::kHipR})) return;
  const Measure shoulders = PairTilt(facts, P::kShoulderL), hips = PairTilt(facts, P::kHipL);
  const std::vector<P> ids = {P::kShoulderL, P::kShoulderR, P::kHipL, P::kHipR};
  const auto seen = [](const Measure& m) { return std::abs(m.value) > std::max(kTilted_deg, 2.0 * m.sd); };
  const bool counter = seen(shoulders) && seen(hips) && shoulders.value * hips.value < 0.0;
  const bool stiff = std::abs(shoulders.value) <= kLevel_deg && std::abs(hips.value) <= kLevel_deg &&
                     std::max(shoulders.sd, hips.sd) <= 2.5;
  // Along the view a tilt cannot be read off.
  const auto vague = [](const Measure& m) { return m.sd > 8.0 && std::abs(m.value) < 3.0 * m.sd; };
  const bool open = vague(shoulders) || vague(hips);

  Finding f = Start(facts, "body.stance.tilt", {}, counter ? Kind::kKeep : Kind::kTaste,
                    open ? Verdict::kCannotTell : Verdict::kClear);
  f.where = At(facts, ids);
  f.measured = shoulders.value - hips.value;
  f.sd = std::hypot(shoulders.sd, hips.sd);
  f.unit = "deg";
  f.source = Say("level within 1.5 deg, a tilt from 3 deg on; default, editable");
  f.title = open      ? Say("Tilt of shoulders and hips: cannot tell from this view")
            : counter ? Say("Shoulders and hips tilt against each other")
            : stiff   ? Say("Shoulders and hips are both level")
                      : Say("Tilt of shoulders and hips");
  f.why = Say("Shoulders {} (±{:.0f}); hips {} (±{:.0f}).", TiltWords(shoulders), shoulders.sd, TiltWords(hips), hips.sd);
  if (stiff) f.why += Say(" A level stance reads as stiff or at attention; an observation, right when it is meant.");
  if (open)
    f.ask = facts.Reading().view == ViewClass::kSide ? Say("A view less from the side would show the tilt.")
                                                     : Say("Mark both shoulders and both hips again at high zoom.");
  f.guides = {
      Line(GuideShape::Role::kHelp, {facts.Px(P::kShoulderL), facts.Px(P::kShoulderR)}, Say("{:.0f} deg", std::abs(shoulders.value))),
      Line(GuideShape::Role::kHelp, {facts.Px(P::kHipL), facts.Px(P::kHipR)}, Say("{:.0f} deg", std::abs(hips.value)))};
  Finish(facts, ids, f);
  out.push_back(std::move(f));

  // The hip over the leg that carries is the high one: with both soles on one floor, the bent
  // leg reaches less high.
  if (!stand.standing || !stand.both || !stand.flat) return;
  const double bend_l = KneeBend(facts, true), bend_r = KneeBend(facts, false);
  const bool left_free = bend_l > 20.0 && bend_r < 15.0, right_free = bend_r > 20.0 && bend_l < 15.0;
  if (!left_free && !right_free) return;
  const Vec2 l = stand.footing.middle[0], r = stand.footing.middle[1];
  const Vec2 carrying = left_free ? r : l, free_foot = left_free ? l : r;
  if ((stand.footing.mass - carrying).norm() > 0.6 * (stand.footing.mass - free_foot).norm()) return;
  const double wrong = left_free ? hips.value : -hips.value;  // > 0: the free side is higher
  const bool off = wrong > kTilted_deg + kSure * hips.sd;
  const bool right_way = wrong < -2.0 * hips.sd && wrong < -kTilted_deg;
  if (!off && !right_way) return;
  Finding g = Start(facts, "body.stance.high_hip",
                    off ? Say("Hip higher over the free leg, by {:.0f} degrees", wrong) : Say("Hip is high over the standing leg"),
                    off ? Kind::kConstruction : Kind::kKeep, off ? Verdict::kOff : Verdict::kClear);
  g.where = At(facts, std::array{P::kHipL, P::kHipR});
  g.measured = wrong;
  g.sd = hips.sd;
  g.expected = 0.0;
  g.tolerance = kTilted_deg;
  g.smallest_visible = kTilted_deg + kSure * hips.sd;
  g.unit = "deg";
  g.test = "distance in sd";
  g.evidence = hips.sd > 0.0 ? std::abs(wrong) / hips.sd : 0.0;
  g.source = Say("high hip over the standing leg, common practice, no source; 3 deg, default, editable");
  const std::string over = left_free ? Say("The weight is over the right foot, the left knee is bent by "
                                           "{:.0f} degrees with its sole on the floor",
                                           bend_l)
                                     : Say("The weight is over the left foot, the right knee is bent by "
                                           "{:.0f} degrees with its sole on the floor",
                                           bend_r);
  g.why = off ? Say("{}, and its hip is higher by {:.0f} degrees (±{:.0f}).", over, std::abs(wrong), hips.sd)
              : Say("{}, and its hip is lower by {:.0f} degrees (±{:.0f}).", over, std::abs(wrong), hips.sd);
  if (off) {
    g.remedy = TurnRemedy(2.0 * wrong, 25,
                          Say("Turn the pelvis so that the hip over the standing leg is the higher one, and "
                              "the shoulders against it."));
    g.gain = std::min(10.0, 4.0 + 0.3 * wrong);
    const Vec2 a = facts.Px(left_free ? P::kHipR : P::kHipL), b = facts.Px(left_free ? P::kHipL : P::kHipR);
    g.guides = TurnGuide({a, b}, -1.0 * (b - a).x() / std::abs((b - a).x() + 1e-9) * -wrong * kDegree, kTilted_deg * kDegree,
                         Say("{:.0f} deg", wrong));
  }
  Finish(facts, std::array{P::kHipL, P::kHipR, P::kKneeL, P::kKneeR, P::kAnkleL, P::kAnkleR}, g);
  out.push_back(std::move(g));
}

// Smallest angle over the depth signs of the lines it rests on.
template <typename F>
double Smallest(Vec3 a, Vec3 b, Vec3 c, F angle) {
  double best = std::numeric_limits<double>::infinity();
  for (unsigned flips = 0; flips < 8; ++flips) {
    Vec3 u = a, v = b, w = c;
    if (flips & 1U) u.z() = -u.z();
    if (flips & 2U) v.z() = -v.z();
    if (flips & 4U) w.z() = -w.z();
    best = std::min(best, angle(u, v, w));
  }
  return best;
}

void Spine(const BodyFacts& facts, std::vector<Finding>& out) {
  if (!facts.Marked({P::kShoulderL, P::kShoulderR, P::kHipL, P::kHipR, P::kNeckPit})) return;
  const std::vector<P> ids = {P::kShoulderL, P::kShoulderR, P::kHipL, P::kHipR, P::kNeckPit};
  struct Test {
    std::string id, words, source;
    double (*angle)(const Vec3& shoulders, const Vec3& hips, const Vec3& trunk);
  };
  const std::array<Test, 2> tests = {{
      {"body.spine.twist", Say("Twist between hips and shoulders"),
       Say("45 deg; the spine turns 30 to 45 deg by 38 CFR 4.71a and AAOS norms (from memory); default, "
           "editable"),
       [](const Vec3& shoulders, const Vec3& hips, const Vec3& trunk) {
         const Vec3 axis = trunk.normalized();
         const Vec3 s = shoulders - shoulders.dot(axis) * axis, h = hips - hips.dot(axis) * axis;
         // A line along the axis has no direction about it.
         if (s.norm() < 0.5 * shoulders.norm() || h.norm() < 0.5 * hips.norm()) return 0.0;
         return std::atan2(s.cross(h).norm(), s.dot(h)) / kDegree;
       }},
      {"body.spine.side_bend", Say("Side bend between hips and shoulders"),
       Say("45 deg; the spine bends sideways 35 deg (Castori 2012, Table 8), hips and shoulders add some; "
           "default, editable"),
       [](const Vec3& shoulders, const Vec3& hips, const Vec3& trunk) {
         const Vec3 axis = trunk.normalized();
         const double s = std::asin(std::clamp(shoulders.normalized().dot(axis), -1.0, 1.0));
         const double h = std::asin(std::clamp(hips.normalized().dot(axis), -1.0, 1.0));
         return std::abs(s - h) / kDegree;
       }},
  }};
  for (const Test& test : tests) {
    const Measure m = facts.Propagate(ids, [&](std::span<const Vec3> p) {
      return Smallest(p[0] - p[1], p[2] - p[3], p[4] - 0.5 * (p[2] + p[3]), test.angle);
    });
    const bool off = m.value - kSpine_deg > kSure * m.sd;
    if (!off) continue;
    Finding f = Start(facts, test.id, Say("{} of {:.0f} degrees", test.words, m.value), Kind::kConstruction, Verdict::kOff);
    f.where = At(facts, ids);
    f.measured = m.value;
    f.sd = m.sd;
    f.expected = 0.0;
    f.tolerance = kSpine_deg;
    f.smallest_visible = kSpine_deg + kSure * m.sd;
    f.unit = "deg";
    f.test = "distance in sd";
    f.evidence = m.sd > 0.0 ? (m.value - kSpine_deg) / m.sd : 0.0;
    f.source = test.source;
    f.why = Say("Whichever way the blocks turn in depth, at least {:.0f} degrees (±{:.0f}) lie between them.", m.value, m.sd);
    f.remedy = {RemedyWay::kGuide, 40,
                Say("Redraw the rib cage over the hips with boxes for both, and share the turn with hips and neck.")};
    f.gain = 7.0;
    f.guides = {Line(GuideShape::Role::kDrawn, {facts.Px(P::kShoulderL), facts.Px(P::kShoulderR)}),
                Line(GuideShape::Role::kDrawn, {facts.Px(P::kHipL), facts.Px(P::kHipR)}),
                Line(GuideShape::Role::kHelp, {0.5 * (facts.Px(P::kHipL) + facts.Px(P::kHipR)), facts.Px(P::kNeckPit)})};
    Finish(facts, ids, f);
    out.push_back(std::move(f));
  }
}

// Crown to the foot, or the spine alone where a navel is marked: how far it bows off a straight line.
void LineOfAction(const BodyFacts& facts, const Stand& stand, std::vector<Finding>& out) {
  if (!stand.standing || !facts.Marked({P::kCrown, P::kNeckPit})) return;
  const bool left = stand.footing.planted[0] && (!stand.footing.planted[1] || KneeBend(facts, true) <= KneeBend(facts, false));
  const P knee = left ? P::kKneeL : P::kKneeR, ankle = left ? P::kAnkleL : P::kAnkleR;
  std::vector<Vec2> line = {facts.Px(P::kCrown), facts.Px(P::kNeckPit)};
  if (const auto navel = facts.Marks().At(P::kNavel)) line.push_back(*navel);
  line.push_back(0.5 * (facts.Px(P::kHipL) + facts.Px(P::kHipR)));
  line.push_back(facts.Px(knee));
  line.push_back(facts.Px(ankle));
  const Vec2 chord = line.back() - line.front();
  if (chord.norm() < 1e-6) return;
  const Vec2 across = Vec2(-chord.y(), chord.x()).normalized();
  double most = 0.0, least = 0.0;
  for (const Vec2& p : line) {
    const double d = (p - line.front()).dot(across);
    most = std::max(most, d);
    least = std::min(least, d);
  }
  const double bow = std::max(most, -least) / chord.norm();
  const double sd = 1.3 * facts.SigmaStature() * facts.Reading().camera.scale_px / chord.norm();
  const bool stiff = bow < kStiff;
  Finding f = Start(facts, "body.line_of_action", stiff ? Say("Line of action is nearly straight") : Say("Line of action bows"),
                    Kind::kTaste, Verdict::kClear);
  const std::vector<P> ids = {P::kCrown, P::kNeckPit, P::kHipL, P::kHipR, knee, ankle};
  f.where = At(facts, ids);
  f.measured = 100.0 * bow;
  f.sd = 100.0 * sd;
  f.unit = "% of its length";
  f.expected = 100.0 * kStiff;
  f.source = Say("a bow under 2 % reads as stiff, common practice, no source; default, editable");
  f.why = Say("From the crown to the carrying ankle, the line leaves the straight one by {:.1f} % of its length.{}", 100.0 * bow,
              stiff ? Say(" That reads as stiff; an observation, right when it is meant.") : std::string());
  f.guides = {Line(GuideShape::Role::kDrawn, line), Line(GuideShape::Role::kHelp, {line.front(), line.back()})};
  Finish(facts, ids, f);
  out.push_back(std::move(f));
}

}  // namespace

void CheckStance(const BodyFacts& facts, std::vector<Finding>& out) {
  const Stand stand = StandOf(facts);
  Tilts(facts, stand, out);
  Spine(facts, out);
  LineOfAction(facts, stand, out);
}

}  // namespace armslength::body_check
