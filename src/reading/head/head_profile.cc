#include "reading/head/head_profile.h"

#include <cmath>

namespace armslength {
namespace {

constexpr std::array<std::string_view, kHeadParamCount> kNames = {
    "eye_height", "eye_x", "eye_half_width", "lid_up", "lid_down", "eye_cant",
    "brow_above_eye", "brow_x", "nose_base_height", "nose_tip_above", "nose_projection",
    "mouth_height", "mouth_half_width", "mouth_lift",
    "hairline_height", "jaw_x", "jaw_height", "jaw_depth",
    "half_width", "depth_ratio", "taper", "squareness",
    "eye_depth", "eye_depth_slope", "lid_bulge", "brow_depth", "nose_depth", "mouth_corner_depth", "mouth_depth", "chin_depth",
    "hairline_depth", "crown_depth", "ear_depth", "near_edge", "far_edge",
    "ear_top", "ear_bottom", "hair_thickness", "far_eye_convention"};

struct Row {
  double mean, sd;
};
// Means and spreads of drawn heads, natural and stylised; working defaults from sketches of
// both kinds, no source.
constexpr std::array<Row, kHeadParamCount> kFree = {{
    {.45, .07}, {.16, .03}, {.085, .025}, {.05, .03}, {.04, .025}, {.003, .015},
    {.13, .04}, {.17, .035}, {.23, .06}, {.03, .02}, {.08, .04},
    {.14, .04}, {.085, .03}, {.004, .012},
    {.84, .06}, {.26, .035}, {.19, .05}, {.08, .05},
    {.345, .03}, {1.19, .13}, {.75, .08}, {2.3, .28},
    {-.03, .02}, {.12, .16}, {.003, .012}, {-.014, .018}, {.014, .02}, {-.006, .015}, {.012, .014}, {.018, .03},
    {-.02, .028}, {-.1, .06}, {0, .03}, {0, .01}, {0, .01},
    {.06, .05}, {0, .05}, {.05, .05}, {0, .01}}};

HeadProfile FromRows(std::string name, const std::array<Row, kHeadParamCount>& rows) {
  HeadProfile p;
  p.name = std::move(name);
  p.covariance.setZero();
  for (int i = 0; i < kHeadParamCount; ++i) {
    p.mean[i] = rows[static_cast<std::size_t>(i)].mean;
    p.covariance(i, i) = rows[static_cast<std::size_t>(i)].sd * rows[static_cast<std::size_t>(i)].sd;
  }
  return p;
}

void Set(std::array<Row, kHeadParamCount>& rows, HeadParam p, double mean, double sd) {
  rows[static_cast<std::size_t>(p)] = {mean, sd};
}

HeadProfile MakeClassical() {
  auto rows = kFree;
  using P = HeadParam;
  Set(rows, P::kEyeHeight, .495, .025); Set(rows, P::kEyeX, .145, .015); Set(rows, P::kEyeHalfWidth, .068, .012);
  Set(rows, P::kLidUp, .022, .01); Set(rows, P::kLidDown, .018, .01);
  Set(rows, P::kBrowAboveEye, .1, .025); Set(rows, P::kNoseBaseHeight, .315, .03);
  Set(rows, P::kNoseTipAbove, .035, .015); Set(rows, P::kNoseProjection, .1, .025);
  Set(rows, P::kMouthHeight, .195, .025); Set(rows, P::kMouthHalfWidth, .105, .02);
  return FromRows("classical", rows);
}

HeadProfile MakeLargeEyed() {
  auto rows = kFree;
  using P = HeadParam;
  Set(rows, P::kEyeHeight, .4, .06); Set(rows, P::kEyeX, .17, .03); Set(rows, P::kEyeHalfWidth, .095, .025);
  Set(rows, P::kLidUp, .075, .03); Set(rows, P::kLidDown, .055, .025);
  Set(rows, P::kBrowAboveEye, .14, .04); Set(rows, P::kNoseBaseHeight, .205, .05);
  Set(rows, P::kNoseTipAbove, .015, .015); Set(rows, P::kNoseProjection, .05, .03);
  Set(rows, P::kMouthHeight, .11, .04); Set(rows, P::kMouthHalfWidth, .065, .03);
  // Flatter and less settled in depth: the nose hardly leaves the face, eyes lie on it.
  Set(rows, P::kEyeDepth, -.02, .025); Set(rows, P::kNoseDepth, .02, .025); Set(rows, P::kMouthDepth, .01, .02);
  Set(rows, P::kChinDepth, 0, .035); Set(rows, P::kDepthRatio, 1.1, .15);
  return FromRows("large-eyed", rows);
}

}  // namespace

std::string_view Name(HeadParam param) { return kNames[static_cast<std::size_t>(param)]; }

std::optional<HeadParam> HeadParamFromName(std::string_view name) {
  for (std::size_t i = 0; i < kNames.size(); ++i)
    if (kNames[i] == name) return static_cast<HeadParam>(i);
  return std::nullopt;
}

double HeadProfile::Sd(HeadParam p) const {
  const int i = static_cast<int>(p);
  return std::sqrt(covariance(i, i));
}

std::span<const std::string_view> BuiltInHeadProfileNames() {
  static constexpr std::array<std::string_view, 3> kProfiles = {"free", "classical", "large-eyed"};
  return kProfiles;
}

const HeadProfile& BuiltInHeadProfile(std::string_view name) {
  static const HeadProfile kFreeProfile = FromRows("free", kFree);
  static const HeadProfile kClassical = MakeClassical();
  static const HeadProfile kLargeEyed = MakeLargeEyed();
  if (name == "classical") return kClassical;
  if (name == "large-eyed") return kLargeEyed;
  return kFreeProfile;
}

}  // namespace armslength
