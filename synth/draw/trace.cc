#include "synth/draw/trace.h"

#include <opencv2/imgproc.hpp>

namespace armslength {

Polyline TraceOutline(const Shape& shape, const Shape& less, int width, int height) {
  constexpr double kScale = 0.5;
  cv::Mat mask = cv::Mat::zeros(static_cast<int>(height * kScale), static_cast<int>(width * kScale), CV_8U);
  const auto fill = [&](const Shape& what, int value) {
    for (const auto& polygon : what.polygons) {
      std::vector<cv::Point> points;  // in sixteenths of a pixel; pixel centres at whole numbers
      for (const Vec2& p : polygon)
        points.emplace_back(static_cast<int>(std::lround((p.x() * kScale - 0.5) * 16)),
                            static_cast<int>(std::lround((p.y() * kScale - 0.5) * 16)));
      const std::vector<std::vector<cv::Point>> one{points};
      cv::fillPoly(mask, one, cv::Scalar(value), cv::LINE_8, 4);
    }
  };
  fill(shape, 255);
  fill(less, 0);
  std::vector<std::vector<cv::Point>> contours;
  cv::findContours(mask, contours, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_NONE);
  const std::vector<cv::Point>* best = nullptr;
  double most = 0.0;
  for (const auto& contour : contours)
    if (const double area = cv::contourArea(contour); area > most) {
      most = area;
      best = &contour;
    }
  Polyline out;
  if (best == nullptr) return out;
  std::vector<cv::Point> simple;
  cv::approxPolyDP(*best, simple, 1.0, true);
  for (const cv::Point& p : simple) out.emplace_back((p.x + 0.5) / kScale, (p.y + 0.5) / kScale);
  return out;
}

}  // namespace armslength
