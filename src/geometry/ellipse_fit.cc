#include "geometry/ellipse_fit.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include <Eigen/Cholesky>
#include <Eigen/Eigenvalues>
#include <Eigen/LU>
#include <fmt/format.h>

namespace armslength {
namespace {

using Matrix5d = Eigen::Matrix<double, 5, 5>;
using Vector5d = Eigen::Matrix<double, 5, 1>;

tl::unexpected<FitFailure> Failure(FitError code, std::string message) {
  return tl::unexpected(FitFailure{code, std::move(message)});
}

// Direct fit in centred, scaled coordinates, where the scatter matrices are well conditioned.
std::optional<Ellipse> DirectFit(std::span<const Eigen::Vector2d> marks, const Eigen::Vector2d& mean, double scale) {
  Eigen::Matrix3d s1 = Eigen::Matrix3d::Zero(), s2 = s1, s3 = s1;
  for (const auto& mark : marks) {
    const Eigen::Vector2d p = (mark - mean) / scale;
    const Eigen::Vector3d quadratic(p.x() * p.x(), p.x() * p.y(), p.y() * p.y()), linear(p.x(), p.y(), 1.0);
    s1 += quadratic * quadratic.transpose();
    s2 += quadratic * linear.transpose();
    s3 += linear * linear.transpose();
  }
  const Eigen::FullPivLU<Eigen::Matrix3d> lu(s3);
  if (!lu.isInvertible()) return std::nullopt;
  const Eigen::Matrix3d t = -lu.solve(s2.transpose());
  const Eigen::Matrix3d m = s1 + s2 * t;
  // The inverse of the constraint 4ac - b^2 = 1, applied from the left.
  Eigen::Matrix3d reduced;
  reduced << 0.5 * m.row(2), -m.row(1), 0.5 * m.row(0);
  const Eigen::EigenSolver<Eigen::Matrix3d> solver(reduced);
  std::optional<Ellipse> best;
  double best_condition = 0.0;
  for (int i = 0; i < 3; ++i) {
    const Eigen::Vector3d v = solver.eigenvectors().col(i).real();
    const double condition = 4.0 * v[0] * v[2] - v[1] * v[1];
    if (!(condition > best_condition)) continue;
    const Eigen::Vector3d w = t * v;
    if (auto ellipse = EllipseOf({v[0], v[1], v[2], w[0], w[1], w[2]})) {
      best = ellipse;
      best_condition = condition;
    }
  }
  if (best) {
    best->centre_px = mean + scale * best->centre_px;
    best->semi_major_px *= scale;
    best->semi_minor_px *= scale;
  }
  return best;
}

// Signed orthogonal distances and their derivatives by (cx, cy, major, minor, angle).
double Linearise(std::span<const Eigen::Vector2d> marks, const Ellipse& e, Matrix5d* normal, Vector5d* gradient) {
  const double c = std::cos(e.major_axis_rad), s = std::sin(e.major_axis_rad);
  double sum = 0.0;
  if (normal) {
    normal->setZero();
    gradient->setZero();
  }
  for (const auto& mark : marks) {
    const EllipseFoot foot = NearestPoint(e, mark);
    sum += foot.signed_distance_px * foot.signed_distance_px;
    if (!normal) continue;
    const double ct = std::cos(foot.t_rad), st = std::sin(foot.t_rad);
    // Outward normal at the foot, in the ellipse's frame and then in the picture's.
    Eigen::Vector2d n(e.semi_minor_px * ct, e.semi_major_px * st);
    n.normalize();
    const Eigen::Vector2d normal_px(c * n.x() - s * n.y(), s * n.x() + c * n.y());
    const double x = e.semi_major_px * ct, y = e.semi_minor_px * st;
    Vector5d row;  // the distance shrinks as the curve moves outward
    row << -normal_px.x(), -normal_px.y(), -n.x() * ct, -n.y() * st, n.x() * y - n.y() * x;
    *normal += row * row.transpose();
    *gradient += row * foot.signed_distance_px;
  }
  return sum;
}

bool Sound(const Ellipse& e) {
  return e.centre_px.allFinite() && std::isfinite(e.semi_major_px) && e.semi_minor_px > 0.0 && std::isfinite(e.major_axis_rad);
}

void Normalise(Ellipse& e) {
  if (e.semi_minor_px > e.semi_major_px) {
    std::swap(e.semi_minor_px, e.semi_major_px);
    e.major_axis_rad += 0.5 * std::numbers::pi;
  }
  e.major_axis_rad = std::fmod(e.major_axis_rad, std::numbers::pi);
  if (e.major_axis_rad < 0.0) e.major_axis_rad += std::numbers::pi;
  if (e.major_axis_rad >= std::numbers::pi) e.major_axis_rad = 0.0;
}

Ellipse Moved(const Ellipse& e, const Vector5d& step) {
  Ellipse moved{e.centre_px + step.head<2>(), e.semi_major_px + step[2], e.semi_minor_px + step[3], e.major_axis_rad + step[4]};
  Normalise(moved);
  return moved;
}

// Levenberg-Marquardt on the orthogonal distances; keeps the best ellipse seen.
Ellipse Refine(std::span<const Eigen::Vector2d> marks, Ellipse ellipse) {
  Matrix5d normal;
  Vector5d gradient;
  double damping = 1e-3;
  double cost = Linearise(marks, ellipse, &normal, &gradient);
  for (int iteration = 0; iteration < 60 && damping < 1e12; ++iteration) {
    Matrix5d damped = normal;
    damped.diagonal() += damping * (normal.diagonal().array() + 1e-12).matrix();
    const Vector5d step = -damped.ldlt().solve(gradient);
    const Ellipse candidate = Moved(ellipse, step);
    if (!step.allFinite() || !Sound(candidate)) {
      damping *= 10.0;
      continue;
    }
    Matrix5d next_normal;
    Vector5d next_gradient;
    const double next = Linearise(marks, candidate, &next_normal, &next_gradient);
    if (next < cost) {
      const bool settled = cost - next < 1e-14 * cost || step.norm() < 1e-12 * ellipse.semi_major_px;
      ellipse = candidate;
      normal = next_normal;
      gradient = next_gradient;
      cost = next;
      damping = std::max(1e-12, damping * 0.1);
      if (settled) break;
    } else {
      damping *= 10.0;
    }
  }
  return ellipse;
}

double Covered(std::span<const Eigen::Vector2d> marks, const Ellipse& ellipse) {
  std::vector<double> at;
  at.reserve(marks.size());
  for (const auto& mark : marks) at.push_back(ellipse.ParameterOf(mark));
  std::sort(at.begin(), at.end());
  double gap = at.front() + 2.0 * std::numbers::pi - at.back();
  for (std::size_t i = 1; i < at.size(); ++i) gap = std::max(gap, at[i] - at[i - 1]);
  return 2.0 * std::numbers::pi - gap;
}

Matrix5d Covariance(std::span<const Eigen::Vector2d> marks, const Ellipse& ellipse, double sigma) {
  Matrix5d normal;
  Vector5d gradient;
  Linearise(marks, ellipse, &normal, &gradient);
  // In pixels of arc for the angle, so that one threshold fits all five.
  Vector5d unit = Vector5d::Ones();
  unit[4] = 1.0 / ellipse.semi_major_px;
  const Matrix5d scaled = unit.asDiagonal() * normal * unit.asDiagonal();
  const Eigen::SelfAdjointEigenSolver<Matrix5d> solver(scaled);
  const double floor = 1e-12 * solver.eigenvalues().maxCoeff();
  const Vector5d inverse = solver.eigenvalues().unaryExpr([&](double v) { return 1.0 / std::max(v, floor); });
  Matrix5d covariance = sigma * sigma * solver.eigenvectors() * inverse.asDiagonal() * solver.eigenvectors().transpose();
  covariance = unit.asDiagonal() * covariance * unit.asDiagonal();
  constexpr double kMost = std::numbers::pi * std::numbers::pi / 12.0;
  if (covariance(4, 4) > kMost) {
    const double shrink = std::sqrt(kMost / covariance(4, 4));
    covariance.row(4) *= shrink;
    covariance.col(4) *= shrink;
  }
  return covariance;
}

}  // namespace

tl::expected<EllipseFit, FitFailure> FitEllipse(std::span<const Eigen::Vector2d> marks_px, const EllipseFitOptions& options) {
  if (options.min_points < 5) return Failure(FitError::kBadOptions, fmt::format("min_points is {}, must be 5 or more", options.min_points));
  if (!(options.min_axis_ratio > 0.0 && options.min_axis_ratio < 1.0))
    return Failure(FitError::kBadOptions, fmt::format("min_axis_ratio is {}, must lie between 0 and 1", options.min_axis_ratio));
  if (!(options.sigma_px >= 0.0)) return Failure(FitError::kBadOptions, fmt::format("sigma_px is {}, must not be negative", options.sigma_px));
  if (marks_px.size() < static_cast<std::size_t>(options.min_points))
    return Failure(FitError::kTooFewPoints, fmt::format("{} marks given, {} needed", marks_px.size(), options.min_points));
  Eigen::Vector2d mean = Eigen::Vector2d::Zero();
  for (const auto& mark : marks_px) {
    if (!mark.allFinite()) return Failure(FitError::kNonFinite, "a mark is not a finite number");
    mean += mark;
  }
  mean /= static_cast<double>(marks_px.size());
  double scale = 0.0;
  Eigen::Matrix2d spread = Eigen::Matrix2d::Zero();
  for (const auto& mark : marks_px) {
    scale = std::max(scale, (mark - mean).norm());
    spread += (mark - mean) * (mark - mean).transpose();
  }
  const Eigen::Vector2d widths = Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d>(spread).eigenvalues();
  if (!(scale > 0.0) || widths[0] <= 1e-12 * widths[1])
    return Failure(FitError::kDegenerate, "the marks lie on a line or in one place");
  auto start = DirectFit(marks_px, mean, scale);
  if (!start) return Failure(FitError::kNotAnEllipse, "no ellipse passes near the marks");
  EllipseFit fit;
  fit.ellipse = options.refine ? Refine(marks_px, *start) : *start;
  if (fit.ellipse.semi_minor_px < options.min_axis_ratio * fit.ellipse.semi_major_px)
    return Failure(FitError::kDegenerate, fmt::format("the ellipse is too narrow: minor/major {:.4f}, least {:g}",
                                                      fit.ellipse.semi_minor_px / fit.ellipse.semi_major_px, options.min_axis_ratio));
  const auto count = static_cast<double>(marks_px.size());
  const double sum = Linearise(marks_px, fit.ellipse, nullptr, nullptr);
  fit.rms_px = std::sqrt(sum / count);
  fit.sigma_px = options.sigma_px > 0.0 ? options.sigma_px : count > 5.0 ? std::sqrt(sum / (count - 5.0)) : 0.0;
  fit.covered_rad = Covered(marks_px, fit.ellipse);
  fit.covariance = Covariance(marks_px, fit.ellipse, fit.sigma_px);
  return fit;
}

}  // namespace armslength
