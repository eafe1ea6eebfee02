#pragma once
#include "check/surface/surface_checks.h"
#include "synth/worn.h"

// Drawn figures with marks as an artist sets them, for the surface checks.
namespace armslength::testing {

using Worn = WornFigure;

// `size` below 1: strokes only, no picture (WearOptions).
inline Worn Wear(unsigned seed, const DrawingFaults& faults, double size = 0.25, bool areas = false) {
  WearOptions options;
  options.seed = seed;
  options.size = size;
  options.areas = areas;
  options.change = [&faults](FigureDrawing& drawing, SynthRandom&) { drawing.faults = faults; };
  return armslength::Wear(options);
}

}  // namespace armslength::testing
