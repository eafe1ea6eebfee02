#pragma once
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "canon/canon.h"
#include "critique/critique.h"
#include "picture/picture.h"
#include "support/error.h"
#include "support/job.h"

namespace armslength {

// A figure of a marks file with the canon it is judged against.
struct FigureTask {
  FigureMarks marks;
  std::optional<Canon> canon;  // nothing: fitted with the figure
  const Picture* picture = nullptr;  // null: only what the marks say; REQUIRES: outlives the checks
};

struct FigureResult {
  FigureCritique figure;
  std::vector<Finding> findings;  // unranked
};

// The figures of `marks` with `canon_option` (name or file) or their own canons. Errors:
// kInput, naming the canon and for a figure's own one the marks file and its place.
[[nodiscard]] Result<std::vector<FigureTask>> FigureTasks(const Marks& marks, const std::filesystem::path& marks_file,
                                                          const std::optional<std::string>& canon_option);

// Everything that is asked about one figure: the one place where the readings and checks of
// body, head and what lies on the body meet. Errors: kCancelled. Thread-safe.
[[nodiscard]] Result<FigureResult> CheckFigure(const FigureTask& task, const JobControl& control);

// CheckFigure for all, in parallel, results in order.
[[nodiscard]] Result<std::vector<FigureResult>> CheckFigures(const std::vector<FigureTask>& tasks, int threads,
                                                             const JobControl& control);

}  // namespace armslength
