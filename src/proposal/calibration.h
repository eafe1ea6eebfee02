#pragma once
// Inside src/proposal only: from the networks' belief to errors in px. Constants are fitted by
// `bench_proposal --fit` (see docs/notes); what they reach is printed by bench_proposal.
#include "marks/names.h"

namespace armslength {

// One sd per axis as a share of the figure's size (body) or of the head's height (head points).
[[nodiscard]] double ExpectedError(PointId id, double confidence, double spread_share);

}  // namespace armslength
