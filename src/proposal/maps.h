#pragma once
// Inside src/proposal only: probability maps and what is read off them.
#include <optional>
#include <vector>

#include <opencv2/core.hpp>

#include "marks/figure.h"

namespace armslength {

// Belief about one point over a square view; sums to one.
using BeliefMap = cv::Mat;  // CV_32F

struct Peak {
  Vec2 at = Vec2::Zero();  // input points of the view (four a cell)
  double mass = 0.0;       // belief within two cells
  double spread = 0.0;     // sd per axis, input points
};

[[nodiscard]] BeliefMap Softmax(const cv::Mat& logits);
// The `count` largest separate peaks, best first.
[[nodiscard]] std::vector<Peak> Peaks(const BeliefMap& map, int count);
// Belief within two cells of `at`.
[[nodiscard]] double MassAt(const BeliefMap& map, const Vec2& at);
// The place near `at` (input points) that the map of a nearer view believes in most, with a prior of `sd` about `at`; nothing when
// less than `least` of its belief lies near.
[[nodiscard]] std::optional<Vec2> PlaceNear(const BeliefMap& map, const Vec2& at, double sd, double least);

}  // namespace armslength
