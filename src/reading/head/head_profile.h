#pragma once
#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include <Eigen/Core>

#include "support/error.h"

namespace armslength {

// Shape of one drawn head, in its own frame: origin in the middle plane at the chin,
// x to the figure's left, y from chin to top of skull, z out of the face. Unit: head
// height (chin to top of skull = 1). The head is symmetric; what one side has, both have.
// Depths are offsets from a smooth face surface whose sections are superellipses.
enum class HeadParam : std::uint8_t {
  kEyeHeight, kEyeX, kEyeHalfWidth, kLidUp, kLidDown, kEyeCant,  // cant: outer corner above centre
  kBrowAboveEye, kBrowX, kNoseBaseHeight, kNoseTipAbove, kNoseProjection,
  kMouthHeight, kMouthHalfWidth, kMouthLift,                     // lift: corners above centre
  kHairlineHeight, kJawX, kJawHeight, kJawDepth,
  kHalfWidth, kDepthRatio, kTaper, kSquareness,                  // of the face surface
  kEyeDepth, kEyeDepthSlope,  // slope: outer corner in front of the surface, per half width
  kLidBulge,  // lids in front of the corners, square to the eye opening
  kBrowDepth, kNoseDepth, kMouthCornerDepth, kMouthDepth, kChinDepth,
  kHairlineDepth, kCrownDepth, kEarDepth, kNearEdge, kFarEdge,
  kEarTop, kEarBottom, kHairThickness,
  kFarEyeConvention,  // 0: the far eye is foreshortened; 1: drawn as wide as the near one
  kCount
};
inline constexpr int kHeadParamCount = static_cast<int>(HeadParam::kCount);

// Values that say how the head is built in depth; the picture shows little of them.
inline constexpr std::array kHeadDepths = {
    HeadParam::kJawDepth,  HeadParam::kDepthRatio,       HeadParam::kTaper,      HeadParam::kSquareness, HeadParam::kEyeDepth,
    HeadParam::kEyeDepthSlope, HeadParam::kLidBulge,     HeadParam::kBrowDepth,  HeadParam::kNoseDepth,  HeadParam::kMouthCornerDepth,
    HeadParam::kMouthDepth, HeadParam::kChinDepth,       HeadParam::kHairlineDepth, HeadParam::kCrownDepth, HeadParam::kEarDepth,
    HeadParam::kFarEdge};

// "eye_height", "mouth_half_width", ...: names in character files.
[[nodiscard]] std::string_view Name(HeadParam param);
[[nodiscard]] std::optional<HeadParam> HeadParamFromName(std::string_view name);

// What is known about a head before its marks are read: a Gaussian over the shape.
// Style is free by default: the spreads of heights and widths cover most drawn heads;
// depths are tighter because the picture says little about them, and go together as in heads
// that are built soundly (data/heads/head_depths.json, made by tools/learn_head_depths).
struct HeadProfile {
  using Vector = Eigen::Matrix<double, kHeadParamCount, 1>;
  using Matrix = Eigen::Matrix<double, kHeadParamCount, kHeadParamCount>;

  std::string name = "free";
  int drawings = 0;  // how many drawn heads it was learned from; 0: built in
  std::vector<std::string> features;  // the artist's own list for this character: what must not be forgotten
  Vector mean = Vector::Zero();
  Matrix covariance = Matrix::Identity();

  [[nodiscard]] double Mean(HeadParam p) const { return mean[static_cast<int>(p)]; }
  [[nodiscard]] double Sd(HeadParam p) const;
  [[nodiscard]] bool Learned() const { return drawings > 0; }
};

// "free" (default), "classical" (eye line near the middle, natural features),
// "large-eyed" (strongly stylised: big low eyes, small nose and mouth, looser and flatter
// depths). Spreads are working defaults, no source.
[[nodiscard]] const HeadProfile& BuiltInHeadProfile(std::string_view name);
[[nodiscard]] std::span<const std::string_view> BuiltInHeadProfileNames();

}  // namespace armslength
