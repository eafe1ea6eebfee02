#include "proposal/figures.h"

#include <algorithm>
#include <cmath>

#include <opencv2/imgproc.hpp>

namespace armslength {
namespace {

constexpr double kSizeUnit = 64.0;    // input points: the size maps are logarithms of half sizes in this unit
constexpr double kSameFigure = 0.45;  // overlap of two boxes (intersection over union) that are one figure

double Overlap(const FoundFigure& a, const FoundFigure& b) {
  const Vec2 low = (a.centre - a.half_size).cwiseMax(b.centre - b.half_size);
  const Vec2 high = (a.centre + a.half_size).cwiseMin(b.centre + b.half_size);
  const Vec2 common = (high - low).cwiseMax(0.0);
  const double both = common.x() * common.y();
  return both / (4 * a.half_size.prod() + 4 * b.half_size.prod() - both + 1e-9);
}

double Sigmoid(double x) { return 1.0 / (1.0 + std::exp(-x)); }

}  // namespace

double CentreScore(const cv::Mat& centre_logits) {
  double most = 0;
  cv::minMaxLoc(centre_logits, nullptr, &most);
  return Sigmoid(most);
}

std::vector<FoundFigure> FindFigures(const NetworkOutput& output, const SquareView& view, double least) {
  const cv::Mat& centre = output.maps[kCentreMap];
  cv::Mat highest;
  cv::dilate(centre, highest, cv::Mat::ones(3, 3, CV_8U));
  std::vector<FoundFigure> found;
  for (int y = 0; y < centre.rows; ++y)
    for (int x = 0; x < centre.cols; ++x) {
      const float v = centre.at<float>(y, x);
      if (v < highest.at<float>(y, x) || Sigmoid(v) < least) continue;
      FoundFigure f;
      f.score = Sigmoid(v);
      f.centre = view.ToPicture({4.0 * x + 2.0, 4.0 * y + 2.0});
      f.half_size = view.step * kSizeUnit *
                    Vec2{std::exp(std::clamp<double>(output.maps[kHalfWidthMap].at<float>(y, x), -4, 1)),
                         std::exp(std::clamp<double>(output.maps[kHalfHeightMap].at<float>(y, x), -4, 1))};
      found.push_back(f);
    }
  std::stable_sort(found.begin(), found.end(), [](const auto& a, const auto& b) { return a.score > b.score; });
  std::vector<FoundFigure> kept;
  for (const FoundFigure& f : found)
    if (std::none_of(kept.begin(), kept.end(), [&](const FoundFigure& k) { return Overlap(f, k) > kSameFigure; })) kept.push_back(f);
  return kept;
}

}  // namespace armslength
