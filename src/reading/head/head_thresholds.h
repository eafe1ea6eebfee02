#pragma once
#include <array>
#include <string>

#include "reading/head/head_reading.h"

namespace armslength {

// How small a fault matters, from data/thresholds/head.json; every value names its source.
struct HeadTolerance {
  double value = 0.0;    // in the fault's unit; smaller ones are never off
  std::string source;
};
[[nodiscard]] const HeadTolerance& ToleranceOf(HeadFaultKind kind);

// What fault-free heads do to the tests, from data/thresholds/head_calibration.json, which
// tools/calibrate_head makes from its own seeds.
struct HeadCalibration {
  // Least log Bayes factor of a fault against none, by kind; family-wise 5 %.
  std::array<double, kHeadFaultCount> log_factor{};
  std::array<double, kHeadFaultCount> sd_factor{};  // true spread of the amount / its computed sd
};
// By turn (|yaw|, rad), number of marks and marking error (fraction of head height).
[[nodiscard]] const HeadCalibration& CalibrationFor(double yaw_rad, int marks, double sigma);

// Evidence that calls a fault of this kind, for this head: `sd` of its amount as this view and these
// marks leave it. Sizes of faults are taken as normal with a spread of four tolerances (default); with
// g = (spread / sd)^2 the log Bayes factor of evidence e is (e g / (1 + g) - ln(1 + g)) / 2, and it has
// to reach `log_factor`. A head that would show a fault plainly asks for a plainer sign of it than one
// that shows it hardly. Held between 2 and 4 sd; the bow of the cross lines, which rests on small
// depths and on style, at 5.
[[nodiscard]] double EvidenceNeeded(HeadFaultKind kind, double log_factor, double sd);

// The strata, so that the tool and its readers agree.
inline constexpr std::array<double, 6> kYawBandsDeg = {0, 10, 25, 40, 55, 90};
inline constexpr int kYawBandCount = 5, kMarkClassCount = 3, kSigmaClassCount = 3;
[[nodiscard]] int YawBand(double yaw_rad);
[[nodiscard]] int MarkClass(int marks);       // 0: up to 9, 1: 10 to 16, 2: 17 and more
[[nodiscard]] int SigmaClass(double sigma);   // 0: up to 0.7 %, 1: up to 1.4 %, 2: more

}  // namespace armslength
