#pragma once
#include <algorithm>
#include <cstddef>
#include <span>
#include <vector>

namespace armslength {

// Bin of a value in bytes, rounded; lround is a call and these run over whole pictures.
[[nodiscard]] inline std::size_t LevelBin(double bytes) {
  return static_cast<std::size_t>(std::clamp(static_cast<int>(bytes + 0.5), 0, 255));
}

// Best split of a histogram into `groups` neighbouring groups: the one with the least variance inside
// the groups, exactly (dynamic programming over all cuts, O(groups * bins^2)). For two groups this is
// Otsu's threshold; source: Otsu 1979, IEEE SMC 9(1), multi-level form; Fisher 1958 for the exactness.
struct LevelSplit {
  std::vector<int> cuts;        // first bin of groups 1.., ascending
  std::vector<double> means;    // in bins
  std::vector<double> shares;   // of the total weight
  double explained = 0.0;       // between-group share of the variance, 0..1
};
[[nodiscard]] LevelSplit SplitLevels(std::span<const double> histogram, int groups);

}  // namespace armslength
