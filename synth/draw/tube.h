#pragma once
#include <optional>
#include <vector>

#include "reading/body/body_reading.h"
#include "synth/draw/sheet.h"
#include "synth/skeleton.h"

namespace armslength {

// A round thing along a curved axis: limb, trunk, skirt, strap. Body space, stature units.
// t runs 0..1 along the axis, angle from the part's left (0) over its front (90 degrees).
class Tube {
 public:
  struct Key {
    Vec3 centre;
    Axes axes;          // columns: left, up, back
    double wide, deep;  // half-axes to the left and to the front
  };
  Tube() = default;
  // Smooth surface through the keys' sections. REQUIRES: two keys or more.
  Tube(const std::vector<Key>& keys, const BodyCamera& camera, int sections = 28);

  // Folds in the outline: the radius swells and shrinks `count` times around, by `depth` of
  // itself at t = 1 and less above `from`.
  void Flute(double count, double phase_rad, double depth, double from);

  [[nodiscard]] Vec3 At(double t, double angle) const;
  [[nodiscard]] Vec3 Centre(double t) const;
  [[nodiscard]] Vec3 Normal(double t, double angle) const;
  [[nodiscard]] bool Faces(double t, double angle) const;  // towards the viewer
  [[nodiscard]] Vec2 Px(double t, double angle) const { return camera_.Project(At(t, angle)); }
  [[nodiscard]] double PxPerUnit(double t) const;

  // Outline between t0 and t1 with round ends.
  [[nodiscard]] Shape Outline(double t0 = 0.0, double t1 = 1.0) const;
  // Near half of the section at t, from the picture's left to its right as the figure
  // stands upright; `bow` scales its bulge (1 true, 0 straight, < 0 the wrong way).
  [[nodiscard]] Polyline Arc(double t, double bow = 1.0, int count = 33) const;
  // Band between two arcs. `bow` as above.
  [[nodiscard]] Shape Band(double t0, double t1, double bow = 1.0) const;
  // The side turned away from the light; `threshold` moves the terminator.
  [[nodiscard]] Shape ShadowSide(const Vec3& to_light, double threshold = 0.0, double t0 = 0.0,
                                 double t1 = 1.0) const;
  // Curve on the surface; parts that face away are cut off (longest run kept).
  [[nodiscard]] Polyline OnSurface(const std::vector<Vec2>& t_angle, int count = 24) const;
  // Angles where the surface turns away, at t: the two silhouette points, picture-left first.
  [[nodiscard]] std::array<double, 2> Edges(double t) const;
  [[nodiscard]] const BodyCamera& Camera() const { return camera_; }
  [[nodiscard]] bool Empty() const { return sections_.empty(); }
  // Middle of the near side, at t.
  [[nodiscard]] double FacingAngle(double t) const;

 private:
  [[nodiscard]] Key Section(double t) const;
  [[nodiscard]] double Swell(double t, double angle) const;

  std::vector<Key> sections_;
  BodyCamera camera_;
  double flutes_ = 0.0, flute_phase_ = 0.0, flute_depth_ = 0.0, flute_from_ = 0.0;
};

// Sections along two joined bones (arm or leg) with a rounded bend.
struct LimbStation {
  double at;          // 0..1 first bone, 1..2 second
  double wide, deep;  // half-axes
  double out = 0.0;   // centre moved to the part's own outer side ...
  double back = 0.0;  // ... and back
};
[[nodiscard]] std::vector<Tube::Key> LimbKeys(const Vec3& a, const Vec3& b, const Vec3& c, const Axes& first,
                                              const Axes& second, double outward,
                                              const std::vector<LimbStation>& stations, double scale);

// Axes between two, as a smooth blend.
[[nodiscard]] Axes Between(const Axes& a, const Axes& b, double share);

}  // namespace armslength
