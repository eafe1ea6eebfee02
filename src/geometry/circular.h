#pragma once
#include <span>

namespace armslength {

// Statistics of directions. Names and formulas: Mardia & Jupp, Directional Statistics (2000);
// Fisher, Statistical Analysis of Circular Data (1993).
struct CircularSummary {
  int count = 0;
  double mean_rad = 0.0;              // in [0, 2 pi); axial data: in [0, pi). Meaningless when resultant is 0.
  double resultant = 0.0;             // mean resultant length, 0 (spread evenly) .. 1 (all alike)
  double variance = 1.0;              // 1 - resultant
  double sd_rad = 0.0;                // sqrt(-2 ln resultant); axial data: of the doubled angles, halved
  double rayleigh_z = 0.0;            // count * resultant^2
  double rayleigh_p = 1.0;            // probability of such a resultant when there is no direction
};

// Directions on the full circle. p by exp(sqrt(1 + 4n + 4(n^2 - R^2)) - (1 + 2n)), R = n * resultant
// (Zar, Biostatistical Analysis), which stays a probability for few and very concentrated data
// where the usual series turns negative. Empty input gives count 0 and p 1.
[[nodiscard]] CircularSummary SummariseDirections(std::span<const double> angles_rad);
// Undirected lines, where a and a + pi are the same: angles are doubled, averaged, halved.
[[nodiscard]] CircularSummary SummariseAxes(std::span<const double> angles_rad);
// The same with weights >= 0 (strengths of line or texture). z and p use the effective number
// (sum w)^2 / sum w^2. REQUIRES: as many weights as angles.
[[nodiscard]] CircularSummary SummariseDirections(std::span<const double> angles_rad, std::span<const double> weights);
[[nodiscard]] CircularSummary SummariseAxes(std::span<const double> angles_rad, std::span<const double> weights);

// Concentration of the von Mises distribution with this mean resultant length: I1(k) / I0(k) = r.
// Relative error below 1e-9 for r < 0.999; infinite at 1. REQUIRES: 0 <= r <= 1.
[[nodiscard]] double VonMisesConcentration(double resultant);

}  // namespace armslength
