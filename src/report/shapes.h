#pragma once
#include <optional>
#include <vector>

#include "check/finding.h"
#include "report/canvas.h"

namespace armslength {

// How guide shapes are drawn. Lengths in picture pixels.
struct ShapeStyle {
  double line_px = 2.0;      // drawn and target lines
  double text_px = 18.0;     // labels beside arrows
  double alpha = 1.0;        // of every line
  double halo_alpha = 0.75;  // of the white edge that keeps lines readable on dark paint
  bool labels = true;        // false: the version without numbers
  bool help_dotted = true;   // false: helps are thin whole lines, as in a construction of many
  std::optional<BoxPx> sheet{};  // labels stay on it; nothing: beside their shapes wherever those lie
};

// As drawn: orange, dashed. Target: blue, solid. Band: blue, translucent. Arrow: dark.
// Help: grey, thin. A cross marks a place; ellipses are given by centre and two half-axes.
// Shapes with too few points or points that are not finite are left out.
// Bands come first, labels last and off each other where there is room.
void DrawShapes(cairo_t* cr, const std::vector<GuideShape>& shapes, const ShapeStyle& style);

// The shapes of a finding; without guides its places (points, box, outline) as drawn.
[[nodiscard]] std::vector<GuideShape> ShapesOf(const Finding& finding);

// Bounding box of the points alone (no line widths, no labels).
[[nodiscard]] BoxPx BoundsOf(const std::vector<GuideShape>& shapes);

}  // namespace armslength
