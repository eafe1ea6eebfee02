#pragma once
#include <array>
#include <optional>
#include <span>
#include <vector>

#include "check/surface/patch.h"

// Stripes and checks as waves, read twice: as waves of the picture plane (pasted flat) and as waves
// of a round form's surface. Under the right reading every repeat of the print looks as the others do, under the wrong one
// they differ towards the edges: the reading that leaves less of the texture unexplained by its place in the repeat wins.
// Private to check/surface.
namespace armslength::surface_check {

// The outlined piece of a round part: an axis in the picture and edges to both sides.
struct Tubular {
  Vec2 centre = Vec2::Zero();      // picture px
  Vec2 dir = Vec2::UnitY(), across = Vec2::UnitX();  // unit; along the axis as `towards` had it, and across
  double low_px = 0.0, high_px = 0.0;        // extent along dir from centre
  // Edge to both sides at place t along dir: a + b t + c t^2, px across.
  std::array<double, 3> left{}, right{};
  double half_width_px = 0.0;      // in the middle
  [[nodiscard]] double Left(double t) const { return left[0] + t * (left[1] + t * left[2]); }
  [[nodiscard]] double Right(double t) const { return right[0] + t * (right[1] + t * right[2]); }
};

// The axis is turned onto the outline's own middle line when that is long enough to tell.
[[nodiscard]] std::optional<Tubular> TubularOf(std::span<const Vec2> outline, const Vec2& towards);

// One wave of the texture at the middle of its window. Phase per px: along the part and across it
// (flat), or along the surface and round it, both at the near side's middle (wrapped).
struct Wave {
  double along = 0.0, across = 0.0;
  double share = 0.0;  // of the texture's energy in its window
  // Direction of the stripe's lines against `across`, (-pi/2, pi/2].
  [[nodiscard]] double LineAngle() const;
};

struct WaveReading {
  int windows = 0;            // with a texture that either reading explains
  double flat_rest = 1.0, wrapped_rest = 1.0;  // texture energy left unexplained, geometric means
  double log_ratio = 0.0;     // mean of ln(flat_rest / wrapped_rest) over windows: > 0 speaks for wrapped
  double agreement = 0.0;     // of the windows: mean over their spread of the log ratio
  double bow = 0.0;           // of the best wrapped reading, see ReadWaves
  std::vector<Wave> flat, wrapped;  // strongest of each window, same order
  std::optional<Wave> crossing;     // the other lines of checks, first window, read flat
};

// `bow_low`, `bow_high`: range of the bulge of a ring round the part over its half-width, + along dir,
// that the body allows. Nothing when the outline is too small or holds no texture.
[[nodiscard]] std::optional<WaveReading> ReadWaves(const ImageRgba8& image, std::span<const Vec2> outline,
                                                   const Tubular& part, double bow_low, double bow_high);

}  // namespace armslength::surface_check
