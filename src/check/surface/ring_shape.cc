#include "check/surface/ring_shape.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include <Eigen/Dense>

#include "geometry/ellipse_fit.h"

namespace armslength::surface_check {
namespace {

std::optional<RingShape> Closed(std::span<const Vec2> points, double sigma_px) {
  const std::vector<Eigen::Vector2d> marks(points.begin(), points.end());
  EllipseFitOptions options;
  options.sigma_px = sigma_px;
  const auto fit = FitEllipse(marks, options);
  if (!fit) return std::nullopt;
  RingShape shape;
  shape.closed = true;
  const Ellipse& e = fit->ellipse;
  shape.from = e.At(M_PI);
  shape.to = e.At(0.0);
  shape.half_width_px = e.semi_major_px;
  shape.bow = e.semi_minor_px / e.semi_major_px;
  shape.bow_sd = std::sqrt(std::max(fit->covariance(3, 3), 0.0)) / e.semi_major_px;
  shape.normal = (e.At(M_PI_2) - e.centre_px).normalized();
  shape.rms_px = fit->rms_px;
  return shape;
}

}  // namespace

std::optional<RingShape> ShapeOf(std::span<const Vec2> points, double sigma_px) {
  if (points.size() < 3) return std::nullopt;
  Vec2 low = points[0], high = points[0];
  for (const Vec2& p : points) {
    if (!p.allFinite()) return std::nullopt;
    low = low.cwiseMin(p);
    high = high.cwiseMax(p);
  }
  const double extent = (high - low).norm();
  if (extent < 4.0) return std::nullopt;
  const Vec2 chord = points.back() - points.front();
  // A whole ring comes back to where it began.
  if (points.size() >= 6 && chord.norm() < 0.25 * extent) return Closed(points, sigma_px);
  if (chord.norm() < 0.5 * extent) return std::nullopt;  // neither an arc nor a ring

  RingShape shape;
  shape.from = points.front();
  shape.to = points.back();
  shape.half_width_px = 0.5 * chord.norm();
  const Vec2 along = chord.normalized();
  shape.normal = Vec2(-along.y(), along.x());
  const Vec2 middle = 0.5 * (shape.from + shape.to);
  // v = k0 + k1 u + bow sqrt(1 - u^2): the ends are marks like the others.
  const auto n = static_cast<Eigen::Index>(points.size());
  Eigen::MatrixXd a(n, 3);
  Eigen::VectorXd v(n);
  for (Eigen::Index i = 0; i < n; ++i) {
    const Vec2 d = points[static_cast<std::size_t>(i)] - middle;
    const double u = std::clamp(d.dot(along) / shape.half_width_px, -1.0, 1.0);
    a.row(i) << 1.0, u, std::sqrt(1.0 - u * u);
    v[i] = d.dot(shape.normal) / shape.half_width_px;
  }
  const Eigen::Matrix3d normal = a.transpose() * a;
  const Eigen::LDLT<Eigen::Matrix3d> solver(normal);
  if (solver.info() != Eigen::Success || normal.determinant() < 1e-9) return std::nullopt;
  const Eigen::Vector3d k = solver.solve(a.transpose() * v);
  const Eigen::VectorXd rest = v - a * k;
  shape.rms_px = std::sqrt(rest.squaredNorm() / static_cast<double>(n)) * shape.half_width_px;
  const double own = n > 3 ? std::sqrt(rest.squaredNorm() / static_cast<double>(n - 3)) : 0.0;
  const double error = std::max(own, sigma_px / shape.half_width_px);
  shape.bow = k[2];
  shape.bow_sd = error * std::sqrt(std::max(normal.inverse()(2, 2), 0.0));
  return shape;
}

}  // namespace armslength::surface_check
