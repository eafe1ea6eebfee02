#pragma once
#include <span>
#include <vector>

#include "check/finding.h"
#include "check/pixels/lit_limb.h"

namespace armslength {

// Light is asked of a figure's limbs alone (value.light.parts) and, where they were handed to the picture's checks, of the limbs and
// all drawn forms together (value.light). Together they know more: when that answer contradicts the limbs' own, the limbs' own is left
// out. Only where both are about the same figure. `handed_on`: the limbs that the picture's checks got; none of them, and the two
// answers rest on different things and both stay.
void JoinLight(std::span<const LitLimb> handed_on, std::vector<Finding>& findings);

}  // namespace armslength
