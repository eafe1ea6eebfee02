#include "check/pixels/paints.h"

#include <algorithm>
#include <cmath>

namespace armslength {
namespace {

constexpr double kSamePaint = 0.09;  // OKLab a, b over L between light and shadow of one paint

}  // namespace

std::vector<std::uint8_t> Paints(std::span<const Oklab> pixels, std::size_t& count) {
  constexpr double kCell = 0.02;
  constexpr int kHalf = 40, kGrid = 2 * kHalf + 1;
  const auto cell = [&](const Oklab& c) {
    const auto at = [&](double v) {
      return std::clamp(static_cast<int>(std::lround(v / std::max(0.08, c.L) / kCell)), -kHalf, kHalf) + kHalf;
    };
    return static_cast<std::size_t>(at(c.b) * kGrid + at(c.a));
  };
  std::vector<std::uint32_t> n(kGrid * kGrid, 0);
  for (const Oklab& c : pixels) ++n[cell(c)];
  std::vector<std::size_t> order;
  for (std::size_t k = 0; k < n.size(); ++k)
    if (n[k] > 0) order.push_back(k);
  std::ranges::stable_sort(order, [&](std::size_t a, std::size_t b) { return n[a] > n[b]; });
  std::vector<std::uint8_t> paint(n.size(), 0);
  constexpr int kNear = static_cast<int>(kSamePaint / kCell);
  count = 0;
  for (const std::size_t k : order) {
    if (paint[k] != 0 || count == 8) continue;
    ++count;
    const int x = static_cast<int>(k) % kGrid, y = static_cast<int>(k) / kGrid;
    for (int j = std::max(0, y - kNear); j <= std::min(kGrid - 1, y + kNear); ++j)
      for (int i = std::max(0, x - kNear); i <= std::min(kGrid - 1, x + kNear); ++i) {
        std::uint8_t& own = paint[static_cast<std::size_t>(j * kGrid + i)];
        if (own == 0 && (i - x) * (i - x) + (j - y) * (j - y) <= kNear * kNear) own = static_cast<std::uint8_t>(count);
      }
  }
  std::vector<std::uint8_t> out(pixels.size());
  for (std::size_t k = 0; k < pixels.size(); ++k) out[k] = paint[cell(pixels[k])];
  return out;
}

}  // namespace armslength
