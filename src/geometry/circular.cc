#include "geometry/circular.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

namespace armslength {
namespace {

constexpr double kTurn = 2.0 * std::numbers::pi;

CircularSummary Summarise(std::span<const double> angles, std::span<const double> weights, double fold) {
  CircularSummary summary;
  summary.count = static_cast<int>(angles.size());
  double c = 0.0, s = 0.0, sum = 0.0, squares = 0.0;
  for (std::size_t i = 0; i < angles.size(); ++i) {
    const double w = weights.empty() ? 1.0 : weights[i];
    c += w * std::cos(fold * angles[i]);
    s += w * std::sin(fold * angles[i]);
    sum += w;
    squares += w * w;
  }
  if (!(sum > 0.0)) return summary;
  summary.resultant = std::min(1.0, std::hypot(c, s) / sum);
  double mean = std::atan2(s, c);
  if (mean < 0.0) mean += kTurn;
  if (mean >= kTurn) mean = 0.0;
  summary.mean_rad = mean / fold;
  summary.variance = 1.0 - summary.resultant;
  summary.sd_rad = summary.resultant > 0.0 ? std::sqrt(std::max(0.0, -2.0 * std::log(summary.resultant))) / fold
                                           : std::numeric_limits<double>::infinity();
  const double n = sum * sum / squares, r = n * summary.resultant;
  summary.rayleigh_z = n * summary.resultant * summary.resultant;
  summary.rayleigh_p = std::min(1.0, std::exp(std::sqrt(1.0 + 4.0 * n + 4.0 * (n * n - r * r)) - (1.0 + 2.0 * n)));
  return summary;
}

// I1(k) / I0(k) by its continued fraction, which converges for every k (Amos 1974).
double BesselRatio(double k) {
  if (!(k > 0.0)) return 0.0;
  const int depth = 40 + static_cast<int>(2.0 * std::min(k, 2000.0));
  double tail = 0.0;
  for (int n = depth; n >= 1; --n) tail = 1.0 / (2.0 * n / k + tail);
  return tail;
}

}  // namespace

CircularSummary SummariseDirections(std::span<const double> angles_rad) { return Summarise(angles_rad, {}, 1.0); }
CircularSummary SummariseAxes(std::span<const double> angles_rad) { return Summarise(angles_rad, {}, 2.0); }
CircularSummary SummariseDirections(std::span<const double> angles_rad, std::span<const double> weights) {
  return Summarise(angles_rad, weights, 1.0);
}
CircularSummary SummariseAxes(std::span<const double> angles_rad, std::span<const double> weights) {
  return Summarise(angles_rad, weights, 2.0);
}

double VonMisesConcentration(double resultant) {
  if (resultant <= 0.0) return 0.0;
  if (resultant >= 1.0) return std::numeric_limits<double>::infinity();
  // Start: Banerjee et al. 2005; then Newton with the ratio's own derivative.
  double k = resultant * (2.0 - resultant * resultant) / (1.0 - resultant * resultant);
  for (int i = 0; i < 50; ++i) {
    const double a = BesselRatio(k), slope = 1.0 - a * a - a / k;
    if (!(slope > 0.0)) break;
    const double step = (a - resultant) / slope;
    k = std::max(k - step, 0.1 * k);
    if (std::abs(step) < 1e-13 * k) break;
  }
  return k;
}

}  // namespace armslength
