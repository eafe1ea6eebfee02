#pragma once
// Inside src/proposal only: which limb is the left one.
#include <array>
#include <vector>

#include "proposal/maps.h"
#include "proposal/proposal.h"

namespace armslength {

// kLowerLegs: from the knees on; kFeet: from the ankles on; kHandsAndFeet: from wrists and ankles on
enum class Limbs { kLegs, kArms, kAll, kLowerLegs, kFeet, kHandsAndFeet };

// The same points with the sides of these limbs exchanged.
[[nodiscard]] std::vector<ProposedPoint> Exchanged(const std::vector<ProposedPoint>& points, Limbs limbs);

// Orders the namings of the sides by the maps' belief and, where that leaves two of them open, by how well a body fits. The other reading
// is the likeliest of all others, counting how often each kind of exchange happens; hands and feet alone are only ever offered.
// `beliefs`: the nineteen body maps; `inputs`: where each point lies in them. Fills points, other and undecided.
void SettleSides(const std::array<BeliefMap, kBodyPointCount>& beliefs, const std::vector<Vec2>& inputs, bool with_body,
                 ProposedFigure& figure);

}  // namespace armslength
