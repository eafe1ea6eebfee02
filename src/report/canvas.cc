#include "report/canvas.h"

#include <algorithm>
#include <cmath>
#include <memory>
#include <numbers>

#include <cairo-svg.h>
#include <pango/pangocairo.h>

namespace armslength {
namespace {

constexpr int kStripRows = 512;

struct SurfaceFree {
  void operator()(cairo_surface_t* s) const { cairo_surface_destroy(s); }
};
struct ContextFree {
  void operator()(cairo_t* cr) const { cairo_destroy(cr); }
};
struct ObjectFree {
  void operator()(void* o) const { g_object_unref(o); }
};
using Surface = std::unique_ptr<cairo_surface_t, SurfaceFree>;
using Context = std::unique_ptr<cairo_t, ContextFree>;
using Layout = std::unique_ptr<PangoLayout, ObjectFree>;

tl::unexpected<Error> Broken(cairo_status_t status) {
  return Fail(ErrorKind::kInternal, "", "", std::string("drawing failed: ") + cairo_status_to_string(status),
              "Free some memory and try again");
}

// Cairo's premultiplied native-endian pixel.
struct Straight {
  int r, g, b, a;
};
Straight FromCairo(std::uint32_t pixel) {
  const int a = static_cast<int>(pixel >> 24);
  const int r = static_cast<int>((pixel >> 16) & 255u), g = static_cast<int>((pixel >> 8) & 255u),
            b = static_cast<int>(pixel & 255u);
  if (a == 0) return {0, 0, 0, 0};
  const auto whole = [a](int c) { return std::min(255, (c * 255 + a / 2) / a); };
  return {whole(r), whole(g), whole(b), a};
}

// Straight-alpha "over" (Porter & Duff 1984), 8 bit, rounded.
void Over(const Straight& top, std::uint8_t* under) {
  if (top.a == 255) {
    under[0] = static_cast<std::uint8_t>(top.r);
    under[1] = static_cast<std::uint8_t>(top.g);
    under[2] = static_cast<std::uint8_t>(top.b);
    under[3] = 255;
    return;
  }
  const double ta = top.a / 255.0, ua = under[3] / 255.0, out = ta + ua * (1.0 - ta);
  const int colours[3] = {top.r, top.g, top.b};
  for (int c = 0; c < 3; ++c)
    under[c] = static_cast<std::uint8_t>(std::lround((colours[c] * ta + under[c] * ua * (1.0 - ta)) / out));
  under[3] = static_cast<std::uint8_t>(std::lround(out * 255.0));
}

std::string CleanText(const std::string& text) {
  std::unique_ptr<char, void (*)(void*)> valid(g_utf8_make_valid(text.data(), static_cast<gssize>(text.size())), g_free);
  std::string clean = valid.get();
  std::erase_if(clean, [](char c) { return static_cast<unsigned char>(c) < 0x20 && c != '\n'; });
  return clean;
}

Layout MakeLayout(cairo_t* cr, const std::string& text, const TextStyle& style) {
  Layout layout(pango_cairo_create_layout(cr));
  // Points mean pixels here, on every kind of surface.
  pango_cairo_context_set_resolution(pango_layout_get_context(layout.get()), 72.0);
  std::unique_ptr<PangoFontDescription, void (*)(PangoFontDescription*)> font(pango_font_description_new(),
                                                                             pango_font_description_free);
  pango_font_description_set_family(font.get(), "sans-serif");
  pango_font_description_set_weight(font.get(), style.bold ? PANGO_WEIGHT_BOLD : PANGO_WEIGHT_NORMAL);
  pango_font_description_set_absolute_size(font.get(), style.size_px * PANGO_SCALE);
  pango_layout_set_font_description(layout.get(), font.get());
  if (style.wrap_px > 0.0) {
    pango_layout_set_width(layout.get(), static_cast<int>(style.wrap_px * PANGO_SCALE));
    pango_layout_set_wrap(layout.get(), PANGO_WRAP_WORD_CHAR);
  }
  const std::string clean = CleanText(text);
  pango_layout_set_text(layout.get(), clean.data(), static_cast<int>(clean.size()));
  return layout;
}

cairo_status_t Append(void* to, const unsigned char* data, unsigned int length) {
  static_cast<std::string*>(to)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

}  // namespace

void BoxPx::Add(const Vec2& p) {
  if (Empty()) {
    *this = {p.x(), p.y(), 1e-9, 1e-9};
    return;
  }
  const double right = std::max(Right(), p.x()), bottom = std::max(Bottom(), p.y());
  x = std::min(x, p.x());
  y = std::min(y, p.y());
  width = right - x;
  height = bottom - y;
}

double BoxPx::Overlap(const BoxPx& other) const {
  const double w = std::min(Right(), other.Right()) - std::max(x, other.x);
  const double h = std::min(Bottom(), other.Bottom()) - std::max(y, other.y);
  return w > 0.0 && h > 0.0 ? w * h : 0.0;
}

Result<void> PaintOver(ImageRgba8& image, const Painter& paint, const JobControl& control) {
  for (int top = 0; top < image.height; top += kStripRows) {
    if (control.Stopped())
      return Fail(ErrorKind::kCancelled, "", "", "stopped while drawing the overlay", "Nothing was written");
    const int rows = std::min(kStripRows, image.height - top);
    const Surface surface(cairo_image_surface_create(CAIRO_FORMAT_ARGB32, image.width, rows));
    const Context cr(cairo_create(surface.get()));
    cairo_translate(cr.get(), 0.0, -top);
    paint(cr.get());
    if (cairo_status(cr.get()) != CAIRO_STATUS_SUCCESS) return Broken(cairo_status(cr.get()));
    cairo_surface_flush(surface.get());
    const unsigned char* data = cairo_image_surface_get_data(surface.get());
    const int stride = cairo_image_surface_get_stride(surface.get());
    for (int y = 0; y < rows; ++y) {
      const auto* row = reinterpret_cast<const std::uint32_t*>(data + static_cast<std::ptrdiff_t>(y) * stride);
      for (int x = 0; x < image.width; ++x)
        if (row[x] >> 24) Over(FromCairo(row[x]), image.At(x, top + y));
    }
  }
  return {};
}

Result<ImageRgba8> PaintAlone(int x, int y, int width, int height, const Painter& paint) {
  ImageRgba8 image;
  image.width = width;
  image.height = height;
  image.pixels.assign(4 * static_cast<std::size_t>(width) * static_cast<std::size_t>(height), 0);
  const Painter moved = [&](cairo_t* cr) {
    cairo_translate(cr, -x, -y);
    paint(cr);
  };
  if (auto done = PaintOver(image, moved); !done) return tl::unexpected(done.error());
  return image;
}

Result<BoxPx> InkBox(int width, int height, const Painter& paint) {
  const Surface record(cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, nullptr));
  const Context cr(cairo_create(record.get()));
  paint(cr.get());
  if (cairo_status(cr.get()) != CAIRO_STATUS_SUCCESS) return Broken(cairo_status(cr.get()));
  BoxPx ink;
  cairo_recording_surface_ink_extents(record.get(), &ink.x, &ink.y, &ink.width, &ink.height);
  if (ink.Empty()) return BoxPx{};
  const double left = std::max(0.0, std::floor(ink.x) - 1.0), top = std::max(0.0, std::floor(ink.y) - 1.0);
  const double right = std::min<double>(width, std::ceil(ink.Right()) + 1.0);
  const double bottom = std::min<double>(height, std::ceil(ink.Bottom()) + 1.0);
  if (right <= left || bottom <= top) return BoxPx{};
  return BoxPx{left, top, right - left, bottom - top};
}

Result<std::string> PaintSvg(int width, int height, const Painter& paint) {
  std::string text;
  const Surface surface(cairo_svg_surface_create_for_stream(&Append, &text, width, height));
  cairo_svg_surface_set_document_unit(surface.get(), CAIRO_SVG_UNIT_PX);
  {
    const Context cr(cairo_create(surface.get()));
    paint(cr.get());
    if (cairo_status(cr.get()) != CAIRO_STATUS_SUCCESS) return Broken(cairo_status(cr.get()));
  }
  cairo_surface_finish(surface.get());
  if (cairo_surface_status(surface.get()) != CAIRO_STATUS_SUCCESS) return Broken(cairo_surface_status(surface.get()));
  return text;
}

void SetInk(cairo_t* cr, const Ink& ink) { cairo_set_source_rgba(cr, ink.r, ink.g, ink.b, ink.a); }

TextSize MeasureLabel(const std::string& text, const TextStyle& style) {
  const Surface record(cairo_recording_surface_create(CAIRO_CONTENT_COLOR_ALPHA, nullptr));
  const Context cr(cairo_create(record.get()));
  const Layout layout = MakeLayout(cr.get(), text, style);
  PangoRectangle logical;
  pango_layout_get_extents(layout.get(), nullptr, &logical);
  return {static_cast<double>(logical.width) / PANGO_SCALE, static_cast<double>(logical.height) / PANGO_SCALE};
}

void DrawLabel(cairo_t* cr, const std::string& text, double x, double y, const TextStyle& style, const Ink& ink,
               double halo_px, const Ink& halo) {
  const Layout layout = MakeLayout(cr, text, style);
  cairo_save(cr);
  cairo_new_path(cr);
  cairo_move_to(cr, x, y);
  pango_cairo_layout_path(cr, layout.get());
  if (halo_px > 0.0) {
    cairo_set_line_join(cr, CAIRO_LINE_JOIN_ROUND);
    cairo_set_dash(cr, nullptr, 0, 0.0);
    cairo_set_line_width(cr, 2.0 * halo_px);
    SetInk(cr, halo);
    cairo_stroke_preserve(cr);
  }
  SetInk(cr, ink);
  cairo_fill(cr);
  cairo_restore(cr);
}

void RoundedBox(cairo_t* cr, const BoxPx& box, double radius) {
  const double r = std::min({radius, box.width / 2.0, box.height / 2.0});
  constexpr double kQuarter = std::numbers::pi / 2.0;
  cairo_new_sub_path(cr);
  cairo_arc(cr, box.Right() - r, box.y + r, r, -kQuarter, 0.0);
  cairo_arc(cr, box.Right() - r, box.Bottom() - r, r, 0.0, kQuarter);
  cairo_arc(cr, box.x + r, box.Bottom() - r, r, kQuarter, 2.0 * kQuarter);
  cairo_arc(cr, box.x + r, box.y + r, r, 2.0 * kQuarter, 3.0 * kQuarter);
  cairo_close_path(cr);
}

}  // namespace armslength
