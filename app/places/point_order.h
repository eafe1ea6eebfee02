#pragma once
#include <optional>
#include <span>

#include "marks/names.h"

namespace armslength::app {

// The order points are asked in. Body: those that fix size, turn and stance first, so that after
// five the body can be proposed. Head: the six that give the pose first.
[[nodiscard]] std::span<const PointId> BodyOrder();
[[nodiscard]] std::span<const PointId> HeadOrder();

// The limb bone that ends in a point: what a depth key on that mark means.
[[nodiscard]] std::optional<BoneId> BoneEndingIn(PointId id);

}  // namespace armslength::app
