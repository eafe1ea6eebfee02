#pragma once
#include <string>
#include <vector>

#include "critique/critique.h"

namespace armslength {

// critique.json (format "armslength-critique", version 1; data/schemas/critique.schema.json):
// indented, keys in a fixed order, findings in ranked order. Numbers are rounded: 4
// significant digits, places 0.01 px. A number that is not finite or not known is left
// out, never written as null or NaN. Text that is not UTF-8 has its bad bytes replaced.
[[nodiscard]] std::string CritiqueToJson(const Critique& critique);

// The same findings as one line, for reading many marks files: {"file", "figures",
// "findings"}, ids and verdicts as in critique.json, without a newline at the end.
[[nodiscard]] std::string ReadingLine(const std::string& file, const Critique& critique);

}  // namespace armslength
