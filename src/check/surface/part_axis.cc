#include "check/surface/part_axis.h"

#include <algorithm>
#include <cmath>
#include <functional>

#include <Eigen/Geometry>

#include "words/say.h"

namespace armslength::surface_check {
namespace {

using body_check::kDegree;
using P = PointId;

const std::vector<PointId> kTrunkPoints{P::kNeckPit, P::kShoulderL, P::kShoulderR, P::kHipL, P::kHipR};
const std::vector<PointId> kHangPoints{P::kHipL, P::kHipR, P::kKneeL, P::kKneeR};

// Half-widths over stature of a middling drawn figure, wide enough for clothes; common practice,
// no source. They only tell a whole arc from a part of one.
double UsualHalfWidth(BoneId bone) {
  switch (bone) {
    case BoneId::kUpperArmL:
    case BoneId::kUpperArmR: return 0.042;
    case BoneId::kForearmL:
    case BoneId::kForearmR: return 0.026;
    case BoneId::kThighL:
    case BoneId::kThighR: return 0.060;
    case BoneId::kShinL:
    case BoneId::kShinR: return 0.042;
    default: return 0.030;
  }
}

Vec3 TrunkUp(std::span<const Vec3> q) { return (q[0] - 0.5 * (q[3] + q[4])).normalized(); }

// The chest's front: at right angles to its axis and to the line of the shoulders.
Vec3 ChestFront(std::span<const Vec3> q) {
  const Vec3 left = q[1] - q[2];
  // x right, y down, z away: left cross up is the front.
  return left.cross(TrunkUp(q)).normalized();
}

// The opening of a neck slopes down to the front.
Vec3 CollarAxis(std::span<const Vec3> q, double slope_rad) {
  return (std::cos(slope_rad) * TrunkUp(q) + std::sin(slope_rad) * ChestFront(q)).normalized();
}

// 20 degrees: handbooks tip the neck's base forwards by a fifth to a quarter of a right angle
// (from memory); default, editable.
constexpr double kCollarSlope = 21.0 * kDegree;

Vec3 HangAxis(std::span<const Vec3> q) { return (0.5 * (q[0] + q[1]) - 0.5 * (q[2] + q[3])).normalized(); }

// The tilt as a bone's own length tells it: cos^2 = 1 - (seen / true)^2. The joints' own errors
// hold their place in depth as a whole and would overstate it.
double TiltSdFromLength(double cosine, double length, double length_log_sd, double end_sigma) {
  if (length <= 0.0) return 1.0;
  const double seen = std::sqrt(std::max(0.0, 1.0 - cosine * cosine));
  const double of_square = 2.0 * seen * std::hypot(end_sigma / length, seen * length_log_sd);
  return std::hypot(0.04, std::min(of_square / (2.0 * std::max(std::abs(cosine), 1e-6)), std::sqrt(of_square)));
}

// What a limb's seen length and its depth flag leave open of its tilt: c is the cosine to the line of sight, > 0 with the
// near end low. Flags as the reading takes them: turned is more than about 0.30, flat is less than about 0.36.
constexpr double kTurned = 0.30, kFlat = 0.36, kFlagSd = 0.08, kFlagWrong = 0.04;
constexpr double kFreeSpread = 0.06, kFreeSure = 1.0;  // of canon lengths, when the flag is left aside
constexpr double kTiltSd = 0.55;                       // of c in drawn poses; default of ours

// `known`: the sign is the flag's; else the spread is that of |c|, and the sign is kept from `solved`. `wrong`: how often flags are.
Measure TiltOfLimb(double solved, double length, double length_log_sd, double end_sigma, std::optional<Depth> flag, bool known,
                   double wrong) {
  if (length <= 0.0) return {solved, 1.0};
  const double seen = std::sqrt(std::max(0.0, 1.0 - solved * solved));
  const double error = std::hypot(end_sigma / length, seen * length_log_sd);
  const auto beyond = [](double x) { return 0.5 * std::erfc(-x / std::sqrt(2.0)); };
  const double sign = solved < 0.0 ? -1.0 : 1.0;
  double sum = 0.0, first = 0.0, second = 0.0;
  constexpr int kSteps = 200;
  for (int i = 0; i < kSteps; ++i) {
    const double c = (i + 0.5) / kSteps * 2.0 - 1.0;
    double p = std::exp(-0.5 * std::pow((std::sqrt(1.0 - c * c) - seen) / error, 2) - 0.5 * c * c / (kTiltSd * kTiltSd));
    if (flag) {
      const double right = *flag == Depth::kFlat ? beyond((kFlat - std::abs(c)) / kFlagSd)
                                                 : beyond((c * (*flag == Depth::kToward ? 1.0 : -1.0) - kTurned) / kFlagSd);
      p *= (1.0 - wrong) * right + 0.5 * wrong;
    }
    const double value = known ? c : sign * std::abs(c);
    sum += p;
    first += p * value;
    second += p * value * value;
  }
  if (sum <= 0.0) return {solved, 1.0};
  return {first / sum, std::hypot(0.04, std::sqrt(std::max(0.0, second / sum - first * first / (sum * sum))))};
}

bool Holds(const std::string& text, std::string_view part) { return text.find(part) != std::string::npos; }

}  // namespace

Vec3 Sight(const BodyCamera& camera, const Vec3& at) {
  return Vec3(camera.inverse_distance * at.x(), camera.inverse_distance * at.y(), 1.0 + camera.inverse_distance * at.z()).normalized();
}

std::optional<Measure> TrunkTurn(const BodyFacts& facts, double height) {
  if (!facts.Marked({P::kNeckPit, P::kShoulderL, P::kShoulderR, P::kHipL, P::kHipR})) return std::nullopt;
  const BodyCamera& camera = facts.Reading().camera;
  Measure turn = facts.Propagate(kTrunkPoints, [&](std::span<const Vec3> q) {
    const Vec3 up = TrunkUp(q);
    const Vec3 hips = (q[3] - q[4]).normalized(), shoulders = (q[1] - q[2]).normalized();
    Vec3 left = (1.0 - height) * hips + height * shoulders;
    left = (left - up * up.dot(left)).normalized();
    const Vec3 front = left.cross(up);
    const Vec3 sight = Sight(camera, 0.5 * (q[3] + q[4]) + height * (q[0] - 0.5 * (q[3] + q[4])));
    // Facing the viewer the figure's left is to the picture's right; turned to picture right its
    // left goes away.
    return std::atan2(left.dot(sight), -front.dot(sight));
  });
  // As the two widths tell it: cosine of the turn = seen over true width.
  const auto by_width = [&](BoneId bone) {
    const auto i = static_cast<std::size_t>(bone);
    const double width = std::max(1e-3, facts.Reading().length[i]);
    return std::hypot(std::sqrt(2.0) * facts.SigmaStature() / width,
                      std::max(0.02, facts.Reading().length_log_sd[i]) * std::cos(turn.value)) /
           std::max(0.2, std::abs(std::sin(turn.value)));
  };
  const double own = std::hypot((1.0 - height) * by_width(BoneId::kHipWidth), height * by_width(BoneId::kShoulderWidth));
  turn.sd = std::min(turn.sd, std::hypot(3.0 * kDegree, own));
  return turn;
}

std::optional<PartAxis> AxisOf(const BodyFacts& facts, const std::string& around, const std::string& name, const Vec2& near_px) {
  const BodyCamera& camera = facts.Reading().camera;
  PartAxis part;
  std::function<Vec3(std::span<const Vec3>)> axis;
  std::function<Vec3(std::span<const Vec3>)> place;
  const bool neck = around == "neck" || Holds(name, "collar");
  if (neck || around == "trunk") {
    const bool hem = !neck && (Holds(name, "hem") || Holds(name, "skirt"));
    if (hem && facts.Marked({P::kHipL, P::kHipR, P::kKneeL, P::kKneeR})) {
      part.rests_on = kHangPoints;
      axis = HangAxis;
      // A hem hangs about the thighs.
      place = [](std::span<const Vec3> q) { return Vec3(0.1 * (q[0] + q[1]) + 0.4 * (q[2] + q[3])); };
      part.slack_rad = 8.0 * kDegree;
      part.usual_half_width = 0.150;
      part.depth_ratio = 0.82;
      part.depth_ratio_sd = 0.10;
      part.spoken = Say("hips and thighs");
    } else {
      if (!facts.Marked({P::kNeckPit, P::kShoulderL, P::kShoulderR, P::kHipL, P::kHipR})) return std::nullopt;
      part.rests_on = kTrunkPoints;
      if (neck) {
        axis = [](std::span<const Vec3> q) { return CollarAxis(q, kCollarSlope); };
        place = [](std::span<const Vec3> q) { return q[0]; };
        part.slack_rad = 7.0 * kDegree;
        part.usual_half_width = 0.048;
        part.depth_ratio = 1.0;
        part.depth_ratio_sd = 0.08;
        part.spoken = Say("neck");
      } else {
        axis = TrunkUp;
        place = [&facts, near_px](std::span<const Vec3> q) {
          const Vec3 low = 0.5 * (q[3] + q[4]);
          const Vec2 a = facts.Reading().camera.Project(low), b = facts.Reading().camera.Project(q[0]);
          const double t = std::clamp((near_px - a).dot(b - a) / std::max((b - a).squaredNorm(), 1e-9), -0.2, 1.0);
          return Vec3(low + t * (q[0] - low));
        };
        // The spine bends: the waist need not lie square to the line from hips to neck.
        part.slack_rad = 8.0 * kDegree;
        part.usual_half_width = 0.080;
        part.depth_ratio = 0.80;
        part.depth_ratio_sd = 0.10;
        part.spoken = Say("trunk");
      }
    }
  } else {
    const auto bone = BoneFromName(around);
    if (!bone || *bone == BoneId::kShoulderWidth || *bone == BoneId::kHipWidth || *bone == BoneId::kTrunk || *bone == BoneId::kHead ||
        *bone == BoneId::kNeck)
      return std::nullopt;
    if (!facts.BoneMarked(*bone)) return std::nullopt;
    part.rests_on = body_check::PointsOf(*bone);
    axis = [](std::span<const Vec3> q) { return Vec3((q[0] - q[1]).normalized()); };
    place = [&facts, near_px](std::span<const Vec3> q) {
      const Vec2 a = facts.Reading().camera.Project(q[0]), b = facts.Reading().camera.Project(q[1]);
      const double t = std::clamp((near_px - a).dot(b - a) / std::max((b - a).squaredNorm(), 1e-9), 0.0, 1.0);
      return Vec3(q[0] + t * (q[1] - q[0]));
    };
    part.slack_rad = 6.0 * kDegree;
    part.usual_half_width = UsualHalfWidth(*bone);
    part.depth_ratio_sd = 0.08;
    part.spoken = SaidName(*bone);
    const auto flag = facts.Marks().depth.find(*bone);
    part.sign_known = flag != facts.Marks().depth.end() && flag->second != Depth::kFlat;
  }
  std::vector<Vec3> joints;
  for (const PointId id : part.rests_on) joints.push_back(facts.Joint(id).at);
  part.axis = axis(joints);
  part.at = place(joints);
  const Measure along = facts.Propagate(part.rests_on, [&](std::span<const Vec3> q) { return axis(q).dot(Sight(camera, place(q))); });
  part.along_sight = along.value;
  // The same marks with the part leaning the other way: every joint as far behind the first as it was before it.
  std::vector<Vec3> mirrored = joints;
  for (Vec3& q : mirrored) q.z() = 2.0 * joints.back().z() - q.z();
  part.mirrored_along_sight = axis(mirrored).dot(Sight(camera, place(mirrored)));
  const BoneId measure_by = part.rests_on == kHangPoints    ? BoneId::kThighL
                            : part.rests_on == kTrunkPoints ? BoneId::kTrunk
                                                            : *BoneFromName(around);
  const auto bone_index = static_cast<std::size_t>(measure_by);
  const double ends = part.Limb() ? std::sqrt(2.0) : part.rests_on == kHangPoints ? 1.0 : std::sqrt(1.5);
  const double length = facts.Reading().length[bone_index], log_sd = std::max(0.02, facts.Reading().length_log_sd[bone_index]);
  part.along_sight_sd = std::min(along.sd, TiltSdFromLength(along.value, length, log_sd, ends * facts.SigmaStature()));
  part.as_flagged = {part.along_sight, part.along_sight_sd};
  if (part.Limb()) {
    const auto found = facts.Marks().depth.find(measure_by);
    const auto flag = found != facts.Marks().depth.end() ? std::optional(found->second) : std::nullopt;
    const double end_sigma = ends * facts.SigmaStature();
    const Measure tilt = TiltOfLimb(along.value, length, log_sd, end_sigma, flag, part.sign_known, kFlagWrong);
    part.as_flagged = part.sign_known ? TiltOfLimb(along.value, length, log_sd, end_sigma, flag, true, 0.0) : tilt;
    const double seen_of_own = std::sqrt(std::max(0.0, 1.0 - along.value * along.value));
    part.flat_sds = (1.0 - seen_of_own) / std::max(1e-6, std::hypot(end_sigma / length, seen_of_own * log_sd));
    part.along_sight = tilt.value;
    part.mirrored_along_sight = -tilt.value;
    part.along_sight_sd = tilt.sd;
    const double canon = facts.CanonLength(measure_by);
    if (canon > 0.0) {
      const double seen = (facts.Px(part.rests_on[0]) - facts.Px(part.rests_on[1])).norm() / facts.PxPerStature(part.at.z()) / canon;
      const double least = seen * (1.0 - kFreeSure * std::hypot(ends * facts.SigmaStature() / canon, kFreeSpread)) - 0.02;
      part.along_sight_most = std::sqrt(std::max(0.0, 1.0 - least * std::max(least, 0.0)));
    }
  }
  if (part.rests_on.size() != 2) {
    const bool hang = part.rests_on == kHangPoints;
    const auto flagged = [&](BoneId bone) { return facts.Marks().depth.contains(bone); };
    const bool known = hang ? flagged(BoneId::kThighL) && flagged(BoneId::kThighR) : flagged(BoneId::kTrunk);
    // Without the flag the trunk may lean towards the viewer as well as away.
    part.depth_set = known;
    if (!known) part.slack_rad = std::hypot(part.slack_rad, 28.0 * kDegree);
  }
  const Vec2 step = camera.Project(part.at + 0.02 * part.axis) - camera.Project(part.at - 0.02 * part.axis);
  part.direction = step.norm() > 1e-9 ? Vec2(step.normalized()) : Vec2::UnitY();
  if (around == "trunk" && !neck) {
    if (const auto turn = TrunkTurn(facts, 0.2)) part.turn_rad = turn->value;
  }
  return part;
}

}  // namespace armslength::surface_check
