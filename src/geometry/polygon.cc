#include "geometry/polygon.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "geometry/line.h"

namespace armslength {
namespace {

double Turn(const Eigen::Vector2d& a, const Eigen::Vector2d& b, const Eigen::Vector2d& c) {
  return (b.x() - a.x()) * (c.y() - a.y()) - (b.y() - a.y()) * (c.x() - a.x());
}

}  // namespace

std::vector<Eigen::Vector2d> ConvexHull(std::span<const Eigen::Vector2d> points) {
  std::vector<Eigen::Vector2d> sorted(points.begin(), points.end());
  std::sort(sorted.begin(), sorted.end(), [](const auto& a, const auto& b) { return a.x() < b.x() || (a.x() == b.x() && a.y() < b.y()); });
  sorted.erase(std::unique(sorted.begin(), sorted.end()), sorted.end());
  if (sorted.size() < 3) return sorted;
  std::vector<Eigen::Vector2d> hull;
  const auto chain = [&hull](auto begin, auto end) {
    const std::size_t floor = hull.size() + 1;
    for (auto it = begin; it != end; ++it) {
      while (hull.size() > floor && Turn(hull[hull.size() - 2], hull.back(), *it) <= 0.0) hull.pop_back();
      hull.push_back(*it);
    }
    hull.pop_back();  // the next chain begins with it
  };
  chain(sorted.begin(), sorted.end());
  chain(sorted.rbegin(), sorted.rend());
  return hull;
}

double SignedArea(std::span<const Eigen::Vector2d> polygon) {
  double twice = 0.0;
  for (std::size_t i = 0; i < polygon.size(); ++i) twice += Turn(polygon[0], polygon[i], polygon[(i + 1) % polygon.size()]);
  return 0.5 * twice;
}

Eigen::Vector2d Centroid(std::span<const Eigen::Vector2d> polygon) {
  Eigen::Vector2d mean = Eigen::Vector2d::Zero(), sum = Eigen::Vector2d::Zero();
  double twice = 0.0;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const auto &a = polygon[i], &b = polygon[(i + 1) % polygon.size()];
    const double part = Turn(polygon[0], a, b);
    sum += part * (a + b + polygon[0]) / 3.0;
    twice += part;
    mean += a;
  }
  if (std::abs(twice) > 0.0) return sum / twice;
  return polygon.empty() ? mean : Eigen::Vector2d(mean / static_cast<double>(polygon.size()));
}

bool Contains(std::span<const Eigen::Vector2d> polygon, const Eigen::Vector2d& p) {
  bool inside = false;
  for (std::size_t i = 0; i < polygon.size(); ++i) {
    const auto &a = polygon[i], &b = polygon[(i + 1) % polygon.size()];
    const double turn = Turn(a, b, p);
    if (turn == 0.0 && (p - a).dot(p - b) <= 0.0) return true;
    if ((a.y() > p.y()) != (b.y() > p.y()) && (turn > 0.0) == (b.y() > a.y())) inside = !inside;
  }
  return inside;
}

double SignedDistance(std::span<const Eigen::Vector2d> polygon, const Eigen::Vector2d& p) {
  double distance = std::numeric_limits<double>::infinity();
  for (std::size_t i = 0; i < polygon.size(); ++i)
    distance = std::min(distance, SegmentDistance(polygon[i], polygon[(i + 1) % polygon.size()], p));
  return polygon.size() > 2 && Contains(polygon, p) ? -distance : distance;
}

}  // namespace armslength
