#pragma once
#include "critique/critique.h"
#include "report/canvas.h"

namespace armslength {

// Size of the plate of one figure; several stand one above the other.
inline constexpr int kPlateWidth = 1080;
inline constexpr int kPlateHeight = 1350;

// standing.png: each figure's body straightened up beside its canon's on one floor, with
// head heights ruled across and numbered from the crown down, the spread of the levels as bands, and
// the parts that depart called out. Figures that cannot be stood up say why. At most
// `max_figures` plates. An empty critique gives an empty image (0 x 0).
[[nodiscard]] Result<ImageRgba8> DrawStanding(const Critique& critique, int max_figures = 6);

}  // namespace armslength
