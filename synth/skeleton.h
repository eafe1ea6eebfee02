#pragma once
#include <array>
#include <utility>

#include "canon/canon.h"
#include "reading/body/body_reading.h"

namespace armslength {

// Lengths of a synthetic body, stature units (the canon's standing height = 1).
struct BodyLengths {
  std::array<double, kBoneCount> bone{};
  double sole_to_ankle = 0.0;

  [[nodiscard]] double operator[](BoneId id) const { return bone[static_cast<std::size_t>(id)]; }
  [[nodiscard]] double& operator[](BoneId id) { return bone[static_cast<std::size_t>(id)]; }
};

// Average adult after Drillis & Contini 1966 (as in Winter, Biomechanics and Motor Control
// of Human Movement, 2009, Fig. 4.1); hip joints and toe after anatomy drawings (from memory).
[[nodiscard]] BodyLengths AverageAdult();
[[nodiscard]] BodyLengths LengthsOf(const Canon& canon);

// Joint angles of a pose, degrees; 0 everywhere is the upright stance with hanging arms.
// Pairs are {left, right}; positive means the same thing on both sides.
struct PoseAngles {
  double pitch = 0, pelvis_lean = 0, pelvis_tip = 0;   // whole body forward; pelvis sideways, forward
  double bend = 0, side = 0, twist = 0;                // spine: forward, to the left, turn
  double neck_turn = 0, neck_side = 0, neck_bend = 0;  // neck_bend > 0 leans back
  double head_turn = 0, head_bend = 0, head_roll = 0;
  std::array<double, 2> hip_bend{}, hip_side{}, hip_turn{}, knee{}, ankle{};
  std::array<double, 2> arm_front{}, arm_side{}, arm_turn{}, elbow{}, wrist_bend{}, wrist_side{};
  // Small unevenness of the shoulder joints: outwards (relative), up, back (stature).
  std::array<double, 2> shoulder_out{}, shoulder_up{}, shoulder_back{};
};

// Axes of a part as columns: the figure's left, up along the part, and back.
using Axes = Eigen::Matrix3d;

// A posed body. In figure space (x the figure's left, y up, z back) until Seen() turns it.
struct Skeleton {
  std::array<Vec3, kBodyPointCount> joints{};
  Axes pelvis, waist, chest, neck, head;
  Vec3 waist_at, ribs_at, head_pivot;  // spine points between hips and pit, skull joint
  std::array<Axes, 2> upper_arm, forearm, hand, thigh, shin, foot;

  [[nodiscard]] const Vec3& Joint(PointId id) const { return joints[static_cast<std::size_t>(id)]; }
  [[nodiscard]] Vec3 HipMiddle() const { return 0.5 * (Joint(PointId::kHipL) + Joint(PointId::kHipR)); }
};

[[nodiscard]] Skeleton Pose(const BodyLengths& lengths, const PoseAngles& angles);

// Turns both feet level in figure space, soles on the floor under their ankles; keeps their
// direction on the floor.
void LevelFeet(Skeleton& skeleton, const BodyLengths& lengths);
// Bends the free leg (the one with the more bent knee) as much more or less at hip and knee as
// brings both ankles to one height, then levels the feet.
[[nodiscard]] Skeleton PoseStanding(const BodyLengths& lengths, PoseAngles angles);

// The same in body space (x right, y down, z away), for a viewer to whom the figure is
// turned by `turn_rad` (0: faces the viewer, + turns to picture right) and who looks down by
// `elevation_rad`. z = 0 at the middle of the hips; x, y = 0 on the axis through `centre`.
[[nodiscard]] Skeleton Seen(const Skeleton& skeleton, double turn_rad, double elevation_rad,
                            const Vec3& centre);

[[nodiscard]] constexpr PointId On(int side, PointId left) {  // side 0 left, 1 right
  return static_cast<PointId>(static_cast<int>(left) + side);
}
[[nodiscard]] constexpr BoneId On(int side, BoneId left) {
  return static_cast<BoneId>(static_cast<int>(left) + side);
}

}  // namespace armslength
