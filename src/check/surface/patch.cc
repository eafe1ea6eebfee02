#include "check/surface/patch.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include <opencv2/imgproc.hpp>

namespace armslength::surface_check {

std::optional<Patch> CutPatch(const ImageRgba8& image, std::span<const Vec2> outline, double fine_px) {
  if (outline.size() < 3) return std::nullopt;
  Vec2 low = outline[0], high = outline[0];
  for (const Vec2& p : outline) {
    low = low.cwiseMin(p);
    high = high.cwiseMax(p);
  }
  const int x0 = std::max(0, static_cast<int>(std::floor(low.x())) - 2), y0 = std::max(0, static_cast<int>(std::floor(low.y())) - 2);
  const int x1 = std::min(image.width, static_cast<int>(std::ceil(high.x())) + 2),
            y1 = std::min(image.height, static_cast<int>(std::ceil(high.y())) + 2);
  if (x1 - x0 < 24 || y1 - y0 < 24) return std::nullopt;
  Patch patch;
  const int step = std::clamp(static_cast<int>(fine_px), 1, std::max(1, std::min(x1 - x0, y1 - y0) / 60));
  patch.px = step;
  patch.origin_px = Vec2(x0, y0);
  const int w = (x1 - x0) / step, h = (y1 - y0) / step;
  patch.light.create(h, w, CV_32F);
  patch.ratio_a.create(h, w, CV_32F);
  patch.ratio_b.create(h, w, CV_32F);
  for (int y = 0; y < h; ++y)
    for (int x = 0; x < w; ++x) {
      double sum[3] = {0, 0, 0}, weight = 1e-6;
      for (int j = 0; j < step; ++j)
        for (int i = 0; i < step; ++i) {
          const std::uint8_t* p = image.At(x0 + x * step + i, y0 + y * step + j);
          const double a = p[3] / 255.0;
          for (int c = 0; c < 3; ++c) sum[c] += a * p[c] + (1.0 - a) * 255.0;
          weight += 1.0;
        }
      for (double& s : sum) s /= 255.0 * weight;
      // Bytes are roughly a cube root of light already; good enough for edges.
      patch.light.at<float>(y, x) = static_cast<float>(0.2126 * sum[0] + 0.7152 * sum[1] + 0.0722 * sum[2]);
      patch.ratio_a.at<float>(y, x) = static_cast<float>(std::log((sum[0] + 0.06) / (sum[1] + 0.06)));
      patch.ratio_b.at<float>(y, x) = static_cast<float>(std::log((sum[1] + 0.06) / (sum[2] + 0.06)));
    }
  patch.inside = cv::Mat::zeros(h, w, CV_8U);
  std::vector<cv::Point> polygon;
  for (const Vec2& p : outline) {
    const Vec2 q = patch.FromPicture(p);
    polygon.emplace_back(static_cast<int>(std::lround(q.x())), static_cast<int>(std::lround(q.y())));
  }
  cv::fillPoly(patch.inside, std::vector<std::vector<cv::Point>>{polygon}, cv::Scalar(255));
  return patch;
}

}  // namespace armslength::surface_check
