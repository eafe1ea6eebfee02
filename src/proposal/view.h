#pragma once
// Inside src/proposal only: square views of a picture, as the networks see them.
#include <opencv2/core.hpp>

#include "marks/figure.h"
#include "picture/picture.h"

namespace armslength {

// Input point (i, j) of the view shows origin + step * R(turn) * (i, j), picture px.
struct SquareView {
  Vec2 origin = Vec2::Zero();
  double step = 1.0;      // px an input point
  double turn_rad = 0.0;  // clockwise as seen

  // Centre, side in px and turn of the square; `side` in input points.
  [[nodiscard]] static SquareView About(const Vec2& centre, double size_px, double turn_rad, int side);
  [[nodiscard]] Vec2 ToPicture(const Vec2& input) const;
  [[nodiscard]] Vec2 FromPicture(const Vec2& px) const;
};

// The view's pixels, 8-bit BGR, smoothed before shrinking; white outside the picture and behind transparency.
[[nodiscard]] cv::Mat Sample(const ImageRgba8& image, const SquareView& view, int side);

}  // namespace armslength
