#pragma once
#include <span>
#include <string>
#include <vector>

#include "marks/names.h"
#include "words/say.h"

// How an illustrator calls a set of bones. Private to check/body.
namespace armslength::body_check {

enum class PartKind : std::uint8_t {
  kWhole,     // both legs, both arms, head, torso, neck, shoulders, hips: a canon's measure
  kPair,      // one segment on both sides: "forearms"
  kLimb,      // one whole limb: "left leg"
  kSegment,   // one segment: "left forearm"
  kOther
};

struct Part {
  std::string words;        // "legs", "left forearm", "torso"
  bool plural = false;
  PartKind kind = PartKind::kOther;
  bool one_sided = false;   // on the left or the right only: contradicts the other side
  std::string too_long = Say("too long"), too_short = Say("too short");  // "too big", "too wide"
  std::string longer = Say("longer"), shorter = Say("shorter");          // than usual: "bigger", "wider"
  bool of_width = false;                                                 // the canon gives it as a width
  double tolerance = 0.08;  // of the length ratio
  std::string source;       // of the tolerance
  double minutes = 15.0;    // to mend on a finished picture; default
  double weight = 0.7;      // how much it hurts the reading of the picture, 0..1; default
};

[[nodiscard]] Part Describe(std::span<const BoneId> bones);

// Bones in chains from the trunk outwards, for guides: each a run of joined bones.
[[nodiscard]] std::vector<std::vector<BoneId>> Chains(std::span<const BoneId> bones);

[[nodiscard]] bool Overlap(std::span<const BoneId> a, std::span<const BoneId> b);
[[nodiscard]] bool SameSet(std::span<const BoneId> a, std::span<const BoneId> b);

}  // namespace armslength::body_check
