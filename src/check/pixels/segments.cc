#include "check/pixels/segments.h"

#include <algorithm>
#include <cmath>
#include <numeric>

namespace armslength {
namespace {
// Scaling all of red, green and blue by one factor scales L, a and b of OKLab alike, so a/L and
// b/L tell the material whatever falls on it.
constexpr float kMaterialStep = 0.03f;
constexpr float kLightStep = 32.0f;  // L* between neighbours; more is a line or another thing
}  // namespace

std::vector<Segment> FindSegments(const PictureContext& c, double least_share, std::size_t most) {
  const SmallField& s = c.small;
  const std::size_t n = s.l.size();
  std::vector<std::uint32_t> parent(n);
  std::iota(parent.begin(), parent.end(), 0u);
  const auto root = [&](std::uint32_t i) {
    while (parent[i] != i) i = parent[i] = parent[parent[i]];
    return i;
  };
  std::vector<float> u(n), v(n);
  std::vector<std::uint8_t> in(n);
  double total = 0;
  for (std::size_t i = 0; i < n; ++i) {
    const float l = std::max(0.08f, s.ok_l[i]);
    u[i] = s.a[i] / l;
    v[i] = s.b[i] / l;
    const bool figure = s.seen[i] && (c.split.by == SplitBy::kNone || c.split.mask[i] != 0);
    total += figure;
    in[i] = figure && s.ink[i] < 64;
  }
  const auto join = [&](std::size_t i, std::size_t j) {
    if (!in[i] || !in[j]) return;
    if (std::abs(s.l[i] - s.l[j]) > kLightStep) return;
    if (std::abs(u[i] - u[j]) > kMaterialStep || std::abs(v[i] - v[j]) > kMaterialStep) {
      // A painted shadow leans to another hue, but not to another family: within 22 degrees a pixel.
      const float ci = u[i] * u[i] + v[i] * v[i], cj = u[j] * u[j] + v[j] * v[j];
      const float dot = u[i] * u[j] + v[i] * v[j];
      if (std::min(ci, cj) < 0.0016f || dot < 0 || dot * dot < 0.86f * ci * cj || std::max(ci, cj) > 4.0f * std::min(ci, cj)) return;
    }
    const std::uint32_t a = root(static_cast<std::uint32_t>(i)), b = root(static_cast<std::uint32_t>(j));
    if (a != b) parent[std::max(a, b)] = std::min(a, b);
  };
  for (int y = 0; y < s.height; ++y)
    for (int x = 0; x < s.width; ++x) {
      const std::size_t i = s.At(x, y);
      if (x > 0) join(i, i - 1);
      if (y > 0) join(i, i - static_cast<std::size_t>(s.width));
    }
  std::vector<std::uint32_t> count(n, 0);
  for (std::size_t i = 0; i < n; ++i)
    if (in[i]) ++count[root(static_cast<std::uint32_t>(i))];
  std::vector<std::uint32_t> roots;
  for (std::uint32_t i = 0; i < n; ++i)
    if (count[i] > 0 && count[i] >= least_share * total && count[i] >= 64) roots.push_back(i);
  std::stable_sort(roots.begin(), roots.end(), [&](std::uint32_t a, std::uint32_t b) { return count[a] > count[b]; });
  if (roots.size() > most) roots.resize(most);
  std::vector<std::int32_t> slot(n, -1);
  std::vector<Segment> out(roots.size());
  for (std::size_t k = 0; k < roots.size(); ++k) {
    slot[roots[k]] = static_cast<std::int32_t>(k);
    out[k].pixels.reserve(count[roots[k]]);
    out[k].share = count[roots[k]] / std::max(1.0, total);
  }
  for (std::size_t i = 0; i < n; ++i) {
    if (!in[i]) continue;
    const std::int32_t k = slot[root(static_cast<std::uint32_t>(i))];
    if (k >= 0) out[static_cast<std::size_t>(k)].pixels.push_back(static_cast<std::uint32_t>(i));
  }
  for (Segment& segment : out) {
    double x = 0, y = 0;
    for (const std::uint32_t i : segment.pixels) {
      x += static_cast<double>(i % static_cast<std::uint32_t>(s.width));
      y += static_cast<double>(i / static_cast<std::uint32_t>(s.width));
    }
    segment.ax = (x / static_cast<double>(segment.pixels.size()) + 0.5) * s.factor;
    segment.ay = (y / static_cast<double>(segment.pixels.size()) + 0.5) * s.factor;
  }
  return out;
}

}  // namespace armslength
