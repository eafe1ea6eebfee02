#include "check/pixels/palette.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "colour/spaces.h"

namespace armslength {
namespace {

struct Point {
  std::array<double, 3> at{};
  double weight = 0.0;
};

double Distance2(const std::array<double, 3>& p, const std::array<double, 3>& q) {
  double d = 0;
  for (std::size_t k = 0; k < 3; ++k) d += (p[k] - q[k]) * (p[k] - q[k]);
  return d;
}

}  // namespace

std::vector<PaletteColour> FindPalette(std::span<const ColourCell> cells, const PaletteOptions& options) {
  std::vector<Point> points;
  double total = 0;
  for (const ColourCell& cell : cells) {
    if (cell.count == 0) continue;
    const auto byte = [&](std::uint32_t sum) { return static_cast<std::uint8_t>((sum + cell.count / 2) / cell.count); };
    const Oklab lab = ToOklab(Rgb8{byte(cell.r), byte(cell.g), byte(cell.b)});
    points.push_back({{lab.L, lab.a, lab.b}, static_cast<double>(cell.count)});
    total += cell.count;
  }
  if (points.empty()) return {};
  // Farthest first, weighted so that a single odd pixel does not take a place.
  std::vector<std::array<double, 3>> centres;
  std::vector<double> nearest(points.size(), std::numeric_limits<double>::infinity());
  std::size_t pick = 0;
  for (std::size_t i = 0; i < points.size(); ++i)
    if (points[i].weight > points[pick].weight) pick = i;
  while (static_cast<int>(centres.size()) < options.start_colours) {
    centres.push_back(points[pick].at);
    double best = 0;
    std::size_t next = points.size();
    for (std::size_t i = 0; i < points.size(); ++i) {
      nearest[i] = std::min(nearest[i], Distance2(points[i].at, centres.back()));
      const double v = nearest[i] * std::sqrt(points[i].weight);
      if (v > best && nearest[i] > 1e-4) {
        best = v;
        next = i;
      }
    }
    if (next == points.size()) break;
    pick = next;
  }
  std::vector<std::size_t> of(points.size(), 0);
  std::vector<double> weights;
  for (int round = 0; round < options.rounds; ++round) {
    std::vector<std::array<double, 3>> sum(centres.size(), {0, 0, 0});
    weights.assign(centres.size(), 0.0);
    bool moved = false;
    for (std::size_t i = 0; i < points.size(); ++i) {
      double best = std::numeric_limits<double>::infinity();
      std::size_t k = 0;
      for (std::size_t j = 0; j < centres.size(); ++j) {
        const double d = Distance2(points[i].at, centres[j]);
        if (d < best) {
          best = d;
          k = j;
        }
      }
      moved = moved || of[i] != k;
      of[i] = k;
      weights[k] += points[i].weight;
      for (std::size_t e = 0; e < 3; ++e) sum[k][e] += points[i].weight * points[i].at[e];
    }
    for (std::size_t k = 0; k < centres.size(); ++k)
      if (weights[k] > 0)
        for (std::size_t e = 0; e < 3; ++e) centres[k][e] = sum[k][e] / weights[k];
    if (!moved && round > 0) break;
  }
  // One colour, not two, when nearly the same.
  while (true) {
    double best = options.merge_distance * options.merge_distance;
    std::size_t bi = 0, bj = 0;
    for (std::size_t i = 0; i < centres.size(); ++i)
      for (std::size_t j = i + 1; j < centres.size(); ++j)
        if (weights[i] > 0 && weights[j] > 0 && Distance2(centres[i], centres[j]) < best) {
          best = Distance2(centres[i], centres[j]);
          bi = i;
          bj = j;
        }
    if (bj == 0) break;
    const double w = weights[bi] + weights[bj];
    for (std::size_t e = 0; e < 3; ++e) centres[bi][e] = (centres[bi][e] * weights[bi] + centres[bj][e] * weights[bj]) / w;
    weights[bi] = w;
    weights[bj] = 0;
  }
  std::vector<PaletteColour> out;
  for (std::size_t k = 0; k < centres.size(); ++k) {
    if (weights[k] < options.least_share * total) continue;
    const Oklab lab{centres[k][0], centres[k][1], centres[k][2]};
    const Rgb8 rgb = ToRgb8(ToLinear(ToXyz(lab)));
    const Lch lch = ToLch(lab);
    out.push_back({{rgb.r, rgb.g, rgb.b}, weights[k] / total, lab.L, lch.chroma, lch.hue_rad * 180.0 / std::numbers::pi});
  }
  std::stable_sort(out.begin(), out.end(), [](const PaletteColour& a, const PaletteColour& b) { return a.share > b.share; });
  return out;
}

}  // namespace armslength
