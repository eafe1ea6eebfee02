#pragma once
#include <cstdint>

#include <QImage>

namespace armslength::app {

// How the canvas shows the picture. Mirror, turn and zoom are the view's own; these change pixels.
enum class ViewFilter : std::uint8_t { kColour, kGrey, kGroups };

// Where value groups part, CIE L*, ascending; count - 1 values.
struct GroupThresholds {
  int count = 0;
  double at_l[4] = {};
};

// One tile (premultiplied ARGB) as the filter shows it: grey by CIE L*, or flat value groups,
// each at the middle grey of its range. Transparent parts are seen on white. About 5 ns a
// pixel. Thread-safe.
[[nodiscard]] QImage Filtered(const QImage& tile, ViewFilter filter, const GroupThresholds& groups);

}  // namespace armslength::app
