#include "report/standing_parts.h"

namespace armslength {

using P = PointId;

std::vector<StandingPart> DepartingParts(const StandingFigure& s) {
  const auto off = [&s](BoneId id) { return s.bone_off[static_cast<std::size_t>(id)]; };
  const auto y = [](const StandingBody& b, P id) { return b.joints[static_cast<std::size_t>(id)].y(); };
  const auto either = [&off](BoneId left) { return off(left) || off(Mirrored(left)); };
  std::vector<StandingPart> parts;
  const auto between = [&](const std::string& name, P low, P high) {
    parts.push_back({name, y(s.drawn, low), y(s.drawn, high), y(s.canon, low), y(s.canon, high)});
  };
  if (off(BoneId::kHead)) between("head", P::kChin, P::kCrown);
  if (off(BoneId::kNeck)) between("neck", P::kNeckPit, P::kChin);
  if (off(BoneId::kTrunk)) between("torso", P::kHipL, P::kNeckPit);
  // The side that departs; both: the left one stands for the pair.
  const auto limb = [&](BoneId upper, BoneId lower, P top, P middle, P end, const char* whole, const char* up,
                        const char* low) {
    for (const bool left : {true, false}) {
      const auto side = [left](auto id) { return left ? id : Mirrored(id); };
      const bool u = off(side(upper)), l = off(side(lower));
      const bool pair = off(upper) == off(Mirrored(upper)) && off(lower) == off(Mirrored(lower));
      if (!left && pair) continue;
      const std::string which = pair ? "" : left ? "left " : "right ";
      const char* plural = pair ? "s" : "";
      if (u && l) between(which + whole + plural, side(end), side(top));
      else if (u) between(which + up + plural, side(middle), side(top));
      else if (l) between(which + low + plural, side(end), side(middle));
    }
  };
  limb(BoneId::kThighL, BoneId::kShinL, P::kHipL, P::kKneeL, P::kAnkleL, "leg", "thigh", "shin");
  limb(BoneId::kUpperArmL, BoneId::kForearmL, P::kShoulderL, P::kElbowL, P::kWristL, "arm", "upper arm", "forearm");
  if (either(BoneId::kHandL)) between("hands", P::kHandTipL, P::kWristL);
  return parts;
}

}  // namespace armslength
