#pragma once
#include <string_view>
#include <vector>

namespace armslength {

// JSON Schema 2020-12 text of one of our files: "marks", "canon", "critique" or "reading-line";
// empty for other names. The critique's definitions serve the reading line by its $id.
[[nodiscard]] std::string_view Schema(std::string_view name);
// The names above, in alphabetical order.
[[nodiscard]] std::vector<std::string_view> SchemaNames();

}  // namespace armslength
