#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include <Eigen/Geometry>
#include <fmt/format.h>

#include "check/body/guides.h"
#include "check/surface/families.h"
#include "check/surface/part_axis.h"
#include "geometry/polygon.h"

namespace armslength::surface_check {
namespace {

using body_check::kDegree;
using P = PointId;

// Height over the sole near the toes over that at the instep. Feet and most shoes are wedges:
// the toe box has about half to two thirds of the instep's height (figure-drawing handbooks
// draw the foot as a wedge; numbers common practice, default, editable).
constexpr double kWedge = 0.62, kWedgeTolerance = 0.25;
constexpr double kNear = 0.35, kFar = 0.85;  // places between ankle (0) and toe (1)
// The foot must lie across the view at least this much: cosine between foot and sight.
constexpr double kMostAlongSight = 0.65;

struct Thickness {
  Vec2 low = Vec2::Zero(), high = Vec2::Zero();
  [[nodiscard]] double px() const { return (high - low).norm(); }
};

// The figure's outline across the foot at `base`, along `up`: the stretch that holds the base.
std::optional<Thickness> Across(const std::vector<Vec2>& outline, const Vec2& base, const Vec2& up, double inside_px) {
  std::vector<double> cuts;
  const Vec2 side(-up.y(), up.x());
  for (std::size_t i = 0, j = outline.size() - 1; i < outline.size(); j = i++) {
    const double a = (outline[j] - base).dot(side), b = (outline[i] - base).dot(side);
    if ((a < 0) == (b < 0)) continue;
    cuts.push_back((outline[j] + (outline[i] - outline[j]) * (a / (a - b)) - base).dot(up));
  }
  std::sort(cuts.begin(), cuts.end());
  for (std::size_t i = 0; i + 1 < cuts.size(); i += 2)
    if (cuts[i] <= inside_px && cuts[i + 1] >= inside_px) return Thickness{base + cuts[i] * up, base + cuts[i + 1] * up};
  return std::nullopt;
}

}  // namespace

void CheckFeetShape(const BodyFacts& facts, std::vector<Finding>& out) {
  const Area* figure = nullptr;
  for (const Area& area : facts.Marks().areas)
    if (area.kind == "figure" && area.outline.size() >= 30) figure = &area;
  if (!figure) return;
  const BodyReading& reading = facts.Reading();
  const double rise = reading.canon.canon.heads > 0 ? reading.canon.canon.sole_to_ankle / reading.canon.canon.heads : 0.039;
  for (const bool left : {true, false}) {
    const P ankle_id = left ? P::kAnkleL : P::kAnkleR, toe_id = left ? P::kToeL : P::kToeR;
    if (!facts.Marked({ankle_id, toe_id})) continue;
    const std::vector<PointId> rests_on{ankle_id, toe_id};
    const Vec3 ankle = facts.Joint(ankle_id).at, toe = facts.Joint(toe_id).at;
    const Vec3 way = toe - ankle;
    const double length = way.norm();
    if (length < 2.0 * rise) continue;
    Finding f = body_check::Start(facts, left ? "foot.shape.left" : "foot.shape.right",
                                  left ? "Shape of the left foot" : "Shape of the right foot", Kind::kConstruction,
                                  Verdict::kCannotTell);
    f.unit = "ratio";
    f.expected = kWedge;
    f.tolerance = kWedgeTolerance;
    f.source = "figure-drawing handbooks draw the foot as a wedge; 0.62 and 0.25 common practice, default, editable";
    f.where = body_check::At(facts, rests_on);
    const auto add = [&] {
      body_check::Finish(facts, rests_on, f);
      out.push_back(f);
    };
    // The sole runs from under the ankle to the toe; up lies in the plane of foot and shin or,
    // for a standing figure, gravity.
    const Vec3 plane = facts.Up();
    Vec3 across = way.cross(plane);
    if (across.norm() < 0.3 * length) {
      f.why = "The foot points almost straight up or down; its sole line is not known.";
      f.ask = "Mark the heel.";
      add();
      continue;
    }
    const Vec3 d = way / length, e = across.normalized().cross(d).normalized();  // e: across d, in the plane
    const Vec3 upward = e.dot(plane) < 0 ? Vec3(-e) : e;
    const double tip = std::asin(std::clamp(rise / length, 0.0, 0.6));
    const Vec3 sole = std::cos(tip) * d + std::sin(tip) * upward, up = std::cos(tip) * upward - std::sin(tip) * d;
    const double sighted = std::abs(sole.dot(Sight(reading.camera, 0.5 * (ankle + toe))));
    if (sighted > kMostAlongSight) {
      f.why = fmt::format("The foot points {:.0f} degrees towards or away from the viewer, so its side view does not show.",
                          std::asin(std::min(1.0, sighted)) / kDegree);
      f.ask = "Draw the shoe as a wedge box over the marks to compare by eye.";
      add();
      continue;
    }
    const Vec3 under = ankle - rise * up;  // on the sole, below the ankle
    const double along = (toe - under).dot(sole);
    const auto at = [&](double t) { return Vec3(under + t * along * sole); };
    const auto thick = [&](double t) -> std::optional<Thickness> {
      const Vec2 base = reading.camera.Project(at(t)), top = reading.camera.Project(at(t) + rise * up);
      const Vec2 dir = (top - base).normalized();
      return Across(figure->outline, base, dir, 0.35 * (top - base).norm());
    };
    std::vector<Vec2> tops;
    std::vector<double> near, far;
    double unit = (reading.camera.Project(ankle) - reading.camera.Project(under)).norm();
    for (const double t : {kNear - 0.06, kNear, kNear + 0.06})
      if (const auto k = thick(t)) near.push_back(k->px());
    for (const double t : {kFar - 0.08, kFar - 0.04, kFar})
      if (const auto k = thick(t)) {
        far.push_back(k->px());
        tops.push_back(k->high);
      }
    const auto middle = [](std::vector<double> v) {
      std::sort(v.begin(), v.end());
      return v[v.size() / 2];
    };
    if (near.size() < 3 || far.size() < 3 || middle(near) > 2.6 * unit || middle(far) > 2.6 * unit) {
      f.why = "The outline of the figure runs into something else at the foot (the other leg, a hem), so its heights are not its own.";
      f.ask = "Outline the shoe alone.";
      add();
      continue;
    }
    const double ratio = middle(far) / middle(near);
    const double sd = std::hypot(0.05, 1.2 * facts.SigmaStature() / std::max(length, 1e-3) * 0.5);
    f.measured = ratio;
    f.sd = sd;
    f.smallest_visible = kWedgeTolerance + 1.5 * sd;
    f.test = "distance in sd";
    f.evidence = (ratio - kWedge) / sd;
    f.why = fmt::format("Near the toes the shoe stands {:.0f} % as high over its sole as at the instep; a foot's wedge has about "
                        "{:.0f} %.", 100.0 * ratio, 100.0 * kWedge);
    if (ratio - kWedge > kWedgeTolerance + 1.5 * sd) {
      f.verdict = Verdict::kOff;
      f.title = left ? "Left shoe is a block, not a wedge" : "Right shoe is a block, not a wedge";
      const Vec2 heel = reading.camera.Project(at(-0.34)), tip_px = reading.camera.Project(toe);
      const auto over = [&](double t, double h) { return reading.camera.Project(at(t) + h * rise * up); };
      f.guides.push_back(body_check::Line(GuideShape::Role::kDrawn, tops));
      f.guides.push_back(body_check::Line(GuideShape::Role::kTarget, {heel, tip_px, over(0.95, 0.5), over(0.75, 0.75),
                                                                      over(0.35, 1.35), over(0.0, 1.8), over(-0.30, 1.3), heel}));
      f.remedy = {RemedyWay::kGuide, 15.0, "Redraw the shoe over the wedge: high at the instep, low at the toes."};
      f.gain = 2.5;
    } else if (ratio - kWedge < kWedgeTolerance) {
      f.verdict = Verdict::kClear;
      f.title = left ? "Left foot is a wedge" : "Right foot is a wedge";
    } else {
      f.ask = "Mark the ankle and the toe more surely.";
    }
    add();
  }
}

}  // namespace armslength::surface_check
