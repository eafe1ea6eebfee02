#pragma once
#include <array>
#include <functional>
#include <string>

#include "marks/figure.h"
#include "picture/picture.h"
#include "support/job.h"

typedef struct _cairo cairo_t;  // as cairo.h declares it

namespace armslength {

// 0..1 each.
struct Ink {
  double r = 0.0, g = 0.0, b = 0.0, a = 1.0;
  [[nodiscard]] Ink Faded(double alpha) const { return {r, g, b, a * alpha}; }
};

// As drawn and target differ in hue, in lightness and by dash, so they stay apart for
// every kind of colour vision and in grey. L* (CIE 1976) is about 56 and 43.
inline constexpr Ink kDrawnInk{0.867, 0.373, 0.027};   // orange #dd5f07
inline constexpr Ink kTargetInk{0.102, 0.384, 0.792};  // blue #1a62ca
inline constexpr Ink kDarkInk{0.12, 0.12, 0.13};
inline constexpr Ink kPaperInk{1.0, 1.0, 1.0};

// Draws in picture pixels. Called several times for one picture (once per strip), so it
// must draw the same every time.
using Painter = std::function<void(cairo_t*)>;

// Axis-aligned, pixels.
struct BoxPx {
  double x = 0.0, y = 0.0, width = 0.0, height = 0.0;
  [[nodiscard]] bool Empty() const { return width <= 0.0 || height <= 0.0; }
  [[nodiscard]] double Right() const { return x + width; }
  [[nodiscard]] double Bottom() const { return y + height; }
  [[nodiscard]] BoxPx Grown(double by) const { return {x - by, y - by, width + 2 * by, height + 2 * by}; }
  void Add(const Vec2& p);  // an empty box becomes the point, 1e-9 wide
  [[nodiscard]] double Overlap(const BoxPx& other) const;  // shared area
};

// Paints over the image, strip by strip, so that memory stays that of the image and one
// strip. Pixels the painter leaves alone keep their bytes. Errors: kCancelled, kInternal.
[[nodiscard]] Result<void> PaintOver(ImageRgba8& image, const Painter& paint, const JobControl& control = {});

// What the painter draws inside `region` (whole pixels), on nothing. Straight alpha.
[[nodiscard]] Result<ImageRgba8> PaintAlone(int x, int y, int width, int height, const Painter& paint);

// Bounding box of everything drawn, whole pixels, clipped to width x height; empty when
// nothing is drawn inside.
[[nodiscard]] Result<BoxPx> InkBox(int width, int height, const Painter& paint);

// The same drawing as SVG text, width x height user units = pixels. Text becomes outlines,
// so it looks alike everywhere.
[[nodiscard]] Result<std::string> PaintSvg(int width, int height, const Painter& paint);

void SetInk(cairo_t* cr, const Ink& ink);

struct TextStyle {
  double size_px = 16.0;   // height of the letters' em
  bool bold = false;
  double wrap_px = 0.0;    // 0: one line
};
struct TextSize {
  double width = 0.0, height = 0.0;
};
// Size of `text` (UTF-8; bad bytes replaced) without drawing. Thread-safe.
[[nodiscard]] TextSize MeasureLabel(const std::string& text, const TextStyle& style);
// Draws with the top left corner at (x, y). `halo_px` > 0: an outline in `halo` behind.
void DrawLabel(cairo_t* cr, const std::string& text, double x, double y, const TextStyle& style, const Ink& ink,
               double halo_px = 0.0, const Ink& halo = kPaperInk);

void RoundedBox(cairo_t* cr, const BoxPx& box, double radius);

}  // namespace armslength
