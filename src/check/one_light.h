#pragma once
#include <vector>

#include "check/finding.h"

namespace armslength {

// Light is asked of a figure's limbs alone (value.light.parts) and, where they were handed to the picture's checks, of the limbs and
// all drawn forms together (value.light). Together they know more: when that answer contradicts the limbs' own, the limbs' own is left
// out. Only where both are about the same figure.
void JoinLight(std::vector<Finding>& findings);

}  // namespace armslength
