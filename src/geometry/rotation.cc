#include "geometry/rotation.h"

#include <cmath>
#include <numbers>

#include <Eigen/SVD>

namespace armslength {

Eigen::Matrix3d RotationFromVector(const Eigen::Vector3d& w_rad) {
  const double angle = w_rad.norm();
  if (!(angle > 0.0)) return Eigen::Matrix3d::Identity();
  return Eigen::AngleAxisd(angle, w_rad / angle).toRotationMatrix();
}

Eigen::Vector3d RotationVector(const Eigen::Matrix3d& rotation) {
  // By way of the quaternion: the trace formula loses half its digits near pi.
  Eigen::Quaterniond q(rotation);
  if (q.w() < 0.0) q.coeffs() = -q.coeffs();
  const double sine = q.vec().norm();
  if (sine < 1e-300) return Eigen::Vector3d::Zero();
  return q.vec() * (2.0 * std::atan2(sine, q.w()) / sine);
}

Eigen::Matrix3d RotationAbout(const Eigen::Vector3d& axis, double angle_rad) {
  return Eigen::AngleAxisd(angle_rad, axis.normalized()).toRotationMatrix();
}

Eigen::Matrix3d RotationBetween(const Eigen::Vector3d& from, const Eigen::Vector3d& to) {
  return Eigen::Quaterniond::FromTwoVectors(from, to).toRotationMatrix();
}

double AngleBetween(const Eigen::Vector3d& one, const Eigen::Vector3d& other) {
  return std::atan2(one.cross(other).norm(), one.dot(other));
}

double TwistAngle(const Eigen::Matrix3d& rotation, const Eigen::Vector3d& axis) {
  const Eigen::Quaterniond q(rotation);
  const double along = q.vec().dot(axis.normalized());
  if (std::hypot(along, q.w()) < 1e-12) return 0.0;
  double angle = 2.0 * std::atan2(along, q.w());
  if (angle > std::numbers::pi) angle -= 2.0 * std::numbers::pi;
  if (angle <= -std::numbers::pi) angle += 2.0 * std::numbers::pi;
  return angle;
}

Eigen::Matrix3d NearestRotation(const Eigen::Matrix3d& matrix) {
  const Eigen::JacobiSVD<Eigen::Matrix3d> svd(matrix, Eigen::ComputeFullU | Eigen::ComputeFullV);
  Eigen::Vector3d sign(1.0, 1.0, (svd.matrixU() * svd.matrixV().transpose()).determinant() < 0.0 ? -1.0 : 1.0);
  return svd.matrixU() * sign.asDiagonal() * svd.matrixV().transpose();
}

}  // namespace armslength
