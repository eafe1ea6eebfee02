#include <algorithm>
#include <cmath>

#include <opencv2/imgproc.hpp>

#include "check/pixels/shading.h"

namespace armslength {

std::optional<FormDepth> DepthOf(const SmallField& field, std::span<const Segment* const> patches) {
  const auto w = static_cast<std::uint32_t>(field.width);
  int x0 = field.width, y0 = field.height, x1 = 0, y1 = 0;
  for (const Segment* patch : patches)
    for (const std::uint32_t i : patch->pixels) {
      const int x = static_cast<int>(i % w), y = static_cast<int>(i / w);
      x0 = std::min(x0, x), x1 = std::max(x1, x + 1), y0 = std::min(y0, y), y1 = std::max(y1, y + 1);
    }
  FormDepth out;
  out.width = field.width;
  out.x0 = x0, out.y0 = y0;
  // Closing takes what lies beyond the map for form: with room for it, straight sides along the map's edge stay contour.
  constexpr int kRoom = 2;
  cv::Mat roomy(y1 - y0 + 2 + 2 * kRoom, x1 - x0 + 2 + 2 * kRoom, CV_8U, cv::Scalar(0));
  const cv::Rect map(kRoom, kRoom, x1 - x0 + 2, y1 - y0 + 2);
  for (const Segment* patch : patches)
    for (const std::uint32_t i : patch->pixels) roomy.at<std::uint8_t>(out.Place(i) + map.tl()) = 255;
  cv::morphologyEx(roomy, roomy, cv::MORPH_CLOSE, cv::getStructuringElement(cv::MORPH_ELLIPSE, {2 * kRoom + 1, 2 * kRoom + 1}));
  out.mask = roomy(map).clone();
  cv::distanceTransform(out.mask, out.depth, cv::DIST_L2, 5);
  cv::minMaxLoc(out.depth, nullptr, &out.deepest);
  if (out.deepest < 4) return std::nullopt;
  cv::Mat smooth;
  const double sd = std::max(1.0, out.deepest / 6);
  const int taps = 2 * static_cast<int>(std::ceil(3.0 * sd)) + 1;  // farther out it weighs 0.3 %
  cv::GaussianBlur(out.depth, smooth, {taps, taps}, sd);
  cv::Sobel(smooth, out.gx, CV_32F, 1, 0, 3, 0.125);
  cv::Sobel(smooth, out.gy, CV_32F, 0, 1, 3, 0.125);
  return out;
}

}  // namespace armslength
