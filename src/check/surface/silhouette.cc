#include "check/surface/silhouette.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include <opencv2/imgproc.hpp>

#include "check/pixels/context.h"

namespace armslength::surface_check {
namespace {

constexpr int kLongSide = 1600;
constexpr double kMarksInside = 0.8;  // of the body's marks; fewer: the split is wrong or the marks are another figure's

}  // namespace

std::optional<Silhouette> Silhouette::Of(const body_check::BodyFacts& facts, const Picture* picture) {
  Silhouette s;
  const Area* outline = nullptr;
  for (const Area& area : facts.Marks().areas)
    if (area.kind == "figure" && area.outline.size() >= 30) outline = &area;
  if (outline) {
    Vec2 high = Vec2::Zero();
    for (const Vec2& p : outline->outline) high = high.cwiseMax(p);
    s.factor_ = std::max(1.0, high.maxCoeff() / kLongSide);
    s.mask_ = cv::Mat::zeros(static_cast<int>(high.y() / s.factor_) + 3, static_cast<int>(high.x() / s.factor_) + 3, CV_8U);
    std::vector<cv::Point> polygon;
    for (const Vec2& p : outline->outline)
      polygon.emplace_back(static_cast<int>(p.x() / s.factor_), static_cast<int>(p.y() / s.factor_));
    cv::fillPoly(s.mask_, std::vector<std::vector<cv::Point>>{polygon}, cv::Scalar(255));
  } else {
    if (!picture || picture->image.width <= 0) return std::nullopt;
    const ImageRgba8& image = picture->image;
    PictureContext c;
    const PictureCheckOptions options;
    c.picture = picture;
    c.options = &options;
    const int step = std::max(1, static_cast<int>(std::ceil(std::max(image.width, image.height) / static_cast<double>(kLongSide))));
    c.planes.factor = step;
    ImageRgba8& small = c.planes.small;
    small.width = image.width / step;
    small.height = image.height / step;
    small.pixels.resize(4 * static_cast<std::size_t>(small.width) * static_cast<std::size_t>(small.height));
    for (int y = 0; y < small.height; ++y)
      for (int x = 0; x < small.width; ++x) {
        const std::uint8_t* from = image.At(x * step + step / 2, y * step + step / 2);
        std::copy(from, from + 4, small.At(x, y));
      }
    c.small = MakeSmallField(c.planes);
    c.split = SplitFigure(c);
    if (c.split.by == SplitBy::kNone) return std::nullopt;
    s.factor_ = 1.0 / c.split.scale;
    s.mask_ = cv::Mat(c.split.height, c.split.width, CV_8U, c.split.mask.data()).clone();
    cv::threshold(s.mask_, s.mask_, 0, 255, cv::THRESH_BINARY);
  }
  int marked = 0, inside = 0;
  for (int i = 0; i < kBodyPointCount; ++i) {
    const auto id = static_cast<PointId>(i);
    if (!facts.Joint(id).marked || id == PointId::kCrown || id == PointId::kToeL || id == PointId::kToeR) continue;
    ++marked;
    inside += s.Covers(facts.Px(id));
  }
  if (marked == 0 || inside < kMarksInside * marked) return std::nullopt;
  return s;
}

bool Silhouette::Covers(const Vec2& at_px) const {
  const int x = static_cast<int>(std::floor(at_px.x() / factor_)), y = static_cast<int>(std::floor(at_px.y() / factor_));
  return x >= 0 && y >= 0 && x < mask_.cols && y < mask_.rows && mask_.at<std::uint8_t>(y, x) != 0;
}

std::optional<double> Silhouette::ToEdge(const Vec2& from_px, const Vec2& way, double most_px) const {
  if (!Covers(from_px)) return std::nullopt;
  const Vec2 unit = way.normalized();
  const double step = 0.5 * factor_;
  for (double t = step; t <= most_px; t += step) {
    if (Covers(from_px + t * unit)) continue;
    // A slit of a pixel is a hole in the mask, no edge.
    if (Covers(from_px + (t + 1.5 * factor_) * unit)) continue;
    return t;
  }
  return std::nullopt;
}

}  // namespace armslength::surface_check
