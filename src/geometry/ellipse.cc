#include "geometry/ellipse.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <Eigen/Eigenvalues>

namespace armslength {
namespace {

Eigen::Matrix2d Axes(const Ellipse& ellipse) {
  const double c = std::cos(ellipse.major_axis_rad), s = std::sin(ellipse.major_axis_rad);
  Eigen::Matrix2d axes;
  axes << c, -s, s, c;
  return axes;
}

}  // namespace

Eigen::Vector2d Ellipse::At(double t_rad) const {
  return centre_px + Axes(*this) * Eigen::Vector2d(semi_major_px * std::cos(t_rad), semi_minor_px * std::sin(t_rad));
}

double Ellipse::ParameterOf(const Eigen::Vector2d& point_px) const {
  const Eigen::Vector2d local = Axes(*this).transpose() * (point_px - centre_px);
  return std::atan2(local.y() / semi_minor_px, local.x() / semi_major_px);
}

Conic ConicOf(const Ellipse& ellipse) {
  const Eigen::Matrix2d axes = Axes(ellipse);
  const Eigen::Vector2d inverse(1.0 / (ellipse.semi_major_px * ellipse.semi_major_px),
                                1.0 / (ellipse.semi_minor_px * ellipse.semi_minor_px));
  const Eigen::Matrix2d q = axes * inverse.asDiagonal() * axes.transpose();
  const Eigen::Vector2d linear = -2.0 * q * ellipse.centre_px;
  return {q(0, 0), 2.0 * q(0, 1), q(1, 1), linear.x(), linear.y(), ellipse.centre_px.dot(q * ellipse.centre_px) - 1.0};
}

std::optional<Ellipse> EllipseOf(const Conic& conic) {
  Eigen::Matrix2d q;
  q << conic.a, 0.5 * conic.b, 0.5 * conic.b, conic.c;
  const double size = q.cwiseAbs().maxCoeff(), determinant = q.determinant();
  if (!std::isfinite(size) || !std::isfinite(conic.d + conic.e + conic.f) || !(determinant > 1e-14 * size * size)) return std::nullopt;
  const Eigen::Vector2d linear(conic.d, conic.e);
  const Eigen::Vector2d centre = -0.5 * (q.inverse() * linear);
  const double level = centre.dot(q * centre) - conic.f;  // (p - centre)^T q (p - centre) = level
  Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> solver;
  solver.computeDirect(q);
  const Eigen::Vector2d squares = level * solver.eigenvalues().cwiseInverse();
  if (!(squares.minCoeff() > 0.0) || !squares.allFinite()) return std::nullopt;
  const int major = squares[0] >= squares[1] ? 0 : 1;
  const Eigen::Vector2d axis = solver.eigenvectors().col(major);
  double angle = std::atan2(axis.y(), axis.x());
  if (angle < 0.0) angle += std::numbers::pi;
  if (angle >= std::numbers::pi) angle -= std::numbers::pi;
  return Ellipse{centre, std::sqrt(squares[major]), std::sqrt(squares[1 - major]), angle};
}

EllipseFoot NearestPoint(const Ellipse& ellipse, const Eigen::Vector2d& point_px) {
  const Eigen::Matrix2d axes = Axes(ellipse);
  const Eigen::Vector2d local = axes.transpose() * (point_px - ellipse.centre_px);
  const double a = ellipse.semi_major_px, b = ellipse.semi_minor_px;
  const double u = std::abs(local.x()), v = std::abs(local.y());
  double x = 0.0, y = 0.0;
  if (v <= 1e-14 * a) {
    // On the major axis: inside the evolute's cusp the foot leaves the axis.
    const double cusp = (a * a - b * b) / a;
    if (u < cusp) {
      x = a * a * u / (a * a - b * b);
      y = b * std::sqrt(std::max(0.0, 1.0 - (x / a) * (x / a)));
    } else {
      x = a;
    }
  } else {
    // The foot is (a^2 u / (t + a^2), b^2 v / (t + b^2)) where g(t) = 0; g is convex and falling
    // for t > -b^2 and not negative at the start, so Newton comes from one side.
    double t = -b * b + b * v;
    for (int i = 0; i < 60; ++i) {
      const double p = a * u / (t + a * a), q = b * v / (t + b * b);
      const double g = p * p + q * q - 1.0;
      const double slope = -2.0 * (p * p / (t + a * a) + q * q / (t + b * b));
      const double step = g / slope;
      if (!(std::abs(step) > 1e-15 * (std::abs(t) + b * b))) break;
      t -= step;
    }
    x = a * a * u / (t + a * a);
    y = b * b * v / (t + b * b);
  }
  EllipseFoot foot;
  const bool inside = (u / a) * (u / a) + (v / b) * (v / b) < 1.0;
  foot.signed_distance_px = (inside ? -1.0 : 1.0) * std::hypot(u - x, v - y);
  x = std::copysign(x, local.x());
  y = std::copysign(y, local.y());
  foot.t_rad = std::atan2(y / b, x / a);
  foot.point_px = ellipse.centre_px + axes * Eigen::Vector2d(x, y);
  return foot;
}

double EllipseDegreeRad(const Ellipse& ellipse) {
  return std::asin(std::clamp(ellipse.semi_minor_px / ellipse.semi_major_px, 0.0, 1.0));
}

}  // namespace armslength
