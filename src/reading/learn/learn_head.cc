#include "reading/learn/learn_head.h"

#include <algorithm>
#include <set>

#include <fmt/format.h>

#include "reading/head/head_reading.h"

namespace armslength {
namespace {

std::string Label(const CanonExample& e) {
  return e.marks.name.empty() ? e.file : fmt::format("{}, figure {}", e.file, e.marks.name);
}

}  // namespace

bool HasFaceMarks(const FigureMarks& marks) {
  return std::any_of(marks.points.begin(), marks.points.end(),
                     [](const auto& p) { return p.first >= PointId::kJawL && p.first <= PointId::kNoseTip; });
}

bool HasBodyMarks(const FigureMarks& marks) {
  return std::any_of(marks.points.begin(), marks.points.end(),
                     [](const auto& p) { return p.first >= PointId::kShoulderL && p.first <= PointId::kToeR; });
}

Result<std::optional<LearnedHead>> LearnHead(std::span<const CanonExample> examples, const LearnHeadOptions& options) {
  LearnedHead out;
  out.one_character = options.one_character;
  std::vector<FigureMarks> heads;
  std::vector<std::string> features;
  bool any = false;
  for (const CanonExample& e : examples) {
    if (!HasFaceMarks(e.marks)) continue;
    any = true;
    HeadReadingOptions probe;
    probe.test_faults = false;
    const Result<HeadReading> r = ReadHead(e.marks, probe);
    if (!r) {
      out.left_out.push_back(fmt::format("{}: {}", Label(e), r.error().cause));
    } else if (!r->usable) {
      out.left_out.push_back(fmt::format("{}: {}", Label(e), r->why_not));
    } else {
      heads.push_back(e.marks);
      for (const FeatureTick& f : e.marks.features)
        if (std::find(features.begin(), features.end(), f.name) == features.end()) features.push_back(f.name);
    }
  }
  if (!any) return std::optional<LearnedHead>{};
  const std::size_t needed = options.one_character ? 1 : 3;
  if (heads.size() < needed) {
    std::string reasons;
    for (const std::string& line : out.left_out) reasons += "; " + line;
    return BadInput("", "", fmt::format("{} heads can be read, and {} needs {}{}", heads.size(), options.one_character ? "a character" : "a style of heads", needed, reasons),
                    options.one_character ? "mark both eyes, the chin, the top of the head, the base of the nose and a face edge"
                                          : "mark more heads; or say --one-character when these are drawings of one head");
  }
  if (options.one_character) {
    HeadReadingOptions plain;
    plain.test_faults = false;
    auto character = ReadCharacter(heads, plain);
    if (!character) return tl::unexpected(character.error());
    out.profile = std::move(character->profile);
    out.profile.features = std::move(features);
  } else {
    auto style = LearnHeadStyle(heads, options.name);
    if (!style) return tl::unexpected(style.error());
    out.profile = std::move(*style);
  }
  out.profile.name = options.name;
  return std::optional<LearnedHead>(std::move(out));
}

std::string DescribeLearned(const LearnedHead& learned) {
  using P = HeadParam;
  const HeadProfile& p = learned.profile;
  std::string text = learned.one_character ? fmt::format("Head of one character, {} drawings read jointly\n", p.drawings)
                                           : fmt::format("Style of {} heads\n", p.drawings);
  const auto row = [&](const char* what, P param, double factor) {
    text += fmt::format("  {:<34}{:6.1f} % of head height, give or take {:.1f}\n", what, 100 * factor * p.Mean(param), 100 * factor * p.Sd(param));
  };
  row("eye line above the chin", P::kEyeHeight, 1);
  row("eyes apart, middle to middle", P::kEyeX, 2);
  row("width of an eye", P::kEyeHalfWidth, 2);
  row("base of the nose above the chin", P::kNoseBaseHeight, 1);
  row("mouth above the chin", P::kMouthHeight, 1);
  row("hairline above the chin", P::kHairlineHeight, 1);
  row("width of the face", P::kHalfWidth, 2);
  const double wide = p.Mean(P::kFarEyeConvention);
  if (wide > 2 * p.Sd(P::kFarEyeConvention) && wide > 0.2)
    text += fmt::format("  the far eye is left wide: {:.0f} % of its foreshortening is not drawn\n", 100 * std::min(wide, 1.0));
  if (!p.features.empty()) text += fmt::format("  features to look for: {}\n", fmt::join(p.features, ", "));
  for (const std::string& line : learned.left_out) text += fmt::format("  left out: {}\n", line);
  return text;
}

}  // namespace armslength
