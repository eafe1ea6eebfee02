#pragma once
#include <array>
#include <optional>

#include <Eigen/Core>

#include "geometry/ellipse.h"

namespace armslength {

// A circle in space: a ring around a limb, a plate, a wheel.
struct Circle3 {
  Eigen::Vector3d centre = Eigen::Vector3d::Zero();
  Eigen::Vector3d normal = Eigen::Vector3d::UnitZ();  // unit; its sign does not matter to the image
  double radius = 1.0;
};

// Image of a circle in a pinhole camera at the origin that looks along +z: image point
// focal * (x / z, y / z). Axes of the image are those of the camera. Exact. Nothing when the
// circle touches or passes the plane z = 0 (no ellipse then) or is seen edge on.
// The ellipse's centre is not the image of the circle's centre; it lies nearer the viewer.
[[nodiscard]] std::optional<Ellipse> ProjectCircle(const Circle3& circle, double focal);

// The same without perspective: image point scale * (x, y). Nothing when seen edge on.
[[nodiscard]] std::optional<Ellipse> ProjectCircleOrthographic(const Circle3& circle, double scale = 1.0);

// The two unit normals (towards the viewer, z <= 0) of a circle whose orthographic image is
// `ellipse`: one leans to each side of the minor axis; no single view tells which.
[[nodiscard]] std::array<Eigen::Vector3d, 2> NormalsOrthographic(const Ellipse& ellipse);

}  // namespace armslength
