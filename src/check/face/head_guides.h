#pragma once
#include <vector>

#include "check/finding.h"
#include "reading/head/head_reading.h"

namespace armslength {

// The whole construction of a read head as a teacher would lay it over: skull ball, side
// plane, middle line, eye, brow, nose and mouth lines, jaw. The lines follow the consistent head;
// where a fault was found they stand as targets, with the line through the drawn features beside
// them and a cross where each moved feature would have to be.
[[nodiscard]] std::vector<GuideShape> HeadGuides(const FigureMarks& marks, const HeadReading& reading);

// The guide of one found fault: drawn places, target places, the line they must lie on, the
// tolerance band and one arrow with the amount. At most seven shapes.
[[nodiscard]] std::vector<GuideShape> FaultGuides(const FigureMarks& marks, const HeadReading& reading,
                                                  const HeadFault& fault, const std::string& amount);

}  // namespace armslength
