#pragma once
#include <array>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "check/body/body_facts.h"

namespace armslength::body_check {

// A body on the floor. Ground coordinates: stature units, x to the picture's right, y away
// from the viewer, along the floor.
struct Footing {
  std::array<bool, 2> planted{};           // left, right: close enough to the floor to carry
  std::array<double, 2> sole_height{};     // of each foot's lowest point over the lower one
  std::array<double, 2> sole_slope{};      // heel over toe; 0 flat
  std::array<Vec2, 2> middle{};            // of each foot
  std::vector<Vec2> support;               // corners, no order
  Vec2 mass = Vec2::Zero();                // plumb point of the centre of mass
  double mass_height = 0.0;                // over the floor
  double foot_length = 0.152;
};

// From joints in body space. A foot up to `near_floor` above the other still carries.
[[nodiscard]] Footing FootingOf(std::span<const Vec3, kBodyPointCount> joints, const Vec3& up, double foot_length,
                                double sole_to_ankle, double near_floor);
// Degrees between thigh and shin; 0: straight.
[[nodiscard]] double KneeBend(const BodyFacts& facts, bool left);

// How far `point` lies outside of the corners' hull along the unit vector `direction`;
// negative inside.
[[nodiscard]] double OutsideAlong(const std::vector<Vec2>& corners, const Vec2& point, const Vec2& direction);

// What the balance check and others use of the figure's stand.
struct Stand {
  bool known = false;        // trunk, hips and at least one ankle are marked
  bool standing = false;     // on its feet, legs carrying
  bool flat = false;         // carrying feet lie flat on the floor
  bool both = false;         // both feet carry
  bool stride = false;       // feet apart fore and aft like a step
  std::string not_asked;     // why balance is not asked
  Footing footing;           // with every foot that may carry, given the doubt of the heights
  std::vector<Vec2> surely;  // corners of the feet that carry beyond that doubt
  double height_sd = 0.0;    // of one sole over the other
  std::array<double, kBodyPointCount> share{};
};
[[nodiscard]] Stand StandOf(const BodyFacts& facts);

}  // namespace armslength::body_check
