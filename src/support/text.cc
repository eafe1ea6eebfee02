#include "support/text.h"

#include <algorithm>
#include <vector>

namespace armslength {
namespace {

// Optimal string alignment distance (Damerau 1964 without overlapping swaps).
int EditDistance(std::string_view a, std::string_view b) {
  std::vector<std::vector<int>> d(a.size() + 1, std::vector<int>(b.size() + 1));
  for (std::size_t i = 0; i <= a.size(); ++i) d[i][0] = static_cast<int>(i);
  for (std::size_t j = 0; j <= b.size(); ++j) d[0][j] = static_cast<int>(j);
  for (std::size_t i = 1; i <= a.size(); ++i)
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const int cost = a[i - 1] == b[j - 1] ? 0 : 1;
      d[i][j] = std::min({d[i - 1][j] + 1, d[i][j - 1] + 1, d[i - 1][j - 1] + cost});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        d[i][j] = std::min(d[i][j], d[i - 2][j - 2] + 1);
    }
  return d[a.size()][b.size()];
}

}  // namespace

std::string NearestName(std::string_view name, std::span<const std::string_view> candidates, int max_distance) {
  // Names can be as long as the file that holds them; none of ours is near such a one.
  if (name.size() > 64) return {};
  int best = max_distance + 1;
  std::string_view nearest;
  for (const auto candidate : candidates) {
    const int d = EditDistance(name, candidate);
    // Of short names too little is left for a guess when half of the letters differ.
    if (d < best && 2 * d <= static_cast<int>(std::max(name.size(), candidate.size()))) {
      best = d;
      nearest = candidate;
    }
  }
  return std::string(nearest);
}

std::string SuggestName(std::string_view name, std::span<const std::string_view> candidates) {
  if (const auto nearest = NearestName(name, candidates); !nearest.empty()) return "Did you mean '" + nearest + "'?";
  std::string list;
  for (const auto candidate : candidates) list += (list.empty() ? "" : ", ") + std::string(candidate);
  return "Valid names: " + list;
}

std::string EscapeHtml(std::string_view text) {
  std::string out;
  out.reserve(text.size());
  for (const char c : text) {
    switch (c) {
      case '&': out += "&amp;"; break;
      case '<': out += "&lt;"; break;
      case '>': out += "&gt;"; break;
      case '"': out += "&quot;"; break;
      case '\'': out += "&#39;"; break;
      default:
        if (static_cast<unsigned char>(c) >= 0x20 || c == '\t' || c == '\n') out += c;
    }
  }
  return out;
}

}  // namespace armslength
