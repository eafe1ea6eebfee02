#include "synth/skeleton.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>
#include <numbers>

namespace armslength {
namespace {

using Eigen::Matrix3d;
constexpr double kDegree = std::numbers::pi / 180.0;

Matrix3d TurnX(double degrees) {
  return Eigen::AngleAxisd(degrees * kDegree, Vec3::UnitX()).toRotationMatrix();
}
Matrix3d TurnY(double degrees) {
  return Eigen::AngleAxisd(degrees * kDegree, Vec3::UnitY()).toRotationMatrix();
}
Matrix3d TurnZ(double degrees) {
  return Eigen::AngleAxisd(degrees * kDegree, Vec3::UnitZ()).toRotationMatrix();
}

// Upright chin seen from the pit of the neck: share of the neck's length up and to the front.
constexpr double kChinUp = 0.756, kChinFront = 0.654;
constexpr double kAdultHead = 0.130;

}  // namespace

BodyLengths AverageAdult() {
  BodyLengths lengths;
  lengths[BoneId::kHead] = kAdultHead;
  lengths[BoneId::kNeck] = 0.0688;
  lengths[BoneId::kTrunk] = 0.288;
  lengths[BoneId::kShoulderWidth] = 0.258;
  lengths[BoneId::kHipWidth] = 0.191;
  for (int side = 0; side < 2; ++side) {
    lengths[On(side, BoneId::kUpperArmL)] = 0.186;
    lengths[On(side, BoneId::kForearmL)] = 0.146;
    lengths[On(side, BoneId::kHandL)] = 0.108;
    lengths[On(side, BoneId::kThighL)] = 0.245;
    lengths[On(side, BoneId::kShinL)] = 0.246;
    lengths[On(side, BoneId::kFootL)] = 0.1214;
  }
  lengths.sole_to_ankle = 0.039;
  return lengths;
}

BodyLengths LengthsOf(const Canon& canon) {
  BodyLengths lengths;
  const double heads = canon.heads > 0.0 ? canon.heads : 7.5;
  for (std::size_t i = 0; i < lengths.bone.size(); ++i) lengths.bone[i] = canon.bones[i].length / heads;
  lengths.sole_to_ankle = canon.sole_to_ankle / heads;
  return lengths;
}

Skeleton Pose(const BodyLengths& lengths, const PoseAngles& a) {
  Skeleton s;
  auto& p = s.joints;
  const auto at = [&](PointId id) -> Vec3& { return p[static_cast<std::size_t>(id)]; };

  s.pelvis = TurnX(-a.pitch) * TurnZ(a.pelvis_lean) * TurnX(a.pelvis_tip);
  const Matrix3d half_bend = TurnZ(a.side * 0.5) * TurnX(-a.bend * 0.5);
  s.waist = s.pelvis * TurnY(a.twist * 0.4) * half_bend;
  s.chest = s.waist * TurnY(a.twist * 0.6) * half_bend;
  s.neck = s.chest * TurnY(a.neck_turn) * TurnZ(a.neck_side) * TurnX(a.neck_bend);
  s.head = s.neck * TurnY(a.head_turn) * TurnX(a.head_bend) * TurnZ(a.head_roll);

  const double trunk = lengths[BoneId::kTrunk];
  s.waist_at = s.pelvis * Vec3(0, 0.35 * trunk, 0);
  s.ribs_at = s.waist_at + s.waist * Vec3(0, 0.30 * trunk, 0);
  at(PointId::kNeckPit) = s.ribs_at + s.chest * Vec3(0, 0.35 * trunk, 0);

  const double head = lengths[BoneId::kHead], neck = lengths[BoneId::kNeck], scale = head / kAdultHead;
  s.head_pivot = at(PointId::kNeckPit) +
                 s.neck * Vec3(0, kChinUp * neck + 0.035 * scale, -kChinFront * neck + 0.055 * scale);
  const Vec3 chin(0, -0.035 * scale, -0.055 * scale);
  // The crown lies a little behind the chin's plane.
  const double back = 0.115 * head;
  const Vec3 crown = chin + Vec3(0, std::sqrt(head * head - back * back), back);
  at(PointId::kChin) = s.head_pivot + s.head * chin;
  at(PointId::kCrown) = s.head_pivot + s.head * crown;

  for (int i = 0; i < 2; ++i) {
    const auto n = static_cast<std::size_t>(i);
    const double out = i == 0 ? 1.0 : -1.0;
    at(On(i, PointId::kHipL)) = s.pelvis * Vec3(out * lengths[BoneId::kHipWidth] / 2, 0, 0);
    at(On(i, PointId::kShoulderL)) =
        at(PointId::kNeckPit) +
        s.chest * Vec3(out * lengths[BoneId::kShoulderWidth] / 2 * (1 + a.shoulder_out[n]), a.shoulder_up[n],
                       a.shoulder_back[n]);

    s.upper_arm[n] =
        s.chest * TurnZ(out * a.arm_side[n]) * TurnX(a.arm_front[n]) * TurnY(-out * a.arm_turn[n]);
    s.forearm[n] = s.upper_arm[n] * TurnX(a.elbow[n]);
    s.hand[n] = s.forearm[n] * TurnX(a.wrist_bend[n]) * TurnZ(a.wrist_side[n]);
    at(On(i, PointId::kElbowL)) =
        at(On(i, PointId::kShoulderL)) - s.upper_arm[n].col(1) * lengths[On(i, BoneId::kUpperArmL)];
    at(On(i, PointId::kWristL)) =
        at(On(i, PointId::kElbowL)) - s.forearm[n].col(1) * lengths[On(i, BoneId::kForearmL)];
    at(On(i, PointId::kHandTipL)) =
        at(On(i, PointId::kWristL)) - s.hand[n].col(1) * lengths[On(i, BoneId::kHandL)];

    s.thigh[n] = s.pelvis * TurnZ(out * a.hip_side[n]) * TurnX(a.hip_bend[n]) * TurnY(out * a.hip_turn[n]);
    s.shin[n] = s.thigh[n] * TurnX(-a.knee[n]);
    s.foot[n] = s.shin[n] * TurnX(a.ankle[n]);
    at(On(i, PointId::kKneeL)) =
        at(On(i, PointId::kHipL)) - s.thigh[n].col(1) * lengths[On(i, BoneId::kThighL)];
    at(On(i, PointId::kAnkleL)) =
        at(On(i, PointId::kKneeL)) - s.shin[n].col(1) * lengths[On(i, BoneId::kShinL)];
    const double foot = lengths[On(i, BoneId::kFootL)];
    const double drop = std::min(lengths.sole_to_ankle, 0.8 * foot);
    at(On(i, PointId::kToeL)) =
        at(On(i, PointId::kAnkleL)) + s.foot[n] * Vec3(0, -drop, -std::sqrt(foot * foot - drop * drop));
  }
  return s;
}

void LevelFeet(Skeleton& skeleton, const BodyLengths& lengths) {
  for (int i = 0; i < 2; ++i) {
    Axes& foot = skeleton.foot[static_cast<std::size_t>(i)];
    const Vec3 up = Vec3::UnitY();
    const Vec3 back = (foot.col(2) - up * up.dot(foot.col(2))).normalized();
    Vec3 left = up.cross(back);
    if (left.dot(foot.col(0)) < 0) left = -left;
    foot << left, up, back;
    const double length = lengths[On(i, BoneId::kFootL)],
                 drop = std::min(lengths.sole_to_ankle, 0.8 * length);
    skeleton.joints[static_cast<std::size_t>(On(i, PointId::kToeL))] =
        skeleton.Joint(On(i, PointId::kAnkleL)) - drop * up - std::sqrt(length * length - drop * drop) * back;
  }
}

Skeleton PoseStanding(const BodyLengths& lengths, PoseAngles angles) {
  const std::size_t free = angles.knee[0] > angles.knee[1] ? 0 : 1;
  const double hip_bend = angles.hip_bend[free], knee = angles.knee[free];
  const auto lift = [&](double times) {  // of the free foot above the other
    angles.hip_bend[free] = times * hip_bend;
    angles.knee[free] = times * knee;
    const Skeleton s = Pose(lengths, angles);
    const double left = s.Joint(PointId::kAnkleL).y(), right = s.Joint(PointId::kAnkleR).y();
    return free == 0 ? left - right : right - left;
  };
  double low = 0.0, high = 2.5;
  for (int i = 0; i < 50; ++i) {
    const double middle = 0.5 * (low + high);
    (lift(middle) < 0.0 ? low : high) = middle;
  }
  Skeleton s = Pose(lengths, angles);
  LevelFeet(s, lengths);
  return s;
}

Skeleton Seen(const Skeleton& skeleton, double turn_rad, double elevation_rad, const Vec3& centre) {
  const Matrix3d view = Eigen::DiagonalMatrix<double, 3>(1.0, -1.0, 1.0) * TurnX(-elevation_rad / kDegree) *
                        TurnY(-turn_rad / kDegree);
  Skeleton out = skeleton;
  const double depth = (view * (skeleton.HipMiddle() - centre)).z();
  const auto point = [&](const Vec3& p) -> Vec3 { return view * (p - centre) - Vec3(0, 0, depth); };
  for (auto& joint : out.joints) joint = point(joint);
  out.waist_at = point(skeleton.waist_at);
  out.ribs_at = point(skeleton.ribs_at);
  out.head_pivot = point(skeleton.head_pivot);
  for (Axes* axes : {&out.pelvis, &out.waist, &out.chest, &out.neck, &out.head}) *axes = view * *axes;
  for (auto* pair : {&out.upper_arm, &out.forearm, &out.hand, &out.thigh, &out.shin, &out.foot})
    for (Axes& axes : *pair) axes = view * axes;
  return out;
}

}  // namespace armslength
