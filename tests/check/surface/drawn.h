#pragma once
#include <string>
#include <vector>

#include "check/surface/surface_checks.h"
#include "reading/body/body_reading.h"
#include "synth/drawing.h"
#include "synth/random.h"

// Drawn figures with marks as an artist sets them, for the surface checks.
namespace armslength::testing {

struct Worn {
  FigureMarks marks;
  BodyReading reading;
  Picture picture;
};

inline BodyReading PoseOnly(const FigureMarks& marks, const Canon* canon = nullptr) {
  BodyReadingOptions options;
  options.scan_hypotheses = false;
  options.find_helpful_mark = false;
  auto reading = ReadBody(marks, canon, options);
  return reading ? *reading : BodyReading{};
}

// `size` below 1 draws a small picture only to have the true strokes: marks stay full size and
// no picture is given.
inline Worn Wear(unsigned seed, const DrawingFaults& faults, double size = 0.25, bool areas = false) {
  SynthFigureOptions options;
  options.seed = seed;
  const SynthFigure figure = MakeFigure(options);
  FigureDrawing drawing = RandomDrawing(options);
  drawing.faults = faults;
  drawing.width_px = static_cast<int>(size * drawing.width_px);
  drawing.height_px = static_cast<int>(size * drawing.height_px);
  drawing.camera.scale_px *= size;
  drawing.camera.origin_px *= size;
  if (size < 1.0) drawing.style = DrawingStyle::kSilhouette;
  DrawnFigure drawn = DrawFigure(drawing);
  Worn worn;
  worn.marks = figure.marks;
  SynthRandom random(seed, 77);
  const double stroke_px = 0.002 * figure.camera.scale_px;
  const auto moved = [&](const Vec2& p) -> Vec2 {
    const double x = random.Normal(), y = random.Normal();
    return p / size + stroke_px * Vec2(x, y);
  };
  worn.marks.rings = drawn.truth.rings;
  for (Ring& ring : worn.marks.rings)
    for (Vec2& p : ring.points) p = moved(p);
  worn.marks.centre_front = drawn.truth.centre_front;
  for (NamedPoint& p : worn.marks.centre_front) p.at = moved(p.at);
  if (areas) worn.marks.areas = drawn.truth.areas;
  worn.picture.image = std::move(drawn.image);
  worn.reading = PoseOnly(worn.marks);
  return worn;
}

}  // namespace armslength::testing
