#pragma once
#include <string>
#include <string_view>
#include <vector>

#include "picture/picture.h"
#include "picture/stack.h"

namespace armslength {

// True for the composite-op values of OpenRaster that are computed here: svg:src-over, multiply,
// screen, overlay, darken, lighten, color-dodge, color-burn, hard-light, soft-light, difference,
// color, luminosity, hue, saturation, plus, dst-in, dst-out, src-atop, dst-atop.
[[nodiscard]] bool KnownBlend(std::string_view composite_op);

// What the layers show when put together, on transparent ground. Formulas: W3C Compositing and
// Blending Level 1 (2015), in stored sRGB values, float until the final rounding. Groups with
// opacity below 1, a blend of their own or isolation="isolate" are put together on their own first.
// Unknown composite-ops count as svg:src-over and are named once each in `notes` (may be null).
// Layers without an image are skipped. All cores, by strips; memory: the result and the strips.
[[nodiscard]] ImageRgba8 CompositeStack(int width, int height, const StackNode& root, std::vector<std::string>* notes);

// The same for flat layers, bottom first (Picture::layers; their groups' opacity is already in).
[[nodiscard]] ImageRgba8 CompositeLayers(int width, int height, const std::vector<Layer>& layers, std::vector<std::string>* notes);

// Share of pixels, 0..1, whose colour over white differs by more than `levels` in any channel.
// REQUIRES: equal sizes.
[[nodiscard]] double ShareThatDiffers(const ImageRgba8& one, const ImageRgba8& other, int levels);

}  // namespace armslength
