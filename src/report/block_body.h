#pragma once
#include <array>

#include "check/body/standing.h"
#include "report/canvas.h"

namespace armslength {

// How one of the two bodies of a plate is drawn.
struct BlockStyle {
  Ink line;
  Ink fill;        // parts that agree
  Ink fill_off;    // parts that depart
  double line_px = 3.0;
  bool dashed = false;
};

// Arms hang this far off the vertical, so that hands clear the hips.
inline constexpr double kArmHangRad = 0.122;

// Draws a standing body as simple tapering blocks: egg of the head, rib cage, pelvis,
// limbs. `origin` is the point on the floor between the feet, pixels; y goes up from it.
// Only the lengths are measured; the blocks' breadths are a fixed convention of this
// plate, the same for both bodies, and say nothing about anybody's build.
void DrawBlockBody(cairo_t* cr, const StandingBody& body, const Vec2& origin, double px_per_head,
                   const std::array<bool, kBoneCount>& off, const BlockStyle& style);

}  // namespace armslength
