#pragma once
#include <filesystem>
#include <string>
#include <string_view>

#include "marks/figure.h"
#include "support/error.h"

namespace armslength {

// Reads a marks file (format "armslength-marks", version 1; data/schemas has the
// JSON Schema). Checks everything: JSON syntax, types, unknown fields and names (with
// the nearest valid one), finite numbers, points absurdly far outside the picture
// (more than one picture size beyond an edge), doubled figure names, too few points in
// rings (3) and areas (3). Errors: kInput with file and JSON place ("/figures/0/points/elbw_l").
[[nodiscard]] Result<Marks> LoadMarks(const std::filesystem::path& path);
[[nodiscard]] Result<Marks> ParseMarks(std::string_view json_text, const std::string& file_name);

// The file's text; LoadMarks gives the same Marks back (coordinates to 1e-6 px).
[[nodiscard]] std::string MarksToJson(const Marks& marks);
// Validates, then writes beside and renames.
[[nodiscard]] Result<void> SaveMarks(const Marks& marks, const std::filesystem::path& path);

}  // namespace armslength
