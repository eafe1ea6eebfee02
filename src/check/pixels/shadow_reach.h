#pragma once
#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "check/pixels/light_forms.h"

namespace armslength {

// How far a hard shadow reaches in from each side of a form: most where the form faces straight away from the light, nothing
// where it faces it. Side and end of a limb together tell the light's direction, not only the side it comes from.
class ShadowReach {
 public:
  static constexpr std::size_t kSides = 24;

  // `deepest`: of the form, in places.
  ShadowReach(std::size_t paints, double deepest) : histogram_(paints + 1), deepest_(deepest) {}

  // Straight across the form from one place of its contour: L* and paint (0: none) of each place on the way. First all ways are
  // counted, which tells light from shadow; those of hard forms are then added, and only they need to be walked again.
  void Count(std::span<const float> l, std::span<const std::uint8_t> paint);
  // Whether light and shadow part clearly, by what was counted; soft shading never does. Settles the tones.
  [[nodiscard]] bool Hard();
  // REQUIRES: Hard(). The way's own place of the contour faces direction `side` of kSides.
  void Add(std::size_t side, std::span<const float> l, std::span<const std::uint8_t> paint);

  struct Told {
    std::optional<LightReading> light;  // nothing: too little is told
    bool plain = false;                 // of about one paint, and one light suits it well
  };
  [[nodiscard]] Told Read() const;

 private:
  static constexpr std::size_t kBins = 256;
  struct Tones {
    double cut = -1.0;  // L*; shadow is darker
    bool known = false, flat = true;
    double clean = 0.0;  // share of it that is clearly one or the other
    double places = 0.0;
  };
  [[nodiscard]] std::vector<Tones> TonesOf() const;

  std::vector<std::array<double, kBins>> histogram_;  // of L*, by paint
  double deepest_;
  std::vector<Tones> tones_;                       // by paint
  std::size_t rays_ = 0;                           // counted
  std::array<std::vector<double>, kSides> reach_;  // of the form's depth
};

}  // namespace armslength
