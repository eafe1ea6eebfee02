#pragma once
#include <functional>

#include "synth/drawing.h"
#include "synth/random.h"

namespace armslength {

// A drawn figure handed in as an artist would: joints marked with an error, strokes and fastenings with a
// smaller one, the pose read from them.
struct WornFigure {
  FigureMarks marks;
  BodyReading reading;   // pose only; not usable when the marks do not solve
  Picture picture;       // empty when drawn smaller than the marks
  SynthFigure truth;     // the undrawn figure with its true joints and camera
  Costume costume;       // as drawn
  std::vector<FaultSite> sites;  // of the drawing's faults, px of the marks
};

struct WearOptions {
  unsigned seed = 1;
  double sigma = 0.01;          // error of the joints' marks, sd per axis, parts of stature
  double stroke_sigma = 0.002;  // of rings and fastenings, likewise
  // Below 1 a small silhouette is drawn only to have the true strokes and outlines: marks stay full size and no
  // picture is given. REQUIRES: in (0, 1]
  double size = 1.0;
  bool areas = true;            // outlines of cloth, hair and figure as traced
  const Canon* canon = nullptr; // declared; null: fitted with the figure
  // Costume and faults; the random stream is the drawing's own.
  std::function<void(FigureDrawing&, SynthRandom&)> change;
  std::function<void(FigureMarks&)> misplace;  // marks set badly, before the pose is read from them
};

// A toe's mark set inside the shoe, by so much of the way back to the ankle's.
void PullToes(FigureMarks& marks, double part);

// Deterministic. Thread-safe.
[[nodiscard]] WornFigure Wear(const WearOptions& options);

}  // namespace armslength
