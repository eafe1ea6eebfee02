#include "geometry/ellipse_fit.h"

#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include <gtest/gtest.h>

namespace armslength {
namespace {

constexpr double kPi = std::numbers::pi;
const Ellipse kTruth{{412.0, 287.5}, 100.0, 38.0, 0.6};

// Marks at even parameter steps over [from, from + arc), each moved by Gaussian noise.
std::vector<Eigen::Vector2d> Marks(const Ellipse& truth, int count, double sigma_px, unsigned seed, double from = 0.0, double arc = 2.0 * kPi) {
  std::mt19937 rng(seed);
  std::normal_distribution<double> noise(0.0, 1.0);
  std::vector<Eigen::Vector2d> marks;
  for (int i = 0; i < count; ++i) {
    Eigen::Vector2d mark = truth.At(from + arc * i / count);
    mark += sigma_px * Eigen::Vector2d(noise(rng), noise(rng));
    marks.push_back(mark);
  }
  return marks;
}

TEST(EllipseFit, ExactMarksGiveTheTruthBack) {
  for (const bool refine : {false, true})
    for (const double arc : {2.0 * kPi, kPi, 0.7 * kPi}) {
      SCOPED_TRACE(arc);
      EllipseFitOptions options;
      options.refine = refine;
      const auto fit = FitEllipse(Marks(kTruth, 12, 0.0, 1, 0.4, arc), options);
      ASSERT_TRUE(fit) << fit.error().message;
      EXPECT_NEAR((fit->ellipse.centre_px - kTruth.centre_px).norm(), 0.0, 1e-6);
      EXPECT_NEAR(fit->ellipse.semi_major_px, kTruth.semi_major_px, 1e-6);
      EXPECT_NEAR(fit->ellipse.semi_minor_px, kTruth.semi_minor_px, 1e-6);
      EXPECT_NEAR(fit->ellipse.major_axis_rad, kTruth.major_axis_rad, 1e-8);
      EXPECT_LT(fit->rms_px, 1e-7);
      EXPECT_NEAR(fit->covered_rad, arc * 11.0 / 12.0, 1e-6);
    }
}

TEST(EllipseFit, NoiseBiasIsSmall) {  // the mean over trials is the promise, not one lucky draw
  double sum_px = 0.0;
  for (unsigned seed = 0; seed < 400; ++seed) {
    const auto fit = FitEllipse(Marks(kTruth, 24, 0.5, seed));
    ASSERT_TRUE(fit) << fit.error().message;
    sum_px += fit->ellipse.semi_major_px - kTruth.semi_major_px;
  }
  EXPECT_NEAR(sum_px / 400, 0.0, 0.1);
}

TEST(EllipseFit, HalfArcsAreFairAndTheirSpreadIsKnown) {
  // Front half of a ring, as on a sleeve. Measured spread against the stated one, per parameter.
  const int trials = 400;
  Eigen::Matrix<double, 5, 1> bias = Eigen::Matrix<double, 5, 1>::Zero(), squares = bias, stated = bias;
  for (unsigned seed = 0; seed < trials; ++seed) {
    EllipseFitOptions options;
    options.sigma_px = 0.5;
    const auto fit = FitEllipse(Marks(kTruth, 24, 0.5, 5000 + seed, 0.0, kPi), options);
    ASSERT_TRUE(fit) << fit.error().message;
    Eigen::Matrix<double, 5, 1> error;
    error << fit->ellipse.centre_px - kTruth.centre_px, fit->ellipse.semi_major_px - kTruth.semi_major_px,
        fit->ellipse.semi_minor_px - kTruth.semi_minor_px, fit->ellipse.major_axis_rad - kTruth.major_axis_rad;
    bias += error / trials;
    squares += error.cwiseProduct(error) / trials;
    stated += fit->covariance.diagonal() / trials;
  }
  for (int k = 0; k < 5; ++k) {
    SCOPED_TRACE(k);
    EXPECT_LT(std::abs(bias[k]), 0.35 * std::sqrt(squares[k]));
    EXPECT_NEAR(std::sqrt(squares[k] / stated[k]), 1.0, 0.2);
  }
}

TEST(EllipseFit, RefiningBeatsTheDirectFitOnShortArcs) {
  double direct_bias = 0.0, refined_bias = 0.0;
  int used = 0;
  for (unsigned seed = 0; seed < 300; ++seed) {
    const auto marks = Marks(kTruth, 30, 0.4, 9000 + seed, 0.15 * kPi, 0.8 * kPi);
    EllipseFitOptions direct;
    direct.refine = false;
    const auto a = FitEllipse(marks, direct), b = FitEllipse(marks);
    if (!a || !b) continue;
    ++used;
    direct_bias += a->ellipse.semi_minor_px - kTruth.semi_minor_px;
    refined_bias += b->ellipse.semi_minor_px - kTruth.semi_minor_px;
    ASSERT_LE(b->rms_px, a->rms_px + 1e-9);
  }
  ASSERT_GT(used, 290);
  EXPECT_LT(std::abs(refined_bias), std::abs(direct_bias));
}

TEST(EllipseFit, NoiseIsEstimated) {
  double sum = 0.0;
  for (unsigned seed = 0; seed < 200; ++seed) sum += std::pow(FitEllipse(Marks(kTruth, 30, 0.8, 700 + seed))->sigma_px, 2);
  EXPECT_NEAR(std::sqrt(sum / 200), 0.8, 0.04);
}

TEST(EllipseFit, NearCirclesHaveNoAngle) {
  const auto fit = FitEllipse(Marks({{50.0, 60.0}, 40.0, 40.0, 0.0}, 20, 0.2, 3));
  ASSERT_TRUE(fit);
  EXPECT_NEAR(fit->ellipse.semi_major_px, 40.0, 0.5);
  EXPECT_GT(std::sqrt(fit->covariance(4, 4)), 0.3);
  EXPECT_LE(fit->covariance(4, 4), kPi * kPi / 12.0 + 1e-12);
}

TEST(EllipseFit, MarksOnALineAreDegenerate) {
  std::vector<Eigen::Vector2d> line;
  for (int i = 0; i < 8; ++i) line.emplace_back(10.0 * i, 5.0 * i);
  const auto fit = FitEllipse(line);
  ASSERT_FALSE(fit);
  EXPECT_EQ(fit.error().code, FitError::kDegenerate);
  EXPECT_EQ(FitEllipse(std::vector<Eigen::Vector2d>(9, {3.0, 4.0})).error().code, FitError::kDegenerate);
}

TEST(EllipseFit, BadInputIsNamed) {
  EXPECT_EQ(FitEllipse(Marks(kTruth, 5, 0.0, 1)).error().code, FitError::kTooFewPoints);
  auto marks = Marks(kTruth, 8, 0.0, 1);
  marks[3].x() = std::nan("");
  EXPECT_EQ(FitEllipse(marks).error().code, FitError::kNonFinite);
  EllipseFitOptions options;
  options.min_points = 4;
  EXPECT_EQ(FitEllipse(marks, options).error().code, FitError::kBadOptions);
  options = {};
  options.min_axis_ratio = 0.5;
  EXPECT_EQ(FitEllipse(Marks(kTruth, 8, 0.0, 1), options).error().code, FitError::kDegenerate);
}

TEST(Ellipse, ConicAndBack) {
  for (const double angle : {0.0, 0.3, 1.2, 2.0, 3.1})
    for (const double minor : {5.0, 38.0, 99.0}) {
      const Ellipse ellipse{{-30.0, 77.0}, 100.0, minor, angle};
      const Conic conic = ConicOf(ellipse);
      for (double t = 0.0; t < 6.2; t += 0.3) EXPECT_NEAR(conic.At(ellipse.At(t)), 0.0, 1e-9);
      EXPECT_LT(conic.At(ellipse.centre_px), 0.0);
      const auto back = EllipseOf({-3.0 * conic.a, -3.0 * conic.b, -3.0 * conic.c, -3.0 * conic.d, -3.0 * conic.e, -3.0 * conic.f});
      ASSERT_TRUE(back);
      EXPECT_NEAR((back->centre_px - ellipse.centre_px).norm(), 0.0, 1e-9);
      EXPECT_NEAR(back->semi_minor_px, minor, 1e-9);
      EXPECT_NEAR(back->semi_major_px, 100.0, 1e-9);
      EXPECT_NEAR(back->major_axis_rad, angle, 1e-9);
    }
  EXPECT_FALSE(EllipseOf({1.0, 0.0, -1.0, 0.0, 0.0, -1.0}));  // hyperbola
  EXPECT_FALSE(EllipseOf({1.0, 0.0, 1.0, 0.0, 0.0, 1.0}));    // no real point
  EXPECT_FALSE(EllipseOf({0.0, 0.0, 1.0, 1.0, 0.0, 0.0}));    // parabola
}

TEST(Ellipse, NearestPointBeatsEveryOther) {
  std::mt19937 rng(11);
  std::uniform_real_distribution<double> place(-150.0, 150.0);
  for (const double minor : {2.0, 38.0, 100.0}) {
    const Ellipse ellipse{{10.0, -20.0}, 100.0, minor, 0.9};
    for (int i = 0; i < 200; ++i) {
      Eigen::Vector2d p = ellipse.centre_px + Eigen::Vector2d(place(rng), place(rng));
      if (i == 0) p = ellipse.centre_px;
      if (i == 1) p = ellipse.At(1.0);
      if (i == 2) p = ellipse.centre_px + 0.5 * (ellipse.At(0.0) - ellipse.centre_px);  // on the major axis
      if (i == 3) p = ellipse.centre_px + 3.0 * (ellipse.At(kPi / 2) - ellipse.centre_px);
      const EllipseFoot foot = NearestPoint(ellipse, p);
      EXPECT_NEAR(ConicOf(ellipse).At(foot.point_px), 0.0, 1e-8);
      EXPECT_NEAR((ellipse.At(foot.t_rad) - foot.point_px).norm(), 0.0, 1e-6);
      EXPECT_NEAR(std::abs(foot.signed_distance_px), (p - foot.point_px).norm(), 1e-9);
      if (std::abs(foot.signed_distance_px) > 1e-9) {
        EXPECT_EQ(foot.signed_distance_px < 0.0, ConicOf(ellipse).At(p) < 0.0);
      }
      double best = 1e9;
      for (int k = 0; k < 2000; ++k) best = std::min(best, (ellipse.At(2.0 * kPi * k / 2000) - p).norm());
      EXPECT_LE(std::abs(foot.signed_distance_px), best + 1e-9);
    }
  }
}

}  // namespace
}  // namespace armslength
