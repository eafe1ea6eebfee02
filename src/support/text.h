#pragma once
#include <span>
#include <string>
#include <string_view>

namespace armslength {

// The candidate with the smallest edit distance (insert, delete, replace, swap of
// neighbours), or "" when none is within `max_distance` and half of the longer name. Ties: the first.
[[nodiscard]] std::string NearestName(std::string_view name, std::span<const std::string_view> candidates,
                                      int max_distance = 4);

// "did you mean 'elbow_l'?" or a list of the valid names when nothing is near.
[[nodiscard]] std::string SuggestName(std::string_view name, std::span<const std::string_view> candidates);

// &, <, >, ", ' as HTML entities; control characters other than tab and newline dropped.
[[nodiscard]] std::string EscapeHtml(std::string_view text);

}  // namespace armslength
