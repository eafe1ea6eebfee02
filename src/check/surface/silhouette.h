#pragma once
#include <optional>

#include <opencv2/core.hpp>

#include "check/body/body_facts.h"
#include "picture/picture.h"

// What the figure covers in the picture, reduced. Private to check/surface.
namespace armslength::surface_check {

class Silhouette {
 public:
  // From the area "figure" when the artist outlined it, else from alpha, layers or a flat background.
  // Nothing when none of these tells figure and ground apart, or when few of the marks lie in it.
  [[nodiscard]] static std::optional<Silhouette> Of(const body_check::BodyFacts& facts, const Picture* picture);

  [[nodiscard]] bool Covers(const Vec2& at_px) const;
  // Distance from a covered place to the first edge along `way`; nothing when the place is not
  // covered or no edge comes within `most_px`.
  [[nodiscard]] std::optional<double> ToEdge(const Vec2& from_px, const Vec2& way, double most_px) const;
  [[nodiscard]] double PixelPx() const { return factor_; }  // picture px per pixel of the mask: accuracy of an edge

 private:
  cv::Mat mask_;  // CV_8U, 255 covered
  double factor_ = 1.0;
};

}  // namespace armslength::surface_check
