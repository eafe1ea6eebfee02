#pragma once
#include <optional>

#include <Eigen/Core>

namespace armslength {

// Ellipse in the picture: pixels, x right, y down, (0,0) the outer corner of the first pixel.
// Angles in radians, positive from +x towards +y.
struct Ellipse {
  Eigen::Vector2d centre_px = Eigen::Vector2d::Zero();
  double semi_major_px = 0.0;
  double semi_minor_px = 0.0;   // 0 < semi_minor_px <= semi_major_px
  double major_axis_rad = 0.0;  // in [0, pi); meaningless when the axes are equal

  // The point at parameter t (not the polar angle); t = 0 is the end of the major axis.
  [[nodiscard]] Eigen::Vector2d At(double t_rad) const;
  // The parameter whose ray from the centre passes through `point_px`, in (-pi, pi].
  [[nodiscard]] double ParameterOf(const Eigen::Vector2d& point_px) const;
};

// a x^2 + b xy + c y^2 + d x + e y + f = 0, any scale and sign.
struct Conic {
  double a = 0.0, b = 0.0, c = 0.0, d = 0.0, e = 0.0, f = 0.0;
  [[nodiscard]] double At(const Eigen::Vector2d& p) const {
    return a * p.x() * p.x() + b * p.x() * p.y() + c * p.y() * p.y() + d * p.x() + e * p.y() + f;
  }
};

// Scaled so that the conic is negative inside and a + c = 1 / minor^2 + 1 / major^2.
[[nodiscard]] Conic ConicOf(const Ellipse& ellipse);
// Nothing when the conic is no real ellipse (hyperbola, parabola, line, point, empty).
[[nodiscard]] std::optional<Ellipse> EllipseOf(const Conic& conic);

struct EllipseFoot {
  Eigen::Vector2d point_px;      // nearest point of the curve
  double t_rad = 0.0;            // its parameter
  double signed_distance_px = 0.0;  // negative inside
};
// Nearest point of the ellipse, to about 1e-12 of its size; exact ties (on the axes) are broken
// towards positive t. Newton steps on a convex function, which cannot overshoot.
[[nodiscard]] EllipseFoot NearestPoint(const Ellipse& ellipse, const Eigen::Vector2d& point_px);

// Angle between the line of sight and the plane of the circle behind the ellipse, seen without
// perspective: asin(minor / major), radians. pi / 2 for a circle seen face on, 0 for a line.
// Draughtsmen's "degree" of an ellipse guide.
[[nodiscard]] double EllipseDegreeRad(const Ellipse& ellipse);

}  // namespace armslength
