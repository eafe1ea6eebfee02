#include "synth/draw/body.h"

#include "synth/draw/pattern.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>

namespace armslength {
namespace {

constexpr double kFront = M_PI_2;

Shape One(Polyline polygon) {
  Shape shape;
  shape.Add(std::move(polygon));
  return shape;
}

}  // namespace

double Studio::Bow(const std::string& ring) const {
  const auto& bows = spec.faults.ring_bow;
  if (const auto it = bows.find(ring); it != bows.end()) return it->second;
  if (const auto it = bows.find("all"); it != bows.end()) return it->second;
  return 1.0;
}

void ShadeTube(Studio& s, const Tube& tube, double t0, double t1, const Shape& clip, bool arm) {
  for (std::size_t side = 0; side < 2; ++side) {
    Polyline edge;
    for (int i = 0; i <= 24; ++i) {
      const double t = t0 + (t1 - t0) * i / 24;
      edge.push_back(tube.Px(t, tube.Edges(t)[side]));
    }
    s.edges.push_back(std::move(edge));
  }
  if (!s.Shaded()) return;
  if (s.spec.faults.pillow_shading) {
    // A rim of shadow all round, wherever the light is.
    Shape rim;
    for (int side = 0; side < 2; ++side) {
      Polyline edge, inner;
      for (int i = 0; i <= 24; ++i) {
        const double t = t0 + (t1 - t0) * i / 24;
        const auto edges = tube.Edges(t);
        const Vec2 a = tube.Px(t, edges[static_cast<std::size_t>(side)]),
                   b = tube.Px(t, edges[static_cast<std::size_t>(1 - side)]);
        edge.push_back(a);
        inner.push_back(a + 0.2 * (b - a));
      }
      edge.insert(edge.end(), inner.rbegin(), inner.rend());
      rim.Add(edge);
    }
    s.sheet.Shade(rim, clip);
    return;
  }
  Vec3 light = s.to_light;
  if (arm && s.spec.faults.second_light) light.x() = -light.x();
  s.sheet.Shade(tube.ShadowSide(light, 0.02, t0, t1), clip);
}

void Fold(Studio& s, const Tube& tube, const std::vector<Vec2>& t_angle, const Shape& clip, double weight,
          bool shadow) {
  const Polyline line = tube.OnSurface(t_angle);
  if (line.size() < 5) return;
  s.sheet.Ink(One(Tapered(line, 1.0 * weight * s.line_px, 0.25, 0.25)), clip);
  if (shadow && s.Shaded()) {
    Polyline wedge = line;
    const double depth = 3.2 * weight * s.line_px;
    for (std::size_t i = line.size(); i-- > 0;) {
      const double u = static_cast<double>(i) / static_cast<double>(line.size() - 1);
      wedge.push_back(line[i] + s.shadow_fall * depth * std::sin(M_PI * std::pow(u, 0.6)));
    }
    s.sheet.Shade(One(wedge), clip);
  }
}

void AddRing(Studio& s, const std::string& name, const std::string& around, const Polyline& arc) {
  Ring ring;
  ring.name = name;
  ring.around = around;
  ring.points = Resampled(arc, 9);
  s.out.truth.rings.push_back(std::move(ring));
}

Tube TrunkTube(const Studio& s) {
  const Skeleton& b = s.spec.body;
  const double g = s.girth;
  const Vec3 hips = b.HipMiddle(), pit = b.Joint(PointId::kNeckPit);
  const double trunk = (pit - b.ribs_at).norm() / 0.35;
  const double shoulder = 0.5 * (b.Joint(PointId::kShoulderL) - b.Joint(PointId::kShoulderR)).norm();
  const auto up = [&](const Axes& axes, double y, double back = 0.0) {
    return Vec3(axes.col(1) * (y * trunk) + axes.col(2) * (back * g));
  };
  // Without a skirt the tunic has to cover the outer side of the thighs.
  const double hip =
      s.spec.costume.skirt
          ? 0.098 * g
          : std::max(0.098 * g, 0.5 * (b.Joint(PointId::kHipL) - b.Joint(PointId::kHipR)).norm() + 0.040 * g);
  std::vector<Tube::Key> keys = {{hips + up(b.pelvis, -0.06), b.pelvis, hip, 0.080 * g},
                                 {hips + up(b.pelvis, 0.10, 0.004), b.pelvis, hip + 0.002 * g, 0.082 * g},
                                 {b.waist_at + up(b.waist, 0.02, 0.002), b.waist, 0.076 * g, 0.062 * g},
                                 {b.ribs_at + up(b.chest, -0.02, -0.004), b.chest, 0.088 * g, 0.074 * g},
                                 {b.ribs_at + up(b.chest, 0.16, -0.002), b.chest, 0.80 * shoulder, 0.076 * g},
                                 {pit + up(b.chest, -0.05, 0.008), b.chest, 0.93 * shoulder, 0.062 * g},
                                 {pit + up(b.chest, 0.035, 0.014), b.chest, 0.90 * shoulder, 0.050 * g},
                                 {pit + up(b.chest, 0.085, 0.020), b.chest, 0.66 * shoulder, 0.044 * g},
                                 {pit + up(b.chest, 0.120, 0.024), b.chest, 0.42 * shoulder, 0.040 * g},
                                 {pit + up(b.chest, 0.145, 0.026), b.chest, 0.30 * shoulder, 0.034 * g}};
  return Tube(keys, s.spec.camera, 30);
}

Tube SkirtTube(const Studio& s) {
  const Skeleton& b = s.spec.body;
  const double g = s.girth;
  const Vec3 hips = b.HipMiddle();
  const double trunk = (b.Joint(PointId::kNeckPit) - b.ribs_at).norm() / 0.35;
  const Vec3 knees = 0.5 * (b.Joint(PointId::kKneeL) + b.Joint(PointId::kKneeR));
  // Hangs from the waist; wide enough for both thighs.
  const Vec3 hem = hips + 0.80 * (knees - hips);
  const double apart = std::abs((b.Joint(PointId::kKneeL) - b.Joint(PointId::kKneeR)).dot(b.pelvis.col(0)));
  const double stride = std::abs((b.Joint(PointId::kKneeL) - b.Joint(PointId::kKneeR)).dot(b.pelvis.col(2)));
  Axes hanging = b.pelvis;
  hanging.col(1) = (hips - hem).normalized();
  const Axes low = Between(hanging, hanging, 0.0);
  std::vector<Tube::Key> keys = {
      {b.waist_at - b.waist.col(1) * (0.035 * trunk), b.waist, 0.080 * g, 0.066 * g},
      {hips + b.pelvis.col(1) * (0.12 * trunk), b.pelvis, 0.110 * g, 0.090 * g},
      {hips - b.pelvis.col(1) * (0.10 * trunk), Between(b.pelvis, low, 0.5), 0.130 * g, 0.108 * g},
      {hips + 0.6 * (hem - hips), low, 0.152 * g + 0.25 * apart * 0.5, 0.125 * g + 0.2 * stride},
      {hem, low, 0.172 * g + 0.3 * apart * 0.5, 0.140 * g + 0.3 * stride}};
  Tube skirt(keys, s.spec.camera, 30);
  skirt.Flute(9, 0.6, 0.045, 0.30);
  return skirt;
}

namespace {

// The opening of a collar: lower at the pit of the neck than at the nape.
Tube::Key NeckOpening(const Studio& s) {
  const Skeleton& b = s.spec.body;
  const double g = s.girth, tilt = 0.40;
  Axes axes = b.chest;
  axes.col(1) = std::cos(tilt) * b.chest.col(1) - std::sin(tilt) * b.chest.col(2);
  axes.col(2) = std::cos(tilt) * b.chest.col(2) + std::sin(tilt) * b.chest.col(1);
  const Vec3 pit = b.Joint(PointId::kNeckPit);
  return {pit + b.chest.col(2) * (0.034 * g) + b.chest.col(1) * (0.016 * g), axes, 0.053 * g, 0.054 * g};
}

}  // namespace

Tube NeckTube(const Studio& s) {
  const Skeleton& b = s.spec.body;
  const double g = s.girth;
  const Tube::Key base = NeckOpening(s);
  const Vec3 skull = s.head.Body({0, 0.24, -0.06});
  std::vector<Tube::Key> keys = {{base.centre, Between(base.axes, b.neck, 0.5), 0.042 * g, 0.044 * g},
                                 {base.centre + 0.45 * (skull - base.centre), b.neck, 0.037 * g, 0.038 * g},
                                 {skull, b.neck, 0.037 * g, 0.040 * g}};
  return Tube(keys, s.spec.camera, 14);
}

void DrawNeck(Studio& s) {
  const Tube neck = NeckTube(s);
  const Shape outline = neck.Outline(0.0, 1.0);
  s.sheet.Part(outline, s.spec.costume.skin, {s.line_px, 0.8});
  ShadeTube(s, neck, 0, 1, outline);
  if (s.Shaded()) {  // under the jaw
    Shape jaw = s.head.Mask().Moved(s.shadow_fall * 0.02 * s.spec.camera.scale_px +
                                    Vec2(0, 0.012 * s.spec.camera.scale_px));
    s.sheet.Shade(jaw, outline);
  }
}

void DrawTrunk(Studio& s) {
  const Costume& c = s.spec.costume;
  const Tube trunk = TrunkTube(s);
  const double shift = std::clamp(2 * s.spec.faults.button_shift, -0.95, 0.95);
  const double centre = std::acos(shift);  // angle of the centre front as drawn
  const bool from_front = trunk.FacingAngle(0.6) > 0;

  const Shape body = trunk.Outline(s.spec.costume.skirt ? 0.12 : 0.0, 1.0);
  s.sheet.Part(body, c.tunic, {s.line_px, 1.0});
  s.out.garment.Add(body);
  if (const auto cloth = c.patterns.find("trunk"); cloth != c.patterns.end()) {
    PaintPattern(s, trunk, 0.37, 0.80, cloth->second, body);
    s.on_top["shirt cloth"] = s.sheet.Parts().size();
    s.out.truth.areas.push_back({"shirt cloth", "pattern", "trunk", TubeOutline(trunk, 0.40, 0.66)});
  }
  ShadeTube(s, trunk, 0.0, 1.0, body);

  Tube skirt;
  Shape skirt_shape;
  if (c.skirt) {
    skirt = SkirtTube(s);
    skirt_shape = skirt.Outline();
    s.sheet.Cast(skirt_shape,
                 s.shadow_fall * 0.018 * s.spec.camera.scale_px + Vec2(0, 0.02 * s.spec.camera.scale_px));
    s.sheet.Part(skirt_shape, c.tunic, {s.line_px, 1.0});
    s.on_top["skirt folds"] = s.sheet.Parts().size();
    s.out.garment.Add(skirt_shape);
    if (const auto cloth = c.patterns.find("skirt"); cloth != c.patterns.end()) {
      PaintPattern(s, skirt, 0.10, 1.0, cloth->second, skirt_shape);
      s.on_top["skirt cloth"] = s.sheet.Parts().size();
      s.out.truth.areas.push_back({"skirt cloth", "pattern", "trunk", TubeOutline(skirt, 0.30, 0.92)});
    }
    ShadeTube(s, skirt, 0.02, 1.0, skirt_shape);
    const Polyline hem = skirt.Arc(1.0, s.Bow("hem"), 65);
    // Trim along the hem.
    Polyline band = skirt.Arc(0.945, s.Bow("hem"), 65);
    s.sheet.Ink(One(Tapered(band, 0.8 * s.line_px, 0.5, 0.7, 0.7)), skirt_shape);
    AddRing(s, "hem", "trunk", hem);
    // Folds fall from the belt and open towards the hem.
    if (s.spec.faults.parallel_folds) {
      const Polyline top = skirt.Arc(0.2, 1.0), low = skirt.Arc(0.92, 1.0);
      const Vec2 down = 0.8 * (low[low.size() / 2] - top[top.size() / 2]);
      for (int i = 0; i < 7; ++i) {
        const Vec2 from = top.front() + (top.back() - top.front()) * (0.1 + 0.8 * i / 6.0) + 0.1 * down;
        s.sheet.Ink(One(Tapered({from, from + 0.5 * down, from + down}, s.line_px, 0.5)), skirt_shape);
        s.out.sites.push_back({"fold", from + 0.5 * down, down.normalized(), down.norm()});
      }
    } else {
      for (int i = 0; i < 9; ++i) {
        const double a = 2 * M_PI * (i + 0.17) / 9.0 - 0.6 / 9.0 - M_PI_2 / 9.0 + M_PI / 9.0;
        const double start = 0.20 + 0.22 * ((i * 5) % 4) / 4.0;
        Fold(s, skirt, {{1.0, a}, {0.8, a + 0.01}, {0.5, a + 0.02}, {start, a + 0.06 * ((i % 3) - 1)}},
             skirt_shape, 1.0);
      }
      for (int i = 0; i < 6; ++i) {
        const double a = kFront + (i - 2.5) * 0.42;
        Fold(s, skirt,
             {{0.13, a}, {0.20, a + 0.03 * (i - 2.5)}, {0.27 + 0.04 * (i % 2), a + 0.05 * (i - 2.5)}},
             skirt_shape, 0.7, false);
      }
    }
  }

  // Chest folds run from the armpits.
  if (from_front && !s.spec.faults.parallel_folds) {
    for (double side : {0.0, M_PI}) {
      const double in = side == 0.0 ? 1.0 : -1.0;
      Fold(s, trunk, {{0.70, side + in * 0.35}, {0.655, side + in * 0.65}, {0.63, side + in * 0.95}}, body,
           0.9);
      Fold(s, trunk, {{0.67, side + in * 0.30}, {0.60, side + in * 0.50}, {0.54, side + in * 0.62}}, body,
           0.8);
      Fold(s, trunk, {{0.36, side + in * 0.25}, {0.40, side + in * 0.55}, {0.47, side + in * 0.75}}, body,
           0.8);
    }
  }
  if (s.spec.faults.parallel_folds && from_front) {
    const Polyline a = trunk.Arc(0.42, 1.0);
    for (int i = 0; i < 5; ++i) {
      const Vec2 from =
          a.front() + 0.15 * (a.back() - a.front()) - Vec2(0, 0.022 * i * s.spec.camera.scale_px);
      const Vec2 way = 0.3 * (a.back() - a.front());
      s.sheet.Ink(One(Tapered({from, from + way}, s.line_px, 0.5)), body);
      s.out.sites.push_back({"fold", from + 0.5 * way, way.normalized(), way.norm()});
    }
  }

  if (from_front) {
    s.out.truth.areas.push_back({"shirt folds", "folds", "trunk", TubeOutline(trunk, 0.40, 0.72)});
    s.on_top["shirt folds"] = s.sheet.Parts().size();
  }

  // Belt over both.
  const double t0 = 0.315, t1 = 0.37;
  const Shape belt = trunk.Band(t1, t0, s.Bow("belt"));
  s.sheet.Part(belt, c.belt, {0.8 * s.line_px, 0.6});
  ShadeTube(s, trunk, t0, t1, belt);
  AddRing(s, "belt", "trunk", trunk.Arc(t1, s.Bow("belt")));

  // Centre front: placket and buttons.
  if (from_front) {
    const double lap = 0.16;
    Polyline edge;
    for (int i = 0; i <= 20; ++i) edge.push_back(trunk.Px(0.40 + 0.52 * i / 20, centre + lap));
    s.sheet.Ink(One(Tapered(edge, 0.75 * s.line_px, 0.5, 0.6, 0.6)), body);
    if (c.skirt) {
      Polyline low;
      for (int i = 0; i <= 20; ++i) low.push_back(skirt.Px(0.12 + 0.88 * i / 20, centre + 0.8 * lap));
      s.sheet.Ink(One(Tapered(low, 0.75 * s.line_px, 0.5, 0.6, 0.6)), skirt_shape);
    }
    // Where a fastening sits round its section: one may stray by parts of the chest's width.
    const double chest = (trunk.At(0.72, 0.0) - trunk.At(0.72, M_PI)).norm();
    const auto angle_of = [&](const Tube& tube, double t, const std::string& name) {
      if (name != s.spec.faults.stray) return centre;
      const double half = (tube.At(t, 0.0) - tube.Centre(t)).norm();
      return std::acos(std::clamp(std::cos(centre) + s.spec.faults.stray_shift * chest / half, -0.95, 0.95));
    };
    int number = 0;  // a hidden one keeps its number
    const auto button = [&](const Tube& tube, double t) {
      const std::string name = "button_" + std::to_string(++number);
      const double angle = angle_of(tube, t, name);
      if (!tube.Faces(t, angle)) return;
      const double r = 0.0095 * s.girth;
      const Vec3 at = tube.At(t, angle), normal = tube.Normal(t, angle);
      const Vec3 across = (tube.At(t, angle - 0.05) - tube.At(t, angle + 0.05)).normalized();
      const Vec3 along = normal.cross(across).normalized();
      Polyline ring;
      for (int i = 0; i < 28; ++i) {
        const double a = 2 * M_PI * i / 28;
        ring.push_back(
            s.spec.camera.Project(at + 0.003 * normal + r * (std::cos(a) * across + std::sin(a) * along)));
      }
      s.sheet.Part(One(ring), c.trim, {0.6 * s.line_px, 0.8});
      s.out.truth.centre_front.push_back({name, s.spec.camera.Project(at)});
    };
    for (double t : {0.83, 0.73, 0.63, 0.53, 0.435}) button(trunk, t);
    if (c.skirt)
      for (double t : {0.30, 0.45}) button(skirt, t);
    // Buckle.
    const double mid = 0.5 * (t0 + t1), half = 0.5 * (t1 - t0), clasp = angle_of(trunk, mid, "buckle");
    Polyline buckle;
    for (auto [da, dt] : {std::pair{-0.28, -1.2}, {0.28, -1.2}, {0.28, 1.2}, {-0.28, 1.2}})
      buckle.push_back(trunk.Px(mid + dt * half, clasp + da));
    s.sheet.Part(One(buckle), c.trim, {0.7 * s.line_px, 0.8});
    Polyline hole;
    for (auto [da, dt] : {std::pair{-0.15, -0.6}, {0.15, -0.6}, {0.15, 0.6}, {-0.15, 0.6}})
      hole.push_back(trunk.Px(mid + dt * half, clasp + da));
    s.sheet.Colour(One(hole), c.belt);
    s.out.truth.centre_front.push_back({"buckle", s.spec.camera.Project(trunk.At(mid, clasp))});
  }

  DrawNeck(s);
  // Stand-up collar.
  const double bow = s.Bow("collar");
  const Tube::Key opening = NeckOpening(s);
  std::vector<Tube::Key> keys;
  for (double h : {-0.006, 0.012, 0.030}) {
    Tube::Key key = opening;
    key.centre += opening.axes.col(1) * (h * s.girth) + s.spec.body.chest.col(2) * (0.1 * h);
    key.wide -= 0.16 * h * s.girth;
    key.deep -= 0.16 * h * s.girth;
    keys.push_back(key);
  }
  const Tube collar(keys, s.spec.camera, 8);
  {
    const Polyline rim = collar.Arc(1.0, bow);
    // The far side of the opening shows behind the neck only from above; the near band always.
    const Shape band = collar.Band(1.0, 0.0, bow);
    s.sheet.Cast(band, s.shadow_fall * 0.006 * s.spec.camera.scale_px);
    s.sheet.Part(band, c.trim, {0.9 * s.line_px, 0.8});
    ShadeTube(s, collar, 0, 1, band);
    if (from_front) {
      Polyline slit;
      for (int i = 0; i <= 8; ++i) slit.push_back(collar.Px(i / 8.0, centre + 0.1));
      s.sheet.Ink(One(Tapered(slit, 0.8 * s.line_px, 0.5, 0.6, 0.6)), band);
    }
    AddRing(s, "collar", "neck", rim);
  }
}

}  // namespace armslength
