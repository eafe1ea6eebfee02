#pragma once
#include "reading/body/body_reading.h"

namespace armslength::app {

// Toes that nobody marked say nothing about themselves: the reading's guess of them is the mean of all
// poses seen from this camera, which can point anywhere. Put forward instead, square to the shin
// and turned out a little, they are a proposal worth accepting. Marked toes, and toes
// whose foot has a depth flag, stay.
void PointUnmarkedFeetForward(const FigureMarks& marks, BodyReading& reading);

}  // namespace armslength::app
