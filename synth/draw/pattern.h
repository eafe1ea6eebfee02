#pragma once
#include "synth/draw/body.h"

namespace armslength {

// Printed cloth on a tube between t0 and t1: laid round the form, or pasted on the picture plane
// when the drawing's faults say so.
void PaintPattern(Studio& s, const Tube& tube, double t0, double t1, const ClothPattern& pattern, const Shape& clip);

// The part of a tube between t0 and t1, edge to edge, as an artist outlines it.
[[nodiscard]] Polyline TubeOutline(const Tube& tube, double t0, double t1);

}  // namespace armslength
