#pragma once
#include <array>
#include <cstddef>
#include <vector>

#include "check/pixels/light_forms.h"

namespace armslength {

// One light or two, by how likely the readings of all forms are under each. A reading is either right, spread about its best light,
// or misread, and then any direction is as likely: no single form can say more than it is surely read.
struct LightOdds {
  double odds = 0.0;                                   // natural logarithm: the likeliest two lights against the likeliest one
  std::size_t forms = 0;                               // that speak
  std::size_t one = 0, first = 0, second = 0;          // Direction(k, kLights)
  std::array<std::vector<const LightForm*>, 2> group;  // plainly likelier under the first, under the second
};

// Forms are asked by their sides and by the reach of their shadows, or by that alone. The two lights lie at least `apart_deg` from
// each other. `soft`: nearly all of the picture is softly shaded, its forms are read more finely.
[[nodiscard]] LightOdds AskLights(const std::vector<LightForm>& forms, double apart_deg, bool soft);

}  // namespace armslength
