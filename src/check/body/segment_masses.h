#pragma once
#include <array>
#include <span>
#include <string_view>

#include "reading/body/body_reading.h"

namespace armslength {

// One segment of the body for its centre of mass.
struct SegmentMass {
  std::string_view name;
  double mass;      // fraction of the whole body, one side
  double centre;    // centre of mass, fraction of the segment's length from its upper end
};

// Winter, Biomechanics and Motor Control of Human Movement (4th ed. 2009), Table 4.1, after
// Dempster 1955 (from memory; the masses add up to 1). The trunk's segment runs from hip
// joint to shoulder joint. The head's and neck's centre lies at the ear canal, taken here
// as the middle between chin and crown. Winter's hand ends at the knuckles and his foot at
// the ball: the fractions below are his, turned into parts of wrist to fingertip
// (half of it) and of ankle to toe.
struct SegmentTable {
  SegmentMass head_neck{"head and neck", 0.081, 0.5};
  SegmentMass trunk{"trunk", 0.497, 0.5};
  SegmentMass upper_arm{"upper arm", 0.028, 0.436};
  SegmentMass forearm{"forearm", 0.016, 0.430};
  SegmentMass hand{"hand", 0.006, 0.253};
  SegmentMass thigh{"thigh", 0.100, 0.433};
  SegmentMass shin{"shin", 0.0465, 0.433};
  SegmentMass foot{"foot", 0.0145, 0.4};
};
inline constexpr SegmentTable kSegmentTable{};

// Share of each joint in the body's centre of mass: centre = sum of share * joint. The shares
// add up to 1.
[[nodiscard]] std::array<double, kBodyPointCount> MassShares();

// Centre of mass of joints in any one space.
[[nodiscard]] Vec3 CentreOfMass(std::span<const Vec3, kBodyPointCount> joints);

}  // namespace armslength
