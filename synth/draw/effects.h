#pragma once
#include "synth/draw/body.h"

namespace armslength {

// Smooth, repeatable displacement of a trembling hand, with the given rms per axis.
class Tremor {
 public:
  Tremor(double rms_px, double wave_px, unsigned seed);
  [[nodiscard]] Vec2 At(double x, double y) const;

 private:
  static constexpr int kWaves = 6;
  struct Wave {
    double kx, ky, px, py;
  };
  std::array<Wave, kWaves> waves_{};
  double size_ = 0.0;
};

void DrawBackdrop(Studio& s);
// Gaps, hairy strokes and stray marks on the line layer; their places go to the result.
void ApplyLineFaults(Studio& s);
// Flattens the layers into the picture: style, wobble.
void Finish(Studio& s);

}  // namespace armslength
