#pragma once
#include <optional>
#include <span>

#include <Eigen/Core>

namespace armslength {

// Area of the parallelogram a, b: positive when b lies from a as +y from +x (clockwise in the picture).
[[nodiscard]] inline double Cross2(const Eigen::Vector2d& a, const Eigen::Vector2d& b) { return a.x() * b.y() - a.y() * b.x(); }

// Infinite line in the picture.
struct Line2 {
  Eigen::Vector2d point = Eigen::Vector2d::Zero();
  Eigen::Vector2d direction = Eigen::Vector2d::UnitX();  // unit

  // The line through two different points. REQUIRES: a != b.
  static Line2 Through(const Eigen::Vector2d& a, const Eigen::Vector2d& b) { return {a, (b - a).normalized()}; }
};

// Positive on the side of +y when the line runs along +x (below it, in the picture).
[[nodiscard]] double SignedDistance(const Line2& line, const Eigen::Vector2d& p);
[[nodiscard]] Eigen::Vector2d Foot(const Line2& line, const Eigen::Vector2d& p);
// Nothing when the lines are parallel to within 1e-12 rad.
[[nodiscard]] std::optional<Eigen::Vector2d> Intersection(const Line2& one, const Line2& other);

// Whether a-b and c-d cross inside both; touching at an end is no crossing.
[[nodiscard]] bool SegmentsCross(const Eigen::Vector2d& a, const Eigen::Vector2d& b, const Eigen::Vector2d& c, const Eigen::Vector2d& d);
[[nodiscard]] double SegmentDistance(const Eigen::Vector2d& a, const Eigen::Vector2d& b, const Eigen::Vector2d& p);
// Place of the nearest point of the segment, 0 at a, 1 at b.
[[nodiscard]] double SegmentParameter(const Eigen::Vector2d& a, const Eigen::Vector2d& b, const Eigen::Vector2d& p);

// Angle from one direction to the other in (-pi, pi], positive from +x towards +y.
[[nodiscard]] double AngleBetween(const Eigen::Vector2d& from, const Eigen::Vector2d& to);
// Angle between two undirected lines, in [0, pi / 2].
[[nodiscard]] double AxialAngleBetween(const Eigen::Vector2d& one, const Eigen::Vector2d& other);
// x brought into (-pi, pi].
[[nodiscard]] double WrapAngle(double x_rad);

struct LineFit {
  Line2 line;           // through the mean of the points
  double rms = 0.0;     // perpendicular distances
  double angle_sd_rad = 0.0;  // from the residuals, N - 2 degrees of freedom; 0 for two points
};
// Total least squares. Nothing for fewer than two different points or non-finite ones.
[[nodiscard]] std::optional<LineFit> FitLine(std::span<const Eigen::Vector2d> points);

}  // namespace armslength
