#include "reading/head/head_profile.h"

#include <cmath>
#include <stdexcept>

#include <nlohmann/json.hpp>

#include "support/embedded.h"

namespace armslength {

std::span<const EmbeddedFile> EmbeddedFiles_head_depths();

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
    {.13, .04}, {.17, .035}, {.24, .065}, {.03, .02}, {.08, .04},
    {.145, .048}, {.085, .03}, {.004, .012},
    {.84, .06}, {.26, .04}, {.19, .055}, {.14, .06},
    {.347, .033}, {1.27, .19}, {.85, .15}, {2.4, .40},
    {-.008, .020}, {.10, .20}, {.020, .012}, {.015, .021}, {.033, .029}, {.001, .021}, {.022, .022}, {.005, .042},
    {-.003, .034}, {-.05, .075}, {.05, .05}, {0, .0115}, {.008, .0135},
    {.06, .05}, {0, .05}, {.05, .05}, {0, .01}}};

HeadProfile::Matrix LoadDepthCorrelation() {
  HeadProfile::Matrix c = HeadProfile::Matrix::Identity();
  for (const EmbeddedFile& f : EmbeddedFiles_head_depths()) {
    if (f.name != "head_depths.json") continue;
    const auto json = nlohmann::json::parse(f.content);
    std::vector<int> at;
    for (const auto& row : json.at("rows")) {
      const auto param = HeadParamFromName(row.at(0).get<std::string>());
      if (!param || row.at(1).size() != at.size()) throw std::logic_error("head_depths.json does not fit the program");
      at.push_back(static_cast<int>(*param));
      for (std::size_t j = 0; j + 1 < at.size(); ++j) c(at.back(), at[j]) = c(at[j], at.back()) = row.at(1).at(j).get<double>();
    }
  }
  return c;
}

HeadProfile FromRows(std::string name, const std::array<Row, kHeadParamCount>& rows) {
  static const HeadProfile::Matrix kCorrelation = LoadDepthCorrelation();
  HeadProfile p;
  p.name = std::move(name);
  HeadProfile::Vector sd;
  for (int i = 0; i < kHeadParamCount; ++i) {
    p.mean[i] = rows[static_cast<std::size_t>(i)].mean;
    sd[i] = rows[static_cast<std::size_t>(i)].sd;
  }
  p.covariance = sd.asDiagonal() * kCorrelation * sd.asDiagonal();
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
  Set(rows, P::kEyeDepth, 0, .025); Set(rows, P::kNoseDepth, .035, .032); Set(rows, P::kMouthDepth, .02, .026);
  Set(rows, P::kChinDepth, -.01, .046); Set(rows, P::kDepthRatio, 1.22, .2);
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
