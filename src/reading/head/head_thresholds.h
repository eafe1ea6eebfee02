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
  std::array<double, kHeadFaultCount> threshold{};  // of the evidence; 5 % family-wise
  std::array<double, kHeadFaultCount> sd_factor{};  // true spread of the amount / its computed sd
};
// By turn (|yaw|, rad), number of marks and marking error (fraction of head height).
[[nodiscard]] const HeadCalibration& CalibrationFor(double yaw_rad, int marks, double sigma);

// The strata, so that the tool and its readers agree.
inline constexpr std::array<double, 6> kYawBandsDeg = {0, 10, 25, 40, 55, 90};
inline constexpr int kYawBandCount = 5, kMarkClassCount = 3, kSigmaClassCount = 3;
[[nodiscard]] int YawBand(double yaw_rad);
[[nodiscard]] int MarkClass(int marks);       // 0: up to 9, 1: 10 to 16, 2: 17 and more
[[nodiscard]] int SigmaClass(double sigma);   // 0: up to 0.7 %, 1: up to 1.4 %, 2: more

}  // namespace armslength
