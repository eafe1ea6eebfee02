#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include <fmt/format.h>

#include "check/body/guides.h"
#include "check/surface/families.h"
#include "check/surface/part_axis.h"
#include "check/surface/ring_shape.h"
#include "geometry/line.h"
#include "geometry/polygon.h"

namespace armslength::surface_check {
namespace {

using body_check::kDegree;
using P = PointId;

// 4 % of the chest's width (trade brief of the project: common practice, no source; editable).
constexpr double kShiftTolerance = 0.04;
constexpr double kShiftSure = 2.8;
// The trunk's half-section: thickness over width, common practice for drawn chests.
constexpr double kRho = 0.80, kRhoSd = 0.08;
// The pit of the neck lies on the middle line. Its mark is the notch on the skin or the joint behind it:
// so far does the fastening stand before it, parts of the stature (from memory of drawn figures).
constexpr double kBefore = 0.025, kBeforeSd = 0.020;
// A person's own placket is sewn and worn to about this, share of the chest's width, one sd.
constexpr double kOwnSd = 0.008;

// The edges of the trunk at some heights: ends of belts and collars, the outline of the figure.
struct Station {
  Vec2 from = Vec2::Zero(), to = Vec2::Zero();  // picture-left edge first as the figure stands upright
  double height = 0.0;                          // along the trunk, hips 0, pit 1
  bool neck = false;
  std::string spoken;
};

double HeightOf(const BodyFacts& facts, const Vec2& p) {
  const Vec2 hips = 0.5 * (facts.Px(P::kHipL) + facts.Px(P::kHipR)), pit = facts.Px(P::kNeckPit);
  return (p - hips).dot(pit - hips) / std::max(1.0, (pit - hips).squaredNorm());
}

// Where the front of the section lies between its edges: -1 .. 1, + to the edge at `to`.
double FrontAt(double turn, double rho) {
  const double s = std::sin(turn), c = std::cos(turn);
  return rho * s / std::sqrt(c * c + rho * rho * s * s);
}

}  // namespace

void CheckCentreFront(const BodyFacts& facts, std::vector<Finding>& out) {
  const FigureMarks& marks = facts.Marks();
  if (marks.centre_front.empty()) return;
  const std::vector<PointId> rests_on{P::kNeckPit, P::kShoulderL, P::kShoulderR, P::kHipL, P::kHipR};
  Finding f = body_check::Start(facts, "cloth.centre_front", "Buttons and fastenings on the centre front",
                                Kind::kConstruction, Verdict::kCannotTell);
  f.unit = "% of chest width";
  f.tolerance = 100.0 * kShiftTolerance;
  f.test = "distance in sd";
  f.source = "4 % of the chest's width: common practice, default, editable";
  for (const NamedPoint& p : marks.centre_front) f.where.points.push_back(p.at);
  const auto finish = [&](std::string why, std::string ask) {
    f.why = std::move(why);
    f.ask = std::move(ask);
    body_check::Finish(facts, rests_on, f);
    out.push_back(f);
  };
  if (!facts.Marked({P::kNeckPit, P::kShoulderL, P::kShoulderR, P::kHipL, P::kHipR}))
    return finish("The trunk's turn is not known.", "Mark the pit of the neck, both shoulders and both hips.");

  const Vec2 hips = 0.5 * (facts.Px(P::kHipL) + facts.Px(P::kHipR)), pit = facts.Px(P::kNeckPit);
  const Vec2 up = (pit - hips).normalized();
  const Vec2 right(-up.y(), up.x());  // picture right when the trunk stands upright (y down)
  std::vector<Station> stations;
  for (const Ring& ring : marks.rings) {
    const bool neck = ring.around == "neck" || ring.name.find("collar") != std::string::npos;
    if (!neck && ring.around != "trunk") continue;
    if (!neck && (ring.name.find("hem") != std::string::npos || ring.name.find("skirt") != std::string::npos)) continue;
    const auto shape = ShapeOf(ring.points, 1.0);
    if (!shape) continue;
    Station s{shape->from, shape->to, 0.0, neck, ring.name};
    if ((s.to - s.from).dot(right) < 0) std::swap(s.from, s.to);
    if ((s.to - s.from).normalized().dot(right) < 0.75) continue;
    s.height = std::clamp(HeightOf(facts, 0.5 * (s.from + s.to)), -0.2, 1.2);
    stations.push_back(s);
  }
  std::sort(stations.begin(), stations.end(), [](const Station& a, const Station& b) { return a.height < b.height; });
  const bool belt = std::any_of(stations.begin(), stations.end(), [](const Station& s) { return !s.neck; });
  if (!belt)
    return finish("The marks of shoulders and hips alone do not hold the middle of the trunk's surface: cloth and body "
                  "hide more than the shift in question.",
                  "Draw the belt (and the collar) from edge to edge as rings.");

  // Width of the chest on the surface: the shoulders' own width stands for it, as the belt's half
  // width is that of the waist. Shifts are measured against the section they lie in.
  struct Local {
    Vec2 at, target, from, to;
    double shift, sd;
    double mirrored;  // the shift if the trunk is turned the other way
    double turn_sd = 0.0;
    bool high = false;  // rests on the shoulders' turn rather than the hips'
  };
  std::vector<Local> locals;
  double turn_sd = 0.0, turn_mean = 0.0;
  for (const NamedPoint& point : marks.centre_front) {
    const double h = HeightOf(facts, point.at);
    // Only near a ring's height are the edges known.
    const Station* best = nullptr;
    for (const Station& s : stations)
      if (!best || std::abs(s.height - h) < std::abs(best->height - h)) best = &s;
    if (!best || std::abs(best->height - h) > 0.16) continue;
    const auto turn = TrunkTurn(facts, std::clamp(best->height, 0.0, 1.0));
    if (!turn) continue;
    if (std::abs(turn->value) > 70.0 * kDegree) continue;
    const double rho = best->neck ? 1.0 : kRho, half = 0.5 * (best->to - best->from).norm();
    const Vec2 along = (best->to - best->from).normalized(), middle = 0.5 * (best->from + best->to);
    // A point a little above the ring keeps its place across the trunk.
    const double u = (point.at - middle).dot(along) / half;
    // The turn of the section that would put the front where the point lies.
    const auto angle_of = [rho](double x) {
      const double inside = std::clamp(x, -0.98, 0.98);
      return std::atan2(inside, rho * std::sqrt(1.0 - inside * inside));
    };
    const double off = angle_of(u) - turn->value;
    // Parts of the section's width: for small angles half the angle times the thickness.
    Local l;
    l.at = point.at;
    l.target = middle + along * (half * FrontAt(turn->value, rho)) + (point.at - middle - along * (point.at - middle).dot(along));
    l.from = best->from;
    l.to = best->to;
    l.shift = 0.5 * std::sin(std::clamp(off, -M_PI_2, M_PI_2));
    const double mark = std::max(1.0, 0.25 * facts.SigmaStature() * facts.Reading().camera.scale_px) / half;
    const double edge = 0.04 + 0.25 * std::abs(best->height - h);  // edges of the body under the cloth, share of half-width
    const double rho_part = 0.5 * std::abs(angle_of(u)) * kRhoSd / rho;
    l.sd = std::hypot(0.5 * std::hypot(mark, edge), rho_part);
    l.mirrored = 0.5 * std::sin(std::clamp(angle_of(u) + turn->value, -M_PI_2, M_PI_2));
    l.turn_sd = turn->sd;
    l.high = best->height > 0.5;
    turn_sd = std::max(turn_sd, turn->sd);
    turn_mean += turn->value;
    locals.push_back(l);
  }
  if (locals.empty())
    return finish("No fastening lies near a ring of the trunk, so its edges are not known at that height.",
                  "Mark the buckle or the button nearest the belt, or a ring at the height of the buttons.");
  // One shift, seen in up to three ways whose errors are each other's strangers: against the turn of the
  // hips, against that of the shoulders (the trunk twists), and straight below the pit of the neck.
  double sum = 0.0, weight = 0.0, other = 0.0;
  const auto way = [&](double value, double mirrored, double its_sd) {
    const double w = 1.0 / (its_sd * its_sd);
    sum += w * value;
    other += w * mirrored;
    weight += w;
  };
  for (const bool high : {false, true}) {
    double part = 0.0, part_other = 0.0, part_weight = 0.0, least = 0.0, turn = 0.0;
    for (const Local& l : locals) {
      if (l.high != high) continue;
      const double w = 1.0 / (l.sd * l.sd);
      part += w * l.shift;
      part_other += w * l.mirrored;
      part_weight += w;
      // Edges and own errors average, but not below one of them halved.
      least = std::max(least, 0.5 * l.sd);
      turn = std::max(turn, l.turn_sd);
    }
    if (part_weight > 0.0)
      way(part / part_weight, part_other / part_weight, std::hypot(std::max(least, 1.0 / std::sqrt(part_weight)), 0.5 * turn));
  }
  bool below_pit = false;
  {
    // The fastening nearest the pit, within a fifth of the trunk.
    const NamedPoint* top = nullptr;
    for (const NamedPoint& point : marks.centre_front)
      if (!top || std::abs(HeightOf(facts, point.at) - 1.0) < std::abs(HeightOf(facts, top->at) - 1.0)) top = &point;
    const auto turn = TrunkTurn(facts, 1.0);
    const double width = 0.8 * facts.Reading().length[static_cast<std::size_t>(BoneId::kShoulderWidth)];
    if (turn && width > 0.0 && std::abs(HeightOf(facts, top->at) - 1.0) < 0.2 && std::abs(turn->value) < 50.0 * kDegree) {
      const double unit = facts.PxPerStature(facts.Joint(P::kNeckPit).at.z());
      const double seen = (top->at - pit).dot(right) / unit, before = kBefore * std::sin(turn->value);
      // The trunk's own side bend and lean move what lies a little lower.
      const double lean = 0.06 * std::abs(HeightOf(facts, top->at) - 1.0) * (pit - hips).norm() / unit;
      const double its = std::hypot(std::hypot(facts.SigmaStature(), lean),
                                    std::hypot(kBeforeSd * std::sin(turn->value), kBefore * std::cos(turn->value) * turn->sd));
      const double squeeze = width * std::cos(turn->value);
      way((seen - before) / squeeze, (seen + before) / squeeze, its / squeeze);
      below_pit = true;
    }
  }
  const double shift = sum / weight;
  const double sd = std::hypot(1.0 / std::sqrt(weight), kOwnSd);
  const double visible = kShiftTolerance + kShiftSure * sd;
  f.measured = 100.0 * shift;
  f.expected = 0.0;
  f.sd = 100.0 * sd;
  f.smallest_visible = 100.0 * visible;
  f.evidence = std::abs(shift) / sd;
  turn_mean /= static_cast<double>(locals.size());
  const std::string basis = fmt::format("The trunk is turned by {:.0f} degrees (give or take {:.0f}); {} fastening{} near {} "
                                        "ring{}{} lie {:.0f} % of the trunk's width to the picture's {} of its middle line",
                                        turn_mean / kDegree, turn_sd / kDegree, locals.size(), locals.size() == 1 ? "" : "s",
                                        stations.size(), stations.size() == 1 ? "" : "s", below_pit ? " and the pit of the neck" : "", 100.0 * std::abs(shift),
                                        shift > 0 ? "right" : "left");
  // Shoulders and hips look alike when the trunk turns the other way: both must miss.
  const double least = std::min(std::abs(shift), std::abs(other / weight));
  if (least > visible) {
    f.verdict = Verdict::kOff;
    f.title = "Fastenings off the centre front";
    std::vector<Vec2> drawn, target;
    for (const Local& l : locals) {
      drawn.push_back(l.at);
      target.push_back(l.target);
    }
    f.guides.push_back(body_check::Cross(GuideShape::Role::kDrawn, drawn));
    f.guides.push_back(body_check::Cross(GuideShape::Role::kTarget, target, body_check::Percent(shift)));
    f.guides.push_back(body_check::Line(GuideShape::Role::kArrow, {locals.front().at, locals.front().target}));
    f.remedy = {RemedyWay::kMove, 10.0, "Move the fastenings and the edge beside them onto the guide; a garment that "
                                        "closes at the side is declared as meant."};
    f.gain = 3.0;
    return finish(basis + ".", "");
  }
  if (std::abs(shift) <= kShiftTolerance && visible <= 2.5 * kShiftTolerance) {
    f.verdict = Verdict::kClear;
    f.title = "Fastenings on the centre front";
    return finish(basis + ", within what is usual.", "");
  }
  finish(fmt::format("{}; a shift under {:.0f} % would not show for certain.", basis, 100.0 * visible),
         "A collar or belt drawn from edge to edge, and surer shoulders and hips, would narrow it.");
}

}  // namespace armslength::surface_check
