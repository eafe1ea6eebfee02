#include "synth/draw/pattern.h"

#include <algorithm>
#include <cmath>

namespace armslength {
namespace {

constexpr double kShare = 0.45;  // of the spacing that the stripe covers

Shape One(Polyline polygon) {
  Shape shape;
  shape.Add(std::move(polygon));
  return shape;
}

// Distances on the surface: along the axis, and round the middle section from the near side's middle.
struct Surface {
  const Tube& tube;
  double t0, t1, radius = 0.0;
  std::vector<double> along{};

  Surface(const Tube& part, double from, double to) : tube(part), t0(from), t1(to) {
    along.push_back(0.0);
    for (int i = 1; i <= 60; ++i)
      along.push_back(along.back() + (tube.Centre(T(i / 60.0)) - tube.Centre(T((i - 1) / 60.0))).norm());
    const double middle = 0.5 * (t0 + t1);
    double round = 0.0;
    for (int i = 0; i < 60; ++i)
      round += (tube.At(middle, 2 * M_PI * (i + 1) / 60) - tube.At(middle, 2 * M_PI * i / 60)).norm();
    radius = round / (2 * M_PI);
  }
  [[nodiscard]] double T(double share) const { return t0 + (t1 - t0) * share; }
  [[nodiscard]] double Length() const { return along.back(); }
  // Place on the picture of (along, round the form), kept on the near side.
  [[nodiscard]] Vec2 Px(double s, double angle) const {
    const auto it = std::lower_bound(along.begin() + 1, along.end() - 1, s);
    const auto i = static_cast<std::size_t>(it - along.begin());
    const double t = T((static_cast<double>(i - 1) + std::clamp((s - along[i - 1]) / (along[i] - along[i - 1]), 0.0, 1.0)) / 60.0);
    const auto edges = tube.Edges(t);
    const double facing = tube.FacingAngle(t);
    double a = std::remainder(edges[0] - facing, 2 * M_PI), b = std::remainder(edges[1] - facing, 2 * M_PI);
    if (a > b) std::swap(a, b);
    if (b - a > 1.5 * M_PI) std::swap(a, b);
    return tube.Px(t, facing + std::clamp(angle, std::min(a, b), std::max(a, b)));
  }
};

void Wrapped(Studio& s, const Surface& on, double slant, double spacing, double phase, const Material& colour, const Shape& clip) {
  const double c = std::cos(slant), n = std::sin(slant), reach = 1.75;  // radians to either side
  const double around = reach * on.radius;
  if (std::abs(c) > 0.35) {
    const double extra = std::abs(n / c) * around;
    const int first = static_cast<int>(std::floor(-extra * std::abs(c) / spacing)) - 1,
              last = static_cast<int>(std::ceil((on.Length() + extra) * std::abs(c) / spacing)) + 1;
    for (int k = first; k <= last; ++k) {
      Polyline low, high;
      bool any = false;
      for (int i = 0; i <= 44; ++i) {
        const double angle = reach * (i / 22.0 - 1.0);
        const double from = ((k + phase) * spacing - n * angle * on.radius) / c, to = from + kShare * spacing / c;
        any |= std::max(from, to) > 0 && std::min(from, to) < on.Length();
        low.push_back(on.Px(std::clamp(from, 0.0, on.Length()), angle));
        high.push_back(on.Px(std::clamp(to, 0.0, on.Length()), angle));
      }
      if (!any) continue;
      low.insert(low.end(), high.rbegin(), high.rend());
      s.sheet.Colour(One(std::move(low)), colour, clip);
    }
    return;
  }
  const double extra = std::abs(c / n) * on.Length();
  const int count = static_cast<int>(std::ceil((around + extra) / spacing)) + 1;
  for (int k = -count; k <= count; ++k) {
    Polyline low, high;
    for (int i = 0; i <= 44; ++i) {
      const double along = on.Length() * i / 44.0;
      const double from = ((k + phase) * spacing - c * along) / n / on.radius;
      low.push_back(on.Px(along, from));
      high.push_back(on.Px(along, from + kShare * spacing / n / on.radius));
    }
    low.insert(low.end(), high.rbegin(), high.rend());
    s.sheet.Colour(One(std::move(low)), colour, clip);
  }
}

void Flat(Studio& s, const Polyline& outline, double slant, double spacing_px, double phase, const Material& colour, const Shape& clip) {
  Vec2 centre = Vec2::Zero();
  double reach = 0.0;
  for (const Vec2& p : outline) centre += p / static_cast<double>(outline.size());
  for (const Vec2& p : outline) reach = std::max(reach, (p - centre).norm());
  reach += 2 * spacing_px;
  const Vec2 along(std::cos(slant), std::sin(slant)), across(-std::sin(slant), std::cos(slant));
  // One pattern over the whole picture: its phase does not depend on the part.
  const double at = centre.dot(across) / spacing_px;
  const int n = static_cast<int>(std::ceil(reach / spacing_px)) + 1;
  for (int k = static_cast<int>(std::floor(at)) - n; k <= at + n; ++k) {
    const Vec2 middle = centre + across * ((k + phase) * spacing_px - centre.dot(across));
    s.sheet.Colour(One({middle - reach * along, middle + reach * along,
                        middle + reach * along + across * (kShare * spacing_px),
                        middle - reach * along + across * (kShare * spacing_px)}),
                   colour, clip);
  }
}

}  // namespace

Polyline TubeOutline(const Tube& tube, double t0, double t1) {
  Polyline left, right;
  for (int i = 0; i <= 16; ++i) {
    const double t = t0 + (t1 - t0) * i / 16;
    const auto edges = tube.Edges(t);
    left.push_back(tube.Px(t, edges[0]));
    right.push_back(tube.Px(t, edges[1]));
  }
  left.insert(left.end(), right.rbegin(), right.rend());
  return left;
}

void PaintPattern(Studio& s, const Tube& tube, double t0, double t1, const ClothPattern& pattern, const Shape& clip) {
  const auto family = [&](double slant_deg, const Material& colour) {
    const double slant = slant_deg * M_PI / 180;
    if (s.spec.faults.flat_pattern)
      Flat(s, TubeOutline(tube, t0, t1), slant, pattern.spacing * s.spec.camera.scale_px, pattern.phase, colour, clip);
    else
      Wrapped(s, Surface(tube, t0, t1), slant, pattern.spacing, pattern.phase, colour, clip);
  };
  family(pattern.slant_deg, pattern.colour);
  if (pattern.check) family(pattern.slant_deg + 90.0, pattern.colour);
}

}  // namespace armslength
