#pragma once
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "canon/canon.h"
#include "check/pixels/lit_limb.h"
#include "critique/critique.h"
#include "picture/picture.h"
#include "support/error.h"
#include "support/job.h"

namespace armslength {

// A figure of a marks file with the canon it is judged against.
struct FigureTask {
  FigureMarks marks;
  std::optional<Canon> canon;  // nothing: fitted with the figure
  std::optional<HeadProfile> character;  // head it is judged against; nothing: style is free
  std::optional<BodyReading> body;       // read already from these marks against this canon
  std::optional<HeadReading> head;       // read already, together with other drawings of the character
  const Picture* picture = nullptr;  // null: only what the marks say; REQUIRES: outlives the checks
};

struct FigureResult {
  FigureCritique figure;
  std::vector<Finding> findings;   // unranked
  std::vector<LitLimb> lit_limbs;  // for the picture's own checks; empty while marks are proposed and not confirmed
};

// The figures of `marks` with `canon_option` (name or file) or their own canons. `character`:
// file of a learned head; a figure that bears its name is judged against it, or every figure
// when none does. Errors: kInput, naming the canon or character file and for a figure's own
// canon the marks file and its place.
[[nodiscard]] Result<std::vector<FigureTask>> FigureTasks(const Marks& marks, const std::filesystem::path& marks_file,
                                                          const std::optional<std::string>& canon_option,
                                                          const std::optional<std::filesystem::path>& character = {});

// Heads of figures that bear the same name are read together as drawings of one character,
// each judged against what the others say (ReadCharacter); the tasks then hold the readings.
// Figures without a name or alone with theirs stay as they are. Errors: kCancelled.
[[nodiscard]] Result<void> ReadHeadsTogether(std::vector<FigureTask>& tasks, const JobControl& control);

// Everything that is asked about one figure: the one place where the readings and checks of
// body, head and what lies on the body meet. `threads`: of the body's scan; 0: all cores.
// Errors: kCancelled. Thread-safe.
[[nodiscard]] Result<FigureResult> CheckFigure(const FigureTask& task, const JobControl& control, int threads = 1);

// CheckFigure for all, in parallel, results in order.
[[nodiscard]] Result<std::vector<FigureResult>> CheckFigures(const std::vector<FigureTask>& tasks, int threads,
                                                             const JobControl& control);

}  // namespace armslength
