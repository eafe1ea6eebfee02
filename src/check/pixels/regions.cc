#include "check/pixels/regions.h"

#include <algorithm>
#include <numeric>

namespace armslength {

int Parts::At(int x, int y) const {
  if (y < 0 || y + 1 >= static_cast<int>(row_start.size())) return -1;
  const auto begin = runs.begin() + row_start[static_cast<std::size_t>(y)];
  const auto end = runs.begin() + row_start[static_cast<std::size_t>(y) + 1];
  auto it = std::upper_bound(begin, end, x, [](int v, const Run& r) { return v < r.x0; });
  if (it == begin) return -1;
  --it;
  return x < it->x1 ? it->part : -1;
}

Parts FindParts(int height, bool eight,
                const std::function<void(int, const std::function<void(int, int)>&)>& fill_row) {
  Parts out;
  std::vector<int> parent;
  const auto root = [&](int i) {
    while (parent[static_cast<std::size_t>(i)] != i) {
      parent[static_cast<std::size_t>(i)] = parent[static_cast<std::size_t>(parent[static_cast<std::size_t>(i)])];
      i = parent[static_cast<std::size_t>(i)];
    }
    return i;
  };
  out.row_start.reserve(static_cast<std::size_t>(height) + 1);
  const int slack = eight ? 1 : 0;
  std::size_t above_begin = 0, above_end = 0;
  for (int y = 0; y < height; ++y) {
    const std::size_t begin = out.runs.size();
    out.row_start.push_back(static_cast<std::uint32_t>(begin));
    fill_row(y, [&](int x0, int x1) { out.runs.push_back({y, x0, x1, -1}); });
    std::size_t above = above_begin;
    for (std::size_t i = begin; i < out.runs.size(); ++i) {
      Run& run = out.runs[i];
      while (above < above_end && out.runs[above].x1 + slack <= run.x0) ++above;
      for (std::size_t k = above; k < above_end && out.runs[k].x0 < run.x1 + slack; ++k) {
        const int other = root(out.runs[k].part);
        if (run.part < 0) {
          run.part = other;
        } else {
          const int own = root(run.part);
          parent[static_cast<std::size_t>(std::max(own, other))] = std::min(own, other);
        }
      }
      if (run.part < 0) {
        run.part = static_cast<int>(parent.size());
        parent.push_back(run.part);
      }
    }
    above_begin = begin;
    above_end = out.runs.size();
  }
  out.row_start.push_back(static_cast<std::uint32_t>(out.runs.size()));
  std::vector<int> number(parent.size(), -1);
  for (std::size_t i = 0; i < parent.size(); ++i)
    if (parent[i] == static_cast<int>(i)) {
      number[i] = static_cast<int>(out.parts.size());
      out.parts.push_back({0, INT32_MAX, INT32_MAX, 0, 0});
    }
  for (Run& run : out.runs) {
    run.part = number[static_cast<std::size_t>(root(run.part))];
    Part& part = out.parts[static_cast<std::size_t>(run.part)];
    part.area += static_cast<std::uint64_t>(run.x1 - run.x0);
    part.x0 = std::min(part.x0, run.x0);
    part.x1 = std::max(part.x1, run.x1);
    part.y0 = std::min(part.y0, run.y);
    part.y1 = std::max(part.y1, run.y + 1);
  }
  return out;
}

}  // namespace armslength
