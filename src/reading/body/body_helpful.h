#pragma once
#include "reading/body/body_scan.h"

namespace armslength::body {

// The marks or flags that would shrink the uncertainty of the most open questions most.
[[nodiscard]] std::vector<HelpfulMark> FindHelpful(const BodyModel& base, const Scan& scan, const FigureMarks& marks,
                                                   const BodyReading& reading);

}  // namespace armslength::body
