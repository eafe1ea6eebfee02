#pragma once
#include <array>
#include <numbers>
#include <vector>

#include "check/pixels/segments.h"

namespace armslength {

inline constexpr std::size_t kLights = 72;  // directions a light is tried from

// One drawn form and which lights suit it.
struct LightForm {
  double area = 0.0;                    // small px
  double weight = 0.0;                  // grows with the contour that says something
  Vec2 at = Vec2::Zero();               // picture px
  std::array<double, kLights> suits{};  // agreement with a light from there, -1..1
  double best = 0.0, azimuth = 0.0;     // of the light that suits best; rad, picture axes, towards the light
};

// Direction k of `of` round the clock, rad, picture axes.
[[nodiscard]] inline double Direction(std::size_t k, std::size_t of) {
  return 2 * std::numbers::pi * static_cast<double>(k) / static_cast<double>(of);
}

// Every form whose shadow side could be read: a patch closed by line, or a patch of one material where nothing is
// outlined. `patches`: all of them, small ones too, because a striped sleeve is made of many. Good to about 15 degrees.
[[nodiscard]] std::vector<LightForm> ReadLightForms(const PictureContext& context, const std::vector<Segment>& patches);

}  // namespace armslength
