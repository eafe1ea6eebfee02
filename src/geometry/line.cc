#include "geometry/line.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <Eigen/Eigenvalues>

namespace armslength {
double SignedDistance(const Line2& line, const Eigen::Vector2d& p) { return Cross2(line.direction, p - line.point); }

Eigen::Vector2d Foot(const Line2& line, const Eigen::Vector2d& p) {
  return line.point + line.direction * line.direction.dot(p - line.point);
}

std::optional<Eigen::Vector2d> Intersection(const Line2& one, const Line2& other) {
  const double sine = Cross2(one.direction, other.direction);
  if (!(std::abs(sine) > 1e-12)) return std::nullopt;
  return one.point + one.direction * (Cross2(other.point - one.point, other.direction) / sine);
}

double SegmentParameter(const Eigen::Vector2d& a, const Eigen::Vector2d& b, const Eigen::Vector2d& p) {
  const double length2 = (b - a).squaredNorm();
  return length2 > 0.0 ? std::clamp((p - a).dot(b - a) / length2, 0.0, 1.0) : 0.0;
}

bool SegmentsCross(const Eigen::Vector2d& a, const Eigen::Vector2d& b, const Eigen::Vector2d& c, const Eigen::Vector2d& d) {
  return Cross2(b - a, c - a) * Cross2(b - a, d - a) < 0.0 && Cross2(d - c, a - c) * Cross2(d - c, b - c) < 0.0;
}

double SegmentDistance(const Eigen::Vector2d& a, const Eigen::Vector2d& b, const Eigen::Vector2d& p) {
  return (a + SegmentParameter(a, b, p) * (b - a) - p).norm();
}

double AngleBetween(const Eigen::Vector2d& from, const Eigen::Vector2d& to) { return std::atan2(Cross2(from, to), from.dot(to)); }

double AxialAngleBetween(const Eigen::Vector2d& one, const Eigen::Vector2d& other) {
  return std::atan2(std::abs(Cross2(one, other)), std::abs(one.dot(other)));
}

double WrapAngle(double x_rad) {
  const double turn = 2.0 * std::numbers::pi;
  double wrapped = std::remainder(x_rad, turn);
  if (wrapped <= -std::numbers::pi) wrapped += turn;
  return wrapped;
}

std::optional<LineFit> FitLine(std::span<const Eigen::Vector2d> points) {
  if (points.size() < 2) return std::nullopt;
  Eigen::Vector2d mean = Eigen::Vector2d::Zero();
  for (const auto& p : points) mean += p;
  mean /= static_cast<double>(points.size());
  Eigen::Matrix2d spread = Eigen::Matrix2d::Zero();
  for (const auto& p : points) spread += (p - mean) * (p - mean).transpose();
  if (!spread.allFinite() || !(spread.trace() > 0.0)) return std::nullopt;
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> solver(spread);
  const double across = std::max(0.0, solver.eigenvalues()[0]), along = solver.eigenvalues()[1];
  const auto count = static_cast<double>(points.size());
  LineFit fit;
  fit.line = {mean, solver.eigenvectors().col(1)};
  fit.rms = std::sqrt(across / count);
  if (count > 2.0) fit.angle_sd_rad = std::sqrt(across / (count - 2.0) / along);
  return fit;
}

}  // namespace armslength
