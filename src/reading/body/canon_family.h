#pragma once
#include <vector>

#include "reading/body/body_problem.h"

namespace armslength::body {

// The canons a figure may be drawn to when none is declared: about three to nine heads
// high, with free shares of leg and arm and free widths. Sizes of style are columns fitted
// with the figure; what stays tight is what every drawn canon keeps: left equals right,
// forearm against upper arm, shin against thigh.
struct CanonFamily {
  Proportions middle;
  std::vector<LengthColumn> columns;  // head, legs, arms
};
[[nodiscard]] const CanonFamily& FreeStyle();

// The canon a fitted figure was judged against: the family at these column values, in
// head heights; `heads` its standing height.
[[nodiscard]] Canon CanonAt(const CanonFamily& family, const Params& x);

}  // namespace armslength::body
