#include "geometry/circular.h"

#include <cmath>
#include <map>
#include <numbers>
#include <random>
#include <vector>

#include <gtest/gtest.h>

#include "geometry/csv_table.h"

namespace armslength {
namespace {

constexpr double kDegree = std::numbers::pi / 180.0;

std::map<std::string, std::vector<double>> DataSets() {
  std::map<std::string, std::vector<double>> sets;
  for (const auto& row : testing::ReadCsv("circular/circular_data.csv")) sets[row.Text("dataset")].push_back(row.Number("angle_deg") * kDegree);
  return sets;
}

// Data: Fisher 1993, Mardia & Jupp 2000, Zar. Expected: R package circular 0.4-95; see the files' heads.
TEST(Circular, TextbookSetsAgreeWithAnIndependentPackage) {
  const auto sets = DataSets();
  int seen = 0;
  for (const auto& row : testing::ReadCsv("circular/circular_expected.csv")) {
    SCOPED_TRACE(row.Text("dataset"));
    const CircularSummary s = SummariseDirections(sets.at(row.Text("dataset")));
    EXPECT_EQ(s.count, static_cast<int>(row.Number("n")));
    EXPECT_NEAR(s.mean_rad / kDegree, row.Number("mean_direction_deg"), 1e-8);
    EXPECT_NEAR(s.resultant, row.Number("mean_resultant_length"), 1e-9);
    EXPECT_NEAR(s.variance, row.Number("circular_variance"), 1e-9);
    EXPECT_NEAR(s.sd_rad, row.Number("circular_sd_rad"), 1e-9);
    EXPECT_NEAR(s.rayleigh_z, row.Number("rayleigh_z"), 1e-8);
    EXPECT_NEAR(s.rayleigh_p / row.Number("p_zar"), 1.0, 1e-6);
    EXPECT_NEAR(s.rayleigh_p, row.Number("rayleigh_p_R"), 5e-4);  // another approximation of the same p
    EXPECT_NEAR(VonMisesConcentration(s.resultant) / row.Number("kappa_mle"), 1.0, 8e-3);  // the package approximates
    ++seen;
  }
  EXPECT_EQ(seen, 8);
}

TEST(Circular, AxesAreFoldedAtHalfATurn) {
  std::vector<double> axes, turned;
  for (const double degrees : {80.0, 85.0, 95.0, 100.0, 90.0}) {
    axes.push_back(degrees * kDegree);
    turned.push_back((degrees + (axes.size() % 2 ? 180.0 : 0.0)) * kDegree);
  }
  const auto a = SummariseAxes(axes), b = SummariseAxes(turned);
  EXPECT_NEAR(a.mean_rad, 90.0 * kDegree, 1e-12);
  EXPECT_NEAR(b.mean_rad, a.mean_rad, 1e-12);
  EXPECT_NEAR(b.resultant, a.resultant, 1e-12);
  EXPECT_LT(SummariseDirections(turned).resultant, 0.3);
  // By definition: doubled angles on the full circle.
  std::vector<double> doubled;
  for (const double x : axes) doubled.push_back(2.0 * x);
  EXPECT_NEAR(SummariseDirections(doubled).resultant, a.resultant, 1e-12);
  EXPECT_NEAR(SummariseDirections(doubled).sd_rad, 2.0 * a.sd_rad, 1e-12);
}

TEST(Circular, FalseAlarmsOfTheRayleighTest) {
  std::mt19937 rng(77);
  std::uniform_real_distribution<double> any(0.0, 2.0 * std::numbers::pi);
  int alarms = 0;
  for (int trial = 0; trial < 4000; ++trial) {
    std::vector<double> angles(12);
    for (auto& a : angles) a = any(rng);
    alarms += SummariseDirections(angles).rayleigh_p < 0.05;
  }
  EXPECT_NEAR(alarms / 4000.0, 0.05, 0.012);  // 3.5 standard errors
}

TEST(Circular, WeightsCountAsRepeats) {
  const std::vector<double> angles{0.2, 1.0, 4.0}, weights{3.0, 1.0, 2.0}, repeated{0.2, 0.2, 0.2, 1.0, 4.0, 4.0};
  const auto a = SummariseDirections(angles, weights), b = SummariseDirections(repeated);
  EXPECT_NEAR(a.mean_rad, b.mean_rad, 1e-12);
  EXPECT_NEAR(a.resultant, b.resultant, 1e-12);
  EXPECT_GT(a.rayleigh_p, b.rayleigh_p);  // three observations prove less than six
}

TEST(Circular, NothingAndEverything) {
  EXPECT_EQ(SummariseDirections(std::vector<double>{}).count, 0);
  EXPECT_EQ(SummariseDirections(std::vector<double>{}).rayleigh_p, 1.0);
  EXPECT_NEAR(SummariseDirections(std::vector<double>{0.0, std::numbers::pi}).resultant, 0.0, 1e-15);
  EXPECT_EQ(VonMisesConcentration(0.0), 0.0);
  EXPECT_TRUE(std::isinf(VonMisesConcentration(1.0)));
  for (const double k : {0.01, 1.0, 7.0, 40.0, 300.0}) {
    const double r = std::cyl_bessel_i(1.0, k) / std::cyl_bessel_i(0.0, k);
    EXPECT_NEAR(VonMisesConcentration(r) / k, 1.0, 1e-8) << k;
  }
}

}  // namespace
}  // namespace armslength
