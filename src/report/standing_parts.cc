#include "report/standing_parts.h"

#include "words/say.h"

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
  if (off(BoneId::kHead)) between(Say("head"), P::kChin, P::kCrown);
  if (off(BoneId::kNeck)) between(Say("neck"), P::kNeckPit, P::kChin);
  if (off(BoneId::kTrunk)) between(Say("torso"), P::kHipL, P::kNeckPit);
  // The side that departs; both: the left one stands for the pair.
  struct Names {
    std::string pair, left, right;
    [[nodiscard]] const std::string& Of(bool both, bool is_left) const { return both ? pair : is_left ? left : right; }
  };
  const auto limb = [&](BoneId upper, BoneId lower, P top, P middle, P end, const Names& whole, const Names& up, const Names& low) {
    for (const bool left : {true, false}) {
      const auto side = [left](auto id) { return left ? id : Mirrored(id); };
      const bool u = off(side(upper)), l = off(side(lower));
      const bool pair = off(upper) == off(Mirrored(upper)) && off(lower) == off(Mirrored(lower));
      if (!left && pair) continue;
      if (u && l)
        between(whole.Of(pair, left), side(end), side(top));
      else if (u)
        between(up.Of(pair, left), side(middle), side(top));
      else if (l)
        between(low.Of(pair, left), side(end), side(middle));
    }
  };
  const auto segment = [](std::string pair, BoneId left) { return Names{std::move(pair), SaidName(left), SaidName(Mirrored(left))}; };
  limb(BoneId::kThighL, BoneId::kShinL, P::kHipL, P::kKneeL, P::kAnkleL, {Say("legs"), Say("left leg"), Say("right leg")},
       segment(Say("thighs"), BoneId::kThighL), segment(Say("shins"), BoneId::kShinL));
  limb(BoneId::kUpperArmL, BoneId::kForearmL, P::kShoulderL, P::kElbowL, P::kWristL, {Say("arms"), Say("left arm"), Say("right arm")},
       segment(Say("upper arms"), BoneId::kUpperArmL), segment(Say("forearms"), BoneId::kForearmL));
  if (either(BoneId::kHandL)) between(Say("hands"), P::kHandTipL, P::kWristL);
  return parts;
}

}  // namespace armslength
