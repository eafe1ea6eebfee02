#include "app/canvas/view_filter.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "colour/planes.h"
#include "colour/spaces.h"

namespace armslength::app {
namespace {

// Grey value for each lightness level 0..255 (L* 0..100).
std::array<std::uint8_t, 256> GreyOfLevel(ViewFilter filter, const GroupThresholds& groups) {
  std::array<std::uint8_t, 256> map{};
  for (int i = 0; i < 256; ++i) {
    double l = LstarFromLevel(i);
    if (filter == ViewFilter::kGroups && groups.count >= 2) {
      int g = 0;
      while (g < groups.count - 1 && l >= groups.at_l[g]) ++g;
      l = 100.0 * (g + 0.5) / groups.count;
    }
    map[static_cast<std::size_t>(i)] = ToRgb8(ToLinear(ToXyz(Lab{l, 0.0, 0.0}, White::kD65))).g;
  }
  return map;
}

}  // namespace

QImage Filtered(const QImage& tile, ViewFilter filter, const GroupThresholds& groups) {
  if (filter == ViewFilter::kColour) return tile;
  const auto map = GreyOfLevel(filter, groups);
  const QImage straight = tile.convertToFormat(QImage::Format_RGBA8888);
  std::vector<std::uint8_t> level(static_cast<std::size_t>(tile.width()));
  QImage out(tile.size(), QImage::Format_ARGB32_Premultiplied);
  for (int y = 0; y < tile.height(); ++y) {
    LightnessRow(straight.constScanLine(y), level.size(), level.data(), AlphaRule::kOverWhite);
    auto* o = reinterpret_cast<QRgb*>(out.scanLine(y));
    for (const std::uint8_t l : level) {
      const auto grey = map[l];
      *o++ = qRgb(grey, grey, grey);
    }
  }
  return out;
}

}  // namespace armslength::app
