#include "geometry/circle.h"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <Eigen/Geometry>
#include <Eigen/LU>

namespace armslength {

std::optional<Ellipse> ProjectCircle(const Circle3& circle, double focal) {
  const Eigen::Vector3d n = circle.normal.normalized();
  if (!n.allFinite() || !(circle.radius > 0.0) || !(focal > 0.0)) return std::nullopt;
  // Nearest point of the circle to the plane of the camera.
  if (!(circle.centre.z() - circle.radius * std::hypot(n.x(), n.y()) > 1e-12 * circle.radius)) return std::nullopt;
  const Eigen::Vector3d u = n.unitOrthogonal(), v = n.cross(u);
  // Plane coordinates (in radii) to the image; the circle is diag(1, 1, -1) there.
  Eigen::Matrix3d image_from_plane;
  image_from_plane << circle.radius * u, circle.radius * v, circle.centre;
  image_from_plane.topRows<2>() *= focal;
  const Eigen::FullPivLU<Eigen::Matrix3d> lu(image_from_plane);
  if (!lu.isInvertible()) return std::nullopt;  // the eye lies in the circle's plane
  const Eigen::Matrix3d plane_from_image = lu.inverse();
  const Eigen::Matrix3d q = plane_from_image.transpose() * Eigen::Vector3d(1.0, 1.0, -1.0).asDiagonal() * plane_from_image;
  return EllipseOf({q(0, 0), 2.0 * q(0, 1), q(1, 1), 2.0 * q(0, 2), 2.0 * q(1, 2), q(2, 2)});
}

std::optional<Ellipse> ProjectCircleOrthographic(const Circle3& circle, double scale) {
  const Eigen::Vector3d n = circle.normal.normalized();
  const double openness = std::abs(n.z());
  if (!n.allFinite() || !(openness > 1e-9) || !(circle.radius > 0.0) || !(scale > 0.0)) return std::nullopt;
  Ellipse ellipse;
  ellipse.centre_px = scale * circle.centre.head<2>();
  ellipse.semi_major_px = scale * circle.radius;
  ellipse.semi_minor_px = ellipse.semi_major_px * openness;
  // The minor axis lies along the image of the normal.
  const double minor = std::atan2(n.y(), n.x());
  double major = std::hypot(n.x(), n.y()) > 0.0 ? minor + 0.5 * std::numbers::pi : 0.0;
  major = std::fmod(major + 2.0 * std::numbers::pi, std::numbers::pi);
  ellipse.major_axis_rad = major;
  return ellipse;
}

std::array<Eigen::Vector3d, 2> NormalsOrthographic(const Ellipse& ellipse) {
  const double degree = EllipseDegreeRad(ellipse);
  const Eigen::Vector2d minor(-std::sin(ellipse.major_axis_rad), std::cos(ellipse.major_axis_rad));
  const double across = std::cos(degree), towards = -std::sin(degree);
  return {Eigen::Vector3d(across * minor.x(), across * minor.y(), towards),
          Eigen::Vector3d(-across * minor.x(), -across * minor.y(), towards)};
}

}  // namespace armslength
