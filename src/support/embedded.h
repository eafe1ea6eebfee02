#pragma once
#include <span>
#include <string_view>

namespace armslength {

// A data file built into the program (cmake/Embed.cmake makes the tables).
struct EmbeddedFile {
  std::string_view name;     // base name, e.g. "adult-7.5.canon.json"
  std::string_view content;  // UTF-8 text
};

}  // namespace armslength
