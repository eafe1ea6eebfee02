#pragma once
#include <QColor>
#include <QPalette>

class QFont;
class QLabel;
class QWidget;

namespace armslength::app {

// Two colours carry meaning, both told apart by dash as well: as drawn (orange, dashed) and
// target (blue, solid). Everything else is neutral grey, so the picture's colours are seen right.
struct Colours {
  static QColor Drawn() { return {221, 95, 7}; }
  static QColor Target() { return {26, 98, 202}; }
  static QColor Quiet() { return {120, 120, 120}; }
};

enum class Theme : std::uint8_t { kSystem, kLight, kDark };

// Neutral palettes (r = g = b). Text on its ground has a contrast of at least 7:1, quiet and
// disabled text of at least 4.5:1 (WCAG 2.2, tested in tests/app).
[[nodiscard]] QPalette NeutralPalette(bool dark);
// Palette, style and sheet for the whole program.
void ApplyTheme(Theme theme);

// Spacing of all panels, px at 100 %.
inline constexpr int kPanelMargin = 16, kGap = 8, kSmallGap = 4, kSectionGap = 18;

// Headings and quiet text in one voice.
[[nodiscard]] QLabel* Heading(const QString& text, QWidget* parent);
[[nodiscard]] QLabel* QuietText(const QString& text, QWidget* parent);

}  // namespace armslength::app
