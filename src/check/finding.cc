#include "check/finding.h"

#include <array>

namespace armslength {
namespace {
constexpr std::array<std::string_view, 5> kKinds = {"construction", "canon", "craft", "taste", "keep"};
constexpr std::array<std::string_view, 3> kVerdicts = {"off", "clear", "cannot_tell"};
constexpr std::array<std::string_view, 8> kStages = {"thumbnail", "construction", "sketch",   "line",
                                                     "flats",     "shading",      "lighting", "finish"};
constexpr std::array<std::string_view, 5> kWays = {"guide", "move", "warp", "repaint", "leave"};
}  // namespace

std::string_view Name(Kind kind) { return kKinds[static_cast<std::size_t>(kind)]; }
std::string_view Name(Verdict verdict) { return kVerdicts[static_cast<std::size_t>(verdict)]; }
std::string_view Name(Stage stage) { return kStages[static_cast<std::size_t>(stage)]; }
std::string_view Name(RemedyWay way) { return kWays[static_cast<std::size_t>(way)]; }

std::optional<Stage> StageFromName(std::string_view name) {
  for (std::size_t i = 0; i < kStages.size(); ++i)
    if (kStages[i] == name) return static_cast<Stage>(i);
  return std::nullopt;
}

bool IsMeant(std::string_view id, const std::vector<std::string>& declared) {
  for (const std::string& d : declared)
    if (id == d || (id.size() > d.size() && id.starts_with(d) && id[d.size()] == '.')) return true;
  return false;
}

}  // namespace armslength
