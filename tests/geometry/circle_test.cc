#include "geometry/circle.h"

#include <cmath>
#include <map>
#include <numbers>

#include <Eigen/Geometry>
#include <gtest/gtest.h>

#include "geometry/csv_table.h"

namespace armslength {
namespace {

constexpr double kDegree = std::numbers::pi / 180.0;

// Ellipse degree: asin(minor / major), the angle between line of sight and the circle's plane
// (technical drawing handbooks); the isometric row is a circle on a cube's face, ISO 5456-3.
TEST(Circle, EllipseDegrees) {
  int seen = 0;
  for (const auto& row : testing::ReadCsv("geometry/ellipse_degree.csv")) {
    const double degree = row.Number("degree_deg");
    SCOPED_TRACE(row.Text("case"));
    // The plane tilted so that the line of sight (z) makes `degree` with it; turned about z for good measure.
    const Eigen::Vector3d normal = Eigen::AngleAxisd(0.7, Eigen::Vector3d::UnitZ()) *
                                   Eigen::Vector3d(std::cos(degree * kDegree), 0.0, std::sin(degree * kDegree));
    // An isometric drawing, unlike the projection, is made sqrt(3/2) larger so that edges keep their length.
    const double scale = row.Text("case") == "isometric_drawing_unscaled" ? 2.0 * std::sqrt(1.5) : 2.0;
    const auto ellipse = ProjectCircleOrthographic({{3.0, 4.0, 10.0}, normal, 0.5}, scale);
    ++seen;
    if (degree == 0.0) {
      EXPECT_FALSE(ellipse);  // a line
      continue;
    }
    ASSERT_TRUE(ellipse);
    EXPECT_NEAR(ellipse->semi_minor_px / ellipse->semi_major_px, row.Number("minor_over_major"), 1e-6);
    EXPECT_NEAR(ellipse->semi_major_px, row.Number("major_over_true_diameter"), 1e-6);  // true diameter 1
    EXPECT_NEAR(ellipse->semi_minor_px, row.Number("minor_over_true_diameter"), 1e-6);
    EXPECT_NEAR(EllipseDegreeRad(*ellipse), degree * kDegree, 1e-6);
    EXPECT_NEAR((ellipse->centre_px - scale * Eigen::Vector2d(3.0, 4.0)).norm(), 0.0, 1e-12);
    const auto normals = NormalsOrthographic(*ellipse);
    EXPECT_NEAR(std::max(std::abs(normals[0].dot(normal)), std::abs(normals[1].dot(normal))), 1.0, 1e-9);
    EXPECT_LE(normals[0].z(), 0.0);
  }
  EXPECT_EQ(seen, 21);
}

TEST(Circle, WorkedExampleInOnePointPerspective) {
  std::map<std::string, double> expected;
  for (const auto& row : testing::ReadCsv("geometry/circle_in_perspective_example.csv")) expected[row.Text("quantity")] = row.Number("value");
  const auto ellipse = ProjectCircle({{0.0, -1.5, 5.0}, Eigen::Vector3d::UnitY(), 1.0}, 1.0);
  ASSERT_TRUE(ellipse);
  EXPECT_NEAR(ellipse->centre_px.x(), expected.at("ellipse_centre_u"), 1e-9);
  EXPECT_NEAR(ellipse->centre_px.y(), expected.at("ellipse_centre_v"), 1e-9);
  EXPECT_NEAR(ellipse->semi_major_px, expected.at("semi_major"), 1e-9);
  EXPECT_NEAR(ellipse->semi_minor_px, expected.at("semi_minor"), 1e-9);
  EXPECT_NEAR(EllipseDegreeRad(*ellipse) / kDegree, expected.at("degree_deg"), 1e-6);
  EXPECT_NEAR(ellipse->centre_px.y() - ellipse->semi_minor_px, expected.at("near_point_v"), 1e-9);
  EXPECT_NEAR(ellipse->centre_px.y() + ellipse->semi_minor_px, expected.at("far_point_v"), 1e-9);
  // The circle's own centre does not project to the ellipse's centre.
  EXPECT_GT(std::abs(ellipse->centre_px.y() - expected.at("image_of_circle_centre_v")), 0.01);
}

TEST(Circle, EveryProjectedPointLiesOnTheEllipse) {
  const Circle3 circle{{0.8, -0.4, 4.0}, Eigen::Vector3d(0.3, 0.8, -0.5).normalized(), 0.7};
  const auto ellipse = ProjectCircle(circle, 1200.0);
  ASSERT_TRUE(ellipse);
  const Eigen::Vector3d u = circle.normal.unitOrthogonal(), v = circle.normal.cross(u);
  for (double t = 0.0; t < 6.28; t += 0.2) {
    const Eigen::Vector3d p = circle.centre + circle.radius * (std::cos(t) * u + std::sin(t) * v);
    EXPECT_NEAR(NearestPoint(*ellipse, 1200.0 * p.head<2>() / p.z()).signed_distance_px, 0.0, 1e-7);
  }
}

TEST(Circle, NoEllipseNoAnswer) {
  EXPECT_FALSE(ProjectCircle({{0.0, 0.0, 0.5}, Eigen::Vector3d::UnitY(), 1.0}, 1.0));  // passes the eye's plane
  EXPECT_FALSE(ProjectCircle({{0.0, 0.0, 5.0}, Eigen::Vector3d::UnitY(), 1.0}, 1.0));  // edge on
  EXPECT_FALSE(ProjectCircle({{0.0, 1.0, 5.0}, Eigen::Vector3d::UnitY(), 0.0}, 1.0));
  EXPECT_FALSE(ProjectCircle({{0.0, 1.0, 5.0}, Eigen::Vector3d::Zero(), 1.0}, 1.0));
}

}  // namespace
}  // namespace armslength
