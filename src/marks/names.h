#pragma once
#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>

namespace armslength {

// Points an artist can mark. `_l` / `_r` is the figure's own left and right.
enum class PointId : std::uint8_t {
  // The nineteen body points, in the order the body reading uses.
  kCrown, kChin, kNeckPit,
  kShoulderL, kShoulderR, kElbowL, kElbowR, kWristL, kWristR, kHandTipL, kHandTipR,
  kHipL, kHipR, kKneeL, kKneeR, kAnkleL, kAnkleR, kToeL, kToeR,
  // Head.
  kJawL, kJawR, kContourL, kContourR,
  kEyeLInner, kEyeLOuter, kEyeLTop, kEyeLBottom, kEyeRInner, kEyeROuter, kEyeRTop, kEyeRBottom,
  kBrowLPeak, kBrowRPeak, kNoseBase, kMouthL, kMouthR, kMouthCentre, kHairline,
  // Optional ones.
  kNoseTip, kEarLTop, kEarLBottom, kEarRTop, kEarRBottom,
  kHeadTop,  // top of the skull outline under the hair, as seen
  kHeelL, kHeelR, kNavel, kCrotch,
  kCount
};
inline constexpr int kBodyPointCount = 19;
inline constexpr int kPointCount = static_cast<int>(PointId::kCount);

// Bones a depth flag may be set on, then the widths that only canons know.
enum class BoneId : std::uint8_t {
  kHead, kNeck, kTrunk, kShoulderWidth, kHipWidth,
  kUpperArmL, kUpperArmR, kForearmL, kForearmR, kHandL, kHandR,
  kThighL, kThighR, kShinL, kShinR, kFootL, kFootR,
  kCount
};
inline constexpr int kBoneCount = static_cast<int>(BoneId::kCount);

// File name of a point or bone ("elbow_l", "upper_arm_l", "shoulder_width").
[[nodiscard]] std::string_view Name(PointId id);
[[nodiscard]] std::string_view Name(BoneId id);
// Inverse of Name; nothing for unknown names.
[[nodiscard]] std::optional<PointId> PointFromName(std::string_view name);
[[nodiscard]] std::optional<BoneId> BoneFromName(std::string_view name);
// All names, in enum order; bones that may carry a depth flag (limbs, neck, trunk).
[[nodiscard]] std::span<const std::string_view> PointNames();
[[nodiscard]] std::span<const std::string_view> BoneNames();
[[nodiscard]] std::span<const std::string_view> DepthBoneNames();

// The same point or bone on the other side; the id itself when it has no side.
[[nodiscard]] PointId Mirrored(PointId id);
[[nodiscard]] BoneId Mirrored(BoneId id);

// Which side of the figure an id belongs to: +1 left, -1 right, 0 neither.
[[nodiscard]] int Side(PointId id);
[[nodiscard]] int Side(BoneId id);

// "left forearm", "right knee", "pit of the neck": for sentences.
[[nodiscard]] std::string_view SpokenName(PointId id);
[[nodiscard]] std::string_view SpokenName(BoneId id);
// The same in the language spoken (words/say.h).
[[nodiscard]] std::string SaidName(PointId id);
[[nodiscard]] std::string SaidName(BoneId id);

// Ends of a bone as marked points; trunk and neck ends see design: the trunk runs
// from the middle of the hips to neck_pit and is reported as {kNeckPit, kNeckPit}.
struct BoneEnds {
  PointId from, to;
};
[[nodiscard]] BoneEnds Ends(BoneId id);

}  // namespace armslength
