// Falling over: the centre of mass against the feet.
#include "check/body/balance.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <Eigen/Geometry>
#include "check/body/guides.h"
#include "check/body/segment_masses.h"
#include "words/say.h"

namespace armslength::body_check {
namespace {

using P = PointId;

// Flesh, clothes and hair move the mass off the line of the joints: one sd, stature. Default.
constexpr double kMassSd = 0.010;
// Foot after Drillis & Contini 1966: length 0.152, breadth 0.055 of the stature; a quarter of
// the length behind the ankle, the ball at seven tenths (common practice, no source).
constexpr double kFootBreadthPerLength = 0.055 / 0.152, kHeelShare = 0.25, kBallShare = 0.7;
constexpr double kFootOfStature = 0.152, kAnkleToToe = 0.1214;
// A foot this much above the other one still stands, given feet drawn by hand; twice the
// doubt of the heights comes on top. Generous: a support too wide hides a fault, one too
// narrow invents it.
constexpr double kNearFloor = 0.04;
// Heel this much over the toe, or under it: the sole is not flat on the floor.
constexpr double kFlatSole = 0.03;
// Hips lower than this over the floor: sitting, kneeling, crouching. Upright they are at 0.53.
constexpr double kStandingHips = 0.42;
// A leg bent further than this is not one that a figure stands on at ease.
constexpr double kCarryingKnee_deg = 50.0;
// Feet further apart than this along the facing direction: a stride.
constexpr double kStride = 0.22;
// Lean beyond which a figure is meant to fly, leap or fall.
constexpr double kDeliberateLean_rad = 25.0 * kDegree;
// Soles whose heights are open by more than this, stature, may be anywhere. Default.
constexpr double kVagueHeight = 0.15;
// Spreads outside the feet before a figure falls.
constexpr double kFallSure = kSure;

Vec3 AlongFloor(const Vec3& up) { return Vec3::UnitX().cross(up).normalized(); }

std::size_t At(P id) { return static_cast<std::size_t>(id); }

}  // namespace

Footing FootingOf(std::span<const Vec3, kBodyPointCount> joints, const Vec3& up, double foot_length, double sole_to_ankle,
                  double near_floor) {
  Footing out;
  out.foot_length = foot_length;
  const Vec3 right = Vec3::UnitX();
  Vec3 away = AlongFloor(up);
  if (away.z() < 0.0) away = -away;
  const auto ground = [&](const Vec3& p) { return Vec2(p.dot(right), p.dot(away)); };
  const std::array<std::pair<P, P>, 2> feet = {{{P::kAnkleL, P::kToeL}, {P::kAnkleR, P::kToeR}}};
  std::array<double, 2> low{};
  for (std::size_t i = 0; i < 2; ++i) {
    const double ankle = joints[At(feet[i].first)].dot(up) - sole_to_ankle, toe = joints[At(feet[i].second)].dot(up);
    low[i] = std::min(ankle, toe);
    out.sole_slope[i] = ankle - toe;
  }
  const double floor = std::min(low[0], low[1]);
  for (std::size_t i = 0; i < 2; ++i) {
    out.sole_height[i] = low[i] - floor;
    out.planted[i] = out.sole_height[i] <= near_floor;
    const Vec2 ankle = ground(joints[At(feet[i].first)]);
    Vec2 along = ground(joints[At(feet[i].second)]) - ankle;
    along = along.norm() > 0.15 * foot_length ? Vec2(along.normalized()) : Vec2(0.0, -1.0);
    const Vec2 across(-along.y(), along.x());
    const double half = 0.5 * kFootBreadthPerLength * foot_length;
    const Vec2 heel = ankle - kHeelShare * foot_length * along, toe = heel + foot_length * along;
    const Vec2 ball = heel + kBallShare * foot_length * along;
    out.middle[i] = 0.5 * (heel + toe);
    if (!out.planted[i]) continue;
    for (const double s : {-1.0, 1.0}) {
      out.support.push_back(heel + s * 0.7 * half * across);
      out.support.push_back(ball + s * half * across);
      out.support.push_back(toe + s * 0.4 * half * across);
    }
  }
  const Vec3 mass = CentreOfMass(joints);
  out.mass = ground(mass);
  out.mass_height = mass.dot(up) - floor;
  return out;
}

double OutsideAlong(const std::vector<Vec2>& corners, const Vec2& point, const Vec2& direction) {
  double reach = -INFINITY;
  for (const Vec2& corner : corners) reach = std::max(reach, corner.dot(direction));
  return point.dot(direction) - reach;
}

double KneeBend(const BodyFacts& facts, bool left) {
  const Vec3 thigh = facts.Joint(left ? P::kKneeL : P::kKneeR).at - facts.Joint(left ? P::kHipL : P::kHipR).at;
  const Vec3 shin = facts.Joint(left ? P::kAnkleL : P::kAnkleR).at - facts.Joint(left ? P::kKneeL : P::kKneeR).at;
  return std::atan2(thigh.cross(shin).norm(), thigh.dot(shin)) / kDegree;
}

Stand StandOf(const BodyFacts& facts) {
  Stand stand;
  stand.share = MassShares();
  const bool left_leg = facts.Marked({P::kHipL, P::kKneeL, P::kAnkleL});
  const bool right_leg = facts.Marked({P::kHipR, P::kKneeR, P::kAnkleR});
  if (!facts.Marked({P::kHipL, P::kHipR, P::kShoulderL, P::kShoulderR}) || !left_leg || !right_leg) {
    stand.not_asked = Say("Balance needs both shoulders and both legs marked.");
    return stand;
  }
  stand.known = true;
  std::array<Vec3, kBodyPointCount> joints;
  for (int i = 0; i < kBodyPointCount; ++i) joints[static_cast<std::size_t>(i)] = facts.Joint(static_cast<P>(i)).at;
  const Canon& canon = facts.Reading().canon.canon;
  const double foot = facts.CanonLength(BoneId::kFootL) * kFootOfStature / kAnkleToToe;
  const double sole = canon.heads > 0.0 ? canon.sole_to_ankle / canon.heads : 0.039;
  const Vec3 up = facts.Up();
  const std::vector<P> soles = {P::kAnkleL, P::kToeL, P::kAnkleR, P::kToeR};
  const Footing first = FootingOf(joints, up, foot, sole, kNearFloor);
  const Vec2 between = first.middle[0] - first.middle[1];
  stand.height_sd = facts
                        .Propagate(
                            soles,
                            [&](std::span<const Vec3> p) {
                              return std::min(p[0].dot(up) - sole, p[1].dot(up)) - std::min(p[2].dot(up) - sole, p[3].dot(up));
                            },
                            std::hypot(between.x() * kRollSd, between.y() * kElevationSd))
                        .sd;
  stand.footing = FootingOf(joints, up, foot, sole, kNearFloor + 2.0 * stand.height_sd);
  stand.surely = FootingOf(joints, up, foot, sole, std::max(0.0, kNearFloor - stand.height_sd)).support;
  const Footing& f = stand.footing;

  const double legs = facts.CanonLength(BoneId::kThighL) + facts.CanonLength(BoneId::kShinL) + sole;
  const double floor = f.mass_height - CentreOfMass(joints).dot(facts.Up());
  const double hips = facts.HipMiddle().dot(facts.Up()) + floor;
  stand.both = f.planted[0] && f.planted[1];
  stand.flat = true;
  for (std::size_t i = 0; i < 2; ++i)
    if (f.planted[i] && std::abs(f.sole_slope[i]) > kFlatSole) stand.flat = false;
  const Vec2 apart = f.middle[0] - f.middle[1];
  const Vec3 side = facts.Joint(P::kHipL).at - facts.Joint(P::kHipR).at;
  const Vec2 hips_line = Vec2(side.x(), side.z()).norm() > 1e-6 ? Vec2(side.x(), side.z()).normalized() : Vec2(1, 0);
  stand.stride = std::abs(apart.x() * -hips_line.y() + apart.y() * hips_line.x()) > kStride;

  const double low = legs > 0.0 ? kStandingHips / 0.53 * legs : kStandingHips;
  if (hips < low) {
    stand.not_asked = Say("The figure does not stand on straight legs: it sits, kneels or crouches.");
    return stand;
  }
  bool at_ease = false;
  for (std::size_t i = 0; i < 2; ++i) at_ease |= first.planted[i] && KneeBend(facts, i == 0) <= kCarryingKnee_deg;
  if (!at_ease) {
    stand.not_asked = Say("Every carrying knee is deeply bent: a crouch, a lunge or a leap, where balance is not asked.");
    return stand;
  }
  Vec2 foot_middle = Vec2::Zero();
  int count = 0;
  for (std::size_t i = 0; i < 2; ++i)
    if (f.planted[i]) foot_middle += f.middle[i], ++count;
  foot_middle /= std::max(count, 1);
  if (std::atan2((f.mass - foot_middle).norm(), f.mass_height) > kDeliberateLean_rad) {
    stand.not_asked = Say("The whole figure leans far over its feet: a leap, a fall or a lunge, where balance is not asked.");
    return stand;
  }
  stand.standing = true;
  return stand;
}

void CheckBalance(const BodyFacts& facts, std::vector<Finding>& out) {
  const Stand stand = StandOf(facts);
  std::vector<P> rests_on;
  for (const P id : {P::kShoulderL, P::kShoulderR, P::kHipL, P::kHipR, P::kKneeL, P::kKneeR, P::kAnkleL, P::kAnkleR})
    if (facts.Joint(id).marked) rests_on.push_back(id);
  Finding f = Start(facts, "body.balance", Say("Balance: not asked here"), Kind::kConstruction, Verdict::kCannotTell);
  f.unit = "% of foot length";
  f.where = At(facts, rests_on);
  f.source =
      Say("plumb point within the feet; under 10 % of a foot length from the edge is a mention; default, "
          "editable");
  if (!stand.standing) {
    f.why = stand.not_asked;
    f.ask = stand.known ? Say("Nothing is needed: balance is asked of figures that stand.")
                        : Say("Mark both shoulders, hips, knees and ankles.");
    Finish(facts, rests_on, f);
    out.push_back(std::move(f));
    return;
  }
  const Footing& foot = stand.footing;

  // Doubt of the plumb point: marks across the picture; depth, where errors of neighbours
  // go together, by their plain sum; and the mass itself.
  double var_x = kMassSd * kMassSd, sd_z = 0.0;
  for (int i = 0; i < kBodyPointCount; ++i) {
    const auto n = static_cast<std::size_t>(i);
    const Eigen::Matrix3d& cov = facts.Joint(static_cast<P>(i)).cov;
    var_x += stand.share[n] * stand.share[n] * std::max(cov(0, 0), 0.0);
    sd_z += stand.share[n] * std::sqrt(std::max(cov(2, 2), 0.0));
  }
  double foot_var_x = 0.0, foot_var_z = 0.0;
  for (const P ankle : {P::kAnkleL, P::kAnkleR}) {
    const SeenJoint& j = facts.Joint(ankle);
    foot_var_x = std::max(foot_var_x, j.cov(0, 0));
    foot_var_z = std::max(foot_var_z, j.cov(2, 2));
  }
  var_x += foot_var_x + std::pow(foot.mass_height * kRollSd, 2);
  const double var_z = kMassSd * kMassSd + sd_z * sd_z + foot_var_z + std::pow(foot.mass_height * kElevationSd, 2);

  double worst_z = -INFINITY, worst_out = 0.0, worst_sd = 0.0;
  Vec2 worst(1, 0);
  double across_out = -INFINITY, across_sd = std::sqrt(var_x);
  for (int i = 0; i < 72; ++i) {
    const double angle = 2.0 * std::numbers::pi * i / 72;
    const Vec2 n(std::cos(angle), std::sin(angle));
    const double outside = OutsideAlong(foot.support, foot.mass, n);
    const double sd = std::sqrt(var_x * n.x() * n.x() + var_z * n.y() * n.y());
    if (outside / sd > worst_z) {
      worst_z = outside / sd;
      worst_out = outside;
      worst_sd = sd;
      worst = n;
    }
    // Inside only counts with the feet that surely carry.
    if (std::abs(n.y()) < 1e-9) across_out = std::max(across_out, OutsideAlong(stand.surely, foot.mass, n));
  }
  const double per_cent = 100.0 / foot.foot_length;
  f.measured = worst_out * per_cent;
  f.sd = worst_sd * per_cent;
  f.expected = 0.0;
  f.tolerance = 0.0;
  f.smallest_visible = kFallSure * across_sd * per_cent;
  f.test = "distance in sd";
  f.evidence = worst_z;
  const std::string side = std::abs(worst.x()) >= std::abs(worst.y())
                               ? (worst.x() > 0 ? Say("to the right of the picture") : Say("to the left of the picture"))
                               : (worst.y() < 0 ? Say("towards the viewer") : Say("away from the viewer"));

  // Shapes: plumb line from the mass, the feet's extent, and the whole figure's turn.
  const Vec3 up = facts.Up();
  std::array<Vec3, kBodyPointCount> joints;
  for (int i = 0; i < kBodyPointCount; ++i) joints[static_cast<std::size_t>(i)] = facts.Joint(static_cast<P>(i)).at;
  const Vec3 mass = CentreOfMass(joints);
  const BodyCamera& camera = facts.Reading().camera;
  const Vec2 mass_px = camera.Project(mass), plumb_px = camera.Project(mass - foot.mass_height * up);
  const Vec3 away = AlongFloor(up).z() < 0 ? Vec3(-AlongFloor(up)) : AlongFloor(up);
  const Vec3 floor_at = mass - foot.mass_height * up;
  const auto on_floor = [&](const Vec2& g) {
    return camera.Project(floor_at + (g.x() - foot.mass.x()) * Vec3::UnitX() + (g.y() - foot.mass.y()) * away);
  };
  GuideShape support{GuideShape::Role::kBand, GuideShape::Form::kPolygon, {}, {}};
  {
    // Corners in order about their middle.
    std::vector<Vec2> corners = foot.support;
    Vec2 middle = Vec2::Zero();
    for (const Vec2& c : corners) middle += c / static_cast<double>(corners.size());
    std::vector<Vec2> hull;
    for (int i = 0; i < 24; ++i) {
      const double a = 2.0 * std::numbers::pi * i / 24;
      const Vec2 n(std::cos(a), std::sin(a));
      const Vec2 corner =
          *std::max_element(corners.begin(), corners.end(), [&](const Vec2& p, const Vec2& q) { return p.dot(n) < q.dot(n); });
      if (hull.empty() || (hull.back() - corner).norm() > 1e-9) hull.push_back(corner);
    }
    for (const Vec2& c : hull) support.points.push_back(on_floor(c));
  }
  f.where.points.push_back(mass_px);
  f.where.points.push_back(plumb_px);
  f.guides = {Line(GuideShape::Role::kHelp, {mass_px, plumb_px}), Cross(GuideShape::Role::kDrawn, {mass_px}), support};

  const bool sure_out = worst_out > 0.0 && worst_z > kFallSure;
  if (sure_out && stand.flat && !(stand.stride && !stand.both)) {
    f.verdict = Verdict::kOff;
    const double degrees = std::atan2(worst_out, foot.mass_height) / kDegree;
    f.title = Say("Falling over: the weight is {:.0f} % of a foot length outside the feet, {}", *f.measured, side);
    f.why =
        Say("The centre of mass of all segments (masses after Dempster, in Winter 2009) plumbs {:.0f} % "
            "(±{:.0f}) of a foot "
            "length outside the area the feet stand on. Right for a jump, a run or a lean against something: "
            "then declare it as meant.",
            *f.measured, *f.sd);
    f.remedy = TurnRemedy(degrees, 15,
                          Say("Turn the whole figure about the standing ankle by {:.0f} degrees, or shift the hips "
                              "{:.0f} % of a foot length back over the feet.",
                              degrees, *f.measured));
    f.gain = std::min(10.0, 4.0 + degrees);
    // The turn is seen across the picture only.
    const double turn = std::atan2(-worst_out * worst.x(), foot.mass_height);
    Vec2 pivot = Vec2::Zero();
    int carrying = 0;
    for (std::size_t i = 0; i < 2; ++i)
      if (foot.planted[i]) pivot += facts.Px(i == 0 ? P::kAnkleL : P::kAnkleR), ++carrying;
    pivot /= std::max(carrying, 1);
    auto shapes = TurnGuide({pivot, 0.5 * (facts.Px(P::kHipL) + facts.Px(P::kHipR)), facts.Px(P::kNeckPit)}, turn, 2.0 * kDegree,
                            Say("{:.1f} deg", degrees));
    f.guides.insert(f.guides.end(), shapes.begin(), shapes.end());
  } else if (across_out < -across_sd && worst_z < 1.0) {
    f.verdict = Verdict::kClear;
    f.title = Say("Stands in balance");
    f.why =
        Say("Across the picture, the weight plumbs inside the feet by {:.0f} % of a foot length; one view "
            "says little about "
            "leaning towards or away from the viewer (±{:.0f} %).",
            -across_out * per_cent, std::sqrt(var_z) * per_cent);
    f.measured = across_out * per_cent;
    f.sd = across_sd * per_cent;
  } else {
    const bool which = worst_out < 0.0 && across_out > -across_sd && stand.both;
    // Doubt wider than a foot, or than a step is high, is no number worth reading.
    const bool vague = which ? stand.height_sd > kVagueHeight : worst_sd > foot.foot_length;
    f.title = vague && !which   ? Say("Balance: this view leaves it open")
              : which           ? Say("Balance: it hangs on whether both feet carry")
              : worst_out > 0.0 ? Say("Balance: the weight looks to be outside the feet")
                                : Say("Balance: the weight is near the feet's edge");
    f.why =
        vague && which ? Say("The weight plumbs between the feet. Which of them stands on the floor, the marks do not tell.")
        : vague        ? Say("Where the weight plumbs is open by more than a foot's length.")
        : which        ? Say("The weight plumbs between the feet. The marks leave the height of one sole over the "
                                    "other open by {:.1f} % of "
                                    "the standing height, so one of them may be off the floor.",
                             100.0 * stand.height_sd)
        : worst_out > 0.0
            ? Say("The weight plumbs {:.0f} % of a foot length (±{:.0f}) outside the feet's edge, {}.", std::abs(*f.measured), *f.sd, side)
            : Say("The weight plumbs {:.0f} % of a foot length (±{:.0f}) inside the feet's edge, {}.", std::abs(*f.measured), *f.sd, side);
    if (!stand.flat) f.why += Say(" The carrying foot does not lie flat, so what it carries is not settled.");
    if (stand.stride && !stand.both) f.why += Say(" The figure is in a stride, where the weight may run ahead.");
    f.ask = which ? Say("Mark ankles and toes again at high zoom.")
                  : Say("Is the figure meant to lean, step or hold on to something? Then declare balance as "
                        "meant.");
  }
  Finish(facts, rests_on, f);
  out.push_back(std::move(f));
}

}  // namespace armslength::body_check
