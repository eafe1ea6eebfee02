#include "jobs/whole_checks.h"

#include <algorithm>
#include <iterator>
#include <utility>

#include "check/one_light.h"

namespace armslength {

Result<WholeChecks> CheckWhole(const Picture& picture, std::vector<FigureResult> figures, PictureCheckOptions options) {
  WholeChecks out;
  options.readings.clear();
  options.lit_limbs.clear();
  for (FigureResult& result : figures) {
    out.figures.push_back(std::move(result.figure));
    std::ranges::move(result.findings, std::back_inserter(out.findings));
    std::ranges::move(result.lit_limbs, std::back_inserter(options.lit_limbs));
  }
  // What stands on marks nobody has looked at must not reach the picture's own checks.
  for (const FigureCritique& figure : out.figures)
    options.readings.push_back(figure.body && figure.marks.proposed.empty() ? &*figure.body : nullptr);
  auto report = CheckPicture(picture, options);
  if (!report) return tl::unexpected(report.error());
  std::ranges::move(report->findings, std::back_inserter(out.findings));
  report->findings.clear();
  JoinLight(options.lit_limbs, out.findings);
  out.picture = std::move(*report);
  return out;
}

}  // namespace armslength
