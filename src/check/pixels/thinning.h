#pragma once
#include <cstdint>
#include <vector>

#include "check/pixels/planes.h"

namespace armslength {

// The bits of an ink plane. The plane carries a border of one empty pixel on every side.
inline constexpr std::uint8_t kInk = 0x80;
inline constexpr std::uint8_t kThin = 0x01;     // still there while thinning; the skeleton afterwards
inline constexpr std::uint8_t kQueued = 0x02;
inline constexpr std::uint8_t kVisited = 0x04;  // for tracing

// Thins every pixel with kInk to lines one pixel wide, marked kThin. 8-connected lines, 4-connected
// ground. Keeps the topology: as many parts and holes as before (only simple points go), and ends.
// Cost follows the ink, not the picture: border pixels are kept in a list.
// Source of the scheme: Rosenfeld 1975, "A characterization of parallel thinning algorithms"
// (border points of one side at a time), simple points after Kong & Rosenfeld 1989.
// Returns the skeleton's pixel indices (y * plane.width() + x), in raster order.
// Worked in fixed bands of rows with two rows left untouched between them, then the seams: the
// result does not depend on `threads`.
std::vector<std::uint32_t> Thin(PlaneU8& plane, int threads = 0);

// For 8 neighbours N NE E SE S SW W NW as bits 0..7: may this pixel go without changing topology?
[[nodiscard]] bool IsSimple(std::uint8_t neighbours);

}  // namespace armslength
