#pragma once
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <random>
#include <utility>
#include <vector>

#include <cairo.h>

#include "marks/figure.h"
#include "picture/picture.h"

// A figure of rounded forms, invented and seeded, with faults of line and light of known size.
namespace armslength::bench {

struct Spec {
  unsigned seed = 1;
  bool coloured = true, soft = false;
  double line_px = 5.0;
  double gap_px = 0.0;      // one opening in an outer contour
  double kiss_w = -1.0;     // a ball beside the figure, edge to edge, line widths; < 0: none
  double overlap_w = -1.0;  // a ball that overlaps or stands clear by this much (fault-free)
  double doubled = 0.0;     // share of the contours gone over again
  double wobble_w = 0.0;    // rms, line widths
  int strays = 0;
  double lights_deg = 0.0;  // between the light of one half of the parts and the other's
  double pillow_l = 0.0;    // darkening towards all outlines, sRGB share
  int specks = 0;           // spots of the other tone on every form
  double ground_l = -1.0;   // flat forms without line on a ground this many L* away; < 0: no
};

struct Form {
  std::vector<Vec2> outline;
  double r, g, b;
  bool second_light = false;
};

inline constexpr double kOffFrame = 25.0;  // px from the frame that nobody calls a kiss

class Sketch {
 public:
  explicit Sketch(const Spec& spec) : spec_(spec), rng_(spec.seed * 2654435761u + 17u) {}

  ImageRgba8 Draw() {
    double s = U(0.92, 1.05);
    std::vector<Form> forms;
    const auto capsule = [&](Vec2 a, Vec2 b, double ra, double rb) {
      std::vector<Vec2> out;
      const Vec2 d = (b - a).normalized(), n(-d.y(), d.x());
      const int k = 260;
      const double phase = U(0, 6.28), bulge = U(0.0, 0.06);
      for (int i = 0; i < k; ++i) {
        const double t = 2 * std::numbers::pi * i / k, c = std::cos(t), z = std::sin(t);
        const double along = 0.5 * (1 - c);
        const double radius = (ra + (rb - ra) * along) * (1 + bulge * std::sin(2 * t + phase));
        // A stadium: round ends, sides that taper from ra to rb.
        const Vec2 mid = a + (b - a) * std::clamp((along - 0.08) / 0.84, 0.0, 1.0);
        const double side = std::copysign(std::pow(std::abs(z), 0.55), z);
        out.push_back(mid + n * (radius * side) - d * (c * std::abs(c) * radius * (std::abs(c) > 0.6 ? 0.5 : 0.2)));
      }
      return out;
    };
    const auto add = [&](Vec2 a, Vec2 b, double ra, double rb, bool second) {
      const double grey = spec_.coloured ? U(0.55, 0.95) : 1.0;
      forms.push_back({capsule(Vec2(500, 700) + s * a, Vec2(500, 700) + s * b, s * ra, s * rb), spec_.coloured ? grey * U(0.7, 1.0) : 1.0,
                       spec_.coloured ? grey * U(0.6, 1.0) : 1.0, spec_.coloured ? grey * U(0.5, 1.0) : 1.0, second});
    };
    // With a ball to kiss, nothing else may: arms and legs stand clear.
    const double clear = spec_.overlap_w >= 0 || spec_.kiss_w >= 0 ? 70 : 0;
    for (const int side : {-1, 1}) {
      const double spread = U(30, 110) + clear;
      add({side * (55.0 + 0.5 * clear), 120}, {side * (60 + spread), 560}, 72, 48, side > 0);
    }
    add({0, -290}, {0, 110}, 118, 128, false);
    for (const int side : {-1, 1}) {
      const double out = U(60, 170), down = U(60, 180);
      add({side * (150.0 + clear), -270}, {side * (150 + clear + out), -270 + 150 + down * 0.5}, 52, 46, side > 0);
      add({side * (150 + clear + out), -90 + down * 0.5}, {side * (165 + clear + out + U(-60, 60)), 60 + down}, 44, 36, side > 0);
    }
    add({0, -480}, {U(-15, 15), -360}, 92, 84, true);
    if (clear > 0) {
      // Nor may a hand touch the frame.
      double reach = 0;
      for (const Form& f : forms)
        for (const Vec2& p : f.outline) reach = std::max(reach, std::abs(p.x() - 500));
      const double smaller = std::min(1.0, (500 - kOffFrame) / reach);
      s *= smaller;
      for (Form& f : forms)
        for (Vec2& p : f.outline) p = Vec2(500, 700) + smaller * (p - Vec2(500, 700));
    }

    cairo_surface_t* surface = cairo_image_surface_create(CAIRO_FORMAT_ARGB32, 1000, 1400);
    c_ = cairo_create(surface);
    double paper = spec_.coloured ? U(0.90, 1.0) : 1.0;
    if (spec_.ground_l >= 0) {
      // Forms of one lightness, in slightly different colours, on a grey ground.
      const auto grey = [](double l) {  // CIE L* to sRGB (IEC 61966-2-1), neutral, L* above 8
        const double y = std::pow((l + 16) / 116, 3);
        return y <= 0.0031308 ? 12.92 * y : 1.055 * std::pow(y, 1 / 2.4) - 0.055;
      };
      const double own = U(45, 75);
      paper = grey(own + (U(-1, 1) > 0 ? 1 : -1) * spec_.ground_l);
      for (Form& f : forms) f.r = grey(own) * U(0.98, 1.02), f.g = grey(own), f.b = grey(own) * U(0.92, 1.08);
    }
    cairo_set_source_rgb(c_, paper, paper, paper);
    cairo_paint(c_);
    // In a contour that nothing covers: the head's or a forearm's.
    constexpr std::array<std::size_t, 3> kFromLast = {1, 2, 4};
    const std::size_t gap_form = forms.size() - kFromLast[static_cast<std::size_t>(U(0, 2.99))];
    if (spec_.overlap_w >= 0 || spec_.kiss_w >= 0) Ball(forms.back());
    const double light = U(-2.9, -0.25);
    for (std::size_t i = 0; i < forms.size(); ++i) {
      Fill(forms[i], light + (forms[i].second_light ? spec_.lights_deg * std::numbers::pi / 180 : 0.0));
      if (spec_.ground_l < 0) Ink(forms[i].outline, i == gap_form ? spec_.gap_px : 0.0);
    }
    // Folds and a face: open lines that belong there.
    for (int i = 0; i < 5; ++i)
      Stroke({Vec2(500, 700) + s * Vec2(U(-70, 70), U(-200, 60)), Vec2(U(-30, 30), U(15, 40)), Vec2(U(-30, 30), U(40, 80))}, 0.6);
    for (const int side : {-1, 1}) Stroke({Vec2(500 + side * 34.0, 700 - 430 * s), Vec2(6, -5), Vec2(16, 0)}, 0.9);
    Stroke({Vec2(482, 700 - 385 * s), Vec2(15, 8), Vec2(36, 0)}, 0.8);
    for (int i = 0; i < spec_.strays; ++i) {
      Vec2 p;
      do p = {U(40, 960), U(40, 1360)};
      while (!Clear(forms, p));
      Stroke({p, Vec2(U(-3, 3), U(-3, 3)), Vec2(U(-8, 8), U(-8, 8))}, 0.8);
    }
    cairo_surface_flush(surface);
    ImageRgba8 out;
    out.width = 1000;
    out.height = 1400;
    out.pixels.resize(4000u * 1400u);
    const unsigned char* from = cairo_image_surface_get_data(surface);
    for (std::size_t i = 0; i < out.pixels.size(); i += 4) {
      out.pixels[i] = from[i + 2];
      out.pixels[i + 1] = from[i + 1];
      out.pixels[i + 2] = from[i];
      out.pixels[i + 3] = 255;
    }
    cairo_destroy(c_);
    cairo_surface_destroy(surface);
    return out;
  }

 private:
  double U(double a, double b) { return std::uniform_real_distribution<double>(a, b)(rng_); }

  static bool Clear(const std::vector<Form>& forms, const Vec2& p) {
    for (const Form& form : forms)
      for (const Vec2& q : form.outline)
        if ((p - q).norm() < 90) return false;
    return true;
  }
  void Path(const std::vector<Vec2>& points, Vec2 shift = Vec2::Zero()) {
    cairo_new_path(c_);
    for (const Vec2& p : points) cairo_line_to(c_, p.x() + shift.x(), p.y() + shift.y());
    cairo_close_path(c_);
  }
  void Fill(const Form& form, double light) {
    Path(form.outline);
    if (!spec_.coloured) {
      cairo_set_source_rgb(c_, 1, 1, 1);
      cairo_fill(c_);
      return;
    }
    if (spec_.ground_l >= 0) {
      cairo_set_source_rgb(c_, form.r, form.g, form.b);
      cairo_fill(c_);
      return;
    }
    cairo_save(c_);
    cairo_clip(c_);
    Vec2 middle = Vec2::Zero();
    for (const Vec2& p : form.outline) middle += p / static_cast<double>(form.outline.size());
    const Vec2 to(std::cos(light), std::sin(light));
    double reach = 0;
    for (const Vec2& p : form.outline) reach = std::max(reach, (p - middle).dot(to));
    if (spec_.pillow_l > 0) {
      cairo_set_source_rgb(c_, form.r, form.g, form.b);
      cairo_paint(c_);
      const int rings = spec_.soft ? 12 : 1;
      for (int k = 0; k < rings; ++k) {
        Path(form.outline);
        cairo_set_source_rgba(c_, 0.1, 0.05, 0.15, spec_.pillow_l / rings);
        cairo_set_line_width(c_, 60.0 * (k + 1) / rings + 6);
        cairo_stroke(c_);
      }
    } else if (spec_.soft) {
      cairo_pattern_t* g = cairo_pattern_create_linear(middle.x() - to.x() * reach, middle.y() - to.y() * reach,
                                                       middle.x() + to.x() * reach, middle.y() + to.y() * reach);
      cairo_pattern_add_color_stop_rgb(g, 0, 0.62 * form.r, 0.60 * form.g, 0.64 * form.b);
      cairo_pattern_add_color_stop_rgb(g, 1, form.r, form.g, form.b);
      cairo_set_source(c_, g);
      cairo_paint(c_);
      cairo_pattern_destroy(g);
    } else {
      cairo_set_source_rgb(c_, 0.68 * form.r, 0.66 * form.g, 0.70 * form.b);
      cairo_paint(c_);
      Path(form.outline, to * 26.0);
      cairo_set_source_rgb(c_, form.r, form.g, form.b);
      cairo_fill(c_);
    }
    for (int k = 0; k < spec_.specks; ++k) {
      const Vec2 at = middle + Vec2(U(-1, 1), U(-1, 1)) * reach;
      cairo_new_path(c_);
      cairo_arc(c_, at.x(), at.y(), U(0.04, 0.10) * reach, 0, 6.3);
      const double dim = k % 2 == 0 ? 0.68 : 1.0;
      cairo_set_source_rgb(c_, dim * form.r, dim * form.g, dim * form.b);
      cairo_fill(c_);
    }
    cairo_restore(c_);
  }
  // Outline with the faults of line asked for.
  void Ink(std::vector<Vec2> outline, double gap) {
    const std::size_t n = outline.size();
    if (spec_.wobble_w > 0) {
      // Several waves of 4 to 8 line widths.
      std::vector<double> arc(n + 1, 0.0);
      for (std::size_t i = 0; i < n; ++i) arc[i + 1] = arc[i] + (outline[(i + 1) % n] - outline[i]).norm();
      std::vector<Vec2> fine;
      std::array<double, 5> wave{}, phase{};
      for (std::size_t k = 0; k < 5; ++k) wave[k] = spec_.line_px * U(4, 8), phase[k] = U(0, 6.28);
      const double amplitude = spec_.wobble_w * spec_.line_px * std::sqrt(2.0 / 5.0);
      for (std::size_t i = 0; i < n; ++i) {
        const Vec2 a = outline[i], b = outline[(i + 1) % n];
        const double length = (b - a).norm();
        const Vec2 normal = length > 0 ? Vec2(-(b - a).y() / length, (b - a).x() / length) : Vec2(0, 0);
        for (double t = 0; t < length; t += 1.5) {
          double off = 0;
          for (std::size_t k = 0; k < 5; ++k) off += std::sin(2 * std::numbers::pi * (arc[i] + t) / wave[k] + phase[k]);
          fine.push_back(a + (b - a) * (t / length) + normal * (amplitude * off));
        }
      }
      outline = std::move(fine);
    }
    cairo_set_source_rgb(c_, 0.08, 0.06, 0.10);
    cairo_set_line_width(c_, spec_.line_px);
    cairo_set_line_cap(c_, CAIRO_LINE_CAP_BUTT);
    cairo_set_line_join(c_, CAIRO_LINE_JOIN_ROUND);
    if (gap > 0) {
      // Opened at a random place of its length.
      double total = 0;
      for (std::size_t i = 0; i < n; ++i) total += (outline[(i + 1) % n] - outline[i]).norm();
      const double dash[2] = {total - gap, gap};
      cairo_set_dash(c_, dash, 2, U(0, total));
    }
    Path(outline);
    cairo_stroke(c_);
    cairo_set_dash(c_, nullptr, 0, 0);
    // Gone over again, beside the first stroke, drifting.
    double done = 0;
    const std::size_t m = outline.size();
    while (done < spec_.doubled) {
      const double length = U(0.15, 0.3);
      const auto from = static_cast<std::size_t>(U(0, static_cast<double>(m)));
      const auto count = static_cast<std::size_t>(length * static_cast<double>(m));
      const double a = U(-1, 1) > 0 ? 1 : -1, near = U(1.1, 1.6), far = U(1.6, 2.2);
      cairo_new_path(c_);
      for (std::size_t i = 0; i < count; ++i) {
        const Vec2 p = outline[(from + i) % m], q = outline[(from + i + 1) % m];
        const Vec2 d = (q - p).normalized();
        const double t = static_cast<double>(i) / static_cast<double>(count);
        const Vec2 at = p + Vec2(-d.y(), d.x()) * (a * spec_.line_px * (near + (far - near) * t));
        cairo_line_to(c_, at.x(), at.y());
      }
      cairo_set_line_width(c_, 0.7 * spec_.line_px);
      cairo_stroke(c_);
      done += length;
    }
  }
  void Stroke(const std::array<Vec2, 3>& from_mid_to, double weight) {
    const auto& [p, mid, to] = from_mid_to;
    cairo_set_source_rgb(c_, 0.08, 0.06, 0.10);
    cairo_set_line_width(c_, weight * spec_.line_px);
    cairo_set_line_cap(c_, CAIRO_LINE_CAP_ROUND);
    cairo_move_to(c_, p.x(), p.y());
    cairo_rel_curve_to(c_, mid.x(), mid.y(), mid.x(), mid.y(), to.x(), to.y());
    cairo_stroke(c_);
  }
  // A ball beside the head.
  void Ball(const Form& head) {
    const double w = spec_.line_px,
                 between = spec_.kiss_w >= 0 ? spec_.kiss_w * w + w : (U(0, 1) < 0.5 ? spec_.overlap_w * w : -spec_.overlap_w * w);
    Vec2 middle = Vec2::Zero();
    for (const Vec2& p : head.outline) middle += p / static_cast<double>(head.outline.size());
    double radius = 0;
    Vec2 centre = Vec2::Zero();
    do {  // clear of the frame, which is kissed too
      const double angle = U(-2.6, -0.5);
      radius = U(55, 85);
      const Vec2 d(std::cos(angle), std::sin(angle));
      // Support distances, so that the two outlines touch at one place whatever their shape.
      Vec2 touch = middle;
      for (const Vec2& p : head.outline)
        if ((p - middle).dot(d) > (touch - middle).dot(d)) touch = p;
      centre = touch + d * (radius + between);
    } while (centre.y() < radius + kOffFrame);
    cairo_new_path(c_);
    cairo_arc(c_, centre.x(), centre.y(), radius, 0, 2 * std::numbers::pi);
    cairo_set_source_rgb(c_, spec_.coloured ? 0.8 : 1.0, spec_.coloured ? 0.5 : 1.0, spec_.coloured ? 0.4 : 1.0);
    cairo_fill_preserve(c_);
    cairo_set_source_rgb(c_, 0.08, 0.06, 0.10);
    cairo_set_line_width(c_, w);
    cairo_stroke(c_);
  }

  Spec spec_;
  std::mt19937 rng_;
  cairo_t* c_ = nullptr;
};

}  // namespace armslength::bench
