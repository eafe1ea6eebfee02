#pragma once
#include <cstdint>
#include <functional>
#include <vector>

namespace armslength {

// Connected parts of a row-wise described set, found on runs: cost follows the runs, not the pixels.
struct Run {
  int y = 0, x0 = 0, x1 = 0;  // [x0, x1)
  int part = 0;
};

struct Part {
  std::uint64_t area = 0;
  int x0 = 0, y0 = 0, x1 = 0, y1 = 0;  // bounding box, half open
};

struct Parts {
  std::vector<Run> runs;         // row by row, left to right
  std::vector<std::uint32_t> row_start;  // index of a row's first run; size height + 1
  std::vector<Part> parts;
  // Part at a pixel, -1 outside the set.
  [[nodiscard]] int At(int x, int y) const;
};

// `fill_row(y, add)` calls add(x0, x1) for the runs of row y, left to right. eight: diagonal
// neighbours belong together.
[[nodiscard]] Parts FindParts(int height, bool eight,
                              const std::function<void(int y, const std::function<void(int x0, int x1)>& add)>& fill_row);

}  // namespace armslength
