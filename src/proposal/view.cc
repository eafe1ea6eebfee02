#include "proposal/view.h"

#include <algorithm>
#include <cmath>

#include <opencv2/imgproc.hpp>

namespace armslength {
namespace {

constexpr double kSmoothFrom = 1.5;   // picture px an input point: sharper views need no smoothing
constexpr double kSmoothing = 0.4;    // sd of the smoothing, input points

cv::Mat OnWhite(const cv::Mat& rgba) {
  cv::Mat bgr;
  cv::cvtColor(rgba, bgr, cv::COLOR_RGBA2BGR);
  for (int y = 0; y < rgba.rows; ++y) {
    const auto* from = rgba.ptr<cv::Vec4b>(y);
    auto* to = bgr.ptr<cv::Vec3b>(y);
    for (int x = 0; x < rgba.cols; ++x)
      if (const int a = from[x][3]; a != 255)
        for (int c = 0; c < 3; ++c) to[x][c] = static_cast<std::uint8_t>((to[x][c] * a + 255 * (255 - a) + 127) / 255);
  }
  return bgr;
}

}  // namespace

SquareView SquareView::About(const Vec2& centre, double size_px, double turn_rad, int side) {
  SquareView view;
  view.step = size_px / side;
  view.turn_rad = turn_rad;
  view.origin = centre - (view.ToPicture({side / 2.0, side / 2.0}) - view.origin);
  return view;
}

Vec2 SquareView::ToPicture(const Vec2& input) const {
  const double c = step * std::cos(turn_rad), s = step * std::sin(turn_rad);
  return origin + Vec2{c * input.x() - s * input.y(), s * input.x() + c * input.y()};
}

Vec2 SquareView::FromPicture(const Vec2& px) const {
  const Vec2 d = px - origin;
  const double c = std::cos(turn_rad) / step, s = std::sin(turn_rad) / step;
  return {c * d.x() + s * d.y(), -s * d.x() + c * d.y()};
}

cv::Mat Sample(const ImageRgba8& image, const SquareView& view, int side) {
  Vec2 low = view.origin, high = view.origin;
  for (const Vec2& corner : {Vec2(side, 0), Vec2(0, side), Vec2(side, side)}) {
    low = low.cwiseMin(view.ToPicture(corner));
    high = high.cwiseMax(view.ToPicture(corner));
  }
  const double margin = 3 * view.step + 2;
  const int x0 = std::clamp(static_cast<int>(low.x() - margin), 0, image.width), y0 = std::clamp(static_cast<int>(low.y() - margin), 0, image.height);
  const int x1 = std::clamp(static_cast<int>(high.x() + margin), 0, image.width), y1 = std::clamp(static_cast<int>(high.y() + margin), 0, image.height);
  cv::Mat out(side, side, CV_8UC3, cv::Scalar(255, 255, 255));
  if (x1 - x0 < 2 || y1 - y0 < 2) return out;
  const cv::Mat whole(image.height, image.width, CV_8UC4, const_cast<std::uint8_t*>(image.pixels.data()));
  cv::Mat part = OnWhite(whole(cv::Rect(x0, y0, x1 - x0, y1 - y0)));
  double fx = 1.0, fy = 1.0;  // px of the picture a px of `part`
  if (const int shrink = static_cast<int>(view.step / kSmoothFrom); shrink >= 2 && part.cols >= 2 * shrink && part.rows >= 2 * shrink) {
    cv::Mat small;
    cv::resize(part, small, {part.cols / shrink, part.rows / shrink}, 0, 0, cv::INTER_AREA);
    fx = static_cast<double>(part.cols) / small.cols;
    fy = static_cast<double>(part.rows) / small.rows;
    part = small;
  }
  if (const double left = view.step / fx; left > kSmoothFrom) cv::GaussianBlur(part, part, {}, kSmoothing * left);
  // pixel centres: input (i + 1/2) -> picture -> part index - 1/2
  const double c = view.step * std::cos(view.turn_rad), s = view.step * std::sin(view.turn_rad);
  const Vec2 first = view.ToPicture({0.5, 0.5});
  const cv::Matx23d m(c / fx, -s / fx, (first.x() - x0) / fx - 0.5, s / fy, c / fy, (first.y() - y0) / fy - 0.5);
  cv::warpAffine(part, out, m, {side, side}, cv::INTER_LINEAR | cv::WARP_INVERSE_MAP, cv::BORDER_CONSTANT, cv::Scalar(255, 255, 255));
  return out;
}

}  // namespace armslength
