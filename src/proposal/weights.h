#pragma once
#include <string_view>

namespace armslength {

// The weights as kept in data/proposal (layout: training/export.py).
[[nodiscard]] std::string_view BodyWeights();
[[nodiscard]] std::string_view HeadWeights();

}  // namespace armslength
