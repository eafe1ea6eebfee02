#include "app/places/point_order.h"

namespace armslength::app {
namespace {

using P = PointId;

constexpr P kBody[] = {P::kCrown,  P::kChin,   P::kNeckPit, P::kHipL,    P::kHipR,    P::kShoulderL, P::kShoulderR,
                       P::kKneeL,  P::kAnkleL, P::kKneeR,   P::kAnkleR,  P::kElbowL,  P::kWristL,    P::kElbowR,
                       P::kWristR, P::kToeL,   P::kToeR,    P::kHandTipL, P::kHandTipR, P::kHeadTop};

constexpr P kHead[] = {P::kEyeLOuter, P::kEyeROuter, P::kNoseBase,  P::kMouthCentre, P::kChin,       P::kContourL,
                       P::kContourR,  P::kEyeLInner, P::kEyeRInner, P::kCrown,       P::kHeadTop,    P::kBrowLPeak,
                       P::kBrowRPeak, P::kMouthL,    P::kMouthR,    P::kJawL,        P::kJawR,       P::kEyeLTop,
                       P::kEyeLBottom, P::kEyeRTop,  P::kEyeRBottom, P::kHairline,   P::kNoseTip,    P::kEarLTop,
                       P::kEarLBottom, P::kEarRTop,  P::kEarRBottom};

}  // namespace

std::span<const PointId> BodyOrder() { return kBody; }
std::span<const PointId> HeadOrder() { return kHead; }

std::optional<BoneId> BoneEndingIn(PointId id) {
  for (int b = 0; b < kBoneCount; ++b) {
    const auto bone = static_cast<BoneId>(b);
    if (Side(bone) != 0 && Ends(bone).to == id) return bone;
  }
  return std::nullopt;
}

}  // namespace armslength::app
