#pragma once
#include "synth/draw/tube.h"
#include "synth/drawing.h"

namespace armslength {

// State of one drawing while it grows: what the parts need from each other.
struct Studio {
  const FigureDrawing& spec;
  Sheet& sheet;
  const HeadForm& head;
  DrawnFigure& out;
  Vec3 to_light;                  // unit
  double line_px;                 // contour of a part; inner lines are lighter
  double girth;                   // widths relative to the average adult's
  Vec2 shadow_fall;               // picture direction away from the light
  Shape hair{}, face{};           // locks over the face and the face's skin, once drawn
  std::map<std::string, std::size_t> on_top{};  // by area: parts on the sheet once its own was put down
  std::vector<Polyline> edges{};  // outlines of parts, for faults of the line

  [[nodiscard]] double Bow(const std::string& ring) const;
  [[nodiscard]] bool Shaded() const {
    return spec.style != DrawingStyle::kFlat && spec.style != DrawingStyle::kSilhouette;
  }
};

struct Arm {
  Tube sleeve;
  Shape outline;
};

[[nodiscard]] Tube TrunkTube(const Studio& s);
[[nodiscard]] Tube SkirtTube(const Studio& s);
[[nodiscard]] Tube NeckTube(const Studio& s);
void DrawLeg(Studio& s, int side);
void DrawTrunk(Studio& s);
void DrawNeck(Studio& s);
void DrawArm(Studio& s, int side);
void DrawHand(Studio& s, int side);
void DrawShoe(Studio& s, int side, const Tube& leg);

// Form shadow of a tube inside `clip`, or pillow shading when the spec asks for it.
void ShadeTube(Studio& s, const Tube& tube, double t0, double t1, const Shape& clip, bool arm = false);
// One fold: a tapering line on the surface and the small shadow beside it.
void Fold(Studio& s, const Tube& tube, const std::vector<Vec2>& t_angle, const Shape& clip,
          double weight = 1.0, bool shadow = true);
void AddRing(Studio& s, const std::string& name, const std::string& around, const Polyline& arc);

}  // namespace armslength
