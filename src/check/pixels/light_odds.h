#pragma once
#include <array>
#include <cstddef>
#include <span>
#include <vector>

#include "check/pixels/light_forms.h"

namespace armslength {

// What speaks of the light: a form by its sides, or by the reach of its shadow where those say nothing; a limb; or both, where the
// form lies on the limb: they look at the same shade and are one witness, half by each.
struct Witness {
  Vec2 at = Vec2::Zero();
  double azimuth = 0.0, weight = 0.0;  // as in LightReading
  LikelyLights likely{};
  bool arm = false;
};

// A reading is either right, spread about its best light, or misread, and then any direction is as likely: no single form can say
// more than it is surely read. `soft`: nearly all of the picture is softly shaded, its forms are read more finely.
[[nodiscard]] std::vector<Witness> Hear(const std::vector<LightForm>& forms, bool soft, std::span<const LitLimb> limbs = {});

// One light or two, by how likely all that was heard is under each.
struct LightOdds {
  double odds = 0.0;                           // natural logarithm: the likeliest two lights against the likeliest one
  std::size_t one = 0, first = 0, second = 0;  // Direction(k, kLights)
  std::array<std::vector<Witness>, 2> group;   // plainly likelier under the first, under the second
};

// The two lights lie at least `apart_deg` from each other. Whoever is likelier under the second follows it.
[[nodiscard]] LightOdds AskLights(const std::vector<Witness>& heard, double apart_deg);

// The same where all arms follow the second light and the rest the first: fewer ways to be told by chance, so that smaller odds tell.
// No odds where there are no arms, or nothing else.
[[nodiscard]] LightOdds AskArms(const std::vector<Witness>& heard, double apart_deg);

}  // namespace armslength
