#pragma once
#include <cstdint>
#include <vector>

#include "check/pixels/planes.h"

namespace armslength {

// Dark marks narrower than `width_limit_px`, against the lightness around them: pen lines, brush
// lines, dots. Fills and broad shadows are not ink.
struct InkMask {
  PlaneU8 plane;             // kInk where there is ink; a border of one empty pixel all round
  int cell = 1;              // px per cell of the threshold grid
  int cells_x = 0, cells_y = 0;
  std::vector<std::uint8_t> threshold;  // L byte below which a pixel is ink; 0: none here
  std::vector<std::uint8_t> ground;     // L byte of the ground round the lines
  double share = 0.0;        // ink px / px
  double ink_l = 0.0;        // L* of the ink, median over line cells
  int width_limit_px = 0;

  [[nodiscard]] std::size_t Cell(int x, int y) const {  // picture px
    return static_cast<std::size_t>(y / cell) * static_cast<std::size_t>(cells_x) + static_cast<std::size_t>(x / cell);
  }
};

struct InkOptions {
  double min_contrast_l = 15.0;     // L* between line and ground; fainter lines are left out
  double full_contrast_l = 42.0;    // darker than the ground by this is ink whatever stands beside it
  double width_limit_share = 0.012; // of the long side; wider dark shapes are fills
};

// The threshold follows the ground: half way between the line's darkest and the ground beside it
// (grey closing on a grid of cells of at most 4 px). Two passes over the full plane.
[[nodiscard]] InkMask FindInk(const PlaneU8& l, const InkOptions& options, int threads);

}  // namespace armslength
