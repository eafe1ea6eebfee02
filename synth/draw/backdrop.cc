#include <algorithm>
#include <cmath>

#include "synth/draw/effects.h"
#include "synth/random.h"

namespace armslength {
namespace {

// Points of the floor under the figure: `right` and `away` in stature from below the hips.
struct Floor {
  BodyCamera camera;
  Vec3 under, right, away, up;

  explicit Floor(const Studio& s) : camera(s.spec.camera) {
    up = camera.Up();
    right = Vec3::UnitX();
    away = Vec3(0, -std::sin(camera.elevation_rad), std::cos(camera.elevation_rad));
    const Skeleton& b = s.spec.body;
    double low = 1e9;
    for (int i = 0; i < 2; ++i)
      low = std::min({low, b.Joint(On(i, PointId::kAnkleL)).dot(up) - s.spec.lengths.sole_to_ankle,
                      b.Joint(On(i, PointId::kToeL)).dot(up)});
    const Vec3 hips = b.HipMiddle();
    under = hips - up * (hips.dot(up) - low);
  }
  [[nodiscard]] Vec2 Px(double r, double a) const { return camera.Project(under + right * r + away * a); }
  [[nodiscard]] bool Ahead(double a) const {
    return 1 + camera.inverse_distance * (under + away * a).z() > 0.15;
  }
  // Where the shadow of a point falls.
  [[nodiscard]] Vec2 ShadowPx(const Vec3& p, const Vec3& to_light) const {
    const double high = (p - under).dot(up);
    return camera.Project(p - to_light * (high / to_light.dot(up)));
  }
};

void Fill(cairo_t* cr, const Polyline& polygon, Rgb c, double alpha = 1.0) {
  cairo_new_path(cr);
  for (const Vec2& p : polygon) cairo_line_to(cr, p.x(), p.y());
  cairo_close_path(cr);
  cairo_set_source_rgba(cr, c.r, c.g, c.b, alpha);
  cairo_fill(cr);
}

void Stroke(cairo_t* cr, const Polyline& line, double width, Rgb c) {
  cairo_new_path(cr);
  for (const Vec2& p : line) cairo_line_to(cr, p.x(), p.y());
  cairo_set_source_rgb(cr, c.r, c.g, c.b);
  cairo_set_line_width(cr, width);
  cairo_stroke(cr);
}

void FloorShadow(const Studio& s, const Floor& floor, cairo_t* cr, Rgb colour) {
  const Skeleton& b = s.spec.body;
  Vec3 light = s.to_light;  // steeper, so that the shadow stays short
  light = (light + 0.5 * floor.up).normalized();
  Shape shape;
  const auto bone = [&](PointId from, PointId to, double r0, double r1) {
    Polyline points;
    for (auto [id, r] : {std::pair{from, r0}, {to, r1}}) {
      const Vec3& p = b.Joint(id);
      for (int i = 0; i < 16; ++i) {
        const double a = 2 * M_PI * i / 16;
        points.push_back(floor.ShadowPx(
            p + s.girth * r * (std::cos(a) * Vec3::UnitX() + std::sin(a) * floor.away), light));
      }
    }
    shape.Add(ConvexHull(points));
  };
  for (int i = 0; i < 2; ++i) {
    bone(On(i, PointId::kHipL), On(i, PointId::kKneeL), 0.10, 0.10);
    bone(On(i, PointId::kKneeL), On(i, PointId::kAnkleL), 0.045, 0.045);
    bone(On(i, PointId::kAnkleL), On(i, PointId::kToeL), 0.04, 0.03);
    bone(On(i, PointId::kShoulderL), On(i, PointId::kElbowL), 0.05, 0.04);
    bone(On(i, PointId::kElbowL), On(i, PointId::kWristL), 0.04, 0.035);
    bone(On(i, PointId::kWristL), On(i, PointId::kHandTipL), 0.035, 0.02);
  }
  bone(PointId::kHipL, PointId::kShoulderR, 0.09, 0.06);
  bone(PointId::kHipR, PointId::kShoulderL, 0.09, 0.06);
  bone(PointId::kShoulderL, PointId::kShoulderR, 0.06, 0.06);
  bone(PointId::kChin, PointId::kCrown, 0.07, 0.08);
  cairo_push_group(cr);
  for (const Polyline& polygon : shape.polygons) Fill(cr, polygon, colour);
  cairo_pop_group_to_source(cr);
  cairo_paint_with_alpha(cr, 0.55);
}

}  // namespace

void DrawBackdrop(Studio& s) {
  cairo_t* cr = s.sheet.Background();
  const double w = s.spec.width_px, h = s.spec.height_px, px = s.spec.camera.scale_px;
  if (s.spec.backdrop == Backdrop::kPlain || s.spec.style == DrawingStyle::kSilhouette) {
    if (s.spec.style == DrawingStyle::kSilhouette)
      cairo_set_source_rgb(cr, 1, 1, 1);
    else
      cairo_set_source_rgb(cr, 0.914, 0.906, 0.882);
    cairo_paint(cr);
    return;
  }
  const Floor floor(s);
  SynthRandom random(s.spec.seed, 501);
  const Rgb water = Rgb::Hex(0xa9d3d6), deep = Rgb::Hex(0x8fc1c9), foam = Rgb::Hex(0xdff1ee);
  cairo_set_source_rgb(cr, water.r, water.g, water.b);
  cairo_paint(cr);
  // Water: long patches that shorten with distance.
  for (int i = 0; i < 70; ++i) {
    const double away = 1.2 + 9.0 * std::pow(random.Uniform(0, 1), 1.6), right = random.Uniform(-3.5, 3.5),
                 wide = random.Uniform(0.15, 0.55);
    const double thick = random.Uniform(0.03, 0.09);
    const bool bright = random.Chance(0.3);
    Polyline patch;
    for (int k = 0; k < 24; ++k) {
      const double a = 2 * M_PI * k / 24;
      const double e = std::copysign(std::pow(std::abs(std::cos(a)), 0.6), std::cos(a));
      patch.push_back(floor.Px(right + wide * e, away + thick * (bright ? 0.4 : 1.0) * std::sin(a) *
                                                            (1.2 + std::sin(3 * a) * 0.2)));
    }
    Fill(cr, patch, bright ? foam : deep);
  }
  // Quay: boards along the line of sight, a beam at the edge.
  const double edge = 0.95;
  double near = -0.4;
  while (floor.Ahead(near - 0.1) && floor.Px(0, near).y() < h * 1.05 && near > -3.0) near -= 0.1;
  const Rgb board = Rgb::Hex(0xe3cfae), board2 = Rgb::Hex(0xdac29d), seam = Rgb::Hex(0xb5966f);
  const double width = 0.19;
  for (int i = -14; i <= 14; ++i) {
    const double r = i * width;
    Fill(cr, {floor.Px(r, edge), floor.Px(r + width, edge), floor.Px(r + width, near), floor.Px(r, near)},
         i % 2 == 0 ? board : (i % 3 == 0 ? board.Towards(board2, 0.5) : board2));
  }
  for (int i = -14; i <= 14; ++i) {
    const double r = i * width;
    Polyline line = {floor.Px(r, edge), floor.Px(r, near)};
    Stroke(cr, line, 0.0016 * px, seam);
    for (int k = 0; k < 2; ++k) {  // ends of boards, nails
      const double a = random.Uniform(near, edge);
      Stroke(cr, {floor.Px(r, a), floor.Px(r + width, a)}, 0.0014 * px, seam);
      for (double dr : {0.25, 0.75}) {
        const Vec2 nail = floor.Px(r + dr * width, a + 0.02);
        cairo_arc(cr, nail.x(), nail.y(), 0.0022 * px, 0, 2 * M_PI);
        cairo_set_source_rgb(cr, seam.r, seam.g, seam.b);
        cairo_fill(cr);
      }
    }
  }
  const double beam = 0.05;
  Polyline top = {floor.Px(-3, edge), floor.Px(3, edge), floor.Px(3, edge - 0.16), floor.Px(-3, edge - 0.16)};
  Fill(cr, top, Rgb::Hex(0xefe0c4));
  Fill(cr,
       {floor.Px(-3, edge - 0.16), floor.Px(3, edge - 0.16), floor.Px(3, edge - 0.16 - 0.35 * beam),
        floor.Px(-3, edge - 0.16 - 0.35 * beam)},
       seam);
  Stroke(cr, {floor.Px(-3, edge), floor.Px(3, edge)}, 0.0018 * px, seam);
  FloorShadow(s, floor, cr, Rgb::Hex(0x8d7280));

  // A kite over the water, its line to the raised hand.
  const Vec3 wrist = s.spec.body.Joint(PointId::kWristL), tip = s.spec.body.Joint(PointId::kHandTipL);
  const Vec2 hand = s.spec.camera.Project(wrist + 0.75 * (tip - wrist));
  const Vec2 kite(0.885 * w, 0.085 * h);
  const double size = 0.085 * h;
  const Vec2 along = Vec2(-0.5, 0.87).normalized(), across(along.y(), -along.x());
  const Vec2 nose = kite - 0.55 * size * along, tail = kite + 0.85 * size * along,
             left = kite - 0.52 * size * across, right = kite + 0.52 * size * across;
  Polyline string;
  for (int i = 0; i <= 30; ++i) {
    const double u = i / 30.0;
    string.push_back(hand + u * (kite - hand) + Vec2(0, 0.035 * h * std::sin(M_PI * u)));
  }
  Stroke(cr, string, 0.0013 * px, Rgb::Hex(0x5b4a55));
  Polyline ribbon;
  for (int i = 0; i <= 40; ++i) {
    const double u = i / 40.0;
    ribbon.push_back(tail + Vec2(0.045 * w * u, 0.15 * h * u) +
                     across * (0.016 * w * std::sin(2.2 * M_PI * u) * (0.3 + u)));
  }
  Stroke(cr, ribbon, 0.0022 * px, Rgb::Hex(0x5b4a55));
  for (int i = 1; i <= 4; ++i) {
    const Vec2 at = ribbon[static_cast<std::size_t>(9 * i)];
    const double bow = 0.016 * h;
    for (double side : {-1.0, 1.0}) {
      const Polyline wing = {at, at + Vec2(side * bow, -0.55 * bow), at + Vec2(side * bow, 0.5 * bow)};
      Fill(cr, wing, i % 2 == 0 ? Rgb::Hex(0xf0b93f) : Rgb::Hex(0xc9473f));
      Polyline closed = wing;
      closed.push_back(at);
      Stroke(cr, closed, 0.0012 * px, Rgb::Hex(0x3a2a36));
    }
  }
  Fill(cr, {nose, left, kite}, Rgb::Hex(0xf0b93f));
  Fill(cr, {nose, right, kite}, Rgb::Hex(0xc9473f));
  Fill(cr, {tail, left, kite}, Rgb::Hex(0xc9473f));
  Fill(cr, {tail, right, kite}, Rgb::Hex(0xd99a35));
  Stroke(cr, {nose, left, tail, right, nose}, 0.0020 * px, Rgb::Hex(0x3a2a36));
  Stroke(cr, {nose, tail}, 0.0012 * px, Rgb::Hex(0x3a2a36));
  Stroke(cr, {left, right}, 0.0012 * px, Rgb::Hex(0x3a2a36));
}

}  // namespace armslength
