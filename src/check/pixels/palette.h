#pragma once
#include <span>
#include <vector>

#include "check/pixels/picture_checks.h"
#include "check/pixels/planes.h"

namespace armslength {

// Weighted k-means in OKLab over the colour cells, started farthest-first (deterministic), then
// colours nearer than `merge_distance` (OKLab) are one colour. Largest first.
struct PaletteOptions {
  int start_colours = 16;
  double merge_distance = 0.04;
  double least_share = 0.004;
  int rounds = 30;
};
[[nodiscard]] std::vector<PaletteColour> FindPalette(std::span<const ColourCell> cells, const PaletteOptions& options = {});

}  // namespace armslength
