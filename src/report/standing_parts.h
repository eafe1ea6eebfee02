#pragma once
#include <algorithm>
#include <string>
#include <vector>

#include "check/body/standing.h"

namespace armslength {

// A part whose length is compared: its ends as heights above the floor, in head heights.
struct StandingPart {
  std::string name;  // "legs", "left forearm", "torso"
  double drawn_low = 0.0, drawn_high = 0.0, canon_low = 0.0, canon_high = 0.0;
  [[nodiscard]] double Difference() const { return (drawn_high - drawn_low) - (canon_high - canon_low); }
  [[nodiscard]] double Share() const { return Difference() / std::max(1e-9, canon_high - canon_low); }
};

// The parts that depart from the canon, pairs as one.
[[nodiscard]] std::vector<StandingPart> DepartingParts(const StandingFigure& figure);

}  // namespace armslength
