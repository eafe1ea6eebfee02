#pragma once
#include <QPointF>

#include "picture/picture.h"

namespace armslength::app {

// Where a mark set at `at_px` most likely was meant to go: the centre line of the nearest dark
// stroke, else the nearest strong edge, within `reach_px`; `at_px` itself when there is neither.
// Looks at a window of the picture around the point only; well under a millisecond.
// Accuracy: about 0.3 px on a clean stroke of constant width.
[[nodiscard]] QPointF SnapToLine(const ImageRgba8& image, const QPointF& at_px, double reach_px);

}  // namespace armslength::app
