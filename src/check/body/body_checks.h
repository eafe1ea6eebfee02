#pragma once
#include <vector>

#include "check/finding.h"
#include "marks/figure.h"
#include "reading/body/body_reading.h"

namespace armslength {

// Every statement about one figure's body: lengths, pairs, joints, balance, tilts,
// foreshortening, feet, head on neck, doubtful marks, and what is right about it.
// Findings come in a fixed order (by family), unranked; Finding::gain is set for ranking.
// An unusable reading gives one finding, `body.reading`, that cannot tell and says why.
// False alarms: on figures without a fault and 1 % of stature marking error all families
// together stay within the length scan's family-wise 5 % (see tests/check/body).
// Pure; thread-safe.
[[nodiscard]] std::vector<Finding> CheckBody(const FigureMarks& marks, const BodyReading& reading);

}  // namespace armslength
