#pragma once
#include <optional>

#include "check/surface/part_axis.h"
#include "check/surface/waves.h"

// The round form that the solved body puts under an outlined piece of cloth. Private to check/surface.
namespace armslength::surface_check {

struct Form {
  PartAxis part;
  std::optional<Tubular> shape;  // nothing: the outline is too small or no piece of a tube
  double bow = 0.0;              // bulge of a ring round it over its half-width, + along part.direction
  double bow_sd = 0.0;           // of the joints and of how cloth of this kind hangs
};

// Nothing when the part is not solved.
[[nodiscard]] std::optional<Form> FormUnder(const BodyFacts& facts, const Area& area);

// Cloth laid round the form, by place on the picture: along and round the surface, px, equal to the
// picture's own along and across at the middle of the near side.
struct OnForm {
  double along = 0.0, round = 0.0;
  double u = 0.0;  // place across, -1 .. 1 from edge to edge
};
// Nothing outside the edges.
[[nodiscard]] std::optional<OnForm> ToForm(const Tubular& shape, double bow, const Vec2& at_px);

}  // namespace armslength::surface_check
