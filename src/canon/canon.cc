#include "canon/canon.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "support/embedded.h"
#include "support/files.h"
#include "support/strict_json.h"
#include "support/text.h"

namespace armslength {

std::span<const EmbeddedFile> EmbeddedFiles_canons();

namespace {

constexpr std::string_view kFormat = "armslength-canon";
constexpr int kVersion = 1;
constexpr std::size_t kMaxBytes = std::size_t{1} << 20;
// Ankle over shin in Drillis & Contini's table (0.039 / 0.246), for files that leave it out.
constexpr double kAnklePerShin = 0.1585;
constexpr double kHeadsAgreement = 0.03;

struct CanonRow {
  std::string_view name, spoken;
  BoneId left;
};
constexpr std::array<CanonRow, 11> kRows = {{
    {"head", "head, chin to crown", BoneId::kHead},
    {"neck", "neck, chin to pit", BoneId::kNeck},
    {"trunk", "trunk, pit to hips", BoneId::kTrunk},
    {"shoulder_width", "between shoulder joints", BoneId::kShoulderWidth},
    {"hip_width", "between hip marks", BoneId::kHipWidth},
    {"upper_arm", "upper arm", BoneId::kUpperArmL},
    {"forearm", "forearm", BoneId::kForearmL},
    {"hand", "hand, wrist to fingertips", BoneId::kHandL},
    {"thigh", "thigh", BoneId::kThighL},
    {"shin", "shin", BoneId::kShinL},
    {"foot", "foot, ankle to toe", BoneId::kFootL},
}};
constexpr auto kRowNames = [] {
  std::array<std::string_view, kRows.size()> names;
  for (std::size_t i = 0; i < names.size(); ++i) names[i] = kRows[i].name;
  return names;
}();

struct PartRow {
  std::string_view name, spoken;
  double CanonPartSpreads::*spread;
};
constexpr std::array<PartRow, 4> kParts = {{{"head", "the head", &CanonPartSpreads::head},
                                            {"trunk", "the trunk", &CanonPartSpreads::trunk},
                                            {"arms", "both arms", &CanonPartSpreads::arms},
                                            {"legs", "both legs", &CanonPartSpreads::legs}}};

Canon ReadCanon(const JsonPlace& root) {
  static constexpr std::array<std::string_view, 10> kFields = {
      "format", "version", "name", "title", "source", "heads", "sole_to_ankle", "unit", "bones", "part_spreads"};
  Canon canon;
  CheckFormat(root, kFormat, kVersion);
  if (!root.IsObjectOf(kFields)) return canon;
  canon.name = root.At("name").NonEmptyText();
  if (const auto title = root.Find("title")) canon.title = title->Text();
  if (const auto source = root.Find("source")) canon.source = source->Text();
  static constexpr std::array<std::string_view, 1> kUnits = {"head"};
  (void)root.At("unit").OneOf(kUnits, "unit of a canon");
  const JsonPlace bones = root.At("bones");
  if (!bones.IsObjectOf(kRowNames)) return canon;
  for (const CanonRow& row : kRows) {
    const JsonPlace place = bones.At(row.name);
    static constexpr std::array<std::string_view, 2> kBoneFields = {"length", "spread"};
    if (!place.IsObjectOf(kBoneFields)) return canon;
    CanonBone bone;
    const JsonPlace length = place.At("length"), spread = place.At("spread");
    bone.length = length.Number(0.01, 50.0);
    bone.spread = spread.Number(0.001, 0.5);
    if (row.left == BoneId::kHead && std::abs(bone.length - 1.0) > 1e-6)
      length.Trouble("the head is the unit: its length is 1", "Divide all lengths by the head's");
    canon[row.left] = canon[Mirrored(row.left)] = bone;
  }
  if (const auto parts = root.Find("part_spreads")) {
    static constexpr auto kPartNames = [] {
      std::array<std::string_view, kParts.size()> names;
      for (std::size_t i = 0; i < names.size(); ++i) names[i] = kParts[i].name;
      return names;
    }();
    if (!parts->IsObjectOf(kPartNames)) return canon;
    for (const PartRow& part : kParts)
      if (const auto spread = parts->Find(part.name)) canon.part_spreads.*part.spread = spread->Number(0.0, 0.5);
  }
  canon.sole_to_ankle = kAnklePerShin * canon[BoneId::kShinL].length;
  if (const auto sole = root.Find("sole_to_ankle")) canon.sole_to_ankle = sole->Number(0.0, 5.0);
  canon.heads = StandingHeads(canon);
  if (const auto heads = root.Find("heads")) {
    const double stated = heads->Number(0.5, 100.0);
    if (std::abs(stated / canon.heads - 1.0) > kHeadsAgreement)
      heads->Trouble(fmt::format("{} heads are stated, but the bones add up to {:.2f}", JsonNumber(stated), canon.heads),
                     "Change a length, or leave the head count out");
    else
      canon.heads = stated;
  }
  return canon;
}

bool LooksLikePath(const std::string& text) { return text.find('/') != std::string::npos || text.ends_with(".json"); }

}  // namespace

std::span<const std::string_view> CanonBoneNames() { return kRowNames; }

std::optional<BoneId> BoneOfCanonName(std::string_view name) {
  for (const CanonRow& row : kRows)
    if (row.name == name) return row.left;
  return std::nullopt;
}

double StandingHeads(const Canon& canon) {
  const auto mean = [&](BoneId left) { return 0.5 * (canon[left].length + canon[Mirrored(left)].length); };
  return canon[BoneId::kHead].length + kNeckUpShare * canon[BoneId::kNeck].length + canon[BoneId::kTrunk].length +
         mean(BoneId::kThighL) + mean(BoneId::kShinL) + canon.sole_to_ankle;
}

CanonLevels LevelsOf(const Canon& canon) {
  CanonLevels at;
  at.ankle = canon.sole_to_ankle;
  at.knee = at.ankle + canon[BoneId::kShinL].length;
  at.hip = at.knee + canon[BoneId::kThighL].length;
  at.neck_pit = at.hip + canon[BoneId::kTrunk].length;
  at.elbow = at.neck_pit - canon[BoneId::kUpperArmL].length;
  at.wrist = at.elbow - canon[BoneId::kForearmL].length;
  at.hand_tip = at.wrist - canon[BoneId::kHandL].length;
  at.chin = at.neck_pit + kNeckUpShare * canon[BoneId::kNeck].length;
  at.crown = at.chin + canon[BoneId::kHead].length;
  return at;
}

Result<Canon> ParseCanon(std::string_view json_text, const std::string& file_name) {
  auto document = JsonDocument::Parse(json_text, file_name, {.max_bytes = kMaxBytes});
  if (!document) return tl::unexpected(std::move(document.error()));
  Canon canon = ReadCanon(document->Root());
  if (document->Trouble()) return tl::unexpected(*document->Trouble());
  return canon;
}

std::string CanonToJson(const Canon& canon) {
  std::string text = fmt::format("{{\n  \"format\": \"{}\",\n  \"version\": {},\n  \"name\": {},\n", kFormat, kVersion,
                                 JsonQuoted(canon.name));
  if (!canon.title.empty()) text += fmt::format("  \"title\": {},\n", JsonQuoted(canon.title));
  if (!canon.source.empty()) text += fmt::format("  \"source\": {},\n", JsonQuoted(canon.source));
  text += fmt::format("  \"heads\": {},\n  \"unit\": \"head\",\n  \"sole_to_ankle\": {},\n  \"bones\": {{\n",
                      JsonNumber(canon.heads, 6), JsonNumber(canon.sole_to_ankle, 6));
  for (const CanonRow& row : kRows)
    text += fmt::format("    \"{}\": {{\"length\": {}, \"spread\": {}}}{}\n", row.name,
                        JsonNumber(canon[row.left].length, 6), JsonNumber(canon[row.left].spread, 6),
                        &row == &kRows.back() ? "" : ",");
  text += "  }";
  std::string parts;
  for (const PartRow& part : kParts)
    if (const double spread = canon.part_spreads.*part.spread; spread > 0.0)
      parts += fmt::format("{}\"{}\": {}", parts.empty() ? "" : ", ", part.name, JsonNumber(spread, 6));
  if (!parts.empty()) text += ",\n  \"part_spreads\": {" + parts + "}";
  return text + "\n}\n";
}

Result<void> SaveCanon(const Canon& canon, const std::filesystem::path& path) {
  const std::string text = CanonToJson(canon);
  if (auto again = ParseCanon(text, path.string()); !again) {
    again.error().cause = "this canon cannot be saved: " + again.error().cause;
    return tl::unexpected(std::move(again.error()));
  }
  return WriteFileAtomic(path, text);
}

const std::vector<Canon>& BuiltInCanons() {
  static const std::vector<Canon> canons = [] {
    std::vector<Canon> list;
    for (const EmbeddedFile& file : EmbeddedFiles_canons()) {
      auto canon = ParseCanon(file.content, std::string(file.name));
      if (canon) list.push_back(std::move(*canon));  // a test parses every file and shows the error
    }
    std::sort(list.begin(), list.end(), [](const Canon& a, const Canon& b) {
      return a.heads != b.heads ? a.heads < b.heads : a.name < b.name;
    });
    return list;
  }();
  return canons;
}

Result<Canon> FindCanon(const std::string& name_or_path, const std::filesystem::path& folder) {
  namespace fs = std::filesystem;
  for (const Canon& canon : BuiltInCanons())
    if (canon.name == name_or_path) return canon;
  std::error_code code;
  fs::path path(name_or_path);
  if (path.is_relative() && !folder.empty() && fs::is_regular_file(folder / path, code)) path = folder / path;
  if (LooksLikePath(name_or_path) || fs::is_regular_file(path, code)) {
    auto text = ReadFile(path, kMaxBytes);
    if (!text) return tl::unexpected(std::move(text.error()));
    return ParseCanon(*text, path.string());
  }
  std::vector<std::string_view> names;
  for (const Canon& canon : BuiltInCanons()) names.push_back(canon.name);
  return BadInput("", "", fmt::format("there is no canon '{}'", name_or_path.substr(0, 60)),
                  SuggestName(name_or_path, names) + " A file of your own is named by its path");
}

std::string DescribeCanon(const Canon& canon) {
  std::string text = fmt::format("{}: {}\n", canon.name, canon.title.empty() ? "no title" : canon.title);
  if (!canon.source.empty()) text += canon.source + "\n";
  text += "A drawing convention, not a statement about real bodies.\n\n";
  text += fmt::format("{:<28}{:>8}{:>10}\n", "", "heads", "spread");
  for (const CanonRow& row : kRows)
    text += fmt::format("{:<28}{:>8.2f}{:>8.1f} %\n", row.spoken, canon[row.left].length, 100 * canon[row.left].spread);
  for (const PartRow& part : kParts)
    if (const double spread = canon.part_spreads.*part.spread; spread > 0.0)
      text += fmt::format("{:<28}{:>8}{:>8.1f} %\n", std::string(part.spoken) + ", as a whole", "", 100 * spread);
  const CanonLevels at = LevelsOf(canon);
  text += fmt::format("\nStanding, arms hanging: {:.2f} heads. From the crown down:\n", canon.heads);
  const std::array<std::pair<std::string_view, double>, 8> levels = {{{"chin", at.chin},
                                                                      {"pit of the neck", at.neck_pit},
                                                                      {"elbow", at.elbow},
                                                                      {"hip joint", at.hip},
                                                                      {"wrist", at.wrist},
                                                                      {"fingertips", at.hand_tip},
                                                                      {"knee joint", at.knee},
                                                                      {"sole", 0.0}}};
  for (const auto& [name, level] : levels) text += fmt::format("{:<28}{:>8.2f}\n", name, at.crown - level);
  return text;
}

std::string DescribeCanons(std::span<const Canon> canons) {
  std::string text;
  for (const Canon& canon : canons) text += fmt::format("{:<16}{:>6.2f}  {}\n", canon.name, canon.heads, canon.title);
  return text;
}

}  // namespace armslength
