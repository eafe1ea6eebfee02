#include "geometry/similarity.h"

#include <algorithm>
#include <cmath>
#include <complex>

#include <Eigen/Eigenvalues>

namespace armslength {
namespace {

using Complex = std::complex<double>;

Complex AsComplex(const Eigen::Vector2d& p) { return {p.x(), p.y()}; }

}  // namespace

Eigen::Vector2d Similarity2::operator()(const Eigen::Vector2d& p) const {
  const double c = scale * std::cos(angle_rad), s = scale * std::sin(angle_rad);
  return {c * p.x() - s * p.y() + shift.x(), s * p.x() + c * p.y() + shift.y()};
}

std::optional<SimilarityFit> FitSimilarity(std::span<const Eigen::Vector2d> source, std::span<const Eigen::Vector2d> target,
                                           const SimilarityOptions& options) {
  const std::size_t n = source.size();
  if (n < 2 || target.size() != n || (!options.weights.empty() && options.weights.size() != n)) return std::nullopt;
  const auto weight = [&](std::size_t i) { return options.weights.empty() ? 1.0 : options.weights[i]; };
  Complex source_mean = 0.0, target_mean = 0.0;
  double sum = 0.0;
  for (std::size_t i = 0; i < n; ++i) {
    source_mean += weight(i) * AsComplex(source[i]);
    target_mean += weight(i) * AsComplex(target[i]);
    sum += weight(i);
  }
  if (!(sum > 0.0)) return std::nullopt;
  source_mean /= sum;
  target_mean /= sum;
  Complex product = 0.0;
  double source_size = 0.0, target_size = 0.0;
  for (std::size_t i = 0; i < n; ++i) {
    const Complex s = AsComplex(source[i]) - source_mean, t = AsComplex(target[i]) - target_mean;
    product += weight(i) * std::conj(s) * t;
    source_size += weight(i) * std::norm(s);
    target_size += weight(i) * std::norm(t);
  }
  if (!(source_size > 0.0) || !(target_size > 0.0) || !std::isfinite(source_size + target_size)) return std::nullopt;
  SimilarityFit fit;
  Similarity2& map = fit.target_from_source;
  map.angle_rad = std::abs(product) > 0.0 ? std::arg(product) : 0.0;
  map.scale = options.scale ? std::abs(product) / source_size : 1.0;
  const Complex shift = target_mean - std::polar(map.scale, map.angle_rad) * source_mean;
  map.shift = {shift.real(), shift.imag()};
  double rest = 0.0;
  for (std::size_t i = 0; i < n; ++i) rest += weight(i) * (map(source[i]) - target[i]).squaredNorm();
  fit.rms = std::sqrt(rest / sum);
  const double cosine = std::min(1.0, std::abs(product) / std::sqrt(source_size * target_size));
  fit.full_procrustes = std::sqrt(std::max(0.0, 1.0 - cosine * cosine));
  fit.riemannian_rad = std::atan2(fit.full_procrustes, cosine);
  return fit;
}

double CentroidSize(std::span<const Eigen::Vector2d> points) {
  Eigen::Vector2d mean = Eigen::Vector2d::Zero();
  for (const auto& p : points) mean += p;
  if (!points.empty()) mean /= static_cast<double>(points.size());
  double sum = 0.0;
  for (const auto& p : points) sum += (p - mean).squaredNorm();
  return std::sqrt(sum);
}

std::vector<Eigen::Vector2d> MeanShape(std::span<const std::vector<Eigen::Vector2d>> shapes) {
  if (shapes.empty() || shapes[0].size() < 2) return {};
  const auto k = static_cast<Eigen::Index>(shapes[0].size());
  Eigen::MatrixXcd products = Eigen::MatrixXcd::Zero(k, k);
  Eigen::VectorXcd first;
  for (const auto& shape : shapes) {
    if (static_cast<Eigen::Index>(shape.size()) != k) return {};
    Eigen::VectorXcd z(k);
    for (Eigen::Index i = 0; i < k; ++i) z[i] = AsComplex(shape[static_cast<std::size_t>(i)]);
    z.array() -= z.mean();
    const double size = z.norm();
    if (!(size > 0.0) || !std::isfinite(size)) return {};
    z /= size;
    if (first.size() == 0) first = z;
    products += z * z.adjoint();
  }
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXcd> solver(products);
  Eigen::VectorXcd mean = solver.eigenvectors().col(k - 1);
  const Complex turn = mean.dot(first);  // conj(mean) . first
  if (std::abs(turn) > 0.0) mean *= turn / std::abs(turn);
  std::vector<Eigen::Vector2d> result(static_cast<std::size_t>(k));
  for (Eigen::Index i = 0; i < k; ++i) result[static_cast<std::size_t>(i)] = {mean[i].real(), mean[i].imag()};
  return result;
}

}  // namespace armslength
