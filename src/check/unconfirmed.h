#pragma once
#include <vector>

#include "check/finding.h"
#include "marks/figure.h"

namespace armslength {

// A mark that the program proposed and the artist has not confirmed never makes a fault by itself: findings of
// construction or canon that are off and rest on such marks become cannot_tell and ask for the two least sure of
// them to be confirmed. Findings that rest on confirmed marks alone stay as they are. Does nothing for figures without
// proposed marks.
void HoldBackUnconfirmed(const FigureMarks& marks, std::vector<Finding>& findings);

}  // namespace armslength
