#include "marks/names.h"

#include "words/say.h"

namespace armslength {
namespace {

using P = PointId;
using B = BoneId;

struct PointRow {
  std::string_view name, spoken;
  P mirrored;
  int side;
};

constexpr std::array<PointRow, kPointCount> kPoints = {{
    {"crown", "crown", P::kCrown, 0},
    {"chin", "chin", P::kChin, 0},
    {"neck_pit", "pit of the neck", P::kNeckPit, 0},
    {"shoulder_l", "left shoulder", P::kShoulderR, 1},
    {"shoulder_r", "right shoulder", P::kShoulderL, -1},
    {"elbow_l", "left elbow", P::kElbowR, 1},
    {"elbow_r", "right elbow", P::kElbowL, -1},
    {"wrist_l", "left wrist", P::kWristR, 1},
    {"wrist_r", "right wrist", P::kWristL, -1},
    {"hand_tip_l", "left fingertips", P::kHandTipR, 1},
    {"hand_tip_r", "right fingertips", P::kHandTipL, -1},
    {"hip_l", "left hip", P::kHipR, 1},
    {"hip_r", "right hip", P::kHipL, -1},
    {"knee_l", "left knee", P::kKneeR, 1},
    {"knee_r", "right knee", P::kKneeL, -1},
    {"ankle_l", "left ankle", P::kAnkleR, 1},
    {"ankle_r", "right ankle", P::kAnkleL, -1},
    {"toe_l", "left toe", P::kToeR, 1},
    {"toe_r", "right toe", P::kToeL, -1},
    {"jaw_l", "left jaw corner", P::kJawR, 1},
    {"jaw_r", "right jaw corner", P::kJawL, -1},
    {"contour_l", "left face edge", P::kContourR, 1},
    {"contour_r", "right face edge", P::kContourL, -1},
    {"eye_l_inner", "inner corner of the left eye", P::kEyeRInner, 1},
    {"eye_l_outer", "outer corner of the left eye", P::kEyeROuter, 1},
    {"eye_l_top", "top of the left eye", P::kEyeRTop, 1},
    {"eye_l_bottom", "bottom of the left eye", P::kEyeRBottom, 1},
    {"eye_r_inner", "inner corner of the right eye", P::kEyeLInner, -1},
    {"eye_r_outer", "outer corner of the right eye", P::kEyeLOuter, -1},
    {"eye_r_top", "top of the right eye", P::kEyeLTop, -1},
    {"eye_r_bottom", "bottom of the right eye", P::kEyeLBottom, -1},
    {"brow_l_peak", "peak of the left brow", P::kBrowRPeak, 1},
    {"brow_r_peak", "peak of the right brow", P::kBrowLPeak, -1},
    {"nose_base", "base of the nose", P::kNoseBase, 0},
    {"mouth_l", "left mouth corner", P::kMouthR, 1},
    {"mouth_r", "right mouth corner", P::kMouthL, -1},
    {"mouth_centre", "middle of the mouth", P::kMouthCentre, 0},
    {"hairline", "hairline", P::kHairline, 0},
    {"nose_tip", "tip of the nose", P::kNoseTip, 0},
    {"ear_l_top", "top of the left ear", P::kEarRTop, 1},
    {"ear_l_bottom", "bottom of the left ear", P::kEarRBottom, 1},
    {"ear_r_top", "top of the right ear", P::kEarLTop, -1},
    {"ear_r_bottom", "bottom of the right ear", P::kEarLBottom, -1},
    {"head_top", "top of the skull under the hair", P::kHeadTop, 0},
    {"heel_l", "left heel", P::kHeelR, 1},
    {"heel_r", "right heel", P::kHeelL, -1},
    {"navel", "navel", P::kNavel, 0},
    {"crotch", "crotch", P::kCrotch, 0},
}};

struct BoneRow {
  std::string_view name, spoken;
  B mirrored;
  int side;
  BoneEnds ends;
};

constexpr std::array<BoneRow, kBoneCount> kBones = {{
    {"head", "head", B::kHead, 0, {P::kChin, P::kCrown}},
    {"neck", "neck", B::kNeck, 0, {P::kNeckPit, P::kChin}},
    {"trunk", "trunk", B::kTrunk, 0, {P::kNeckPit, P::kNeckPit}},
    {"shoulder_width", "shoulders", B::kShoulderWidth, 0, {P::kShoulderR, P::kShoulderL}},
    {"hip_width", "hips", B::kHipWidth, 0, {P::kHipR, P::kHipL}},
    {"upper_arm_l", "left upper arm", B::kUpperArmR, 1, {P::kShoulderL, P::kElbowL}},
    {"upper_arm_r", "right upper arm", B::kUpperArmL, -1, {P::kShoulderR, P::kElbowR}},
    {"forearm_l", "left forearm", B::kForearmR, 1, {P::kElbowL, P::kWristL}},
    {"forearm_r", "right forearm", B::kForearmL, -1, {P::kElbowR, P::kWristR}},
    {"hand_l", "left hand", B::kHandR, 1, {P::kWristL, P::kHandTipL}},
    {"hand_r", "right hand", B::kHandL, -1, {P::kWristR, P::kHandTipR}},
    {"thigh_l", "left thigh", B::kThighR, 1, {P::kHipL, P::kKneeL}},
    {"thigh_r", "right thigh", B::kThighL, -1, {P::kHipR, P::kKneeR}},
    {"shin_l", "left shin", B::kShinR, 1, {P::kKneeL, P::kAnkleL}},
    {"shin_r", "right shin", B::kShinL, -1, {P::kKneeR, P::kAnkleR}},
    {"foot_l", "left foot", B::kFootR, 1, {P::kAnkleL, P::kToeL}},
    {"foot_r", "right foot", B::kFootL, -1, {P::kAnkleR, P::kToeR}},
}};

constexpr auto kPointNames = [] {
  std::array<std::string_view, kPointCount> names;
  for (std::size_t i = 0; i < names.size(); ++i) names[i] = kPoints[i].name;
  return names;
}();

constexpr auto kBoneNames = [] {
  std::array<std::string_view, kBoneCount> names;
  for (std::size_t i = 0; i < names.size(); ++i) names[i] = kBones[i].name;
  return names;
}();

constexpr std::array<std::string_view, 14> kDepthBoneNames = {
    "upper_arm_l", "upper_arm_r", "forearm_l", "forearm_r", "hand_l", "hand_r", "thigh_l",
    "thigh_r",     "shin_l",      "shin_r",    "foot_l",    "foot_r", "neck",   "trunk"};

const PointRow& Row(P id) { return kPoints[static_cast<std::size_t>(id)]; }
const BoneRow& Row(B id) { return kBones[static_cast<std::size_t>(id)]; }

}  // namespace

std::string_view Name(P id) { return Row(id).name; }
std::string_view Name(B id) { return Row(id).name; }
std::string_view SpokenName(P id) { return Row(id).spoken; }
std::string_view SpokenName(B id) { return Row(id).spoken; }
std::string SaidName(P id) { return SayLater(SpokenName(id)); }
std::string SaidName(B id) { return SayLater(SpokenName(id)); }
P Mirrored(P id) { return Row(id).mirrored; }
B Mirrored(B id) { return Row(id).mirrored; }
int Side(P id) { return Row(id).side; }
int Side(B id) { return Row(id).side; }
BoneEnds Ends(B id) { return Row(id).ends; }
std::span<const std::string_view> PointNames() { return kPointNames; }
std::span<const std::string_view> BoneNames() { return kBoneNames; }
std::span<const std::string_view> DepthBoneNames() { return kDepthBoneNames; }

std::optional<P> PointFromName(std::string_view name) {
  for (std::size_t i = 0; i < kPoints.size(); ++i)
    if (kPoints[i].name == name) return static_cast<P>(i);
  return std::nullopt;
}

std::optional<B> BoneFromName(std::string_view name) {
  for (std::size_t i = 0; i < kBones.size(); ++i)
    if (kBones[i].name == name) return static_cast<B>(i);
  return std::nullopt;
}

}  // namespace armslength
