// What a shape covers, bit by bit, against OpenCV: its convex hull and its test of points against polygons.
#include "check/surface/cover.h"

#include <array>
#include <cmath>
#include <limits>
#include <random>
#include <vector>

#include <gtest/gtest.h>
#include <opencv2/imgproc.hpp>

namespace armslength::surface_check {
namespace {

constexpr int kSize = Cover::kSize;

std::vector<Vec2> RandomPoints(std::mt19937& random, double spread) {
  std::uniform_real_distribution<double> place(0.5 * kSize - spread, 0.5 * kSize + spread);
  std::vector<Vec2> points(std::uniform_int_distribution<std::size_t>(3, 24)(random));
  for (Vec2& p : points) p = {place(random), place(random)};
  return points;
}

TEST(Cover, CoversWhatOpenCvFindsInsideTheHull) {
  std::mt19937 random(20261129);
  for (const double spread : {3.0, 30.0, 70.0, 300.0})  // the last: mostly off the canvas
    for (int i = 0; i < 25; ++i) {
      std::vector<Vec2> points = RandomPoints(random, spread);
      std::vector<cv::Point2f> hull, all;
      for (const Vec2& p : points) all.emplace_back(static_cast<float>(p.x()), static_cast<float>(p.y()));
      cv::convexHull(all, hull);
      Cover cover;
      cover.AddHull(points);
      const cv::Mat mask = cover.Mask();
      int expected = 0;
      for (int y = 0; y < kSize; ++y)
        for (int x = 0; x < kSize; ++x) {
          const double inside = cv::pointPolygonTest(hull, cv::Point2f(static_cast<float>(x) + 0.5F, static_cast<float>(y) + 0.5F), true);
          const bool covered = mask.at<std::uint8_t>(y, x) != 0;
          if (std::abs(inside) > 2e-3) {  // on the edge single precision decides
            EXPECT_EQ(covered, inside > 0.0) << x << ", " << y << " of hull " << i << " within " << spread;
          }
          expected += covered;
        }
      EXPECT_EQ(cover.Count(), expected);
    }
}

TEST(Cover, CountsWhatOnlyOneOfTwoCovers) {
  std::mt19937 random(7);
  for (int i = 0; i < 20; ++i) {
    std::array<cv::Mat, 3> masks;
    std::array<Cover, 3> covers;
    for (std::size_t k = 0; k < 3; ++k) {
      auto points = RandomPoints(random, 60.0);
      covers[k].AddHull(points);
      masks[k] = covers[k].Mask();
      EXPECT_EQ(Cover(masks[k]).Count(), cv::countNonZero(masks[k]));
    }
    EXPECT_EQ(covers[0].Differ(covers[1], covers[2]), cv::countNonZero((masks[0] ^ masks[1]) & masks[2]));
  }
}

TEST(Cover, PointsNowhereOrInOneLineCoverNothing) {
  constexpr double kNan = std::numeric_limits<double>::quiet_NaN(), kInf = std::numeric_limits<double>::infinity();
  for (const Vec2& bad : {Vec2(kNan, 3.0), Vec2(5.0, kInf), Vec2(-1e12, 2.0)}) {
    std::vector<Vec2> points{{0, 0}, {100, 0}, {50, 90}, bad};
    Cover cover;
    cover.AddHull(points);
    EXPECT_EQ(cover.Count(), 0);
  }
  for (std::vector<Vec2> points : {std::vector<Vec2>(5, Vec2(40.2, 40.3)), {{10.2, 10.2}, {20.2, 20.2}, {30.2, 30.2}}, {{1, 1}, {9, 9}}}) {
    Cover cover;
    cover.AddHull(points);
    EXPECT_EQ(cover.Count(), 0);
  }
}

}  // namespace
}  // namespace armslength::surface_check
