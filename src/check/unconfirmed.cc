#include "check/unconfirmed.h"

#include <algorithm>
#include <array>
#include <string_view>

#include "words/say.h"

namespace armslength {
namespace {

bool IsHead(PointId id) { return static_cast<int>(id) >= static_cast<int>(PointId::kJawL) && id <= PointId::kHeadTop; }
bool IsBody(PointId id) { return static_cast<int>(id) < kBodyPointCount || id > PointId::kHeadTop; }

// Does a finding with this id rest on the mark? Ids name their part ("body.legs.length", "body.forearm_l.length"); what
// names none rests on all.
bool RestsOn(std::string_view finding, PointId mark) {
  if (finding.starts_with("face.")) return IsHead(mark) || mark == PointId::kCrown || mark == PointId::kChin;
  if (finding.starts_with("head.")) return IsHead(mark) || mark <= PointId::kShoulderR;  // skull, neck, set on the shoulders
  if (!IsBody(mark)) return false;
  const bool scale = mark == PointId::kCrown || mark == PointId::kChin;  // every length is held against the head
  struct Part {
    std::string_view word;
    PointId from, to;
  };
  static constexpr std::array<Part, 12> kParts = {{{"legs", PointId::kHipL, PointId::kToeR},
                                                   {"leg_", PointId::kHipL, PointId::kToeR},
                                                   {"thigh", PointId::kHipL, PointId::kKneeR},
                                                   {"shin", PointId::kKneeL, PointId::kAnkleR},
                                                   {"foot", PointId::kAnkleL, PointId::kToeR},
                                                   {"arms", PointId::kShoulderL, PointId::kHandTipR},
                                                   {"upper_arm", PointId::kShoulderL, PointId::kElbowR},
                                                   {"forearm", PointId::kElbowL, PointId::kWristR},
                                                   {"hand", PointId::kWristL, PointId::kHandTipR},
                                                   {"arm_", PointId::kShoulderL, PointId::kHandTipR},
                                                   {"head", PointId::kCrown, PointId::kNeckPit},
                                                   {"neck", PointId::kChin, PointId::kNeckPit}}};
  for (const Part& part : kParts)
    if (finding.find(part.word) != std::string_view::npos) {
      const bool left = finding.find("_l") != std::string_view::npos, right = finding.find("_r") != std::string_view::npos;
      if (left != right && Side(mark) != 0 && Side(mark) != (left ? 1 : -1)) return false;
      return scale || (mark >= part.from && mark <= part.to);
    }
  return true;
}

}  // namespace

void HoldBackUnconfirmed(const FigureMarks& marks, std::vector<Finding>& findings) {
  if (marks.proposed.empty()) return;
  for (Finding& f : findings) {
    if (f.verdict != Verdict::kOff || (f.kind != Kind::kConstruction && f.kind != Kind::kCanon)) continue;
    std::vector<PointId> open;
    for (const PointId id : marks.proposed)
      if (marks.Has(id) && RestsOn(f.id, id)) open.push_back(id);
    if (open.empty()) continue;
    const auto doubt = [&](PointId id) {
      const auto it = marks.point_error_px.find(id);
      return it == marks.point_error_px.end() ? 0.0 : it->second;
    };
    std::stable_sort(open.begin(), open.end(), [&](PointId a, PointId b) { return doubt(a) > doubt(b); });
    f.verdict = Verdict::kCannotTell;
    f.why += f.why.empty() ? "" : " ";
    f.why += Say("But this rests on marks that the program proposed and nobody has confirmed.");
    f.ask = open.size() == 1 ? Say("confirm this mark, or move it: {}", SaidName(open[0]))
                             : Say("confirm these two marks, or move them: {} and {}", SaidName(open[0]), SaidName(open[1]));
  }
}

}  // namespace armslength
