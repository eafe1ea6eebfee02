#pragma once
#include <array>
#include <numbers>
#include <optional>
#include <vector>

#include "check/pixels/lit_limb.h"
#include "check/pixels/segments.h"

namespace armslength {

// Which lights suit a form.
struct LightReading {
  double weight = 0.0;                  // grows with the contour that says something; 0: nothing was told
  std::array<double, kLights> suits{};  // agreement with a light from there, -1..1
  double best = 0.0, azimuth = 0.0;     // of the light that suits best; rad, picture axes, towards the light
};

// One drawn form, read in two ways.
struct LightForm {
  double area = 0.0;                  // small px
  Vec2 at = Vec2::Zero();             // picture px
  LightReading sides;                 // by which sides are dark and which light; weight 0 when no light suits them
  double told = 0.0, across = 0.0;    // share of the contour whose sides say something, and of that the share seen from contour to contour
  bool hard = false;                  // light and shadow part clearly
  std::optional<LightReading> reach;  // by how far a hard shadow reaches in from each side
  bool plain = false;                 // its reach is that of one light, on one paint
};

// Direction k of `of` round the clock, rad, picture axes.
[[nodiscard]] inline double Direction(std::size_t k, std::size_t of) {
  return 2 * std::numbers::pi * static_cast<double>(k) / static_cast<double>(of);
}

// The middle of all directions that suit nearly as well as the best.
[[nodiscard]] double MiddleOf(const LightReading& reading, double nearly);

// Every form whose shadow side could be read: a patch closed by line, or a patch of one material where nothing is
// outlined. `patches`: all of them, small ones too, because a striped sleeve is made of many. By its sides a softly shaded form
// is good to 7 degrees (half of them) and a hard one to 30; by its shadow's reach a plain hard one to 8.
[[nodiscard]] std::vector<LightForm> ReadLightForms(const PictureContext& context, const std::vector<Segment>& patches);

}  // namespace armslength
