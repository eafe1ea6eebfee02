#pragma once
#include <vector>

#include "check/pixels/segments.h"

namespace armslength {

// One light or several: which sides of each drawn form lie in shadow. `patches`: all of them, small ones too,
// because a striped sleeve is made of many.
void CheckLight(const PictureContext& context, const std::vector<Segment>& patches, Findings& out);

}  // namespace armslength
