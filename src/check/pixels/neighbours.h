#pragma once
#include <cmath>
#include <cstdint>
#include <vector>

#include "check/pixels/strokes.h"

namespace armslength {

struct SampleRef {
  std::uint32_t stroke = 0, index = 0;
};

// All stroke samples sorted into square cells, for "what line runs beside this one".
class SampleGrid {
 public:
  SampleGrid(const StrokeGraph& graph, double cell_px, double width_px, double height_px)
      : graph_(graph), cell_(cell_px), nx_(static_cast<int>(width_px / cell_px) + 1), ny_(static_cast<int>(height_px / cell_px) + 1) {
    start_.assign(static_cast<std::size_t>(nx_) * static_cast<std::size_t>(ny_) + 1, 0);
    for (const Stroke& s : graph.strokes)
      for (const StrokeSample& p : s.samples) ++start_[Cell(p.x, p.y) + 1];
    for (std::size_t i = 1; i < start_.size(); ++i) start_[i] += start_[i - 1];
    refs_.resize(start_.back());
    std::vector<std::uint32_t> fill(start_.begin(), start_.end() - 1);
    for (std::uint32_t k = 0; k < graph.strokes.size(); ++k)
      for (std::uint32_t i = 0; i < graph.strokes[k].samples.size(); ++i) {
        const StrokeSample& p = graph.strokes[k].samples[i];
        refs_[fill[Cell(p.x, p.y)]++] = {k, i};
      }
  }

  [[nodiscard]] const StrokeSample& Get(SampleRef r) const { return graph_.strokes[r.stroke].samples[r.index]; }

  // visit(ref, sample, distance) for all samples within `reach_px` (at most one cell size).
  template <typename Visit>
  void Near(double x, double y, double reach_px, Visit&& visit) const {
    const int cx = Clamp(x, nx_), cy = Clamp(y, ny_);
    for (int j = cy - 1; j <= cy + 1; ++j)
      for (int i = cx - 1; i <= cx + 1; ++i) {
        if (i < 0 || j < 0 || i >= nx_ || j >= ny_) continue;
        const std::size_t cell = static_cast<std::size_t>(j) * static_cast<std::size_t>(nx_) + static_cast<std::size_t>(i);
        for (std::uint32_t k = start_[cell]; k < start_[cell + 1]; ++k) {
          const StrokeSample& p = Get(refs_[k]);
          const double dx = static_cast<double>(p.x) - x, dy = static_cast<double>(p.y) - y, d2 = dx * dx + dy * dy;
          if (d2 <= reach_px * reach_px) visit(refs_[k], p, std::sqrt(d2));
        }
      }
  }

 private:
  [[nodiscard]] int Clamp(double v, int n) const {
    const int i = static_cast<int>(v / cell_);
    return i < 0 ? 0 : i >= n ? n - 1 : i;
  }
  [[nodiscard]] std::size_t Cell(float x, float y) const {
    return static_cast<std::size_t>(Clamp(static_cast<double>(y), ny_)) * static_cast<std::size_t>(nx_) +
           static_cast<std::size_t>(Clamp(static_cast<double>(x), nx_));
  }
  const StrokeGraph& graph_;
  double cell_;
  int nx_, ny_;
  std::vector<std::uint32_t> start_;
  std::vector<SampleRef> refs_;
};

}  // namespace armslength
