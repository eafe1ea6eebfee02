#pragma once
#include <vector>

#include "check/pixels/context.h"

namespace armslength {

// All views of a report at view size: the simple ones and those that need the analysis.
[[nodiscard]] std::vector<FreshEyeView> MakeReportViews(const PictureContext& context);

}  // namespace armslength
