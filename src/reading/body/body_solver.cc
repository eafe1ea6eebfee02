#include "reading/body/body_solver.h"

#include <algorithm>
#include <cmath>

#include "reading/body/body_cholesky.h"

namespace armslength::body {
namespace {

constexpr double kRidge = 1e-6;

bool Allowed(Params& x) {
  x[kInverseDistance] = std::clamp(x[kInverseDistance], 0.01, 0.38);
  for (int j = 0; j < kBodyPointCount; ++j)  // nothing at or behind the eye
    if (1.0 + x[kInverseDistance] * x[static_cast<std::size_t>(3 * j + 2)] < 0.2) return false;
  return true;
}

}  // namespace

double Cost(const BodyModel& model, const Params& x) {
  CostSink sink;
  Emit(model, x, sink);
  return sink.cost;
}

int Solve(const BodyModel& model, Basin& basin, const SolveOptions& options) {
  const int n = model.ParamCount();
  NormalSink normal;
  normal.Reset(n);
  Emit(model, basin.x, normal);
  double cost = normal.cost, lambda = 1e-2;
  int small_gains = 0, step = 0;
  BodyCholesky factor;
  for (; step < options.max_iterations; ++step) {
    if (!factor.Factor(normal, lambda, kRidge)) {
      lambda *= 10.0;
      continue;
    }
    const NormalSink::Vector delta = factor.Solve(-normal.gradient);
    Params next = basin.x;
    for (int i = 0; i < n; ++i) next[static_cast<std::size_t>(i)] += delta[i];
    const double next_cost = Allowed(next) ? Cost(model, next) : 1e300;
    if (next_cost < cost) {
      const double gain = cost - next_cost;
      basin.x = next;
      lambda = std::max(0.2 * lambda, 1e-6);
      normal.Reset(n);
      Emit(model, basin.x, normal);
      cost = normal.cost;
      if (gain < options.tolerance * std::max(1.0, 0.05 * cost)) {
        if (++small_gains >= options.patience) break;
      } else {
        small_gains = 0;
      }
    } else {
      lambda *= 6.0;
      if (lambda > 1e6) break;
    }
  }
  basin.cost = cost;
  return step;
}

namespace {

// Factors the Hessian at basin.x; cost and log_det on the way.
BodyCholesky FactorAt(const BodyModel& model, Basin& basin) {
  NormalSink normal;
  normal.Reset(model.ParamCount());
  Emit(model, basin.x, normal);
  BodyCholesky factor;
  // A Gauss-Newton Hessian with a ridge is positive definite but for rounding.
  for (double ridge = kRidge; !factor.Factor(normal, 0.0, ridge) && ridge < 1.0; ridge *= 10.0) continue;
  basin.cost = normal.cost;
  basin.log_det = factor.LogDet();
  return factor;
}

}  // namespace

void Curvature(const BodyModel& model, Basin& basin, NormalSink::Matrix* covariance) {
  const BodyCholesky factor = FactorAt(model, basin);
  if (covariance != nullptr) *covariance = factor.Inverse();
}

double CurvatureSd(const BodyModel& model, Basin& basin, int param) {
  return std::sqrt(FactorAt(model, basin).Variance(param));
}

}  // namespace armslength::body
