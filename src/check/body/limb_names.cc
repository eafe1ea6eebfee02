#include "check/body/limb_names.h"

#include <algorithm>
#include <array>
#include <utility>

#include "words/say.h"

namespace armslength::body_check {
namespace {

using B = BoneId;

bool In(std::span<const B> bones, B bone) { return std::find(bones.begin(), bones.end(), bone) != bones.end(); }

bool IsHand(B b) { return b == B::kHandL || b == B::kHandR; }
bool IsFoot(B b) { return b == B::kFootL || b == B::kFootR; }
bool IsArm(B b) { return b >= B::kUpperArmL && b <= B::kHandR; }
bool IsLeg(B b) { return b >= B::kThighL && b <= B::kFootR; }

// The single word for one segment on both sides.
std::string Plural(B left) {
  switch (left) {
    case B::kUpperArmL: return Say("upper arms");
    case B::kForearmL: return Say("forearms");
    case B::kHandL: return Say("hands");
    case B::kThighL: return Say("thighs");
    case B::kShinL: return Say("shins");
    case B::kFootL: return Say("feet");
    default: return {};
  }
}

Part Central(B bone) {
  Part part;
  part.kind = PartKind::kWhole;
  part.words = SaidName(bone);
  switch (bone) {
    case B::kHead:
      part.too_long = Say("too big");
      part.too_short = Say("too small");
      part.longer = Say("bigger");
      part.shorter = Say("smaller");
      part.tolerance = 0.08;
      part.source = Say("8 %, about half a head of the head count; default, editable");
      part.minutes = 15;
      part.weight = 1.0;
      break;
    case B::kNeck:
      part.tolerance = 0.25;
      part.source = Say("0.12 head on a neck of half a head; default, editable");
      part.minutes = 8;
      part.weight = 0.5;
      break;
    case B::kTrunk:
      part.words = Say("torso");
      part.tolerance = 0.08;
      part.source = Say("default, editable");
      part.minutes = 40;
      part.weight = 0.9;
      break;
    default:
      part.plural = true;
      part.too_long = Say("too wide");
      part.too_short = Say("too narrow");
      part.longer = Say("wider");
      part.shorter = Say("narrower");
      part.of_width = true;
      part.tolerance = bone == B::kHipWidth ? 0.10 : 0.08;
      part.source = Say("default, editable");
      part.minutes = bone == B::kHipWidth ? 20 : 15;
      part.weight = 0.7;
  }
  return part;
}

}  // namespace

bool Overlap(std::span<const B> a, std::span<const B> b) {
  return std::any_of(a.begin(), a.end(), [&](B bone) { return In(b, bone); });
}

bool SameSet(std::span<const B> a, std::span<const B> b) {
  return std::all_of(a.begin(), a.end(), [&](B bone) { return In(b, bone); }) &&
         std::all_of(b.begin(), b.end(), [&](B bone) { return In(a, bone); });
}

Part Describe(std::span<const B> bones) {
  Part part;
  part.source = Say("default, editable");
  if (bones.empty()) return part;
  if (bones.size() == 1 && Side(bones.front()) == 0) return Central(bones.front());

  const bool arms = std::all_of(bones.begin(), bones.end(), IsArm);
  const bool legs = std::all_of(bones.begin(), bones.end(), IsLeg);
  const bool all_left = std::all_of(bones.begin(), bones.end(), [](B b) { return Side(b) > 0; });
  const bool all_right = std::all_of(bones.begin(), bones.end(), [](B b) { return Side(b) < 0; });
  const bool both = std::all_of(bones.begin(), bones.end(), [&](B b) { return In(bones, Mirrored(b)); });
  part.one_sided = all_left || all_right;

  if (bones.size() == 1) {
    part.kind = PartKind::kSegment;
    part.words = SaidName(bones.front());
    part.minutes = 10;
    part.weight = 0.7;
    if (IsHand(bones.front()) || IsFoot(bones.front())) {
      part.tolerance = 0.15;
      part.minutes = 8;
      part.weight = 0.6;
    }
    return part;
  }
  if ((arms || legs) && part.one_sided) {
    part.kind = PartKind::kLimb;
    part.words = arms ? (all_left ? Say("left arm") : Say("right arm")) : (all_left ? Say("left leg") : Say("right leg"));
    part.minutes = 15;
    part.weight = 0.8;
    return part;
  }
  part.plural = true;
  if ((arms || legs) && both && bones.size() == 2) {
    part.kind = PartKind::kPair;
    part.words = Plural(Side(bones.front()) > 0 ? bones.front() : Mirrored(bones.front()));
    part.minutes = 18;
    part.weight = 0.7;
    if (IsHand(bones.front()) || IsFoot(bones.front())) {
      part.tolerance = 0.15;
      part.minutes = 12;
    }
    return part;
  }
  if ((arms || legs) && both) {
    part.kind = PartKind::kWhole;
    part.words = arms ? Say("arms") : Say("legs");
    part.tolerance = arms ? 0.08 : 0.05;
    part.minutes = arms ? 20 : 25;
    part.weight = arms ? 0.8 : 1.0;
    return part;
  }
  std::vector<std::string> names;
  for (const B bone : bones) part.words += (part.words.empty() ? "" : ", ") + SaidName(bone);
  return part;
}

std::vector<std::vector<B>> Chains(std::span<const B> bones) {
  constexpr std::array<std::array<B, 3>, 4> kLimbs = {{{B::kUpperArmL, B::kForearmL, B::kHandL},
                                                       {B::kUpperArmR, B::kForearmR, B::kHandR},
                                                       {B::kThighL, B::kShinL, B::kFootL},
                                                       {B::kThighR, B::kShinR, B::kFootR}}};
  std::vector<std::vector<B>> out;
  for (const auto& limb : kLimbs) {
    std::vector<B> run;
    for (const B bone : limb) {
      if (In(bones, bone)) {
        run.push_back(bone);
      } else if (!run.empty()) {
        out.push_back(std::exchange(run, {}));
      }
    }
    if (!run.empty()) out.push_back(run);
  }
  for (const B bone : {B::kHead, B::kNeck, B::kTrunk, B::kShoulderWidth, B::kHipWidth})
    if (In(bones, bone)) out.push_back({bone});
  return out;
}

}  // namespace armslength::body_check
