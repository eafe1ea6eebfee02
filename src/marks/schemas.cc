#include "marks/schemas.h"

#include <algorithm>
#include <span>

#include "support/embedded.h"

namespace armslength {

std::span<const EmbeddedFile> EmbeddedFiles_schemas();

namespace {
constexpr std::string_view kEnding = ".schema.json";
}

std::string_view Schema(std::string_view name) {
  for (const EmbeddedFile& file : EmbeddedFiles_schemas())
    if (file.name.ends_with(kEnding) && file.name.substr(0, file.name.size() - kEnding.size()) == name)
      return file.content;
  return {};
}

std::vector<std::string_view> SchemaNames() {
  std::vector<std::string_view> names;
  for (const EmbeddedFile& file : EmbeddedFiles_schemas())
    if (file.name.ends_with(kEnding)) names.push_back(file.name.substr(0, file.name.size() - kEnding.size()));
  std::sort(names.begin(), names.end());
  return names;
}

}  // namespace armslength
