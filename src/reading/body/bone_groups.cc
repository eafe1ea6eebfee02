#include "reading/body/body_scan.h"

#include <cmath>
#include <numbers>

#include <Eigen/Geometry>

namespace armslength::body {
namespace {

using B = BoneId;

BoneGroup Scaled(std::string_view id, std::initializer_list<B> bones, double tolerance, std::string_view both = {}) {
  BoneGroup g;
  g.id = id;
  for (B b : bones) g.weight[At(b)] = 1.0;
  g.tolerance = tolerance;
  g.both_sides = both;
  g.asymmetric = !both.empty();
  return g;
}
BoneGroup Unequal(std::string_view id, std::initializer_list<B> left) {
  BoneGroup g;
  g.id = id;
  for (B b : left) {
    g.weight[At(b)] = 0.5;
    g.weight[At(Mirrored(b))] = -0.5;
  }
  g.tolerance = 0.08;
  g.contest = false;
  g.asymmetric = true;
  return g;
}

// Tolerances: common practice, no source; checks may state their own.
std::vector<BoneGroup> MakeGroups() {
  return {
      Scaled("body.legs.length", {B::kThighL, B::kThighR, B::kShinL, B::kShinR}, 0.05),
      Scaled("body.arms.length", {B::kUpperArmL, B::kUpperArmR, B::kForearmL, B::kForearmR}, 0.08),
      Scaled("body.torso.length", {B::kTrunk}, 0.08),
      Scaled("body.head.size", {B::kHead}, 0.08),
      Scaled("body.shoulders.width", {B::kShoulderWidth}, 0.08),
      Scaled("body.hips.width", {B::kHipWidth}, 0.10),
      Scaled("body.neck.length", {B::kNeck}, 0.25),
      Scaled("body.thighs.length", {B::kThighL, B::kThighR}, 0.08),
      Scaled("body.shins.length", {B::kShinL, B::kShinR}, 0.08),
      Scaled("body.upper_arms.length", {B::kUpperArmL, B::kUpperArmR}, 0.08),
      Scaled("body.forearms.length", {B::kForearmL, B::kForearmR}, 0.08),
      Scaled("body.hands.length", {B::kHandL, B::kHandR}, 0.15),
      Scaled("body.feet.length", {B::kFootL, B::kFootR}, 0.15),
      Scaled("body.leg_l.length", {B::kThighL, B::kShinL}, 0.08, "body.legs.length"),
      Scaled("body.leg_r.length", {B::kThighR, B::kShinR}, 0.08, "body.legs.length"),
      Scaled("body.arm_l.length", {B::kUpperArmL, B::kForearmL}, 0.08, "body.arms.length"),
      Scaled("body.arm_r.length", {B::kUpperArmR, B::kForearmR}, 0.08, "body.arms.length"),
      Scaled("body.thigh_l.length", {B::kThighL}, 0.08, "body.thighs.length"),
      Scaled("body.thigh_r.length", {B::kThighR}, 0.08, "body.thighs.length"),
      Scaled("body.shin_l.length", {B::kShinL}, 0.08, "body.shins.length"),
      Scaled("body.shin_r.length", {B::kShinR}, 0.08, "body.shins.length"),
      Scaled("body.upper_arm_l.length", {B::kUpperArmL}, 0.08, "body.upper_arms.length"),
      Scaled("body.upper_arm_r.length", {B::kUpperArmR}, 0.08, "body.upper_arms.length"),
      Scaled("body.forearm_l.length", {B::kForearmL}, 0.08, "body.forearms.length"),
      Scaled("body.forearm_r.length", {B::kForearmR}, 0.08, "body.forearms.length"),
      Unequal("body.pair.arms", {B::kUpperArmL, B::kForearmL}),
      Unequal("body.pair.legs", {B::kThighL, B::kShinL}),
  };
}

const std::vector<BoneGroup>& Groups() {
  static const std::vector<BoneGroup> groups = MakeGroups();
  return groups;
}

bool BothEndsMarked(const BodyProblem& problem, B id) {
  const auto has = [&](PointId p) { return static_cast<bool>(problem.marked[At(p)]); };
  if (id == B::kTrunk)
    return (has(PointId::kNeckPit) || (has(PointId::kShoulderL) && has(PointId::kShoulderR))) &&
           (has(PointId::kHipL) || has(PointId::kHipR));
  const BoneEnds ends = Ends(id);
  if (id == B::kHead && problem.head_box) return true;
  return has(ends.from) && has(ends.to);
}

}  // namespace

std::span<const BoneGroup> BoneGroups() { return Groups(); }

int GroupIndex(std::string_view id) {
  for (std::size_t i = 0; i < Groups().size(); ++i)
    if (Groups()[i].id == id) return static_cast<int>(i);
  return -1;
}

double TurnOf(const Params& x) {
  const auto joint = [&](PointId id) { return Vec3(x[3 * At(id)], x[3 * At(id) + 1], x[3 * At(id) + 2]); };
  const Vec3 up = joint(PointId::kNeckPit) - 0.5 * (joint(PointId::kHipL) + joint(PointId::kHipR));
  const Vec3 front = (joint(PointId::kHipL) - joint(PointId::kHipR)).cross(up);
  return std::atan2(front.x(), -front.z());
}

ViewClass ViewOf(const Params& x) {
  constexpr double kDegree = std::numbers::pi / 180.0;
  // The elevation's bound is low because its prior draws it towards eye level.
  if (std::abs(x[kElevation]) > 17.0 * kDegree) return ViewClass::kHighLow;
  const double turn = std::abs(TurnOf(x));
  if (turn < 28.0 * kDegree) return ViewClass::kFront;
  if (turn < 62.0 * kDegree) return ViewClass::kThreeQuarter;
  if (turn < 115.0 * kDegree) return ViewClass::kSide;
  return ViewClass::kBack;
}

LengthColumn ColumnOf(const BoneGroup& group) { return {group.weight, 0.0, 0.3}; }

std::vector<bool> TestableGroups(const BodyProblem& problem, bool free_style) {
  std::vector<bool> testable;
  for (const BoneGroup& group : Groups()) {
    int bones = 0, known = 0;
    bool sides[2] = {false, false};
    for (int b = 0; b < kBoneCount; ++b) {
      if (group.weight[static_cast<std::size_t>(b)] == 0.0) continue;
      ++bones;
      if (BothEndsMarked(problem, static_cast<B>(b))) {
        ++known;
        sides[Side(static_cast<B>(b)) < 0 ? 1 : 0] = true;
      }
    }
    // Half of the bones must show; an inequality needs both sides.
    bool ok = known > 0 && 2 * known >= bones && (group.contest || (sides[0] && sides[1]));
    // No canon of a free style is wrong about whole parts; it cannot be lopsided, nor
    // give thigh and shin or upper arm and forearm lengths that do not go together.
    if (free_style)
      ok = ok && (group.asymmetric || group.id == "body.thighs.length" || group.id == "body.shins.length" ||
                  group.id == "body.upper_arms.length" || group.id == "body.forearms.length");
    testable.push_back(ok);
  }
  return testable;
}

}  // namespace armslength::body
