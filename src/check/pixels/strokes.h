#pragma once
#include <cstdint>
#include <optional>
#include <vector>

#include <Eigen/Core>

#include "check/pixels/ink.h"
#include "check/pixels/planes.h"
#include "marks/figure.h"

namespace armslength {

// One measured place on a stroke, picture px, sub-pixel.
struct StrokeSample {
  float x = 0, y = 0;        // middle of the line
  float tx = 0, ty = 0;      // direction, unit
  float width = 0;           // px between the half-contrast edges; 0: one side is a dark fill, not measured
  std::uint8_t left_l = 0, right_l = 0;  // L byte of the ground on both sides (left of the direction)
};

// A run of line from free end or junction to the next, carried on through junctions where it
// plainly goes straight on.
struct Stroke {
  std::vector<StrokeSample> samples;  // even steps
  double length_px = 0.0;
  bool free_begin = false, free_end = false;  // no other line touches here
  bool closed = false;
};

// An open end of a line: where the ink really stops, and where it was heading.
struct OpenEnd {
  Vec2 at = Vec2::Zero();   // last ink along the direction
  Vec2 direction = Vec2::Zero();
  int stroke = -1;
  bool at_begin = false;
  double width = 0.0;       // px, of the line before its tip
  double blunt = 1.0;       // width close to the tip over that: small where the pen was lifted
};

struct StrokeGraph {
  std::vector<Stroke> strokes;
  std::vector<OpenEnd> ends;
  double width_px = 0.0;      // median over all measured samples
  double step_px = 1.0;       // between samples
  double length_px = 0.0;
  std::size_t skeleton_px = 0;
};

// Traces the skeleton that Thin left in `ink` (plane coordinates are px + 1), drops the spurs
// that thinning leaves, and measures widths across the line on the L* plane.
[[nodiscard]] StrokeGraph TraceStrokes(InkMask& ink, const std::vector<std::uint32_t>& skeleton, const PlaneU8& l,
                                       int threads = 0);

}  // namespace armslength
