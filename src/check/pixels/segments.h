#pragma once
#include <cstdint>
#include <vector>

#include "check/pixels/context.h"

namespace armslength {

// One patch of one material: neighbouring pixels whose colours keep the same proportions of red,
// green and blue while lightness may change (light and shadow on it belong together).
struct Segment {
  std::vector<std::uint32_t> pixels;  // indices of the reduced picture
  std::string name;                   // of a declared area; else empty
  double share = 0.0;                 // of the figure (or picture)
  double ax = 0.0, ay = 0.0;          // middle, picture px
};

// Patches of at least `least_share` of the figure, largest first, at most `most`.
[[nodiscard]] std::vector<Segment> FindSegments(const PictureContext& context, double least_share, std::size_t most);

}  // namespace armslength
