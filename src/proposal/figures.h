#pragma once
// Inside src/proposal only: where figures are.
#include <vector>

#include "proposal/network.h"
#include "proposal/view.h"

namespace armslength {

inline constexpr int kCentreMap = 19, kHalfWidthMap = 20, kHalfHeightMap = 21;  // of the body network

struct FoundFigure {
  Vec2 centre = Vec2::Zero();     // px
  Vec2 half_size = Vec2::Zero();  // px
  double score = 0.0;             // 0..1
};

// Peaks of the centre map above `least`, overlapping ones removed, surest first.
[[nodiscard]] std::vector<FoundFigure> FindFigures(const NetworkOutput& output, const SquareView& view, double least);
// The centre map's largest value, 0..1.
[[nodiscard]] double CentreScore(const cv::Mat& centre_logits);

}  // namespace armslength
