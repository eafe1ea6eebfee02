#pragma once
#include <array>
#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

#include "marks/figure.h"
#include "support/error.h"

namespace armslength {

// One length of a canon.
struct CanonBone {
  double length = 0.0;  // head heights (chin to crown = 1), between joint centres
  double spread = 0.0;  // relative standard deviation, e.g. 0.03
};

// Declared proportions of a figure. Drawing conventions, not statements about bodies.
// Left and right limbs share one value.
struct Canon {
  std::string name;    // "adult-7.5"
  std::string title;   // "Adult, seven and a half heads"
  std::string source;  // where the numbers are from
  double heads = 0.0;  // standing height in head heights
  // Indexed by BoneId; _l and _r hold the same value.
  std::array<CanonBone, kBoneCount> bones{};
  double sole_to_ankle = 0.0;  // head heights, ankle joint above the floor

  [[nodiscard]] const CanonBone& operator[](BoneId id) const { return bones[static_cast<std::size_t>(id)]; }
  [[nodiscard]] CanonBone& operator[](BoneId id) { return bones[static_cast<std::size_t>(id)]; }
};

// Built-in canons, in order of head count.
[[nodiscard]] const std::vector<Canon>& BuiltInCanons();

// A built-in name, or a path to a canon file. Errors: unknown name (nearest ones
// suggested, relative file checked), malformed file with JSON place.
[[nodiscard]] Result<Canon> FindCanon(const std::string& name_or_path);
[[nodiscard]] Result<Canon> ParseCanon(std::string_view json_text, const std::string& file_name);
[[nodiscard]] std::string CanonToJson(const Canon& canon);

// Standing height in head heights that the bones add up to: head, neck, trunk,
// mean thigh, mean shin, sole_to_ankle, with the neck and hips as drawn upright.
[[nodiscard]] double StandingHeads(const Canon& canon);

}  // namespace armslength
