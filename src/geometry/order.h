#pragma once
#include <vector>

namespace armslength {

// The value that a share `q` (0..1) of `values` lies below, one of them, not between two; 0 when empty.
[[nodiscard]] double Quantile(std::vector<double> values, double q);
[[nodiscard]] double Median(std::vector<double> values);

}  // namespace armslength
