#pragma once
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

  explicit ShadowReach(std::size_t paints) : paints_(paints) {}

  // Straight across the form from one place of its contour, which faces direction `side` of kSides: L* and paint (0: none) of
  // each place on the way.
  void Add(std::size_t side, std::span<const float> l, std::span<const std::uint8_t> paint) {
    rays_.push_back({side, l_.size(), l.size()});
    l_.insert(l_.end(), l.begin(), l.end());
    paint_.insert(paint_.end(), paint.begin(), paint.end());
  }

  // `deepest`: of the form, in places. Nothing when its tones do not part clearly (soft shading) or too little is told.
  struct Told {
    bool hard = false;                  // light and shadow part clearly
    std::optional<LightReading> light;  // only of hard ones
    bool plain = false;                 // of about one paint, and one light suits it well
  };
  [[nodiscard]] Told Read(double deepest) const;

 private:
  struct Ray {
    std::size_t side = 0, begin = 0, size = 0;  // places from `begin` on
  };
  struct Tones {
    double cut = -1.0;  // L*; shadow is darker
    bool known = false, flat = true;
    double clean = 0.0;  // share of it that is clearly one or the other
    double places = 0.0;
  };
  [[nodiscard]] std::vector<Tones> TonesOf() const;

  std::size_t paints_;
  std::vector<Ray> rays_;
  std::vector<float> l_;             // of all rays, one after the other
  std::vector<std::uint8_t> paint_;  // likewise
};

}  // namespace armslength
