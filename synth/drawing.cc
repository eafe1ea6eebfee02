#include "synth/drawing.h"

#include <Eigen/Geometry>
#include <algorithm>
#include <cmath>

#include "synth/draw/body.h"
#include "synth/draw/effects.h"
#include "synth/draw/trace.h"

namespace armslength {
namespace {

bool InFront(const FigureDrawing& spec, int side) {
  const int wish = spec.arm_in_front[static_cast<std::size_t>(side)];
  if (wish >= 0) return wish == 1;
  const Skeleton& b = spec.body;
  const double arm = (b.Joint(On(side, PointId::kElbowL)).z() + b.Joint(On(side, PointId::kWristL)).z()) / 2;
  const double chest = 0.5 * (b.Joint(PointId::kNeckPit).z() + b.ribs_at.z());
  return arm < chest + 0.02;
}

bool Inside(const Shape& shape, const Vec2& p) {
  for (const Polyline& polygon : shape.polygons) {
    bool inside = false;
    for (std::size_t i = 0, j = polygon.size() - 1; i < polygon.size(); j = i++)
      if ((polygon[j].y() <= p.y()) != (polygon[i].y() <= p.y()) &&
          polygon[j].x() + (p.y() - polygon[j].y()) / (polygon[i].y() - polygon[j].y()) * (polygon[i].x() - polygon[j].x()) > p.x())
        inside = !inside;
    if (inside) return true;
  }
  return false;
}

// Share of an outline that parts put down later do not cover.
double Visible(const Studio& s, const Area& area, std::size_t first) {
  Shape own;
  own.Add(area.outline);
  Vec2 low = area.outline[0], high = low;
  for (const Vec2& p : area.outline) {
    low = low.cwiseMin(p);
    high = high.cwiseMax(p);
  }
  int all = 0, seen = 0;
  for (int i = 0; i < 20; ++i)
    for (int j = 0; j < 20; ++j) {
      const Vec2 p = low + Vec2((i + 0.5) / 20 * (high - low).x(), (j + 0.5) / 20 * (high - low).y());
      if (!Inside(own, p)) continue;
      ++all;
      bool covered = false;
      for (std::size_t k = first; k < s.sheet.Parts().size() && !covered; ++k) covered = Inside(s.sheet.Parts()[k], p);
      seen += !covered;
    }
  return all > 0 ? static_cast<double>(seen) / all : 0.0;
}

// Regions an artist would outline, traced from what was drawn.
void AddAreas(Studio& s) {
  const auto add = [&](const char* name, const char* kind, const char* on, Polyline outline) {
    if (outline.size() >= 3) s.out.truth.areas.push_back({name, kind, on, std::move(outline)});
  };
  const int w = s.spec.width_px, h = s.spec.height_px;
  Shape hair = s.head.SkullOutline(1.11, 0.34, 1.0);
  hair.Add(s.hair);
  add("hair", "hair", "head", TraceOutline(hair, {}, w, h));
  if (s.spec.costume.skirt) {
    const Tube skirt = SkirtTube(s);
    add("skirt folds", "folds", "trunk", TraceOutline(skirt.Outline(0.12, 1.0), {}, w, h));
    add("skirt shadow", "shadow", "trunk",
        TraceOutline(skirt.ShadowSide(s.to_light, 0.02, 0.05, 1.0), {}, w, h));
  }
  // Nobody outlines cloth that lies behind something else.
  std::erase_if(s.out.truth.areas, [&](const Area& area) {
    const auto own = s.on_top.find(area.name);
    return own != s.on_top.end() && Visible(s, area, own->second) < (area.kind == "folds" ? 0.75 : 0.9);
  });
  add("figure", "figure", "", TraceOutline(s.out.silhouette, {}, w, h));
  if (!s.face.Empty()) add("face", "skin", "head", TraceOutline(s.face, s.hair, w, h));
}

// From a point to a polygon; 0 inside it.
double Distance(const Polyline& polygon, const Vec2& p) {
  double nearest = 1e9;
  bool inside = false;
  for (std::size_t i = 0, j = polygon.size() - 1; i < polygon.size(); j = i++) {
    const Vec2 edge = polygon[i] - polygon[j];
    const double t = std::clamp((p - polygon[j]).dot(edge) / (edge.squaredNorm() + 1e-12), 0.0, 1.0);
    nearest = std::min(nearest, (polygon[j] + t * edge - p).norm());
    if ((polygon[j].y() <= p.y()) != (polygon[i].y() <= p.y()) &&
        polygon[j].x() + (p.y() - polygon[j].y()) / edge.y() * edge.x() > p.x())
      inside = !inside;
  }
  return inside ? 0.0 : nearest;
}

void DrawHead(Studio& s) {
  const Costume& c = s.spec.costume;
  const double unit = s.head.UnitPx();
  const double line = s.line_px;
  DrawHairCap(s.sheet, s.head, s.spec.hair, c.hair, line);
  const bool faces = s.head.Facing({0, 0, 1}) > -0.55;
  if (faces) {
    const Shape mask = s.head.Mask();
    s.face = mask;
    s.sheet.Part(mask, c.skin, {0.9 * line, 0.8});
    if (s.Shaded()) {
      // The side of the face away from the light.
      Shape lit = mask;
      const double shift = 0.13 * unit;
      s.sheet.Shade(mask, mask);
      s.sheet.Lighten(
          lit.Moved(Vec2(-s.shadow_fall.x() * shift, -0.35 * std::abs(s.shadow_fall.y()) * shift)), mask);
    }
    Rgb blush = c.skin.light.Towards(Rgb::Hex(0xe2725b), 0.35);
    DrawFace(s.sheet, s.head, mask,
             {c.skin,
              c.iris,
              {Rgb::Hex(0xfffdf8), Rgb::Hex(0xcdbfd0)},
              {c.skin.dark.Towards(Rgb::Hex(0xd0605a), 0.45), c.skin.dark.Towards(Rgb::Hex(0x9a4050), 0.5)},
              c.hair,
              blush},
             0.75 * line);
  }
  const Shape hair = DrawHairFront(s.sheet, s.head, s.spec.hair, c.hair, 0.9 * line, s.to_light);
  s.hair = hair;
}

}  // namespace

void SetCrown(Skeleton& body, double head_length, const HeadBuild& head) {
  const double unit = head_length / head.AxisLength();
  const Vec3 chin = body.Joint(PointId::kChin);
  body.joints[static_cast<std::size_t>(PointId::kCrown)] =
      chin + unit * (body.head.col(1) - body.head.col(2) * (head.crown_front - head.chin_front));
}

FigureDrawing NearFrame(FigureDrawing drawing, int side, double gap_px) {
  const DrawnFigure drawn = DrawFigure(drawing);
  double low = 1e9, high = -1e9;
  for (const Polyline& polygon : drawn.silhouette.polygons)
    for (const Vec2& p : polygon) {
      low = std::min(low, p.x());
      high = std::max(high, p.x());
    }
  drawing.camera.origin_px.x() += side == 0 ? gap_px - low : drawing.width_px - gap_px - high;
  return drawing;
}

double HandToGarment(const DrawnFigure& drawn, int side) {
  double nearest = 1e9;
  for (const Polyline& hand : drawn.hands[static_cast<std::size_t>(side)].polygons)
    for (const Polyline& cloth : drawn.garment.polygons) {
      for (const Vec2& p : hand) nearest = std::min(nearest, Distance(cloth, p));
      for (const Vec2& p : cloth) nearest = std::min(nearest, Distance(hand, p));
    }
  return nearest;
}

FigureDrawing HandNearHip(FigureDrawing drawing, int side, double gap_px) {
  const auto swung = [&](double degrees) {
    FigureDrawing d = drawing;
    Skeleton& b = d.body;
    const auto n = static_cast<std::size_t>(side);
    const Vec3 shoulder = b.Joint(On(side, PointId::kShoulderL));
    const double outwards = shoulder.x() > b.Joint(PointId::kNeckPit).x() ? -1.0 : 1.0;
    const Eigen::Matrix3d turn =
        Eigen::AngleAxisd(outwards * degrees * M_PI / 180, Vec3::UnitZ()).toRotationMatrix();
    for (PointId id : {PointId::kElbowL, PointId::kWristL, PointId::kHandTipL}) {
      Vec3& joint = b.joints[static_cast<std::size_t>(On(side, id))];
      joint = shoulder + turn * (joint - shoulder);
    }
    for (auto* part : {&b.upper_arm, &b.forearm, &b.hand}) (*part)[n] = turn * (*part)[n];
    return d;
  };
  constexpr double kSmall = 0.2;  // shapes are the same at any size, pixels are not needed
  double low = -40, high = 70;
  for (int i = 0; i < 14; ++i) {
    const double middle = 0.5 * (low + high);
    FigureDrawing d = swung(middle);
    d.width_px = static_cast<int>(kSmall * d.width_px);
    d.height_px = static_cast<int>(kSmall * d.height_px);
    d.camera.scale_px *= kSmall;
    d.camera.origin_px *= kSmall;
    (HandToGarment(DrawFigure(d), side) < kSmall * gap_px ? low : high) = middle;
  }
  return swung(high);
}

DrawnFigure DrawFigure(const FigureDrawing& asked) {
  FigureDrawing spec = asked;
  if (spec.head_length <= 0.0)
    spec.head_length = (spec.body.Joint(PointId::kCrown) - spec.body.Joint(PointId::kChin)).norm();
  SetCrown(spec.body, spec.head_length, spec.head);
  spec.to_light.normalize();
  const double line_px = spec.line_px > 0 ? spec.line_px : std::max(1.2, 0.0015 * spec.camera.scale_px);
  // Widths were drawn on a figure 0.216 of its height wide at the shoulders, 0.139 at the hips.
  const double girth =
      0.40 * spec.costume.girth *
      (spec.lengths[BoneId::kShoulderWidth] / 0.216 + spec.lengths[BoneId::kHipWidth] / 0.139);

  const Vec2 light(spec.to_light.x(), spec.to_light.y());
  Sheet sheet(spec.width_px, spec.height_px, Rgb::Hex(0x2a1f2e), light);
  DrawnFigure out{.image = {},
                  .layers = {},
                  .truth = {},
                  .sites = {},
                  .silhouette = {},
                  .hands = {},
                  .garment = {},
                  .head = HeadForm(spec.head, spec.body, spec.head_length, spec.camera, spec.faults.head)};
  out.truth.name = spec.name;
  Studio s{spec, sheet, out.head, out, spec.to_light, line_px, girth, -light.normalized(), {}, {}, {}};

  sheet.SetShading(s.Shaded());
  DrawBackdrop(s);
  DrawHairBehind(sheet, out.head, spec.hair, spec.costume.hair, line_px);
  for (int side = 0; side < 2; ++side)
    if (!InFront(spec, side)) DrawArm(s, side);
  const int far_leg = spec.body.Joint(PointId::kKneeL).z() > spec.body.Joint(PointId::kKneeR).z() ? 0 : 1;
  DrawLeg(s, far_leg);
  DrawLeg(s, 1 - far_leg);
  DrawTrunk(s);
  DrawHead(s);
  const int far_arm = spec.body.Joint(PointId::kElbowL).z() > spec.body.Joint(PointId::kElbowR).z() ? 0 : 1;
  for (int side : {far_arm, 1 - far_arm})
    if (InFront(spec, side)) DrawArm(s, side);
  sheet.OuterLine(1.65 * line_px);
  out.silhouette = sheet.Figure();

  for (int i = 0; i < kBodyPointCount; ++i)
    out.truth.points[static_cast<PointId>(i)] =
        spec.camera.Project(spec.body.joints[static_cast<std::size_t>(i)]);
  for (const auto& [id, at] : out.head.Marks()) out.truth.points[id] = at;
  AddAreas(s);
  ApplyLineFaults(s);
  out.layers = sheet.Layers();
  Finish(s);
  return out;
}

}  // namespace armslength
