#pragma once
#include <cstdint>
#include <span>
#include <string>

#include <Eigen/Core>
#include <tl/expected.hpp>

#include "geometry/ellipse.h"

namespace armslength {

struct EllipseFitOptions {
  // Fewest marks accepted. Five fix an ellipse and leave no residual to judge it by, hence 6.
  // REQUIRES: >= 5.
  int min_points = 6;
  // Narrower results count as kDegenerate: the marks are nearly on a line. Minor/major. REQUIRES: in (0, 1).
  double min_axis_ratio = 0.02;
  // After the direct fit, move to the least orthogonal distances. The direct fit alone is too
  // small and too round on short arcs.
  bool refine = true;
  // Error of one mark, px per coordinate; 0: estimated from the residuals (needs 7 marks or more to mean much).
  double sigma_px = 0.0;
};

enum class FitError : std::uint8_t { kBadOptions, kTooFewPoints, kNonFinite, kDegenerate, kNotAnEllipse };

struct FitFailure {
  FitError code = FitError::kDegenerate;
  std::string message;  // English
};

struct EllipseFit {
  Ellipse ellipse;
  double rms_px = 0.0;      // orthogonal distances of the marks
  double sigma_px = 0.0;    // given, or sqrt(sum of squares / (N - 5)); 0 with exactly five marks
  double covered_rad = 0.0; // 2 pi less the largest gap between marks, in the ellipse's parameter
  // Covariance of (centre x, centre y, semi_major, semi_minor, major_axis_rad), first order. The
  // angle's variance is capped at pi^2 / 12 (knowing nothing) when the ellipse is nearly a circle.
  Eigen::Matrix<double, 5, 5> covariance = Eigen::Matrix<double, 5, 5>::Zero();
};

// Least-squares ellipse through `marks_px` (any order, at least half an ellipse wanted). O(N).
// Accuracy: 24 even marks, sigma 0.5 px, semi-major 100 px: bias of that axis under 0.1 px; half
// arcs: bias under its own standard deviation (tests). Shorter arcs grow in error quickly, which
// `covariance` shows. Errors: one FitError per way to fail; never throws on bad marks. Thread-safe.
// Source of the start: Halir & Flusser 1998, Numerically stable direct least squares fitting of ellipses.
[[nodiscard]] tl::expected<EllipseFit, FitFailure> FitEllipse(std::span<const Eigen::Vector2d> marks_px,
                                                              const EllipseFitOptions& options = {});

}  // namespace armslength
