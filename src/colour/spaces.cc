#include "colour/spaces.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <Eigen/Core>
#include <Eigen/LU>

namespace armslength {
namespace {

using Eigen::Matrix3d;
using Eigen::Vector3d;

Vector3d Vec(const Xyz& c) { return {c.x, c.y, c.z}; }
Xyz AsXyz(const Vector3d& v) { return {v[0], v[1], v[2]}; }
Vector3d FromChromaticity(double x, double y) { return {x / y, 1.0, (1.0 - x - y) / y}; }

struct Matrices {
  Vector3d d65 = FromChromaticity(0.3127, 0.3290), d50 = FromChromaticity(0.3457, 0.3585);
  Matrix3d xyz_from_rgb, rgb_from_xyz, d50_from_d65, d65_from_d50, cone_from_xyz, xyz_from_cone, ok_from_cone, cone_from_ok;

  Matrices() {
    // The primaries scaled so that R = G = B = 1 gives the white.
    Matrix3d primaries;
    primaries << FromChromaticity(0.64, 0.33), FromChromaticity(0.30, 0.60), FromChromaticity(0.15, 0.06);
    const Vector3d scale = primaries.inverse() * d65;
    xyz_from_rgb = primaries * scale.asDiagonal();
    rgb_from_xyz = xyz_from_rgb.inverse();
    Matrix3d bradford;
    bradford << 0.8951, 0.2664, -0.1614, -0.7502, 1.7135, 0.0367, 0.0389, -0.0685, 1.0296;
    const Vector3d ratio = (bradford * d50).cwiseQuotient(bradford * d65);
    d50_from_d65 = bradford.inverse() * ratio.asDiagonal() * bradford;
    d65_from_d50 = d50_from_d65.inverse();
    cone_from_xyz << 0.8189330101, 0.3618667424, -0.1288597137, 0.0329845436, 0.9293118715, 0.0361456387, 0.0482003018,
        0.2643662691, 0.6338517070;
    xyz_from_cone = cone_from_xyz.inverse();
    ok_from_cone << 0.2104542553, 0.7936177850, -0.0040720468, 1.9779984951, -2.4285922050, 0.4505937099, 0.0259040371,
        0.7827717662, -0.8086757660;
    cone_from_ok = ok_from_cone.inverse();
  }
};

const Matrices& Tables() {
  static const Matrices matrices;
  return matrices;
}

// CIE 15: the cube root with its straight part near zero.
constexpr double kBreak = 216.0 / 24389.0, kSlope = 24389.0 / 27.0;
double LabCurve(double t) { return t > kBreak ? std::cbrt(t) : (kSlope * t + 16.0) / 116.0; }
double LabCurveBack(double f) { return f * f * f > kBreak ? f * f * f : (116.0 * f - 16.0) / kSlope; }

Lch Polar(double L, double a, double b) {
  const double chroma = std::hypot(a, b);
  double hue = chroma > 0.0 ? std::atan2(b, a) : 0.0;
  if (hue < 0.0) hue += 2.0 * std::numbers::pi;
  return {L, chroma, hue};
}

}  // namespace

Xyz WhiteXyz(White white) { return AsXyz(white == White::kD65 ? Tables().d65 : Tables().d50); }

double LinearFromStored(double stored) {
  const double s = std::abs(stored);
  return std::copysign(s <= 0.04045 ? s / 12.92 : std::pow((s + 0.055) / 1.055, 2.4), stored);
}

double StoredFromLinear(double linear) {
  const double v = std::abs(linear);
  return std::copysign(v <= 0.0031308 ? 12.92 * v : 1.055 * std::pow(v, 1.0 / 2.4) - 0.055, linear);
}

const std::array<float, 256>& LinearTable() {
  static const std::array<float, 256> table = [] {
    std::array<float, 256> made{};
    for (std::size_t i = 0; i < 256; ++i) made[i] = static_cast<float>(LinearFromStored(static_cast<double>(i) / 255.0));
    return made;
  }();
  return table;
}

LinearRgb ToLinear(Rgb8 colour) {
  return {LinearFromStored(colour.r / 255.0), LinearFromStored(colour.g / 255.0), LinearFromStored(colour.b / 255.0)};
}

Rgb8 ToRgb8(const LinearRgb& colour) {
  const auto level = [](double linear) {
    return static_cast<std::uint8_t>(std::lround(255.0 * std::clamp(StoredFromLinear(linear), 0.0, 1.0)));
  };
  return {level(colour.r), level(colour.g), level(colour.b)};
}

bool InGamut(const LinearRgb& colour, double slack) {
  return std::min({colour.r, colour.g, colour.b}) >= -slack && std::max({colour.r, colour.g, colour.b}) <= 1.0 + slack;
}

Xyz ToXyz(const LinearRgb& colour) { return AsXyz(Tables().xyz_from_rgb * Vector3d(colour.r, colour.g, colour.b)); }

LinearRgb ToLinear(const Xyz& xyz_d65) {
  const Vector3d v = Tables().rgb_from_xyz * Vec(xyz_d65);
  return {v[0], v[1], v[2]};
}

Xyz Adapt(const Xyz& xyz, White from, White to) {
  if (from == to) return xyz;
  return AsXyz((to == White::kD50 ? Tables().d50_from_d65 : Tables().d65_from_d50) * Vec(xyz));
}

Lab ToLab(const Xyz& xyz, White white) {
  const Xyz w = WhiteXyz(white);
  const double fx = LabCurve(xyz.x / w.x), fy = LabCurve(xyz.y / w.y), fz = LabCurve(xyz.z / w.z);
  return {116.0 * fy - 16.0, 500.0 * (fx - fy), 200.0 * (fy - fz)};
}

Xyz ToXyz(const Lab& lab, White white) {
  const Xyz w = WhiteXyz(white);
  const double fy = (lab.L + 16.0) / 116.0, fx = fy + lab.a / 500.0, fz = fy - lab.b / 200.0;
  return {w.x * LabCurveBack(fx), w.y * LabCurveBack(fy), w.z * LabCurveBack(fz)};
}

Lab ToLab(Rgb8 colour, White white) { return ToLab(Adapt(ToXyz(ToLinear(colour)), White::kD65, white), white); }

Oklab ToOklab(const Xyz& xyz_d65) {
  const Vector3d cone = (Tables().cone_from_xyz * Vec(xyz_d65)).unaryExpr([](double v) { return std::cbrt(v); });
  const Vector3d lab = Tables().ok_from_cone * cone;
  return {lab[0], lab[1], lab[2]};
}

Oklab ToOklab(Rgb8 colour) { return ToOklab(ToXyz(ToLinear(colour))); }

Xyz ToXyz(const Oklab& oklab) {
  const Vector3d cone = (Tables().cone_from_ok * Vector3d(oklab.L, oklab.a, oklab.b)).unaryExpr([](double v) { return v * v * v; });
  return AsXyz(Tables().xyz_from_cone * cone);
}

Lch ToLch(const Lab& lab) { return Polar(lab.L, lab.a, lab.b); }
Lch ToLch(const Oklab& oklab) { return Polar(oklab.L, oklab.a, oklab.b); }
Lab LabFromLch(const Lch& lch) { return {lch.L, lch.chroma * std::cos(lch.hue_rad), lch.chroma * std::sin(lch.hue_rad)}; }
Oklab OklabFromLch(const Lch& lch) { return {lch.L, lch.chroma * std::cos(lch.hue_rad), lch.chroma * std::sin(lch.hue_rad)}; }

}  // namespace armslength
