#pragma once
#include <vector>

#include "check/pixels/picture_checks.h"
#include "jobs/figure_checks.h"

namespace armslength {

// All that was asked of one picture and of the figures on it.
struct WholeChecks {
  std::vector<FigureCritique> figures;
  std::vector<Finding> findings;  // unranked: the figures', then the picture's
  PictureReport picture;          // all but its findings
};

// The one place where the figures' checks meet the picture's own: bodies and limbs read from confirmed marks sharpen those, and the
// light, which both are asked for, gets one answer. `figures`: as CheckFigures gives them. `options`: all but `readings` and
// `lit_limbs`, which come from `figures`. Errors: as CheckPicture. Thread-safe.
[[nodiscard]] Result<WholeChecks> CheckWhole(const Picture& picture, std::vector<FigureResult> figures, PictureCheckOptions options);

}  // namespace armslength
