#pragma once
#include "synth/draw/sheet.h"

namespace armslength {

// Outline of the largest connected piece of `shape` without `less`, cut to the picture,
// picture px, good to about a pixel.
[[nodiscard]] Polyline TraceOutline(const Shape& shape, const Shape& less, int width, int height);

}  // namespace armslength
