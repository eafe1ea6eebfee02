#pragma once
#include "reading/body/body_residuals.h"

namespace armslength::body {

// A local minimum of the cost.
struct Basin {
  Params x{};
  double cost = 1e300;
  double log_det = 0.0;  // of the Gauss-Newton Hessian; set by Curvature
};

struct SolveOptions {
  int max_iterations = 30;
  // Stops after `patience` steps in a row that gain less than tolerance * max(1, cost / 20).
  double tolerance = 2e-3;
  int patience = 2;
};

// Levenberg-Marquardt from `basin.x`. Own code because a step here costs a small part of
// a general solver's and the scan needs thousands; tests compare the minima with Ceres'. Returns the number of steps. Deterministic, thread-safe.
int Solve(const BodyModel& model, Basin& basin, const SolveOptions& options = {});

// Gauss-Newton Hessian at basin.x: sets log_det, and the covariance of all unknowns when asked.
void Curvature(const BodyModel& model, Basin& basin, NormalSink::Matrix* covariance = nullptr);
// The same; returns the sd of one unknown alone, far cheaper than all.
[[nodiscard]] double CurvatureSd(const BodyModel& model, Basin& basin, int param);

// Plain cost at x.
[[nodiscard]] double Cost(const BodyModel& model, const Params& x);

}  // namespace armslength::body
