#include <algorithm>
#include <cmath>

#include "synth/draw/head.h"

namespace armslength {
namespace {

Shape One(Polyline polygon) {
  Shape shape;
  shape.Add(std::move(polygon));
  return shape;
}

// A stroke whose width follows `widths` along the smoothed line.
Polyline Brushed(const Polyline& line, const std::vector<double>& widths) {
  const Polyline path = Resampled(Smooth(line, 10), 40);
  Polyline left, right;
  for (std::size_t i = 0; i < path.size(); ++i) {
    const Vec2 along = (path[std::min(i + 1, path.size() - 1)] - path[i == 0 ? 0 : i - 1]).normalized();
    const double t = static_cast<double>(i) / static_cast<double>(path.size() - 1) *
                     static_cast<double>(widths.size() - 1);
    const std::size_t k = std::min(static_cast<std::size_t>(t), widths.size() - 2);
    const double w = widths[k] + (t - static_cast<double>(k)) * (widths[k + 1] - widths[k]);
    const Vec2 across(-along.y(), along.x());
    left.push_back(path[i] + 0.5 * w * across);
    right.push_back(path[i] - 0.5 * w * across);
  }
  left.insert(left.end(), right.rbegin(), right.rend());
  return left;
}

void DrawEye(Sheet& sheet, const HeadForm& head, int side, const FaceColours& colours, double line_px) {
  const HeadBuild& b = head.Build();
  const double s = side == 0 ? 1.0 : -1.0;
  const double unit = head.UnitPx();
  const auto px = [&](double out, double up) {  // about the eye's middle, in half widths and head heights
    return head.EyePx(side, head.OnFace(s * (b.eye_out + out * b.eye_half), b.eye_height + up, -0.03));
  };
  const Polyline upper = Smooth({px(-1, -0.004), px(-0.72, 0.55 * b.eye_up), px(-0.1, b.eye_up),
                                 px(0.55, 0.80 * b.eye_up), px(1, 0.006)},
                                10);
  const Polyline lower = Smooth({px(1, 0.006), px(0.66, -0.66 * b.eye_low), px(0.05, -b.eye_low),
                                 px(-0.6, -0.62 * b.eye_low), px(-1, -0.004)},
                                10);
  Polyline outline = upper;
  outline.insert(outline.end(), lower.begin() + 1, lower.end() - 1);
  const Shape eye = One(outline);
  sheet.Lighten(eye);
  sheet.Colour(eye, colours.white);
  const auto disc = [&](double out, double up, double wide, double high) {
    Polyline ring;
    for (int i = 0; i < 40; ++i) {
      const double a = 2 * M_PI * i / 40;
      ring.push_back(px(out + wide * std::cos(a) / b.eye_half, up + high * std::sin(a)));
    }
    return One(ring);
  };
  const double gaze = -0.02, up = 0.008;
  const Material rim{colours.iris.dark.Towards(Rgb::Hex(0x1c1622), 0.45),
                     colours.iris.dark.Towards(Rgb::Hex(0x1c1622), 0.6)};
  sheet.Colour(disc(gaze, up, 0.052, 0.060), rim, eye);
  sheet.Colour(disc(gaze, up - 0.006, 0.044, 0.050), colours.iris, eye);
  const Material glow{colours.iris.light.Towards(Rgb::Hex(0xffffff), 0.45), colours.iris.light};
  sheet.Colour(disc(gaze, up - 0.030, 0.030, 0.020), glow, eye);
  const Material black{Rgb::Hex(0x1c1622), Rgb::Hex(0x1c1622)};
  sheet.Colour(disc(gaze, up + 0.002, 0.022, 0.027), black, eye);
  // The lid's shadow.
  Polyline lid = upper;
  for (auto it = upper.rbegin(); it != upper.rend(); ++it) lid.push_back(*it + (px(0, 0) - px(0, 0.02)));
  sheet.Shade(One(lid), eye);
  const double light_x = 0.20 * s * -1.0;
  sheet.Colour(disc(gaze - light_x * 0.8, up + 0.026, 0.014, 0.016), {Rgb::Hex(0xffffff), Rgb::Hex(0xffffff)},
               eye);

  // Lashes: heavy on the outer half of the upper lid, running out past the corner.
  const double w = std::max(line_px, 0.006 * unit);
  Polyline lash = {px(-1.02, -0.002),
                   px(-0.72, 0.55 * b.eye_up),
                   px(-0.1, b.eye_up + 0.004),
                   px(0.55, 0.84 * b.eye_up),
                   px(1.02, 0.012),
                   px(1.22, 0.034)};
  sheet.Ink(One(Brushed(lash, {0.5 * w, 1.6 * w, 2.3 * w, 3.0 * w, 2.8 * w, 0.2 * w})));
  sheet.Ink(One(Brushed({px(0.98, 0.002), px(0.66, -0.68 * b.eye_low), px(0.10, -b.eye_low)},
                        {1.3 * w, 1.0 * w, 0.1 * w})));
  sheet.Ink(One(Brushed(
      {px(-0.78, b.eye_up * 0.92), px(-0.1, b.eye_up + 0.026), px(0.62, b.eye_up * 1.12), px(0.98, 0.045)},
      {0.1 * w, 0.8 * w, 0.8 * w, 0.1 * w})));
}

}  // namespace

void DrawFace(Sheet& sheet, const HeadForm& head, const Shape& mask, const FaceColours& colours,
              double line_px) {
  if (head.Facing({0, 0, 1}) < 0.05) return;
  const HeadBuild& b = head.Build();
  const double w = std::max(line_px, 0.006 * head.UnitPx());
  const auto px = [&](double x, double y, double lift = 0.0) { return head.Px(head.OnFace(x, y, lift)); };
  const double far = head.FarSide() == 0 ? 1.0 : -1.0;
  const bool profile = std::abs(head.Yaw()) > 1.1;

  // Cheeks.
  const Material blush{colours.blush, colours.blush.Towards(colours.skin.dark, 0.5)};
  for (int side = 0; side < 2; ++side) {
    const double s = side == 0 ? 1.0 : -1.0;
    Polyline ring;
    for (int i = 0; i < 32; ++i) {
      const double a = 2 * M_PI * i / 32;
      ring.push_back(px(s * (0.205 + 0.055 * std::cos(a)), 0.325 + 0.022 * std::sin(a)));
    }
    if (!profile || side != head.FarSide()) sheet.Colour(One(ring), blush, mask);
  }

  // Nose: its side away from the light lies in shadow; a short stroke for the tip, one below it.
  const double tip_y = b.nose_height + b.nose_tip_up, tip_z = b.nose_out;
  const auto nose = [&](double x, double y, double lift) { return head.NosePx(head.OnFace(x, y, lift)); };
  sheet.Shade(One(Smooth({nose(0, tip_y + 0.012, tip_z), nose(far * 0.012, b.nose_height - 0.004, 0.045),
                          nose(far * 0.062, b.nose_height + 0.004, 0.0), nose(far * 0.05, tip_y + 0.03, 0.0)},
                         8, true)),
              mask);
  if (std::abs(head.Yaw()) > 0.3)
    sheet.Ink(One(Brushed({nose(0, 0.40, 0.012), nose(0, tip_y + 0.06, 0.62 * tip_z),
                           nose(0, tip_y + 0.012, tip_z), nose(0, tip_y - 0.012, 0.9 * tip_z)},
                          {0.1 * w, 0.9 * w, 1.3 * w, 0.5 * w})));
  sheet.Ink(
      One(Brushed({nose(-far * 0.040, b.nose_height + 0.014, 0.025),
                   nose(-far * 0.020, b.nose_height + 0.001, 0.03), nose(far * 0.012, b.nose_height, 0.045)},
                  {0.3 * w, 1.3 * w, 0.2 * w})));

  // Mouth: upper lip, the line between, the lower lip's shadow.
  const double m = b.mouth_half, y = b.mouth_height;
  const auto mouth = [&](double x, double yy, double lift) { return head.MouthPx(head.OnFace(x, yy, lift)); };
  Polyline lips =
      Smooth({mouth(-m * 0.92, y + 0.002, 0), mouth(-0.035, y + 0.019, 0.004), mouth(0, y + 0.014, 0.006),
              mouth(0.035, y + 0.019, 0.004), mouth(m * 0.92, y + 0.002, 0), mouth(0.045, y - 0.026, 0.006),
              mouth(0, y - 0.031, 0.008), mouth(-0.045, y - 0.026, 0.006)},
             8, true);
  sheet.Colour(One(lips), colours.lip, mask);
  sheet.Ink(One(Brushed({mouth(-m, y + 0.007, 0), mouth(-0.6 * m, y - 0.002, 0),
                         mouth(-0.018, y + 0.003, 0.004), mouth(0, y, 0.005), mouth(0.018, y + 0.003, 0.004),
                         mouth(0.6 * m, y - 0.002, 0), mouth(m, y + 0.007, 0)},
                        {0.9 * w, 1.0 * w, 1.5 * w, 1.2 * w, 1.5 * w, 1.0 * w, 0.9 * w})));
  sheet.Ink(One(Brushed({mouth(-0.03, y - 0.044, 0), mouth(0, y - 0.048, 0), mouth(0.03, y - 0.044, 0)},
                        {0.1 * w, 0.9 * w, 0.1 * w})));

  for (int side = 0; side < 2; ++side) {
    if (profile && side == head.FarSide()) continue;
    DrawEye(sheet, head, side, colours, line_px);
    // Brow.
    const double s = side == 0 ? 1.0 : -1.0;
    const double e = b.eye_height + b.brow_up;
    const double h = 0.030 * head.UnitPx();
    const Shape brow = One(Brushed(
        {px(s * 0.070, e - 0.034), px(s * 0.105, e - 0.016), px(s * b.brow_out, e), px(s * 0.275, e - 0.040)},
        {0.55 * h, 0.95 * h, 0.8 * h, 0.1 * h}));
    const Material hair{colours.hair.dark.Towards(Rgb::Hex(0x1c1622), 0.35),
                        colours.hair.dark.Towards(Rgb::Hex(0x1c1622), 0.45)};
    sheet.Colour(brow, hair);
  }
}

}  // namespace armslength
