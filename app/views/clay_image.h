#pragma once
#include <functional>

#include <QImage>
#include <QSize>

#include "app/views/clay.h"

namespace armslength::app {

struct ClayLook {
  bool dark = false;           // for a dark ground
  double outline_px = 3.6;     // image px
  double contour_px = 1.4;
};

// The clay with soft light from over the viewer's left shoulder, contour lines on it, and an outline
// wherever one part stands clearly in front of another or of nothing; parts that run into each
// other have none. `turn`: body space to the view's. `place`: a turned point to image px. Depth
// is tested by pixel, so parts may run through each other.
[[nodiscard]] QImage DrawClay(const ClayBody& body, const QSize& size, const std::function<Vec3(const Vec3&)>& turn,
                              const std::function<QPointF(const Vec3&)>& place, const ClayLook& look);

}  // namespace armslength::app
