#pragma once
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "critique/critique.h"
#include "support/error.h"
#include "support/job.h"

namespace armslength {

struct CritiqueJobOptions {
  std::filesystem::path picture;               // REQUIRED
  std::optional<std::filesystem::path> marks;  // nothing: only what the picture says by itself
  bool propose = false;                        // without marks: propose them where figures are found
  // Built-in name or canon file for every figure; nothing: what each figure declares, a
  // file named there being looked for beside the marks file.
  std::optional<std::string> canon;
  // File of a learned head (see `canon from-marks`); judged against it are the figures that
  // bear its name, or all when none does.
  std::optional<std::filesystem::path> character;
  std::optional<Stage> stage;                  // what is asked by the end of this stage
  std::filesystem::path out_dir;               // made when missing; used by RunCritique only
  int threads = 0;                             // 0: all cores
  JobControl control;
};

struct CritiqueOutcome {
  Critique critique;
  std::vector<std::string> notes;             // checks that were left out and why
  std::vector<std::filesystem::path> files;   // written, in a fixed order
};

// Loads, reads and checks, and writes nothing. Errors: kInput for a picture, marks or canon
// that cannot be used, or marks that belong to a picture of another size; kCancelled.
[[nodiscard]] Result<CritiqueOutcome> EvaluateCritique(const CritiqueJobOptions& options);

// The same, and writes into out_dir: critique.json, critique.html, overlay.png, guides.ora,
// with marks standing.png, and for each of the first findings with a place
// guide-NN-ID.png and .svg. All files are made in a hidden folder inside out_dir and put in
// place together at the end; when anything fails or is cancelled, out_dir is as it was.
// Guides of an earlier critique in the same folder are replaced. The picture and the marks
// are only read; an out_dir where a result would take their place is refused (kUsage).
[[nodiscard]] Result<CritiqueOutcome> RunCritique(const CritiqueJobOptions& options);

}  // namespace armslength
