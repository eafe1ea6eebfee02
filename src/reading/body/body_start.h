#pragma once
#include <vector>

#include "reading/body/body_reading.h"
#include "reading/body/body_solver.h"

namespace armslength::body {

// Depth difference of a segment's ends from its picture length (Taylor 2000, Reconstruction
// of articulated objects from point correspondences in a single uncalibrated image):
// |dz| = sqrt(length^2 - (drawn / scale)^2); 0 when it is drawn longer than it can be.
[[nodiscard]] double LiftedDepth(double length, double drawn, double scale);

// Drawn over canon length of every marked bone of trunk and limbs but hands and feet,
// sorted; a column's `factor` shifts the canon. The start scales are quantiles of it.
[[nodiscard]] std::vector<double> ScaleSamples(const BodyModel& model, const Params& columns);

// Lifts the marks at one scale: for both directions of trunk and hips, the signs of each
// limb's bones that its joint limits and depth flags like best. Four candidates, cheapest
// first, not yet solved. `columns`: values of the model's columns to start from.
[[nodiscard]] std::vector<Basin> Lift(const BodyModel& model, double scale, const Params& columns);

// The distinct best local minima from several scales and from `warm`, if given, cheapest
// first, at most `keep`.
[[nodiscard]] std::vector<Basin> SolveFromLifts(const BodyModel& model, int keep, int threads = 1,
                                                const Basin* warm = nullptr);
// The best local minimum from `warm` and from the lifts at one scale.
[[nodiscard]] Basin SolveNear(const BodyModel& model, const Basin& warm);
// The body of `reading`, as a start for `model`: every joint at the depth it had there.
[[nodiscard]] Basin StartFrom(const BodyModel& model, const BodyReading& reading);

}  // namespace armslength::body
