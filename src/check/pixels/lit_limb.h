#pragma once
#include <array>
#include <cstddef>

#include "marks/figure.h"

namespace armslength {

inline constexpr std::size_t kLights = 72;  // directions round the clock that a light is tried from

// How likely each light is, natural logarithm, against all being alike.
using LikelyLights = std::array<double, kLights>;

// A limb or the trunk of a solved body, whose shade across its own axis tells the light.
struct LitLimb {
  Vec2 from = Vec2::Zero(), to = Vec2::Zero();  // its axis, picture px
  double half_px = 0.0;
  bool arm = false;
  LikelyLights likely{};

  [[nodiscard]] bool Holds(const Vec2& at) const;  // a place on it
};

}  // namespace armslength
