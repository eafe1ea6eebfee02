#pragma once
#include <string_view>
#include <vector>

namespace armslength {

// JSON Schema 2020-12 text of one of our files: "marks", "canon", "character", "critique" or
// "reading-line"; empty for other names. Each stands alone.
[[nodiscard]] std::string_view Schema(std::string_view name);
// All names, in alphabetical order.
[[nodiscard]] std::vector<std::string_view> SchemaNames();

}  // namespace armslength
