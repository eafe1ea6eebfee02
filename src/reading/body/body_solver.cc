#include "reading/body/body_solver.h"

#include <algorithm>

#include <Eigen/Cholesky>

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
  NormalSink::Matrix damped;
  Eigen::LLT<NormalSink::Matrix> llt(n);
  for (; step < options.max_iterations; ++step) {
    damped = normal.hessian;
    damped.diagonal() *= 1.0 + lambda;
    damped.diagonal().array() += kRidge;
    llt.compute(damped);
    if (llt.info() != Eigen::Success) {
      lambda *= 10.0;
      continue;
    }
    const NormalSink::Vector delta = llt.solve(-normal.gradient);
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

void Curvature(const BodyModel& model, Basin& basin, NormalSink::Matrix* covariance) {
  const int n = model.ParamCount();
  NormalSink normal;
  normal.Reset(n);
  Emit(model, basin.x, normal);
  basin.cost = normal.cost;
  normal.hessian.diagonal().array() += kRidge;
  const Eigen::LLT<NormalSink::Matrix> llt(normal.hessian);
  basin.log_det = 0.0;
  for (int i = 0; i < n; ++i) basin.log_det += 2.0 * std::log(llt.matrixLLT()(i, i));
  if (covariance != nullptr) *covariance = llt.solve(NormalSink::Matrix::Identity(n, n));
}

}  // namespace armslength::body
