#pragma once
#include <array>
#include <map>
#include <vector>

#include "synth/draw/sheet.h"
#include "synth/draw/tube.h"
#include "synth/skeleton.h"

namespace armslength {

// How a face is built, head heights (chin to the level of the crown = 1), from the chin up,
// from the middle out and from the skull's axis to the front.
struct HeadBuild {
  double eye_height = 0.445, eye_out = 0.165, eye_half = 0.088, eye_up = 0.066, eye_low = 0.046;
  double brow_up = 0.135, brow_out = 0.175;
  double nose_height = 0.235, nose_tip_up = 0.028, nose_out = 0.075;
  double mouth_height = 0.142, mouth_half = 0.088;
  double hairline = 0.84;
  double half_width = 0.345, depth_ratio = 1.13;
  double chin_front = 0.272, crown_front = -0.035;
  // Chin to crown, in these units: the length of the head bone.
  [[nodiscard]] double AxisLength() const { return std::hypot(1.0, chin_front - crown_front); }
};

// Picture-plane faults of a head. Shifts in face widths towards the figure's left along the
// projected line of the eyes, angles in radians, as an artist's eye would name them.
struct HeadFaults {
  double far_eye_scale = 1.0;      // far eye drawn so many times as large
  double far_eye_shift = 0.0;      // ... moved outwards
  double eye_line_tilt_rad = 0.0;  // both eyes turned about their middle
  double chin_shift = 0.0, nose_shift = 0.0, mouth_shift = 0.0;
};

class HeadForm {
 public:
  HeadForm(const HeadBuild& build, const Skeleton& body, double head_length, const BodyCamera& camera,
           const HeadFaults& faults);

  // Head coordinates (out to the left, up, front) to body space and picture.
  [[nodiscard]] Vec3 Body(const Vec3& p) const {
    return origin_ + unit_ * (axes_.col(0) * p.x() + axes_.col(1) * p.y() - axes_.col(2) * p.z());
  }
  [[nodiscard]] Vec2 Px(const Vec3& p) const { return camera_.Project(Body(p)); }
  // Surface of the skull: depth at (x, y); point at a direction round the vertical axis
  // (0 front, + to the figure's left) and height, `out` times as far from the axis.
  [[nodiscard]] double Front(double x, double y) const;
  [[nodiscard]] Vec3 Skull(double around, double y, double out = 1.0) const;
  [[nodiscard]] Vec3 OnFace(double x, double y, double lift = 0.0) const {
    return {x, y, Front(x, y) + lift};
  }
  // Half width, front and back half depth of the section at height y.
  [[nodiscard]] std::array<double, 3> Section(double y) const;
  [[nodiscard]] double Facing(const Vec3& direction) const;  // > 0: towards the viewer

  // Faults, on picture points of the parts they touch.
  [[nodiscard]] Vec2 EyePx(int side, const Vec3& p) const;
  [[nodiscard]] Vec2 ChinPx(const Vec3& p) const;
  [[nodiscard]] Vec2 NosePx(const Vec3& p) const {
    return Px(p) + faults_.nose_shift * face_width_px_ * across_;
  }
  [[nodiscard]] Vec2 MouthPx(const Vec3& p) const {
    return Px(p) + faults_.mouth_shift * face_width_px_ * across_;
  }

  [[nodiscard]] Shape Mask() const;  // the face's skin
  [[nodiscard]] Shape SkullOutline(double out, double from, double to) const;
  [[nodiscard]] int FarSide() const { return far_side_; }  // 0 left, 1 right
  [[nodiscard]] double Yaw() const { return yaw_; }        // + shows the figure's right side
  [[nodiscard]] double UnitPx() const { return unit_px_; }
  [[nodiscard]] double FaceWidthPx() const { return face_width_px_; }
  [[nodiscard]] const HeadBuild& Build() const { return build_; }
  [[nodiscard]] const Axes& AxesInBody() const { return axes_; }
  [[nodiscard]] Vec3 ContourPoint(int side) const;  // face contour at eye level
  [[nodiscard]] std::map<PointId, Vec2> Marks() const;

 private:
  HeadBuild build_;
  HeadFaults faults_;
  BodyCamera camera_;
  Axes axes_;
  Vec3 origin_;
  double unit_ = 0.0, unit_px_ = 0.0, face_width_px_ = 0.0, yaw_ = 0.0;
  Vec2 across_ = Vec2::UnitX();
  int far_side_ = 0;
};

struct FaceColours {
  Material skin, iris, white, lip, hair;
  Rgb blush;
};

// Face features on a skin already put down. `line_px` is the weight of a face line.
void DrawFace(Sheet& sheet, const HeadForm& head, const Shape& mask, const FaceColours& colours,
              double line_px);

enum class HairStyle : std::uint8_t { kBob, kLong, kCropped, kTied };
struct Hair {
  HairStyle style = HairStyle::kBob;
  Vec3 wind = Vec3::Zero();  // body space, head heights: how far ends are blown
  unsigned seed = 1;
};
// What hangs behind the neck, then the cap under the face, then what falls over it.
void DrawHairBehind(Sheet& sheet, const HeadForm& head, const Hair& hair, const Material& colour,
                    double line_px);
void DrawHairCap(Sheet& sheet, const HeadForm& head, const Hair& hair, const Material& colour,
                 double line_px);
[[nodiscard]] Shape DrawHairFront(Sheet& sheet, const HeadForm& head, const Hair& hair,
                                  const Material& colour, double line_px, const Vec3& to_light);

}  // namespace armslength
