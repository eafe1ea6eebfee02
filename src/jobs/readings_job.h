#pragma once
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "support/error.h"
#include "support/job.h"

namespace armslength {

struct ReadingsJobOptions {
  std::vector<std::filesystem::path> marks;
  std::optional<std::string> canon;  // as in CritiqueJobOptions
  std::optional<std::filesystem::path> character;  // as in CritiqueJobOptions
  bool together = false;             // heads of figures of one name are read as one character's
  int threads = 0;                   // 0: all cores
  JobControl control;
};

// Reads many marks files without their pictures: one JSON line each (see ReadingLine), in
// the order given. All files and their canons are read and checked first: the first one
// that is wrong is the error (kInput) and there are no lines at all, so that a broken file
// is never silently missing from a batch. Errors: also kCancelled.
[[nodiscard]] Result<std::vector<std::string>> RunReadings(const ReadingsJobOptions& options);

}  // namespace armslength
