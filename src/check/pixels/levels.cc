#include "check/pixels/levels.h"

#include <algorithm>
#include <limits>

namespace armslength {

LevelSplit SplitLevels(std::span<const double> histogram, int groups) {
  const std::size_t n = histogram.size();
  std::vector<double> w(n + 1, 0.0), s(n + 1, 0.0), q(n + 1, 0.0);
  for (std::size_t i = 0; i < n; ++i) {
    const double v = static_cast<double>(i);
    w[i + 1] = w[i] + histogram[i];
    s[i + 1] = s[i] + histogram[i] * v;
    q[i + 1] = q[i] + histogram[i] * v * v;
  }
  const auto cost = [&](std::size_t a, std::size_t b) {  // bins [a, b)
    const double weight = w[b] - w[a];
    if (weight <= 0) return 0.0;
    const double sum = s[b] - s[a];
    return std::max(0.0, q[b] - q[a] - sum * sum / weight);
  };
  LevelSplit out;
  const double total = cost(0, n);
  const auto k = static_cast<std::size_t>(std::max(1, groups));
  std::vector<std::vector<double>> best(k + 1, std::vector<double>(n + 1, std::numeric_limits<double>::infinity()));
  std::vector<std::vector<std::size_t>> from(k + 1, std::vector<std::size_t>(n + 1, 0));
  best[0][0] = 0.0;
  for (std::size_t g = 1; g <= k; ++g)
    for (std::size_t b = g; b <= n; ++b)
      for (std::size_t a = g - 1; a < b; ++a) {
        const double v = best[g - 1][a] + cost(a, b);
        if (v < best[g][b]) {
          best[g][b] = v;
          from[g][b] = a;
        }
      }
  std::vector<std::size_t> edges = {n};
  for (std::size_t g = k, b = n; g > 0; --g) {
    b = from[g][b];
    edges.push_back(b);
  }
  std::reverse(edges.begin(), edges.end());
  for (std::size_t g = 0; g < k; ++g) {
    const std::size_t a = edges[g], b = edges[g + 1];
    const double weight = w[b] - w[a];
    if (g > 0) out.cuts.push_back(static_cast<int>(a));
    out.means.push_back(weight > 0 ? (s[b] - s[a]) / weight : (static_cast<double>(a) + static_cast<double>(b) - 1) / 2);
    out.shares.push_back(w[n] > 0 ? weight / w[n] : 0.0);
  }
  out.explained = total > 0 ? 1.0 - best[k][n] / total : 0.0;
  return out;
}

}  // namespace armslength
