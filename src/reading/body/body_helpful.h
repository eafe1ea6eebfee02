#pragma once
#include "reading/body/body_scan.h"

namespace armslength::body {

// End of HelpfulMark::what for a mark that is there and should be placed again.
inline constexpr std::string_view kMoreExactly = ", more exactly";

// The marks or flags that would shrink the uncertainty of the most open questions most.
[[nodiscard]] std::vector<HelpfulMark> FindHelpful(const BodyModel& base, const Scan& scan, const FigureMarks& marks,
                                                   const BodyReading& reading, int threads);

}  // namespace armslength::body
