#include "app/canvas/snap.h"

#include <algorithm>
#include <cmath>
#include <vector>

namespace armslength::app {
namespace {

// Luma is enough to find strokes by; 0..255, transparent counts as white.
double Luma(const ImageRgba8& image, int x, int y) {
  const std::uint8_t* p = image.At(std::clamp(x, 0, image.width - 1), std::clamp(y, 0, image.height - 1));
  const double l = 0.2126 * p[0] + 0.7152 * p[1] + 0.0722 * p[2];
  return l + (255.0 - l) * (255 - p[3]) / 255.0;
}

}  // namespace

QPointF SnapToLine(const ImageRgba8& image, const QPointF& at, double reach) {
  const int r = static_cast<int>(std::ceil(std::clamp(reach, 2.0, 40.0)));
  const int x0 = static_cast<int>(std::floor(at.x())), y0 = static_cast<int>(std::floor(at.y()));
  if (x0 < 0 || y0 < 0 || x0 >= image.width || y0 >= image.height) return at;
  const int margin = r + 2, n = 2 * margin + 1;
  std::vector<double> l(static_cast<std::size_t>(n) * static_cast<std::size_t>(n));
  const auto value = [&](int x, int y) -> double& {
    return l[static_cast<std::size_t>(y) * static_cast<std::size_t>(n) + static_cast<std::size_t>(x)];
  };
  for (int y = 0; y < n; ++y)
    for (int x = 0; x < n; ++x) value(x, y) = Luma(image, x0 - margin + x, y0 - margin + y);

  // Darkness of a stroke against both its sides, tried in four directions.
  double best = 0.0;
  QPointF where = at;
  const int dirs[4][2] = {{1, 0}, {0, 1}, {1, 1}, {1, -1}};
  for (int y = 2; y < n - 2; ++y)
    for (int x = 2; x < n - 2; ++x) {
      const QPointF here(x0 - margin + x + 0.5, y0 - margin + y + 0.5);
      const double distance = std::hypot(here.x() - at.x(), here.y() - at.y());
      if (distance > reach) continue;
      for (const auto& d : dirs) {
        double dark_from = -1.0, dark_to = -1.0;
        const double middle = value(x, y);
        if (middle > 150.0) break;
        // Walk out of the stroke both ways; its middle is the centre line.
        const auto walk = [&](int sign) {
          for (int k = 1; k <= r; ++k) {
            const int px = x + sign * k * d[0], py = y + sign * k * d[1];
            if (px < 0 || py < 0 || px >= n || py >= n) return -1.0;
            const double v = value(px, py);
            if (v > middle + 50.0) {
              const double before = value(px - sign * d[0], py - sign * d[1]);
              const double half = middle + 0.5 * (v - middle);
              return k - 1 + std::clamp((half - before) / std::max(1.0, v - before), 0.0, 1.0);
            }
          }
          return -1.0;
        };
        dark_to = walk(1);
        dark_from = walk(-1);
        if (dark_to < 0.0 || dark_from < 0.0 || dark_to + dark_from > 0.8 * reach) continue;
        const double score = (255.0 - middle) * (1.0 - 0.6 * distance / reach) / (1.0 + 0.15 * (dark_to + dark_from));
        if (score > best) {
          best = score;
          const double shift = (dark_to - dark_from) / 2.0;
          where = here + QPointF(shift * d[0], shift * d[1]);
        }
      }
    }
  if (best > 40.0) return where;

  // No stroke: the strongest edge.
  double strongest = 24.0;
  for (int y = 1; y < n - 1; ++y)
    for (int x = 1; x < n - 1; ++x) {
      const QPointF here(x0 - margin + x + 0.5, y0 - margin + y + 0.5);
      const double distance = std::hypot(here.x() - at.x(), here.y() - at.y());
      if (distance > reach) continue;
      const double gx = value(x + 1, y) - value(x - 1, y), gy = value(x, y + 1) - value(x, y - 1);
      const double edge = std::hypot(gx, gy) * (1.0 - 0.6 * distance / reach);
      if (edge > strongest) {
        strongest = edge;
        where = here;
      }
    }
  return where;
}

}  // namespace armslength::app
