#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include <gtest/gtest.h>

#include "geometry/line.h"
#include "geometry/polygon.h"
#include "geometry/rotation.h"

namespace armslength {
namespace {

constexpr double kPi = std::numbers::pi;
using Points = std::vector<Eigen::Vector2d>;

TEST(Line, DistancesAndMeetings) {
  const Line2 line = Line2::Through({0.0, 1.0}, {4.0, 4.0});  // 3-4-5
  EXPECT_NEAR(SignedDistance(line, {0.0, 6.0}), 4.0, 1e-12);
  EXPECT_NEAR(SignedDistance(line, {0.0, -4.0}), -4.0, 1e-12);
  EXPECT_NEAR((Foot(line, {0.0, 6.0}) - Eigen::Vector2d(2.4, 2.8)).norm(), 0.0, 1e-12);
  const auto meeting = Intersection(line, Line2::Through({4.0, 0.0}, {4.0, 9.0}));
  ASSERT_TRUE(meeting);
  EXPECT_NEAR((*meeting - Eigen::Vector2d(4.0, 4.0)).norm(), 0.0, 1e-12);
  EXPECT_FALSE(Intersection(line, Line2::Through({0.0, 2.0}, {4.0, 5.0})));
  EXPECT_NEAR(SegmentDistance({0.0, 0.0}, {10.0, 0.0}, {13.0, 4.0}), 5.0, 1e-12);
  EXPECT_NEAR(SegmentDistance({2.0, 2.0}, {2.0, 2.0}, {5.0, 6.0}), 5.0, 1e-12);
  EXPECT_NEAR(SegmentParameter({0.0, 0.0}, {10.0, 0.0}, {2.5, 7.0}), 0.25, 1e-12);
}

TEST(Line, SegmentsCrossInsideBothOnly) {
  const Eigen::Vector2d a(0, 0), b(4, 4);
  EXPECT_TRUE(SegmentsCross(a, b, {0, 4}, {4, 0}));
  EXPECT_TRUE(SegmentsCross({0, 4}, {4, 0}, b, a));
  EXPECT_FALSE(SegmentsCross(a, b, {0, 4}, {1.9, 2.1}));  // ends before
  EXPECT_FALSE(SegmentsCross(a, b, {2, 2}, {4, 0}));      // touches
  EXPECT_FALSE(SegmentsCross(a, b, {1, 0}, {5, 4}));      // beside it
}

TEST(Line, Angles) {
  EXPECT_NEAR(AngleBetween(Eigen::Vector2d(1, 0), Eigen::Vector2d(0, 1)), kPi / 2, 1e-12);
  EXPECT_NEAR(AngleBetween(Eigen::Vector2d(0, 1), Eigen::Vector2d(1, 0)), -kPi / 2, 1e-12);
  EXPECT_NEAR(AxialAngleBetween({1, 0.1}, {-1, 0.1}), 2.0 * std::atan(0.1), 1e-12);
  EXPECT_NEAR(WrapAngle(7.0 * kPi), kPi, 1e-9);
  EXPECT_NEAR(WrapAngle(-kPi), kPi, 1e-12);
  EXPECT_NEAR(WrapAngle(0.5 - 4.0 * kPi), 0.5, 1e-12);
}

TEST(Line, FitIsFairAndKnowsItsSpread) {
  std::mt19937 rng(5);
  std::normal_distribution<double> noise(0.0, 0.5);
  double squares = 0.0, stated = 0.0;
  for (int trial = 0; trial < 500; ++trial) {
    Points points;
    for (int i = 0; i < 20; ++i) points.emplace_back(10.0 + 6.0 * i + noise(rng), 40.0 + 3.0 * i + noise(rng));
    const auto fit = FitLine(points);
    ASSERT_TRUE(fit);
    squares += std::pow(AxialAngleBetween(fit->line.direction, {2.0, 1.0}), 2) / 500;
    stated += fit->angle_sd_rad * fit->angle_sd_rad / 500;
  }
  EXPECT_NEAR(std::sqrt(squares / stated), 1.0, 0.1);
  EXPECT_FALSE(FitLine(Points(5, {1.0, 1.0})));
  EXPECT_FALSE(FitLine(Points{{1.0, 1.0}}));
}

TEST(Polygon, HullHoldsEverythingAndTurnsOneWay) {
  std::mt19937 rng(8);
  std::uniform_int_distribution<int> place(0, 30);  // whole numbers: many points on edges
  for (int trial = 0; trial < 50; ++trial) {
    Points points;
    for (int i = 0; i < 60; ++i) points.emplace_back(place(rng), place(rng));
    const auto hull = ConvexHull(points);
    ASSERT_GE(hull.size(), 3u);
    for (std::size_t i = 0; i < hull.size(); ++i) {
      const Line2 edge = Line2::Through(hull[i], hull[(i + 1) % hull.size()]);
      EXPECT_GT(SignedDistance(edge, hull[(i + 2) % hull.size()]), 1e-9);  // strict corner
      for (const auto& p : points) EXPECT_GE(SignedDistance(edge, p), -1e-9);
    }
    EXPECT_GT(SignedArea(hull), 0.0);
    for (const auto& p : points) EXPECT_TRUE(Contains(hull, p));
  }
  EXPECT_TRUE(ConvexHull(Points{}).empty());
  EXPECT_EQ(ConvexHull(Points(4, {1.0, 2.0})).size(), 1u);
  EXPECT_EQ(ConvexHull(Points{{0, 0}, {2, 2}, {1, 1}, {3, 3}}).size(), 2u);
}

TEST(Polygon, DistanceInsideAndOutside) {
  const Points square{{0, 0}, {10, 0}, {10, 10}, {0, 10}};
  EXPECT_NEAR(SignedArea(square), 100.0, 1e-12);
  EXPECT_NEAR(SignedDistance(square, {5, 4}), -4.0, 1e-12);
  EXPECT_NEAR(SignedDistance(square, {13, 14}), 5.0, 1e-12);
  EXPECT_NEAR(SignedDistance(square, {10, 3}), 0.0, 1e-12);
  EXPECT_TRUE(Contains(square, {10, 3}));
  EXPECT_TRUE(Contains(square, {0, 0}));
  EXPECT_FALSE(Contains(square, {10.0001, 3}));
  const Points bay{{0, 0}, {10, 0}, {10, 10}, {5, 2}, {0, 10}};  // not convex
  EXPECT_FALSE(Contains(bay, {5, 6}));
  EXPECT_GT(SignedDistance(bay, {5, 6}), 0.0);
  EXPECT_LT(SignedDistance(bay, {1, 5}), 0.0);
  EXPECT_NEAR((Centroid(Points{{0, 0}, {6, 0}, {0, 3}}) - Eigen::Vector2d(2, 1)).norm(), 0.0, 1e-12);
  EXPECT_NEAR((Centroid(Points{{0, 0}, {4, 0}}) - Eigen::Vector2d(2, 0)).norm(), 0.0, 1e-12);
}

TEST(Rotation, VectorsAndBack) {
  std::mt19937 rng(4);
  std::normal_distribution<double> normal;
  for (const double angle : {0.0, 1e-9, 1e-4, 1.0, 3.0, kPi - 1e-7}) {
    for (int i = 0; i < 20; ++i) {
      const Eigen::Vector3d w = angle * Eigen::Vector3d(normal(rng), normal(rng), normal(rng)).normalized();
      const Eigen::Matrix3d r = RotationFromVector(w);
      EXPECT_NEAR((r * r.transpose() - Eigen::Matrix3d::Identity()).norm(), 0.0, 1e-12);
      EXPECT_NEAR((RotationVector(r) - w).norm(), 0.0, 1e-8);
    }
  }
  // A quarter turn about z takes x to y.
  EXPECT_NEAR((RotationAbout({0, 0, 5}, kPi / 2) * Eigen::Vector3d::UnitX() - Eigen::Vector3d::UnitY()).norm(), 0.0, 1e-12);
}

TEST(Rotation, BetweenDirections) {
  std::mt19937 rng(6);
  std::normal_distribution<double> normal;
  for (int i = 0; i < 50; ++i) {
    const Eigen::Vector3d a(normal(rng), normal(rng), normal(rng));
    Eigen::Vector3d b(normal(rng), normal(rng), normal(rng));
    if (i == 0) b = a;
    if (i == 1) b = -2.0 * a;
    const Eigen::Matrix3d r = RotationBetween(a, b);
    EXPECT_NEAR((r * a.normalized() - b.normalized()).norm(), 0.0, 1e-7);
    EXPECT_NEAR(RotationVector(r).norm(), AngleBetween(a, b), 1e-7);
    EXPECT_NEAR(r.determinant(), 1.0, 1e-12);
  }
}

TEST(Rotation, TwistIsWhatIsLeftOfTheSwing) {
  const Eigen::Vector3d axis(0.2, 0.9, -0.3);
  for (const double twist : {-2.5, -0.4, 0.0, 1.1, 3.0}) {
    const Eigen::Vector3d across = axis.unitOrthogonal();
    const Eigen::Matrix3d swing = RotationAbout(across, 0.8);
    EXPECT_NEAR(TwistAngle(swing * RotationAbout(axis, twist), axis), twist, 1e-9);
  }
  Eigen::Matrix3d drifted = RotationAbout(axis, 1.0);
  drifted(0, 1) += 1e-3;
  const Eigen::Matrix3d mended = NearestRotation(drifted);
  EXPECT_NEAR((mended * mended.transpose() - Eigen::Matrix3d::Identity()).norm(), 0.0, 1e-12);
  EXPECT_NEAR((mended - RotationAbout(axis, 1.0)).norm(), 0.0, 1e-3);
}

}  // namespace
}  // namespace armslength
