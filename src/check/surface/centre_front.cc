#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include <Eigen/Dense>
#include "check/body/guides.h"
#include "check/surface/families.h"
#include "check/surface/part_axis.h"
#include "check/surface/ring_shape.h"
#include "geometry/line.h"
#include "geometry/polygon.h"
#include "words/say.h"

namespace armslength::surface_check {
namespace {

using body_check::kDegree;
using P = PointId;

// 4 % of the chest's width (trade brief of the project: common practice, no source; editable).
constexpr double kShiftTolerance = 0.04;
constexpr double kShiftSure = 2.7;  // sd; false alarms are counted by bench/detection_surface
// The trunk's half-section: thickness over width, common practice for drawn chests.
constexpr double kRho = 0.80, kRhoSd = 0.08;
// The pit of the neck lies on the middle line. Its mark is the notch on the skin or the joint behind it:
// so far does the fastening stand before it, parts of the stature (from memory of drawn figures).
constexpr double kBefore = 0.025, kBeforeSd = 0.020;
// A person's own placket is sewn and worn to about this, share of the chest's width, one sd.
constexpr double kOwnSd = 0.008;
// What the elliptic section and joints that are marked within the body add: shift read on sound drawn figures
// spreads by so much more than its parts say (seeds from 110001). Added to the spread.
constexpr double kModelSd = 0.050;
// Further off is no drift of a fastening but another cut of garment, or a trunk that is turned otherwise.
constexpr double kFarthest = 0.30;
// How far a trunk twists between hips and shoulders in drawn poses, one sd. Default.
constexpr double kTwistSd = 15.0 * kDegree;
// A contour across the trunk is believed to be the trunk's own between these half-widths, stature, when no arm is
// near. Widths of middling drawn figures with clothes; common practice, no source.
constexpr double kNarrow = 0.050, kWide = 0.135, kArm = 0.055;

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

// The trunk's own edges on the figure's contour at a place of its middle line. Nothing when an arm comes near, or when the
// contour is too wide or too lopsided to be the trunk's.
std::optional<Station> ContourAt(const BodyFacts& facts, const Silhouette& silhouette, double height, const Vec2& right) {
  const Vec2 hips = 0.5 * (facts.Px(P::kHipL) + facts.Px(P::kHipR)), pit = facts.Px(P::kNeckPit);
  const Vec2 at = hips + height * (pit - hips);
  const double unit = facts.PxPerStature(facts.Joint(P::kNeckPit).at.z());
  const auto a = silhouette.ToEdge(at, -right, 2 * kWide * unit), b = silhouette.ToEdge(at, right, 2 * kWide * unit);
  if (!a || !b) return std::nullopt;
  const double half = 0.5 * (*a + *b);
  if (half < kNarrow * unit || half > kWide * unit || std::abs(*a - *b) > 0.8 * half) return std::nullopt;
  const std::array<std::array<P, 3>, 2> arms{{{P::kShoulderL, P::kElbowL, P::kWristL}, {P::kShoulderR, P::kElbowR, P::kWristR}}};
  for (const auto& arm : arms)
    for (int bone = 0; bone < 2; ++bone)
      for (int i = bone == 0 ? 5 : 0; i <= 20; ++i) {  // the shoulder itself is the trunk's
        const Vec2 p = facts.Px(arm[static_cast<std::size_t>(bone)]) +
                       i / 20.0 * (facts.Px(arm[static_cast<std::size_t>(bone + 1)]) - facts.Px(arm[static_cast<std::size_t>(bone)]));
        const double across = (p - at).dot(right), off = std::abs((p - at).dot(Vec2(-right.y(), right.x())));
        if (off < kArm * unit && across > -*a - kArm * unit && across < *b + kArm * unit) return std::nullopt;
      }
  return Station{at - *a * right, at + *b * right, height, false, "contour"};
}

// One shift of all fastenings, in parts of the section's width, with the turns of hips and shoulders unknown but measured:
// weighted least squares with the covariance of all three.
struct Joint {
  Eigen::Matrix3d information = Eigen::Matrix3d::Zero();
  Eigen::Vector3d right = Eigen::Vector3d::Zero();
  void Add(const Eigen::Vector3d& row, double value, double sd) {  // of (shift, turn of the hips, of the shoulders)
    information += row * row.transpose() / (sd * sd);
    right += row * value / (sd * sd);
  }
  [[nodiscard]] Measure Shift() const {
    const Eigen::Matrix3d covariance = information.inverse();
    return {(covariance * right)[0], std::sqrt(covariance(0, 0))};
  }
};

// "2 fastenings against a ring lie 6 % of the trunk's width to the picture's right of its middle line".
std::string Aside(std::size_t n, const std::string& which, double shift) {
  const double percent = 100.0 * std::abs(shift);
  return shift > 0 ? SayCount(n, "{} lies {:.0f} % of the trunk's width to the picture's right of its middle line",
                              "{} lie {:.0f} % of the trunk's width to the picture's right of its middle line", which, percent)
                   : SayCount(n, "{} lies {:.0f} % of the trunk's width to the picture's left of its middle line",
                              "{} lie {:.0f} % of the trunk's width to the picture's left of its middle line", which, percent);
}

}  // namespace

void CheckCentreFront(const BodyFacts& facts, const Silhouette* silhouette, std::vector<Finding>& out) {
  const FigureMarks& marks = facts.Marks();
  if (marks.centre_front.empty()) return;
  const std::vector<PointId> rests_on{P::kNeckPit, P::kShoulderL, P::kShoulderR, P::kHipL, P::kHipR};
  Finding f = body_check::Start(facts, "cloth.centre_front", Say("Buttons and fastenings on the centre front"), Kind::kConstruction,
                                Verdict::kCannotTell);
  f.unit = "% of chest width";
  f.tolerance = 100.0 * kShiftTolerance;
  f.test = "distance in sd";
  f.source = Say("4 % of the chest's width: common practice, default, editable");
  for (const NamedPoint& p : marks.centre_front) f.where.points.push_back(p.at);
  const auto finish = [&](std::string why, std::string ask) {
    f.why = std::move(why);
    f.ask = std::move(ask);
    body_check::Finish(facts, rests_on, f);
    out.push_back(f);
  };
  if (!facts.Marked({P::kNeckPit, P::kShoulderL, P::kShoulderR, P::kHipL, P::kHipR}))
    return finish(Say("The trunk's turn is not known."), Say("Mark the pit of the neck, both shoulders and both hips."));

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
  struct Local {
    Vec2 at, target, from, to;
    double angle, sd;   // turn of the section that would put its front there
    double height;
    std::string by;
  };
  std::vector<Local> locals;
  const auto turn_hips = TrunkTurn(facts, 0.0), turn_shoulders = TrunkTurn(facts, 1.0);
  if (!turn_hips || !turn_shoulders)
    return finish(Say("The trunk's turn is not known."), Say("Mark the pit of the neck, both shoulders and both hips."));
  int by_contour = 0;
  for (const NamedPoint& point : marks.centre_front) {
    const double h = HeightOf(facts, point.at), within = std::clamp(h, 0.0, 1.0);
    // Only near a ring's height are the edges known, or where the contour is the trunk's own.
    const Station* best = nullptr;
    for (const Station& s : stations)
      if (!best || std::abs(s.height - h) < std::abs(best->height - h)) best = &s;
    if (best && std::abs(best->height - h) > 0.16) best = nullptr;
    std::optional<Station> contour;
    if (!best && silhouette && h > 0.05 && h < 0.80) contour = ContourAt(facts, *silhouette, h, right);
    if (contour) best = &*contour;
    if (!best) continue;
    const double turn = (1.0 - within) * turn_hips->value + within * turn_shoulders->value;
    if (std::abs(turn) > 70.0 * kDegree) continue;
    const double rho = best->neck ? 1.0 : kRho, half = 0.5 * (best->to - best->from).norm();
    const Vec2 along = (best->to - best->from).normalized(), middle = 0.5 * (best->from + best->to);
    // A point a little above the ring keeps its place across the trunk.
    const double u = (point.at - middle).dot(along) / half;
    if (std::abs(u) > 0.98) continue;
    Local l;
    l.angle = std::atan2(u, rho * std::sqrt(1.0 - u * u));
    l.at = point.at;
    l.from = best->from;
    l.to = best->to;
    l.height = within;
    l.by = contour ? "contour" : best->spoken;
    by_contour += contour.has_value();
    l.target = middle + along * (half * FrontAt(turn, rho)) + (point.at - middle - along * (point.at - middle).dot(along));
    const double mark = std::max(1.0, 0.25 * facts.SigmaStature() * facts.Reading().camera.scale_px) / half;
    // Edges of the body under the cloth, share of half-width; further from a ring they are guesses.
    const double edge = 0.04 + (contour ? 0.02 : 0.25 * std::abs(best->height - h));
    // Near the edge a little across is a large angle.
    const double slope = rho / (rho * rho * (1.0 - u * u) + u * u) / std::sqrt(1.0 - u * u);
    l.sd = std::hypot(slope * std::hypot(mark, edge), std::abs(l.angle) * kRhoSd / rho);
    locals.push_back(l);
  }
  if (locals.empty())
    return finish(Say("No fastening lies where the edges of the trunk are known, near a ring or where the contour is the trunk's own."),
                  Say("Draw the belt from edge to edge as a ring, or mark the buckle or a button near it."));
  const auto joint = [&](double sign) {
    Joint j;
    j.Add({0, 1, 0}, sign * turn_hips->value, turn_hips->sd);
    j.Add({0, 0, 1}, sign * turn_shoulders->value, turn_shoulders->sd);
    j.Add({0, -1, 1}, 0.0, kTwistSd);
    // Errors of neighbouring edges go together: half of their information.
    for (const Local& l : locals)
      j.Add({2.0, 1.0 - l.height, l.height}, l.angle, l.sd * std::sqrt(locals.size() > 1 ? 2.0 : 1.0));
    return j;
  };
  Joint as_read = joint(1.0), other_way = joint(-1.0);
  bool below_pit = false;
  {
    // The fastening nearest the pit, within a fifth of the trunk, hangs straight below it.
    const NamedPoint* top = nullptr;
    for (const NamedPoint& point : marks.centre_front)
      if (!top || std::abs(HeightOf(facts, point.at) - 1.0) < std::abs(HeightOf(facts, top->at) - 1.0)) top = &point;
    const double turn = turn_shoulders->value;
    const double width = 0.8 * facts.Reading().length[static_cast<std::size_t>(BoneId::kShoulderWidth)];
    if (width > 0.0 && std::abs(HeightOf(facts, top->at) - 1.0) < 0.2 && std::abs(turn) < 50.0 * kDegree) {
      const double unit = facts.PxPerStature(facts.Joint(P::kNeckPit).at.z());
      const double seen = (top->at - pit).dot(right) / unit, before = kBefore * std::sin(turn);
      // The trunk's own side bend and lean move what lies a little lower.
      const double lean = 0.06 * std::abs(HeightOf(facts, top->at) - 1.0) * (pit - hips).norm() / unit;
      const double its = std::hypot(std::hypot(facts.SigmaStature(), lean),
                                    std::hypot(kBeforeSd * std::sin(turn), kBefore * std::cos(turn) * turn_shoulders->sd));
      const double squeeze = width * std::cos(turn);
      as_read.Add({1, 0, 0}, (seen - before) / squeeze, its / squeeze);
      other_way.Add({1, 0, 0}, (seen + before) / squeeze, its / squeeze);
      below_pit = true;
    }
  }
  const Measure found = as_read.Shift(), mirrored = other_way.Shift();
  const double shift = found.value;
  const double sd = std::hypot(std::hypot(found.sd, kModelSd), kOwnSd);
  double turn_mean = 0.0;
  const double turn_sd = std::max(turn_hips->sd, turn_shoulders->sd);
  for (const Local& l : locals)
    turn_mean += ((1.0 - l.height) * turn_hips->value + l.height * turn_shoulders->value) / static_cast<double>(locals.size());
  const double visible = std::max(kShiftTolerance, kShiftSure * sd);
  f.measured = 100.0 * shift;
  f.expected = 0.0;
  f.sd = 100.0 * sd;
  f.smallest_visible = 100.0 * visible;
  f.evidence = std::abs(shift) / sd;
  const int by_ring = static_cast<int>(locals.size()) - by_contour;
  std::vector<std::string> against;
  if (by_ring > 0) against.push_back(SayCount(by_ring, "{} fastening against a ring", "{} fastenings against a ring", by_ring));
  if (by_contour > 0)
    against.push_back(SayCount(by_contour, "{} fastening against the contour", "{} fastenings against the contour", by_contour));
  if (below_pit) against.emplace_back(Say("the top one against the pit of the neck"));
  const std::string basis = Say("The trunk is turned by {:.0f} degrees (give or take {:.0f}); {}", turn_mean / kDegree, turn_sd / kDegree,
                                Aside(locals.size() + (below_pit ? 1 : 0), body_check::List(against), shift));
  // Shoulders and hips look alike when the trunk turns the other way: both must miss.
  const double least = std::min(std::abs(shift), std::abs(mirrored.value));
  if (least > visible && std::abs(shift) < kFarthest) {
    f.verdict = Verdict::kOff;
    f.title = Say("Fastenings off the centre front");
    std::vector<Vec2> drawn, target;
    for (const Local& l : locals) {
      drawn.push_back(l.at);
      target.push_back(l.target);
    }
    f.guides.push_back(body_check::Cross(GuideShape::Role::kDrawn, drawn));
    f.guides.push_back(body_check::Cross(GuideShape::Role::kTarget, target, body_check::Percent(shift)));
    f.guides.push_back(body_check::Line(GuideShape::Role::kArrow, {locals.front().at, locals.front().target}));
    f.remedy = {RemedyWay::kMove, 10.0,
                Say("Move the fastenings and the edge beside them onto the guide; a garment that "
                    "closes at the side is declared as meant.")};
    f.gain = 3.0;
    return finish(basis + ".", "");
  }
  if (std::abs(shift) <= kShiftTolerance && visible <= 2.0 * kShiftTolerance) {
    f.verdict = Verdict::kClear;
    f.title = Say("Fastenings on the centre front");
    return finish(basis + Say(", within what is usual."), "");
  }
  finish(Say("{}; a shift under {:.0f} % would not show for certain.", basis, 100.0 * visible),
         Say("A collar or belt drawn from edge to edge, and surer shoulders and hips, would narrow it."));
}

}  // namespace armslength::surface_check
