#include "geometry/order.h"

#include <algorithm>
#include <cstddef>
#include <utility>

namespace armslength {

double Quantile(std::vector<double> values, double q) {
  if (values.empty()) return 0.0;
  const auto k = std::min(values.size() - 1, static_cast<std::size_t>(q * static_cast<double>(values.size())));
  std::nth_element(values.begin(), values.begin() + static_cast<std::ptrdiff_t>(k), values.end());
  return values[k];
}

double Median(std::vector<double> values) { return Quantile(std::move(values), 0.5); }

}  // namespace armslength
