#pragma once
#include <QColor>
#include <QPalette>

namespace armslength::app {

// Two colours carry meaning, both told apart by dash as well: as drawn (orange, dashed) and
// target (blue, solid). Everything else is neutral grey, so the picture's colours are seen right.
struct Colours {
  static QColor Drawn() { return {214, 96, 0}; }
  static QColor Target() { return {0, 98, 190}; }
  static QColor Quiet() { return {120, 120, 120}; }
};

enum class Theme : std::uint8_t { kSystem, kLight, kDark };

// Neutral palettes (r = g = b) with text contrast of at least 7:1.
[[nodiscard]] QPalette NeutralPalette(bool dark);

}  // namespace armslength::app
