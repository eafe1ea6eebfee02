#pragma once
#include <optional>
#include <span>

#include <opencv2/core.hpp>

#include "marks/figure.h"
#include "picture/picture.h"

// A piece of the picture under an outline, reduced for reading texture. Private to check/surface.
namespace armslength::surface_check {

struct Patch {
  cv::Mat light;       // CV_32F, 0..1, lightness (cube root of luminance)
  cv::Mat ratio_a;     // CV_32F, log of red over green: follows the colour, hardly the shading
  cv::Mat ratio_b;     // CV_32F, log of green over blue
  cv::Mat inside;      // CV_8U, 255 inside the outline
  Vec2 origin_px = Vec2::Zero();  // picture place of the corner
  double px = 1.0;                // picture px per patch px

  [[nodiscard]] Vec2 ToPicture(double x, double y) const { return origin_px + px * Vec2(x + 0.5, y + 0.5); }
  [[nodiscard]] Vec2 FromPicture(const Vec2& p) const { return (p - origin_px) / px - Vec2(0.5, 0.5); }
};

// `fine_px`: the smallest thing to be kept, picture px. Nothing when the outline covers less
// than 24 px either way.
[[nodiscard]] std::optional<Patch> CutPatch(const ImageRgba8& image, std::span<const Vec2> outline, double fine_px);

}  // namespace armslength::surface_check
