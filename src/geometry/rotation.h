#pragma once
#include <Eigen/Core>
#include <Eigen/Geometry>

namespace armslength {

// Right-handed rotations; angles in radians.

// Rotation by |w| about w (Rodrigues); identity for w = 0.
[[nodiscard]] Eigen::Matrix3d RotationFromVector(const Eigen::Vector3d& w_rad);
// Its inverse: length in [0, pi]. At exactly pi one of the two opposite vectors.
[[nodiscard]] Eigen::Vector3d RotationVector(const Eigen::Matrix3d& rotation);
// About an axis of any length but 0.
[[nodiscard]] Eigen::Matrix3d RotationAbout(const Eigen::Vector3d& axis, double angle_rad);
// Smallest rotation that takes the direction of `from` to that of `to`; for opposite directions
// some half turn about an axis across them. REQUIRES: neither is 0.
[[nodiscard]] Eigen::Matrix3d RotationBetween(const Eigen::Vector3d& from, const Eigen::Vector3d& to);
// Angle between two directions, accurate near 0 and pi as well.
[[nodiscard]] double AngleBetween(const Eigen::Vector3d& one, const Eigen::Vector3d& other);
// Part of `rotation` that turns about `axis` (swing-twist), in (-pi, pi]: how far a forearm or a
// head is twisted whatever way it points. 0 when undefined (a half-turn swing).
[[nodiscard]] double TwistAngle(const Eigen::Matrix3d& rotation, const Eigen::Vector3d& axis);
// Nearest rotation in the least-squares sense (for matrices that drifted).
[[nodiscard]] Eigen::Matrix3d NearestRotation(const Eigen::Matrix3d& matrix);

}  // namespace armslength
