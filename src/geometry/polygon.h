#pragma once
#include <span>
#include <vector>

#include <Eigen/Core>

namespace armslength {

// Polygons are corner lists without a repeated last corner. "Turning from +x towards +y" is
// clockwise as seen on a screen, where y points down.

// Convex hull by Andrew's monotone chain, O(N log N): corners only (no points inside an edge),
// turning from +x towards +y, first the leftmost (then topmost). One or two points for
// degenerate input, empty for none. REQUIRES: finite points.
[[nodiscard]] std::vector<Eigen::Vector2d> ConvexHull(std::span<const Eigen::Vector2d> points);

// Positive when the corners turn from +x towards +y.
[[nodiscard]] double SignedArea(std::span<const Eigen::Vector2d> polygon);
// Of the filled area; the mean of the corners when the area is 0.
[[nodiscard]] Eigen::Vector2d Centroid(std::span<const Eigen::Vector2d> polygon);

// Even-odd rule. Points on the outline itself count as inside.
[[nodiscard]] bool Contains(std::span<const Eigen::Vector2d> polygon, const Eigen::Vector2d& p);

// Distance to the outline, negative inside. Works for convex and other simple polygons; for one
// or two corners it is the distance to the point or segment. REQUIRES: at least one corner.
[[nodiscard]] double SignedDistance(std::span<const Eigen::Vector2d> polygon, const Eigen::Vector2d& p);

}  // namespace armslength
