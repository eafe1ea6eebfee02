#include "synth/draw/sheet.h"

#include <algorithm>
#include <cmath>

namespace armslength {
namespace {

double SignedArea(const Polyline& polygon) {
  double sum = 0.0;
  for (std::size_t i = 0, j = polygon.size() - 1; i < polygon.size(); j = i++)
    sum += polygon[j].x() * polygon[i].y() - polygon[i].x() * polygon[j].y();
  return 0.5 * sum;
}

void Trace(cairo_t* cr, const Shape& shape, const Vec2& by = Vec2::Zero()) {
  cairo_new_path(cr);
  for (const Polyline& polygon : shape.polygons) {
    cairo_new_sub_path(cr);
    for (const Vec2& p : polygon) cairo_line_to(cr, p.x() + by.x(), p.y() + by.y());
    cairo_close_path(cr);
  }
}

void Source(cairo_t* cr, const Rgb& c) { cairo_set_source_rgb(cr, c.r, c.g, c.b); }

bool Convex(const Polyline& polygon) {
  const std::size_t n = polygon.size();
  for (std::size_t i = 0; i < n; ++i) {
    const Vec2 a = polygon[(i + 1) % n] - polygon[i], b = polygon[(i + 2) % n] - polygon[(i + 1) % n];
    if (a.x() * b.y() - a.y() * b.x() < -1e-9) return false;
  }
  return true;
}

// A convex polygon (positive sense) grown by `by`, corners rounded.
Polyline Grown(const Polyline& polygon, double by) {
  Polyline out;
  const std::size_t n = polygon.size();
  Vec2 before = Vec2::Zero();
  for (std::size_t i = n; i-- > 0 && before.isZero();) {
    const Vec2 edge = polygon[(i + 1) % n] - polygon[i];
    if (edge.norm() > 1e-6) before = Vec2(edge.y(), -edge.x()).normalized();
  }
  for (std::size_t i = 0; i < n; ++i) {
    const Vec2 edge = polygon[(i + 1) % n] - polygon[i];
    if (edge.norm() <= 1e-6) continue;
    const Vec2 after = Vec2(edge.y(), -edge.x()).normalized();
    const double turn = std::atan2(before.x() * after.y() - before.y() * after.x(), before.dot(after));
    const int steps = 1 + static_cast<int>(std::abs(turn) / 0.35);
    for (int k = 0; k <= steps; ++k) {
      const double a = turn * k / steps, c = std::cos(a), s = std::sin(a);
      out.push_back(polygon[i] + by * Vec2(c * before.x() - s * before.y(), s * before.x() + c * before.y()));
    }
    before = after;
  }
  return out;
}

// Fills the shape spread by so much all round. Stroking is slow: only what is not convex.
void FillWide(cairo_t* cr, const Shape& shape, double spread_px) {
  if (spread_px <= 0.0) {
    Trace(cr, shape);
    cairo_fill(cr);
    return;
  }
  Shape convex, rest;
  for (const Polyline& polygon : shape.polygons) {
    if (Convex(polygon))
      convex.polygons.push_back(Grown(polygon, spread_px));
    else
      rest.polygons.push_back(polygon);
  }
  if (!convex.Empty()) {
    Trace(cr, convex);
    cairo_fill(cr);
  }
  if (!rest.Empty()) {
    Trace(cr, rest);
    cairo_set_line_width(cr, 2 * spread_px);
    cairo_fill_preserve(cr);
    cairo_stroke(cr);
  }
}

double AlphaAt(cairo_t* cr, const Vec2& at) {
  cairo_surface_t* surface = cairo_get_target(cr);
  cairo_surface_flush(surface);
  const int x = static_cast<int>(std::floor(at.x())), y = static_cast<int>(std::floor(at.y()));
  if (x < 0 || y < 0 || x >= cairo_image_surface_get_width(surface) ||
      y >= cairo_image_surface_get_height(surface))
    return 0.0;
  const unsigned char* row = cairo_image_surface_get_data(surface) +
                             static_cast<std::ptrdiff_t>(y) * cairo_image_surface_get_stride(surface);
  return row[4 * x + 3] / 255.0;
}

void Clip(cairo_t* cr, const Shape& shape) {
  if (shape.Empty()) return;
  Trace(cr, shape);
  cairo_clip(cr);
}

}  // namespace

void Shape::Add(Polyline polygon) {
  if (polygon.size() < 3) return;
  if (SignedArea(polygon) < 0.0) std::reverse(polygon.begin(), polygon.end());
  polygons.push_back(std::move(polygon));
}

void Shape::Add(const Shape& other) {
  polygons.insert(polygons.end(), other.polygons.begin(), other.polygons.end());
}

Shape Shape::Moved(const Vec2& by) const {
  Shape out = *this;
  for (auto& polygon : out.polygons)
    for (Vec2& p : polygon) p += by;
  return out;
}

Polyline ConvexHull(Polyline points) {
  std::sort(points.begin(), points.end(),
            [](const Vec2& a, const Vec2& b) { return a.x() < b.x() || (a.x() == b.x() && a.y() < b.y()); });
  if (points.size() < 3) return points;
  const auto cross = [](const Vec2& o, const Vec2& a, const Vec2& b) {
    return (a.x() - o.x()) * (b.y() - o.y()) - (a.y() - o.y()) * (b.x() - o.x());
  };
  Polyline hull(2 * points.size());
  std::size_t k = 0;
  for (const Vec2& p : points) {
    while (k >= 2 && cross(hull[k - 2], hull[k - 1], p) <= 0) --k;
    hull[k++] = p;
  }
  for (std::size_t i = points.size() - 1, low = k + 1; i-- > 0;) {
    while (k >= low && cross(hull[k - 2], hull[k - 1], points[i]) <= 0) --k;
    hull[k++] = points[i];
  }
  hull.resize(k - 1);
  return hull;
}

Polyline Smooth(const Polyline& points, int steps, bool closed) {
  const int n = static_cast<int>(points.size());
  if (n < 3) return points;
  const auto at = [&](int i) -> Vec2 {
    if (closed) return points[static_cast<std::size_t>((i + n) % n)];
    if (i < 0) return 2 * points[0] - points[1];
    if (i >= n) return 2 * points[static_cast<std::size_t>(n - 1)] - points[static_cast<std::size_t>(n - 2)];
    return points[static_cast<std::size_t>(i)];
  };
  Polyline out;
  const int spans = closed ? n : n - 1;
  for (int s = 0; s < spans; ++s) {
    const Vec2 p0 = at(s - 1), p1 = at(s), p2 = at(s + 1), p3 = at(s + 2);
    const double t1 = std::sqrt((p1 - p0).norm()) + 1e-9, t2 = t1 + std::sqrt((p2 - p1).norm()) + 1e-9,
                 t3 = t2 + std::sqrt((p3 - p2).norm()) + 1e-9;
    for (int i = 0; i < steps; ++i) {
      const double t = t1 + (t2 - t1) * i / steps;
      const Vec2 a1 = (t1 - t) / t1 * p0 + t / t1 * p1;
      const Vec2 a2 = (t2 - t) / (t2 - t1) * p1 + (t - t1) / (t2 - t1) * p2;
      const Vec2 a3 = (t3 - t) / (t3 - t2) * p2 + (t - t2) / (t3 - t2) * p3;
      const Vec2 b1 = (t2 - t) / t2 * a1 + t / t2 * a2;
      const Vec2 b2 = (t3 - t) / (t3 - t1) * a2 + (t - t1) / (t3 - t1) * a3;
      out.push_back((t2 - t) / (t2 - t1) * b1 + (t - t1) / (t2 - t1) * b2);
    }
  }
  if (!closed) out.push_back(points.back());
  return out;
}

Polyline Reversed(Polyline line) {
  std::reverse(line.begin(), line.end());
  return line;
}

Polyline Resampled(const Polyline& line, int count) {
  Polyline out;
  if (line.size() < 2 || count < 2) return line;
  std::vector<double> along(line.size(), 0.0);
  for (std::size_t i = 1; i < line.size(); ++i) along[i] = along[i - 1] + (line[i] - line[i - 1]).norm();
  std::size_t k = 1;
  for (int i = 0; i < count; ++i) {
    const double want = along.back() * i / (count - 1);
    while (k + 1 < line.size() && along[k] < want) ++k;
    const double span = along[k] - along[k - 1];
    const double share = span > 0 ? std::clamp((want - along[k - 1]) / span, 0.0, 1.0) : 0.0;
    out.push_back(line[k - 1] + share * (line[k] - line[k - 1]));
  }
  return out;
}

Polyline Tapered(const Polyline& line, double width_px, double fullest, double start_share,
                 double end_share) {
  const Polyline path = Resampled(line, std::max(16, static_cast<int>(line.size())));
  const std::size_t n = path.size();
  Polyline left, right;
  for (std::size_t i = 0; i < n; ++i) {
    const Vec2 along = (path[std::min(i + 1, n - 1)] - path[i == 0 ? 0 : i - 1]).normalized();
    const Vec2 across(-along.y(), along.x());
    const double t = static_cast<double>(i) / static_cast<double>(n - 1);
    const double share = t < fullest
                             ? start_share + (1 - start_share) * std::sin(M_PI_2 * t / fullest)
                             : end_share + (1 - end_share) * std::cos(M_PI_2 * (t - fullest) / (1 - fullest));
    left.push_back(path[i] + 0.5 * width_px * share * across);
    right.push_back(path[i] - 0.5 * width_px * share * across);
  }
  left.insert(left.end(), right.rbegin(), right.rend());
  return left;
}

cairo_t* Sheet::NewLayer(cairo_format_t format) {
  cairo_surface_t* surface = cairo_image_surface_create(format, width_, height_);
  cairo_t* cr = cairo_create(surface);
  cairo_surface_destroy(surface);  // the context keeps it
  cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
  cairo_set_line_cap(cr, CAIRO_LINE_CAP_ROUND);
  cairo_set_tolerance(cr, 0.2);
  return cr;
}

Sheet::Sheet(int width, int height, Rgb ink, Vec2 light_px)
    : width_(width),
      height_(height),
      ink_(ink),
      light_px_(light_px.normalized()),
      background_(NewLayer(CAIRO_FORMAT_ARGB32)),
      flats_(NewLayer(CAIRO_FORMAT_ARGB32)),
      dark_(NewLayer(CAIRO_FORMAT_ARGB32)),
      shadow_(NewLayer(CAIRO_FORMAT_A8)),
      line_(NewLayer(CAIRO_FORMAT_ARGB32)) {}

Sheet::~Sheet() {
  for (cairo_t* cr : {background_, flats_, dark_, shadow_, line_}) cairo_destroy(cr);
}

void Sheet::Part(const Shape& shape, const Material& material, const LineStyle& line, const Shape& weld, const Shape& onto) {
  parts_.push_back(shape);
  figure_.Add(shape);
  // Line: the shape spread by the line's width, once more moved away from the light, then
  // the shape itself taken out again. What is left is a contour of living width.
  const double w = line.width_px;
  if (w > 0.0) {
    cairo_push_group(line_);
    Source(line_, ink_);
    FillWide(line_, shape, w);
    FillWide(line_, shape.Moved(-light_px_ * (0.5 * w * line.shadow_side)),
             w * (1 + 0.12 * line.shadow_side));
    if (!weld.Empty()) {
      cairo_save(line_);
      Clip(line_, onto);
      cairo_set_operator(line_, CAIRO_OPERATOR_DEST_OUT);
      FillWide(line_, weld, 0.0);
      cairo_restore(line_);
    }
    cairo_pop_group_to_source(line_);
    cairo_paint(line_);
  }
  EraseLine(shape);
  const double under = 0.6 * w;  // colour reaches under the line, so no seam shows
  for (auto [cr, colour] : {std::pair{flats_, material.light}, std::pair{dark_, material.dark}}) {
    Source(cr, colour);
    FillWide(cr, shape, under);
  }
  cairo_set_operator(shadow_, CAIRO_OPERATOR_DEST_OUT);
  cairo_set_source_rgba(shadow_, 0, 0, 0, 1);
  FillWide(shadow_, shape, under);
  cairo_set_operator(shadow_, CAIRO_OPERATOR_OVER);
}

void Sheet::Colour(const Shape& shape, const Material& material, const Shape& clip) {
  for (auto [cr, colour] : {std::pair{flats_, material.light}, std::pair{dark_, material.dark}}) {
    cairo_save(cr);
    Clip(cr, clip);
    Source(cr, colour);
    FillWide(cr, shape, 0.0);
    cairo_restore(cr);
  }
}

void Sheet::Shade(const Shape& shape, const Shape& clip) {
  if (!shading_) return;
  cairo_save(shadow_);
  Clip(shadow_, clip);
  cairo_set_source_rgba(shadow_, 0, 0, 0, 1);
  FillWide(shadow_, shape, 0.0);
  cairo_restore(shadow_);
}

void Sheet::Lighten(const Shape& shape, const Shape& clip) {
  cairo_save(shadow_);
  Clip(shadow_, clip);
  cairo_set_operator(shadow_, CAIRO_OPERATOR_DEST_OUT);
  cairo_set_source_rgba(shadow_, 0, 0, 0, 1);
  FillWide(shadow_, shape, 0.0);
  cairo_restore(shadow_);
}

void Sheet::Cast(const Shape& shape, const Vec2& offset_px) {
  if (!shading_) return;
  cairo_save(shadow_);
  cairo_push_group_with_content(shadow_, CAIRO_CONTENT_ALPHA);
  cairo_set_source_rgba(shadow_, 0, 0, 0, 1);
  FillWide(shadow_, shape.Moved(offset_px), 0.0);
  cairo_set_operator(shadow_, CAIRO_OPERATOR_DEST_IN);
  cairo_set_source_surface(shadow_, cairo_get_target(flats_), 0, 0);
  cairo_paint(shadow_);
  cairo_pop_group_to_source(shadow_);
  cairo_paint(shadow_);
  cairo_restore(shadow_);
}

void Sheet::Ink(const Shape& shape, const Shape& clip) {
  cairo_save(line_);
  Clip(line_, clip);
  Source(line_, ink_);
  FillWide(line_, shape, 0.0);
  cairo_restore(line_);
}

void Sheet::EraseLine(const Shape& shape) {
  cairo_set_operator(line_, CAIRO_OPERATOR_DEST_OUT);
  cairo_set_source_rgba(line_, 0, 0, 0, 1);
  FillWide(line_, shape, 0.0);
  cairo_set_operator(line_, CAIRO_OPERATOR_OVER);
}

void Sheet::OuterLine(double width_px) {
  cairo_save(line_);
  cairo_push_group(line_);
  Source(line_, ink_);
  FillWide(line_, figure_, width_px);
  FillWide(line_, figure_.Moved(-light_px_ * (0.45 * width_px)), 1.1 * width_px);
  cairo_set_operator(line_, CAIRO_OPERATOR_DEST_OUT);
  cairo_set_source_surface(line_, cairo_get_target(flats_), 0, 0);
  cairo_paint(line_);
  cairo_pop_group_to_source(line_);
  cairo_set_operator(line_, CAIRO_OPERATOR_DEST_OVER);
  cairo_paint(line_);
  cairo_restore(line_);
}

double Sheet::LineAt(const Vec2& at) const { return AlphaAt(line_, at); }
double Sheet::FigureAt(const Vec2& at) const { return AlphaAt(flats_, at); }

std::vector<Layer> Sheet::Layers() const {
  std::vector<Layer> layers;
  const auto add = [&](const char* name, ImageRgba8 image) {
    Layer layer;
    layer.name = name;
    layer.blend = "svg:src-over";
    layer.image = std::move(image);
    layers.push_back(std::move(layer));
  };
  add("background", ToImage(cairo_get_target(background_)));
  add("flats", ToImage(cairo_get_target(flats_)));
  cairo_surface_t* shade = cairo_image_surface_create(CAIRO_FORMAT_ARGB32, width_, height_);
  cairo_t* cr = cairo_create(shade);
  cairo_set_source_surface(cr, cairo_get_target(dark_), 0, 0);
  cairo_mask_surface(cr, cairo_get_target(shadow_), 0, 0);
  cairo_destroy(cr);
  add("shade", ToImage(shade));
  cairo_surface_destroy(shade);
  add("line", ToImage(cairo_get_target(line_)));
  return layers;
}

ImageRgba8 ToImage(cairo_surface_t* surface) {
  cairo_surface_flush(surface);
  ImageRgba8 image;
  image.width = cairo_image_surface_get_width(surface);
  image.height = cairo_image_surface_get_height(surface);
  image.pixels.resize(4 * static_cast<std::size_t>(image.width) * static_cast<std::size_t>(image.height));
  const unsigned char* data = cairo_image_surface_get_data(surface);
  const auto stride = static_cast<std::size_t>(cairo_image_surface_get_stride(surface));
  for (int y = 0; y < image.height; ++y) {
    const unsigned char* from = data + stride * static_cast<std::size_t>(y);
    std::uint8_t* to = image.At(0, y);
    for (int x = 0; x < image.width; ++x, from += 4, to += 4) {
      const unsigned alpha = from[3];  // premultiplied BGRA in memory
      if (alpha == 0) continue;
      for (int c = 0; c < 3; ++c)
        to[c] = static_cast<std::uint8_t>(std::min(255U, (from[2 - c] * 255U + alpha / 2) / alpha));
      to[3] = static_cast<std::uint8_t>(alpha);
    }
  }
  return image;
}

ImageRgba8 Flatten(const std::vector<Layer>& layers, int width, int height) {
  ImageRgba8 out;
  out.width = width;
  out.height = height;
  out.pixels.assign(4 * static_cast<std::size_t>(width) * static_cast<std::size_t>(height), 255);
  for (const Layer& layer : layers)
    for (std::size_t i = 0; i < out.pixels.size(); i += 4) {
      const std::uint8_t* top = &layer.image.pixels[i];
      std::uint8_t* bottom = &out.pixels[i];
      const unsigned alpha = top[3];
      if (alpha == 0) continue;
      for (int c = 0; c < 3; ++c)
        bottom[c] = static_cast<std::uint8_t>((top[c] * alpha + bottom[c] * (255 - alpha) + 127) / 255);
    }
  return out;
}

}  // namespace armslength
