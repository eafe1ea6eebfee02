#pragma once
#include <optional>
#include <span>
#include <vector>

#include <Eigen/Core>

namespace armslength {

// Similarity of the plane: p -> scale * R(angle) * p + shift.
struct Similarity2 {
  double scale = 1.0;
  double angle_rad = 0.0;  // positive from +x towards +y
  Eigen::Vector2d shift = Eigen::Vector2d::Zero();
  [[nodiscard]] Eigen::Vector2d operator()(const Eigen::Vector2d& p) const;
};

struct SimilarityFit {
  Similarity2 target_from_source;
  double rms = 0.0;               // remaining distance, in the target's units
  double full_procrustes = 0.0;   // 0 same shape .. 1; sin of the next
  double riemannian_rad = 0.0;    // distance of the two shapes, 0 .. pi / 2
};

struct SimilarityOptions {
  bool scale = true;      // false: turn and shift only
  // Per point, >= 0; empty: all 1. The two shape distances use them as well.
  std::span<const double> weights = {};
};

// Ordinary Procrustes fit of `source` onto `target` (same length, same order), no mirror image.
// Nothing for fewer than two points, unequal lengths, a side without extent, or non-finite values.
// Source: Dryden & Mardia, Statistical Shape Analysis (1998), chapter 5.
[[nodiscard]] std::optional<SimilarityFit> FitSimilarity(std::span<const Eigen::Vector2d> source,
                                                         std::span<const Eigen::Vector2d> target,
                                                         const SimilarityOptions& options = {});

// Root of the summed squared distances from the mean point.
[[nodiscard]] double CentroidSize(std::span<const Eigen::Vector2d> points);

// Full Procrustes mean of several shapes (each k points): centred, centroid size 1, turned to fit
// the first. It is the leading eigenvector of the summed shape products, so nothing is iterated.
// Empty when the shapes differ in length or one has no extent.
[[nodiscard]] std::vector<Eigen::Vector2d> MeanShape(std::span<const std::vector<Eigen::Vector2d>> shapes);

}  // namespace armslength
