#pragma once
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include <opencv2/core.hpp>

#include "check/pixels/levels.h"
#include "check/pixels/segments.h"

namespace armslength {

// How deep each place of a drawn form lies inside its outline, in small px, with a border of one.
struct FormDepth {
  int width = 0;        // of the reduced picture
  int x0 = 0, y0 = 0;   // place (1, 1) of the maps, small px
  cv::Mat mask;         // CV_8U; folds, buttons, highlights and the rims of stripes are closed: they belong to the form
  cv::Mat depth;        // CV_32F
  cv::Mat gx, gy;       // CV_32F, of the smoothed depth: straight inwards
  double deepest = 0.0;
  [[nodiscard]] cv::Point Place(std::uint32_t pixel) const {
    const auto w = static_cast<std::uint32_t>(width);
    return {static_cast<int>(pixel % w) - x0 + 1, static_cast<int>(pixel / w) - y0 + 1};
  }
};

// Of these patches together; nothing when they are thinner than eight small px.
[[nodiscard]] std::optional<FormDepth> DepthOf(const SmallField& field, std::span<const Segment* const> patches);

// MaterialStep of one material at most; more is a print, or two things that run together. Default
inline constexpr double kOneMaterial = 0.09;
// How far the proportions of red, green and blue of a patch's tones differ, below `cut` L* and from it on: a/L and b/L in OKLab. A
// shadow keeps them, a print or two things run together do not. Nothing when one of the tones is empty.
[[nodiscard]] std::optional<double> MaterialStep(const SmallField& field, const Segment& segment, double cut);

// Light and shadow of a patch; nothing when it is one tone with variation: less than 8 L* apart, one of them under 8 % of the
// patch, or less than 60 % of the variance between them. Defaults
[[nodiscard]] std::optional<LevelSplit> LightAndShadow(const SmallField& field, const Segment& segment);

// A patch that has both.
struct LitPatch {
  const Segment* patch = nullptr;
  LevelSplit split;
};
// Few clear shapes of light and shadow on each material, or many specks. `lit`: of the larger patches.
void CheckShadowShapes(const PictureContext& context, const std::vector<LitPatch>& lit, std::vector<Finding>& out);
// One light or several: which sides of each drawn form lie in shadow. `patches`: all of them, small ones too,
// because a striped sleeve is made of many.
void CheckLight(const PictureContext& context, const std::vector<Segment>& patches, Findings& out);

}  // namespace armslength
