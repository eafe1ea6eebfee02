#include "synth/draw/head.h"

#include <algorithm>
#include <cmath>

namespace armslength {
namespace {

constexpr double kRoundness = 2.2;  // exponent of the face's sections; 2 is an ellipse

struct Profile {
  double y, wide, front, back;  // relative to half width, front depth and back depth
};
// From the chin up: jaw, cheekbone, temple, skull. Own drawing.
constexpr std::array<Profile, 16> kProfile = {{{-0.012, 0.10, 0.660, -0.30},
                                               {0.010, 0.24, 0.705, -0.20},
                                               {0.045, 0.40, 0.735, -0.05},
                                               {0.090, 0.545, 0.80, 0.10},
                                               {0.150, 0.685, 0.865, 0.25},
                                               {0.215, 0.795, 0.910, 0.45},
                                               {0.290, 0.890, 0.930, 0.66},
                                               {0.365, 0.955, 0.945, 0.80},
                                               {0.445, 0.970, 0.935, 0.90},
                                               {0.520, 0.985, 0.955, 0.97},
                                               {0.600, 1.000, 0.985, 1.00},
                                               {0.700, 0.980, 0.970, 1.00},
                                               {0.800, 0.885, 0.900, 0.94},
                                               {0.890, 0.710, 0.745, 0.80},
                                               {0.960, 0.440, 0.480, 0.52},
                                               {1.000, 0.02, 0.02, 0.02}}};

double Interpolated(double y, double Profile::*member) {
  std::size_t i = 0;
  while (i + 2 < kProfile.size() && kProfile[i + 1].y < y) ++i;
  const auto at = [&](std::size_t k) -> const Profile& { return kProfile[std::min(k, kProfile.size() - 1)]; };
  const Profile &p0 = at(i == 0 ? 0 : i - 1), &p1 = at(i), &p2 = at(i + 1), &p3 = at(i + 2);
  const double h = p2.y - p1.y, u = std::clamp((y - p1.y) / h, 0.0, 1.0), u2 = u * u, u3 = u2 * u;
  const double m1 = p2.y > p0.y ? (p2.*member - p0.*member) * h / (p2.y - p0.y) : 0.0;
  const double m2 = p3.y > p1.y ? (p3.*member - p1.*member) * h / (p3.y - p1.y) : 0.0;
  return p1.*member * (2 * u3 - 3 * u2 + 1) + m1 * (u3 - 2 * u2 + u) + p2.*member * (3 * u2 - 2 * u3) +
         m2 * (u3 - u2);
}

// How far round the head the bare face reaches, by height: hairline, temple, sideburn.
double FaceReach(double y, double hairline) {
  struct Reach {
    double y, around;
  };
  const double top = hairline;
  const std::array<Reach, 8> reach = {{{-0.1, 1.75},
                                       {0.20, 1.75},
                                       {0.30, 1.60},
                                       {0.45, 1.42},
                                       {0.58, 1.22},
                                       {top - 0.12, 0.98},
                                       {top - 0.03, 0.62},
                                       {top, 0.12}}};
  for (std::size_t i = 1; i < reach.size(); ++i)
    if (y <= reach[i].y) {
      const double u = (y - reach[i - 1].y) / (reach[i].y - reach[i - 1].y);
      return reach[i - 1].around + u * (reach[i].around - reach[i - 1].around);
    }
  return 0.05;
}

}  // namespace

HeadForm::HeadForm(const HeadBuild& build, const Skeleton& body, double head_length, const BodyCamera& camera,
                   const HeadFaults& faults)
    : build_(build), faults_(faults), camera_(camera), axes_(body.head) {
  unit_ = head_length / build.AxisLength();
  origin_ = body.Joint(PointId::kChin) + axes_.col(2) * (unit_ * build.chin_front);
  const Vec3 middle = Body({0, 0.5, 0});
  unit_px_ = unit_ * camera.scale_px / (1 + camera.inverse_distance * middle.z());
  face_width_px_ = 2 * build.half_width * unit_px_;
  across_ = axes_.col(0).head<2>();
  across_ = across_.norm() > 1e-6 ? Vec2(across_.normalized()) : Vec2(Vec2::UnitX());
  const Vec3 sight = (Vec3(0, 0, 1) + camera.inverse_distance * middle).normalized();
  const double front = axes_.col(2).dot(sight), left = axes_.col(0).dot(sight);
  yaw_ = std::atan2(left, front);  // the left side turned away from the viewer is positive
  far_side_ = left > 0 ? 0 : 1;
}

double HeadForm::Facing(const Vec3& d) const {
  return -(axes_.col(0) * d.x() + axes_.col(1) * d.y() - axes_.col(2) * d.z()).z();
}

std::array<double, 3> HeadForm::Section(double y) const {
  const double depth = build_.half_width * build_.depth_ratio;
  return {build_.half_width * Interpolated(y, &Profile::wide), depth * Interpolated(y, &Profile::front),
          depth * Interpolated(y, &Profile::back)};
}

double HeadForm::Front(double x, double y) const {
  const auto [wide, front, back] = Section(y);
  const double share = std::min(std::abs(x) / wide, 0.995);
  return front * std::pow(1 - std::pow(share, kRoundness), 1 / kRoundness);
}

Vec3 HeadForm::Skull(double around, double y, double out) const {
  const auto [wide, front, back] = Section(std::min(y, 1.0));
  const double s = std::sin(around), c = std::cos(around);
  if (c >= 0) {
    const double e = 2 / kRoundness;
    return {out * wide * std::copysign(std::pow(std::abs(s), e), s), y, out * front * std::pow(c, e)};
  }
  // The back half begins at the widest place; low sections lie wholly in front of the axis.
  return {out * wide * s, y, out * back * c};
}

Vec2 HeadForm::EyePx(int side, const Vec3& p) const {
  Vec2 at = Px(p);
  const auto centre = [&](int s) {
    const double x = (s == 0 ? 1 : -1) * build_.eye_out;
    return Px(OnFace(x, build_.eye_height, -0.03));
  };
  if (side == far_side_) {
    const Vec2 c = centre(side);
    at = c + faults_.far_eye_scale * (at - c);
    at += faults_.far_eye_shift * face_width_px_ * (side == 0 ? 1.0 : -1.0) * across_;
  }
  if (faults_.eye_line_tilt_rad != 0.0) {
    const Vec2 middle = 0.5 * (centre(0) + centre(1)), d = at - middle;
    const double c = std::cos(faults_.eye_line_tilt_rad), s = std::sin(faults_.eye_line_tilt_rad);
    at = middle + Vec2(c * d.x() - s * d.y(), s * d.x() + c * d.y());
  }
  return at;
}

Vec2 HeadForm::ChinPx(const Vec3& p) const {
  const double low = std::clamp(1.0 - p.y() / 0.26, 0.0, 1.0);
  return Px(p) + faults_.chin_shift * face_width_px_ * (low * low * (3 - 2 * low)) * across_;
}

Shape HeadForm::Mask() const {
  Shape shape;
  Polyline before;
  const double top = build_.hairline;
  constexpr int kSteps = 44;
  for (int i = 0; i <= kSteps; ++i) {
    const double y = -0.012 + (top + 0.012) * i / kSteps;
    const double reach = FaceReach(y, top);
    Polyline arc;
    for (int j = 0; j <= 36; ++j) arc.push_back(ChinPx(Skull(reach * (j / 18.0 - 1.0), y)));
    if (!before.empty()) {
      Polyline both = before;
      both.insert(both.end(), arc.begin(), arc.end());
      shape.Add(ConvexHull(std::move(both)));
    }
    before = std::move(arc);
  }
  // The nose stands out of the contour in side views.
  Polyline nose;
  const double tip = build_.nose_height + build_.nose_tip_up;
  for (const Vec3& p :
       {OnFace(0, 0.47, -0.012), OnFace(0, tip + 0.10, 0.3 * build_.nose_out),
        OnFace(0, tip + 0.02, 0.93 * build_.nose_out), OnFace(0, tip - 0.01, build_.nose_out),
        OnFace(0, build_.nose_height - 0.012, 0.35 * build_.nose_out), OnFace(0, build_.nose_height - 0.03)})
    nose.push_back(NosePx(p));
  shape.Add(ConvexHull(Smooth(nose, 6)));
  return shape;
}

Shape HeadForm::SkullOutline(double out, double from, double to) const {
  Shape shape;
  Polyline before;
  constexpr int kSteps = 30;
  for (int i = 0; i <= kSteps; ++i) {
    const double y = from + (to - from) * i / kSteps;
    // Hair also stands off the crown: heights above the middle are stretched.
    const double lifted = y > 0.6 ? 0.6 + (y - 0.6) * (1 + (out - 1) * 1.6) : y;
    Polyline ring;
    for (int j = 0; j < 40; ++j) {
      Vec3 p = Skull(2 * M_PI * j / 40, y, out);
      p.y() = lifted;
      ring.push_back(Px(p));
    }
    if (!before.empty()) {
      Polyline both = before;
      both.insert(both.end(), ring.begin(), ring.end());
      shape.Add(ConvexHull(std::move(both)));
    }
    before = std::move(ring);
  }
  return shape;
}

Vec3 HeadForm::ContourPoint(int side) const {
  const double sign = side == 0 ? 1.0 : -1.0;
  if (side != far_side_) return Skull(sign * 1.5, build_.eye_height);
  Vec3 best = Skull(0, build_.eye_height);
  for (int i = 0; i <= 200; ++i) {
    const Vec3 p = Skull(sign * M_PI_2 * i / 200, build_.eye_height);
    if (Px(p).dot(across_) * sign > Px(best).dot(across_) * sign) best = p;
  }
  return best;
}

std::map<PointId, Vec2> HeadForm::Marks() const {
  std::map<PointId, Vec2> marks;
  const HeadBuild& b = build_;
  marks[PointId::kChin] = ChinPx({0, 0, b.chin_front});
  marks[PointId::kCrown] = Px({0, 1, b.crown_front});
  if (Facing({0, 0, 1}) < 0.05) return marks;  // no face from behind
  constexpr std::array<std::array<PointId, 4>, 2> kEyes = {
      {{PointId::kEyeLInner, PointId::kEyeLOuter, PointId::kEyeLTop, PointId::kEyeLBottom},
       {PointId::kEyeRInner, PointId::kEyeROuter, PointId::kEyeRTop, PointId::kEyeRBottom}}};
  const bool profile = std::abs(yaw_) > 1.1;
  for (int side = 0; side < 2; ++side) {
    if (profile && side == far_side_) continue;
    const double s = side == 0 ? 1.0 : -1.0;
    const auto& eye = kEyes[static_cast<std::size_t>(side)];
    marks[eye[0]] = EyePx(side, OnFace(s * (b.eye_out - b.eye_half), b.eye_height - 0.004, -0.03));
    marks[eye[1]] = EyePx(side, OnFace(s * (b.eye_out + b.eye_half), b.eye_height + 0.006, -0.03));
    marks[eye[2]] = EyePx(side, OnFace(s * b.eye_out, b.eye_height + b.eye_up, -0.03));
    marks[eye[3]] = EyePx(side, OnFace(s * b.eye_out, b.eye_height - b.eye_low, -0.03));
    marks[side == 0 ? PointId::kBrowLPeak : PointId::kBrowRPeak] =
        Px(OnFace(s * b.brow_out, b.eye_height + b.brow_up));
    marks[side == 0 ? PointId::kMouthL : PointId::kMouthR] =
        MouthPx(OnFace(s * b.mouth_half, b.mouth_height));
    marks[side == 0 ? PointId::kJawL : PointId::kJawR] = ChinPx(Skull(s * 1.35, 0.19));
    marks[side == 0 ? PointId::kContourL : PointId::kContourR] = Px(ContourPoint(side));
  }
  marks[PointId::kNoseBase] = NosePx(OnFace(0, b.nose_height, 0.03));
  marks[PointId::kNoseTip] = NosePx(OnFace(0, b.nose_height + b.nose_tip_up, b.nose_out + 0.03));
  marks[PointId::kMouthCentre] = MouthPx(OnFace(0, b.mouth_height));
  marks[PointId::kHairline] = Px(OnFace(0, b.hairline));
  return marks;
}

}  // namespace armslength
