#include "geometry/similarity.h"

#include <cmath>
#include <map>
#include <string>

#include <gtest/gtest.h>

#include "geometry/csv_table.h"

namespace armslength {
namespace {

using Shape = std::vector<Eigen::Vector2d>;

std::map<std::string, std::vector<Shape>> Shapes() {
  std::map<std::string, std::vector<Shape>> sets;
  for (const auto& row : testing::ReadCsv("shape/landmarks.csv")) {
    auto& set = sets[row.Text("set")];
    const auto specimen = static_cast<std::size_t>(row.Number("specimen"));
    if (set.size() < specimen) set.resize(specimen);
    set[specimen - 1].emplace_back(row.Number("x"), row.Number("y"));
  }
  return sets;
}

std::map<std::string, Shape> Means() {
  std::map<std::string, Shape> means;
  for (const auto& row : testing::ReadCsv("shape/mean_shapes.csv"))
    means[row.Text("set")].emplace_back(row.Number("mean_x_unit_size"), row.Number("mean_y_unit_size"));
  return means;
}

// Landmarks: O'Higgins & Dryden 1993 and the files' other sources; results: R package shapes 1.2.7.
TEST(Similarity, MeanShapesAgreeWithAnIndependentPackage) {
  const auto sets = Shapes();
  const auto means = Means();
  ASSERT_EQ(means.size(), 3u);
  for (const auto& [name, expected] : means) {
    SCOPED_TRACE(name);
    const Shape mean = MeanShape(sets.at(name));
    ASSERT_EQ(mean.size(), expected.size());
    EXPECT_NEAR(CentroidSize(mean), 1.0, 1e-9);
    const auto fit = FitSimilarity(mean, expected);
    ASSERT_TRUE(fit);
    EXPECT_LT(fit->riemannian_rad, 1e-4);
    EXPECT_NEAR(fit->target_from_source.scale, 1.0, 1e-3);
  }
}

TEST(Similarity, DistancesToTheMean) {
  const auto sets = Shapes();
  std::map<std::string, Shape> means;
  int seen = 0;
  for (const auto& row : testing::ReadCsv("shape/specimen_distances.csv")) {
    const auto& set = sets.at(row.Text("set"));
    const Shape& shape = set.at(static_cast<std::size_t>(row.Number("specimen")) - 1);
    if (!means.contains(row.Text("set"))) means[row.Text("set")] = MeanShape(set);
    SCOPED_TRACE(row.Text("set") + " " + row.Text("specimen"));
    EXPECT_NEAR(CentroidSize(shape) / row.Number("centroid_size"), 1.0, 1e-9);
    const auto fit = FitSimilarity(shape, means[row.Text("set")]);
    ASSERT_TRUE(fit);
    EXPECT_NEAR(fit->riemannian_rad, row.Number("riemannian_distance_to_mean"), 2e-4);
    EXPECT_NEAR(fit->full_procrustes, row.Number("full_procrustes_distance_to_mean"), 2e-4);
    ++seen;
  }
  EXPECT_EQ(seen, 89);
}

TEST(Similarity, SinglePairs) {
  const auto sets = Shapes();
  const auto means = Means();
  // "set:3" is a specimen; "set:mean" is not compared, since its size is the package's choice.
  const auto find = [&](const std::string& name) -> const Shape* {
    const auto colon = name.find(':');
    const std::string which = name.substr(colon + 1);
    return which == "mean" ? nullptr : &sets.at(name.substr(0, colon)).at(std::stoul(which) - 1);
  };
  int seen = 0;
  for (const auto& row : testing::ReadCsv("shape/pairs_opa.csv")) {
    const Shape *target = find(row.Text("target")), *moved = find(row.Text("moved"));
    if (!target || !moved) continue;
    SCOPED_TRACE(row.Text("target") + " " + row.Text("moved"));
    const auto fit = FitSimilarity(*moved, *target);
    ASSERT_TRUE(fit);
    EXPECT_NEAR(fit->riemannian_rad, row.Number("riemannian_distance"), 1e-9);
    EXPECT_NEAR(fit->full_procrustes, row.Number("full_procrustes_distance"), 1e-9);
    EXPECT_NEAR(fit->rms, row.Number("rms_distance"), 1e-8);
    EXPECT_NEAR(fit->target_from_source.scale, row.Number("scale"), 1e-9);
    // The package's matrix acts on row vectors: R = [[cos, sin], [-sin, cos]].
    EXPECT_NEAR(std::cos(fit->target_from_source.angle_rad), row.Number("R11"), 1e-9);
    EXPECT_NEAR(std::sin(fit->target_from_source.angle_rad), row.Number("R12"), 1e-9);
    ++seen;
  }
  EXPECT_EQ(seen, 3);
}

TEST(Similarity, ExactMapComesBack) {
  const Similarity2 truth{1.7, -0.8, {30.0, -12.0}};
  const Shape source{{0, 0}, {10, 1}, {4, 8}, {-3, 5}};
  Shape target;
  for (const auto& p : source) target.push_back(truth(p));
  const auto fit = FitSimilarity(source, target);
  ASSERT_TRUE(fit);
  EXPECT_NEAR(fit->target_from_source.scale, 1.7, 1e-12);
  EXPECT_NEAR(fit->target_from_source.angle_rad, -0.8, 1e-12);
  EXPECT_NEAR((fit->target_from_source.shift - truth.shift).norm(), 0.0, 1e-10);
  EXPECT_NEAR(fit->rms, 0.0, 1e-10);
  SimilarityOptions rigid;
  rigid.scale = false;
  EXPECT_EQ(FitSimilarity(source, target, rigid)->target_from_source.scale, 1.0);
  // A weight of 0 takes a wild point out.
  target[2] += Eigen::Vector2d(500.0, 0.0);
  const std::vector<double> weights{1.0, 1.0, 0.0, 1.0};
  SimilarityOptions weighted;
  weighted.weights = weights;
  EXPECT_NEAR(FitSimilarity(source, target, weighted)->target_from_source.scale, 1.7, 1e-12);
}

TEST(Similarity, MirrorImagesStayFar) {
  const Shape source{{0, 0}, {10, 1}, {4, 8}, {-3, 5}};
  Shape mirrored;
  for (const auto& p : source) mirrored.emplace_back(-p.x(), p.y());
  EXPECT_GT(FitSimilarity(source, mirrored)->full_procrustes, 0.2);
}

TEST(Similarity, NothingToFit) {
  EXPECT_FALSE(FitSimilarity(Shape{{1, 1}}, Shape{{2, 2}}));
  EXPECT_FALSE(FitSimilarity(Shape{{1, 1}, {2, 2}}, Shape{{2, 2}}));
  EXPECT_FALSE(FitSimilarity(Shape(3, {1, 1}), Shape{{0, 0}, {1, 0}, {0, 1}}));
  EXPECT_TRUE(MeanShape(std::vector<Shape>{}).empty());
  EXPECT_TRUE(MeanShape(std::vector<Shape>{{{0, 0}, {1, 1}}, {{0, 0}}}).empty());
}

}  // namespace
}  // namespace armslength
