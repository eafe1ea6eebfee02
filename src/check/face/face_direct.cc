#include "check/face/face_direct.h"

#include <algorithm>
#include <cmath>

#include "geometry/line.h"
#include "reading/head/head_curves.h"
#include "reading/head/head_model.h"
#include "words/say.h"

namespace armslength::face_check {
namespace {

using P = PointId;
using HP = HeadParam;
using Vec3d = Eigen::Vector3d;
constexpr double kSure = 1.645;  // one-sided 95 %
constexpr double kDegrees = 180 / M_PI;

Finding Start(const Facts& facts, std::string id, std::string title) {
  Finding f;
  f.id = std::move(id);
  f.title = std::move(title);
  f.figure = facts.marks.name;
  f.stage = Stage::kSketch;
  f.unit = "% of head height";
  f.source = Say("default, editable");
  return f;
}

// Unit vectors on the page: across the face (towards the figure's left) and up the head.
struct PageAxes {
  Vec2 across, up;
};
PageAxes AxesOf(const HeadPose& pose) {
  const Eigen::Matrix3d r = pose.Rotation();
  return {Vec2(r(0, 0), -r(1, 0)).normalized(), Vec2(r(0, 1), -r(1, 1)).normalized()};
}

// cos of the angle between the face's surface at (x, eye level) and the viewer.
double Facing(const HeadReading& head, double x, double y) {
  const head_internal::FaceSurface face(head.freed_profile.data());
  const double h = 1e-3;
  const double dzdx = (face.Depth(x + h, y) - face.Depth(x - h, y)) / (2 * h);
  const double dzdy = (face.Depth(x, y + h) - face.Depth(x, y - h)) / (2 * h);
  return (head.freed_pose.Rotation() * Vec3d(-dzdx, -dzdy, 1.0).normalized()).z();
}

}  // namespace

// An eye corner on or over the edge of the face. Not asked where the corner is rightly hidden
// round the turn of the face. Just not touching is a tangent: said as a note.
bool SetAside(const HeadReading& head, const HeadFault& fault) {
  constexpr double kSeenByAll = 5.0;  // times what is just noticed; default, editable
  if (fault.kind != HeadFaultKind::kNoseOffset && fault.kind != HeadFaultKind::kMouthOffset) return false;
  const bool alone = std::count_if(head.faults.begin(), head.faults.end(), [](const HeadFault& f) { return f.off; }) == 1;
  return fault.off && alone && std::abs(fault.amount) >= kSeenByAll * fault.tolerance;
}

void CheckEyeAgainstEdge(const Facts& facts, std::vector<Finding>& out) {
  constexpr double kNear = 0.012;   // head heights; two lines this close read as touching; default
  constexpr double kHidden = 0.05;  // facing below this: the corner is turned away
  const HeadReading& r = facts.head;
  const PageAxes axes = AxesOf(r.freed_pose);
  Finding worst = Start(facts, "face.contour.eye", Say("Eyes and face edge"));
  worst.test = "distance from eye corner to face edge";
  worst.tolerance = 100 * kNear;
  double worst_gap = 1e9;
  bool asked = false, hidden = false;
  for (int side : {1, -1}) {
    const bool left = side > 0;
    const auto edge = facts.marks.At(left ? P::kContourL : P::kContourR);
    if (!edge) continue;
    // The mark farthest out decides; usually the outer corner.
    std::optional<Vec2> corner;
    const auto eye = left ? std::array{P::kEyeLOuter, P::kEyeLTop, P::kEyeLBottom, P::kEyeLInner} : std::array{P::kEyeROuter, P::kEyeRTop, P::kEyeRBottom, P::kEyeRInner};
    for (P id : eye)
      if (const auto p = facts.marks.At(id))
        if (!corner || side * (*p - *corner).dot(axes.across) > 0) corner = p;
    if (!corner) continue;
    // The edge runs up the head near the eye: carry the mark along it to the corner's level.
    const Vec2 level = *edge + axes.up * (*corner - *edge).dot(axes.up);
    const double gap = side * (level - *corner).dot(axes.across) / r.pose.scale_px;
    const double sd = std::sqrt(2.0) * r.sigma_px / r.pose.scale_px;
    const HeadProfile::Vector& shape = r.freed_profile;
    const double xo = shape[static_cast<int>(HP::kEyeX)] + shape[static_cast<int>(HP::kEyeHalfWidth)];
    const double facing = Facing(r, side * xo, shape[static_cast<int>(HP::kEyeHeight)]);
    const bool far = side * r.pose.yaw_rad > 0;
    asked = true;
    // Rightly hidden corners may meet the edge; nothing of an eye may stand outside the face.
    if (far && facing < kHidden && gap + kSure * sd > 0.0) {
      hidden = true;
      continue;
    }
    if (gap >= worst_gap) continue;
    worst_gap = gap;
    worst.where.points = {*corner, level};
    worst.measured = 100 * gap;
    worst.expected = 100 * kNear;
    worst.sd = 100 * sd;
    const double expected_gap = [&] {  // where the consistent head has it
      const P o = left ? P::kEyeLOuter : P::kEyeROuter, c = left ? P::kContourL : P::kContourR;
      return side * (r.model_px.at(c) - r.model_px.at(o)).dot(axes.across) / r.pose.scale_px;
    }();
    const bool crosses = gap + kSure * sd < 0.0;
    const bool touches = gap < 0.5 * kNear && gap + kSure * sd < kNear && expected_gap - gap > 0.008;
    worst.guides.clear();
    worst.remedy = {};
    if (crosses || touches) {
      worst.verdict = Verdict::kOff;
      worst.kind = Kind::kConstruction;
      worst.title = crosses ? Say("Eye runs over the face edge") : Say("Eye touches the face edge");
      worst.why = crosses ? Say("The eye reaches {:.1f} % of the head's height outside the edge of the face.", -100 * gap)
                          : Say("The outer corner lies {:.1f} % of the head's height from the edge of the face, and at this turn the "
                                "corner is still in view, "
                                "so skin must show between the two.",
                                100 * gap);
      const double room = facing < kHidden ? 0.0 : std::max(kNear, std::min(expected_gap, 0.03));
      worst.remedy = {RemedyWay::kWarp, 8,
                      Say("bring the corner {:.1f} % of the head's height inwards{}", 100 * (room - gap),
                          facing < kHidden ? Say(": at this turn the edge of the face cuts the eye") : std::string())};
      worst.gain = 7;
      const Vec2 target = *corner - side * axes.across * ((room - gap) * r.pose.scale_px);
      worst.guides = {{GuideShape::Role::kDrawn,
                       GuideShape::Form::kPolyline,
                       {level - axes.up * .08 * r.pose.scale_px, level + axes.up * .08 * r.pose.scale_px},
                       ""},
                      {GuideShape::Role::kDrawn, GuideShape::Form::kCross, {*corner}, ""},
                      {GuideShape::Role::kTarget, GuideShape::Form::kCross, {target}, ""},
                      {GuideShape::Role::kArrow, GuideShape::Form::kPolyline, {*corner, target}, Say("{:.1f} %", 100 * (room - gap))}};
    } else if (gap < kNear) {
      worst.verdict = Verdict::kOff;
      worst.kind = Kind::kTaste;
      worst.title = Say("Eye corner and face edge almost touch");
      worst.why = Say("Two lines that nearly meet tie the eye to the edge; most artists let them clearly part or clearly overlap.");
      worst.remedy = {RemedyWay::kLeave, 0, Say("part them by a line's width or two, or leave it")};
      worst.gain = 1;
    } else {
      worst.verdict = Verdict::kClear;
      worst.kind = Kind::kConstruction;
      worst.why = Say("Skin shows between the eye corners and the face edges.");
    }
  }
  if (!asked) return;
  if (worst_gap > 1e8) {
    if (!hidden) return;
    worst.verdict = Verdict::kClear;
    worst.why = Say("The far corner is rightly hidden by the turn of the face.");
    worst.tolerance.reset();
  }
  out.push_back(std::move(worst));
}

void CheckEarLevel(const Facts& facts, std::vector<Finding>& out) {
  constexpr double kTolerance = 0.06;  // head heights; drawing teachers, default
  const FigureMarks& m = facts.marks;
  const bool both = (m.Has(P::kEarLTop) && m.Has(P::kEarLBottom)) || (m.Has(P::kEarRTop) && m.Has(P::kEarRBottom));
  if (!both) return;
  const HeadReading& r = facts.head;
  const auto top = static_cast<int>(HP::kEarTop), bottom = static_cast<int>(HP::kEarBottom);
  // Mean of how far the top stands above the middle of eye and brow, and the lobe above the nose base.
  const double brow = r.profile[static_cast<int>(HP::kBrowAboveEye)];
  const double aside = 0.5 * (r.profile[top] - 0.5 * brow + r.profile[bottom]);
  const double sd = 0.5 * std::sqrt(r.profile_cov(top, top) + r.profile_cov(bottom, bottom) + 2 * r.profile_cov(top, bottom));
  for (Finding& f : out)  // unequal ears were found already: one word is enough
    if (f.id == "face.ear.height" && f.verdict == Verdict::kOff) return;
  std::erase_if(out, [](const Finding& f) { return f.id == "face.ear.height"; });
  Finding f = Start(facts, "face.ear.height", Say("Height of the ears"));
  f.kind = Kind::kConstruction;
  f.measured = 100 * aside;
  f.expected = 0.0;
  f.tolerance = 100 * kTolerance;
  f.sd = 100 * sd;
  f.test = "distance in sd";
  f.evidence = std::pow(aside / std::max(sd, 1e-6), 2);
  f.source = Say("drawing teachers' rule, between brow or eye line and the base of the nose; default, editable");
  for (P id : {P::kEarLTop, P::kEarLBottom, P::kEarRTop, P::kEarRBottom})
    if (const auto p = m.At(id)) f.where.points.push_back(*p);
  const double over = std::abs(aside) - kTolerance;
  if (over > kSure * sd) {
    f.verdict = Verdict::kOff;
    f.title = aside > 0 ? Say("Ear too high for this tilt of the head") : Say("Ear too low for this tilt of the head");
    f.why = aside > 0 ? Say("With the head's nod of {:.0f} degrees taken out, the ear stands {:.0f} % of the head's height above the band "
                            "between brow line and nose base.",
                            r.pose.pitch_rad * kDegrees, 100 * std::abs(aside))
                      : Say("With the head's nod of {:.0f} degrees taken out, the ear stands {:.0f} % of the head's height below the band "
                            "between brow line and nose base.",
                            r.pose.pitch_rad * kDegrees, 100 * std::abs(aside));
    f.remedy = {RemedyWay::kMove, 6,
                aside > 0 ? Say("move the ear down by {:.0f} % of the head's height", 100 * std::abs(aside))
                          : Say("move the ear up by {:.0f} % of the head's height", 100 * std::abs(aside))};
    f.gain = 3;
  } else if (-over > kSure * sd) {
    f.verdict = Verdict::kClear;
    f.why = Say("The ear spans brow line to nose base, the nod of the head taken into account.");
  } else {
    f.verdict = Verdict::kCannotTell;
    f.smallest_visible = 100 * (kTolerance + 3 * sd);
    f.ask = Say("mark the brow peaks and the base of the nose");
    f.why = Say("The nod of the head is not known well enough here.");
  }
  out.push_back(std::move(f));
}

// Is there room for the skull above the eyes? A high eye line is a convention in some styles,
// so it is off only against a declared or learned head, or when the hair lies under the skull.
void CheckSkullHeight(const Facts& facts, std::vector<Finding>& out) {
  constexpr double kNatural = 0.5, kTolerance = 0.03;  // eye line at half the skull; 0.47 to 0.53
  const HeadReading& r = facts.head;
  if (!facts.marks.Has(P::kCrown) && !facts.marks.Has(P::kHeadTop)) return;
  if (!facts.marks.Has(P::kChin)) return;
  const bool learned = r.prior.Learned();
  const bool declared = learned || !facts.marks.canon.empty();
  Finding f = Start(facts, "head.skull.height", Say("Room for the skull above the eyes"));
  const double eye = r.Param(HP::kEyeHeight);
  const double sd = std::max(r.ParamSd(HP::kEyeHeight), 1e-4);
  const double expected = learned ? r.prior.Mean(HP::kEyeHeight) : kNatural;
  const double tolerance = learned ? kTolerance + 2 * r.prior.Sd(HP::kEyeHeight) : kTolerance;
  f.measured = 100 * eye;
  f.expected = 100 * expected;
  f.tolerance = 100 * tolerance;
  f.sd = 100 * sd;
  f.test = "distance in sd";
  f.evidence = std::pow((eye - expected) / sd, 2);
  f.source = Say("eye line at half the skull: Edwards, The New Drawing on the Right Side of the Brain; a drawing convention");
  f.where.points = {r.model_px.at(P::kHeadTop), r.model_px.at(P::kChin)};
  f.kind = declared ? Kind::kCanon : Kind::kTaste;
  const double hair = r.Param(HP::kHairThickness), hair_sd = r.ParamSd(HP::kHairThickness);
  const bool both = facts.marks.Has(P::kCrown) && facts.marks.Has(P::kHeadTop);
  const double limit = declared ? expected + tolerance : 0.58;  // undeclared: only what few styles do
  if (both && hair + kSure * hair_sd < 0.0) {
    f.kind = Kind::kConstruction;
    f.verdict = Verdict::kOff;
    f.title = Say("Skull cut off by the hair");
    f.measured = 100 * hair;
    f.expected = 0.0;
    f.sd = 100 * hair_sd;
    f.why = Say("The drawn top of the head lies below the top of the skull.");
    f.gain = 6;
  } else if (eye - limit > kSure * sd) {
    f.verdict = Verdict::kOff;
    f.title = Say("Eyes too high: the skull is cut off");
    f.why = Say("With turn and nod taken out the eye line stands at {:.0f} % of the head from the chin{}.", 100 * eye,
                learned    ? Say(", this character's at {:.0f} %", 100 * expected)
                : declared ? Say("; half is usual in the declared proportions")
                           : Say("; a choice of style, or the skull is cut off"));
    f.gain = declared ? 6 : 2;
  } else if (learned && expected - tolerance - eye > kSure * sd) {
    f.verdict = Verdict::kOff;
    f.title = Say("Eyes lower than this character's");
    f.why = Say("With turn and nod taken out the eye line stands at {:.0f} % of the head from the chin, this character's at {:.0f} %.",
                100 * eye, 100 * expected);
    f.gain = 4;
  } else if (limit - eye > kSure * sd) {
    f.verdict = Verdict::kClear;
    f.why = Say("The eye line leaves room for the skull.");
  } else {
    f.verdict = Verdict::kCannotTell;
    f.smallest_visible = 100 * (tolerance + 3 * sd);
    f.ask = Say("mark the top of the skull under the hair (head_top)");
    f.why = Say("The nod of the head changes where the eye line seems to stand.");
  }
  if (f.verdict == Verdict::kOff) {
    f.remedy = {RemedyWay::kWarp, 20,
                Say("raise the top of the skull and hair, or lower the face on the head, until the eye line meets the target")};
    const Vec2 up = AxesOf(r.pose).up;
    const Vec2 from = r.model_px.at(P::kHeadTop);
    const Vec2 target = from + up * std::max(0.0, (f.kind == Kind::kConstruction ? -hair : eye / expected - 1.0)) * r.pose.scale_px;
    const HeadCurves c = CurvesOf(r.pose, r.profile);
    f.guides = {{GuideShape::Role::kDrawn, GuideShape::Form::kPolyline, c.eyes, ""},
                {GuideShape::Role::kDrawn, GuideShape::Form::kCross, {from}, ""},
                {GuideShape::Role::kTarget, GuideShape::Form::kCross, {target}, ""},
                {GuideShape::Role::kArrow,
                 GuideShape::Form::kPolyline,
                 {from, target},
                 Say("{:.0f} %", 100 * (target - from).norm() / r.pose.scale_px)}};
  }
  out.push_back(std::move(f));
}

// Hair outline against the skull ball, over the upper half of the head.
void CheckHairVolume(const Facts& facts, std::vector<Finding>& out) {
  constexpr double kThin = 0.02;  // head heights; less reads as painted on; default
  const auto hair = std::find_if(facts.marks.areas.begin(), facts.marks.areas.end(), [](const Area& a) { return a.kind == "hair" && a.outline.size() >= 3; });
  if (hair == facts.marks.areas.end()) return;
  const HeadReading& r = facts.head;
  Finding f = Start(facts, "head.hair.volume", Say("Hair volume over the skull"));
  f.kind = Kind::kConstruction;
  f.where.outline = hair->outline;
  f.tolerance = 100 * kThin;
  f.expected = 100 * kThin;
  f.test = "distance of hair outline from skull";
  f.source = Say("drawing teachers' rule: hair has thickness; default, editable");
  if (!facts.marks.Has(P::kHeadTop)) {
    f.verdict = Verdict::kCannotTell;
    f.ask = Say("mark the top of the skull under the hair (head_top)");
    f.why = Say("Without the skull's own top the hair has nothing to be measured against.");
    out.push_back(std::move(f));
    return;
  }
  const HeadCurves c = CurvesOf(r.pose, r.profile);
  Vec2 centre = Vec2::Zero();
  for (std::size_t i = 0; i + 1 < c.ball.size(); ++i) centre += c.ball[i];
  centre /= static_cast<double>(c.ball.size() - 1);
  const double radius = (c.ball.front() - centre).norm();
  const PageAxes axes = AxesOf(r.pose);
  double least = 1e9;
  Vec2 least_at = centre;
  int rays = 0;
  for (int deg = -50; deg <= 50; deg += 5) {
    const double a = deg / kDegrees;
    const Vec2 ray = std::cos(a) * axes.up + std::sin(a) * axes.across;
    double reach = -1;
    for (std::size_t i = 0; i < hair->outline.size(); ++i) {
      const Vec2 p = hair->outline[i] - centre, q = hair->outline[(i + 1) % hair->outline.size()] - centre;
      const double cp = Cross2(ray, p), cq = Cross2(ray, q);
      if ((cp > 0) == (cq > 0)) continue;
      const double t = cp / (cp - cq);
      reach = std::max(reach, ray.dot(p + t * (q - p)));
    }
    if (reach <= 0) continue;
    ++rays;
    const double room = (reach - radius) / r.pose.scale_px;
    if (room < least) {
      least = room;
      least_at = centre + reach * ray;
    }
  }
  if (rays < 5) return;
  // The ball stands for a skull; heads differ by some per cent, and how deep they are shows
  // sideways once they are turned.
  const double depth_sd = r.Param(HP::kHalfWidth) * r.ParamSd(HP::kDepthRatio) * std::abs(std::sin(r.pose.yaw_rad));
  const double sd = std::hypot(r.sigma_px / r.pose.scale_px, 0.02, depth_sd);
  f.measured = 100 * least;
  f.sd = 100 * sd;
  f.where.points = {least_at};
  if (least + kSure * sd < 0.0) {
    f.verdict = Verdict::kOff;
    f.title = Say("Hair lies inside the skull");
    f.why = Say("The hair's outline runs {:.0f} % of the head's height inside the skull it must cover.", -100 * least);
    f.remedy = {RemedyWay::kWarp, 15, Say("push the hair's outline out until it clears the skull ball by its own thickness")};
    f.gain = 5;
    f.guides = {{GuideShape::Role::kDrawn, GuideShape::Form::kCross, {least_at}, ""}, {GuideShape::Role::kTarget, GuideShape::Form::kPolyline, c.ball, ""}};
  } else if (least - kSure * sd > 0.0) {
    f.verdict = Verdict::kClear;
    f.why = Say("The hair stands off the skull all round.");
  } else {
    f.verdict = Verdict::kCannotTell;
    f.smallest_visible = 100 * 3 * sd;
    f.ask = Say("nothing to add: the hair lies close to the skull, look at it yourself");
    f.why = Say("The hair lies about as far out as the skull may reach.");
  }
  out.push_back(std::move(f));
}

}  // namespace armslength::face_check
