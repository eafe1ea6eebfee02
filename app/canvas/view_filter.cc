#include "app/canvas/view_filter.h"

#include <array>
#include <cmath>

namespace armslength::app {
namespace {

// CIE L* of an 8-bit sRGB pixel through linear-light tables; the cube root by a table of
// 4096 steps (error under 0.1 L*, far under one grey step).
struct LightnessTables {
  std::array<float, 256> linear{};
  std::array<std::uint8_t, 4097> grey_of_y{};   // sRGB grey with the same L*
  std::array<float, 4097> l_of_y{};

  LightnessTables() {
    for (int i = 0; i < 256; ++i) {
      const double v = i / 255.0;
      linear[static_cast<std::size_t>(i)] =
          static_cast<float>(v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4));
    }
    for (int i = 0; i <= 4096; ++i) {
      const double y = i / 4096.0;
      const double s = y <= 0.0031308 ? 12.92 * y : 1.055 * std::pow(y, 1.0 / 2.4) - 0.055;
      grey_of_y[static_cast<std::size_t>(i)] = static_cast<std::uint8_t>(std::lround(255.0 * s));
      const double f = y > 216.0 / 24389.0 ? std::cbrt(y) : (24389.0 / 27.0 * y + 16.0) / 116.0;
      l_of_y[static_cast<std::size_t>(i)] = static_cast<float>(116.0 * f - 16.0);
    }
  }
};

const LightnessTables& Tables() {
  static const LightnessTables tables;
  return tables;
}

}  // namespace

QImage Filtered(const QImage& tile, ViewFilter filter, const GroupThresholds& groups) {
  if (filter == ViewFilter::kColour) return tile;
  const auto& t = Tables();
  std::array<std::uint8_t, 4097> map = t.grey_of_y;
  if (filter != ViewFilter::kGrey && groups.count >= 2) {
    for (std::size_t i = 0; i < map.size(); ++i) {
      int g = 0;
      while (g < groups.count - 1 && t.l_of_y[i] >= groups.at_l[g]) ++g;
      map[i] = static_cast<std::uint8_t>(std::lround(255.0 * (g + 0.5) / groups.count));
    }
  }
  QImage out(tile.size(), QImage::Format_ARGB32_Premultiplied);
  for (int y = 0; y < tile.height(); ++y) {
    const auto* in = reinterpret_cast<const QRgb*>(tile.constScanLine(y));
    auto* o = reinterpret_cast<QRgb*>(out.scanLine(y));
    for (int x = 0; x < tile.width(); ++x) {
      const QRgb p = in[x];
      // Transparent parts are seen on the page's white.
      const int rest = 255 - qAlpha(p);
      const auto lin = [&](int c) { return t.linear[static_cast<std::size_t>(std::min(255, c + rest))]; };
      const float luminance = 0.2126f * lin(qRed(p)) + 0.7152f * lin(qGreen(p)) + 0.0722f * lin(qBlue(p));
      const auto grey = map[static_cast<std::size_t>(luminance * 4096.0f + 0.5f)];
      o[x] = qRgb(grey, grey, grey);
    }
  }
  return out;
}

}  // namespace armslength::app
