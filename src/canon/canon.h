#pragma once
#include <array>
#include <filesystem>
#include <optional>
#include <span>
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

// What all bones of a part, left and right alike, vary by together from figure to figure, over and
// above each bone's own spread: relative standard deviations. Zero in drawing conventions; measured
// people and learned canons have them (long-legged and short-legged figures of one hand).
struct CanonPartSpreads {
  double head = 0.0, trunk = 0.0, arms = 0.0, legs = 0.0;
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
  CanonPartSpreads part_spreads;

  [[nodiscard]] const CanonBone& operator[](BoneId id) const { return bones[static_cast<std::size_t>(id)]; }
  [[nodiscard]] CanonBone& operator[](BoneId id) { return bones[static_cast<std::size_t>(id)]; }
};

// Built-in canons, in order of head count. Made by tools/make_canons.py, which holds the derivation.
[[nodiscard]] const std::vector<Canon>& BuiltInCanons();

// A built-in name, or a path to a canon file; a relative path is looked up in `folder` first (that of
// the marks file that names it), then from the current one. Errors: unknown name (nearest ones
// suggested), malformed file with JSON place.
[[nodiscard]] Result<Canon> FindCanon(const std::string& name_or_path, const std::filesystem::path& folder = {});

// Format "armslength-canon", version 1 (data/schemas/canon.schema.json). All eleven bones are needed;
// `head` is 1. `title`, `source`, `heads`, `sole_to_ankle` and `part_spreads` may be missing: heads is then
// what the bones add up to, the ankle a sixth of the shin, the part spreads zero. A given `heads` must agree with the bones to 3 %.
[[nodiscard]] Result<Canon> ParseCanon(std::string_view json_text, const std::string& file_name);
// Lengths to 1e-6 heads.
[[nodiscard]] std::string CanonToJson(const Canon& canon);
// Validates, then writes beside and renames.
[[nodiscard]] Result<void> SaveCanon(const Canon& canon, const std::filesystem::path& path);

// Standing height in head heights that the bones add up to: head, neck, trunk,
// mean thigh, mean shin, sole_to_ankle, with the neck and hips as drawn upright.
[[nodiscard]] double StandingHeads(const Canon& canon);

// The upright chin stands in front of the pit of the neck: this share of the neck's length is height.
inline constexpr double kNeckUpShare = 0.756;

// Bones of a canon file, without sides, in file order: "head", "neck", ... "foot".
[[nodiscard]] std::span<const std::string_view> CanonBoneNames();
// The (left) bone behind such a name; the other side is Mirrored() of it. Nothing for unknown names.
[[nodiscard]] std::optional<BoneId> BoneOfCanonName(std::string_view name);

// Several lines for a terminal: title, source, a table of lengths and spreads, levels of the upright figure.
[[nodiscard]] std::string DescribeCanon(const Canon& canon);
// One line per canon: name, heads, title.
[[nodiscard]] std::string DescribeCanons(std::span<const Canon> canons);

// Heights over the floor of the upright figure with hanging arms, in head heights.
struct CanonLevels {
  double crown = 0, chin = 0, neck_pit = 0, elbow = 0, hip = 0, wrist = 0, hand_tip = 0, knee = 0, ankle = 0;
};
[[nodiscard]] CanonLevels LevelsOf(const Canon& canon);

}  // namespace armslength
