#pragma once
#include <optional>
#include <span>

#include "marks/figure.h"

// The drawn curve of a ring, by its own numbers. Private to check/surface.
namespace armslength::surface_check {

struct RingShape {
  bool closed = false;       // drawn all the way round
  Vec2 from = Vec2::Zero(), to = Vec2::Zero();  // ends of the arc; of the long axis when closed
  double half_width_px = 0.0;
  // Open: bulge of the best half ellipse through the marks over its half-width, positive towards
  // `normal`. Closed: short over long axis, no sign.
  double bow = 0.0;
  double bow_sd = 0.0;       // from the marks' error
  Vec2 normal = Vec2::UnitY();  // unit, across the chord
  double rms_px = 0.0;       // of the marks about the fitted curve
};

// `sigma_px`: error of the marks. Nothing for fewer than three marks or no extent.
[[nodiscard]] std::optional<RingShape> ShapeOf(std::span<const Vec2> points, double sigma_px);

}  // namespace armslength::surface_check
