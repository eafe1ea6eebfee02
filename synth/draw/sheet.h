#pragma once
#include <cairo.h>

#include <vector>

#include "marks/figure.h"
#include "picture/picture.h"

namespace armslength {

struct Rgb {
  double r = 0, g = 0, b = 0;  // sRGB, 0..1
  [[nodiscard]] static Rgb Hex(unsigned value) {
    return {(value >> 16U & 255U) / 255.0, (value >> 8U & 255U) / 255.0, (value & 255U) / 255.0};
  }
  [[nodiscard]] Rgb Towards(const Rgb& other, double share) const {
    return {r + share * (other.r - r), g + share * (other.g - g), b + share * (other.b - b)};
  }
};

// A flat colour and the same material in shadow.
struct Material {
  Rgb light, dark;
};

using Polyline = std::vector<Vec2>;

// Union of closed polygons, picture pixels. Add() gives all the same sense of rotation, so
// the non-zero rule unites them.
struct Shape {
  std::vector<Polyline> polygons;

  void Add(Polyline polygon);
  void Add(const Shape& other);
  [[nodiscard]] bool Empty() const { return polygons.empty(); }
  [[nodiscard]] Shape Moved(const Vec2& by) const;
};

[[nodiscard]] Polyline ConvexHull(Polyline points);
// Curve through the points (centripetal Catmull-Rom), `steps` pieces per span.
[[nodiscard]] Polyline Smooth(const Polyline& points, int steps = 12, bool closed = false);
[[nodiscard]] Polyline Reversed(Polyline line);
// Points at even distances along the line.
[[nodiscard]] Polyline Resampled(const Polyline& line, int count);
// A stroke along `line`: full width at `fullest` (0..1 along it), running out to both ends.
[[nodiscard]] Polyline Tapered(const Polyline& line, double width_px, double fullest = 0.4,
                               double start_share = 0.0, double end_share = 0.0);

struct LineStyle {
  double width_px = 3.0;     // 0: no line
  double shadow_side = 1.0;  // extra weight away from the light, in parts of the width
};

// What a drawing is made on: background, flats, shade and line kept apart. Parts are put
// down from back to front; each covers what lies behind it on every layer.
class Sheet {
 public:
  Sheet(int width, int height, Rgb ink, Vec2 light_px);
  ~Sheet();
  Sheet(const Sheet&) = delete;
  Sheet& operator=(const Sheet&) = delete;

  // A part with its contour. Inside `weld` no contour is drawn: the part grows out of what
  // lies behind. `onto`: that part; beside it the contour stays. Empty: all of `weld` lies on it.
  void Part(const Shape& shape, const Material& material, const LineStyle& line, const Shape& weld = {}, const Shape& onto = {});
  // Colour only, inside `clip` when that is not empty.
  void Colour(const Shape& shape, const Material& material, const Shape& clip = {});
  // Shadow on what is there; `clip` as above.
  void Shade(const Shape& shape, const Shape& clip = {});
  void Lighten(const Shape& shape, const Shape& clip = {});  // takes shadow away again
  // The shadow that a part about to be drawn throws on what lies behind.
  void Cast(const Shape& shape, const Vec2& offset_px);
  void Ink(const Shape& shape, const Shape& clip = {});
  void EraseLine(const Shape& shape);
  // Heavier contour round everything drawn so far.
  void OuterLine(double width_px);

  // Coverage of the line and of the figure's colour at a point, 0..1.
  [[nodiscard]] double LineAt(const Vec2& at) const;
  [[nodiscard]] double FigureAt(const Vec2& at) const;

  [[nodiscard]] cairo_t* Background() { return background_; }
  [[nodiscard]] cairo_t* Line() { return line_; }
  [[nodiscard]] const Shape& Figure() const { return figure_; }
  // Every part put down so far, in order.
  [[nodiscard]] const std::vector<Shape>& Parts() const { return parts_; }
  [[nodiscard]] int Width() const { return width_; }
  [[nodiscard]] int Height() const { return height_; }
  void SetShading(bool on) { shading_ = on; }  // off: Shade and Cast do nothing

  // Bottom first: background, flats, shade, line.
  [[nodiscard]] std::vector<Layer> Layers() const;

 private:
  cairo_t* NewLayer(cairo_format_t format);

  int width_, height_;
  Rgb ink_;
  Vec2 light_px_;  // unit vector towards the light, in the picture
  cairo_t *background_, *flats_, *dark_, *shadow_, *line_;
  Shape figure_;
  std::vector<Shape> parts_;
  bool shading_ = true;
};

// Straight-alpha copy of a cairo ARGB surface.
[[nodiscard]] ImageRgba8 ToImage(cairo_surface_t* surface);
// `layers` over each other, bottom first.
[[nodiscard]] ImageRgba8 Flatten(const std::vector<Layer>& layers, int width, int height);

}  // namespace armslength
