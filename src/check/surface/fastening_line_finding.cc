#include <algorithm>
#include <cmath>

#include "check/body/guides.h"
#include "check/surface/fastening_line.h"
#include "words/say.h"
#include <fmt/format.h>

namespace armslength::surface_check {
namespace {

using body_check::BodyFacts;
using P = PointId;

// 4 % of the chest's width (trade brief of the project: common practice, no source; editable).
constexpr double kTolerance = 0.04;
// Nats by which one stray is likelier than none, to be called; false alarms are counted by bench/detection_surface.
constexpr double kOffNats = 1.5;
constexpr double kNamed = 0.80;   // chance that it is this one, to name it
constexpr double kStray = 0.05;   // chance left of twice the tolerance, to clear
constexpr double kOnTrunk = -0.10;  // height; what hangs lower need not be held to clear the rest

std::string Called(const BodyFacts& facts, const Held& held) {
  const std::string& name = facts.Marks().centre_front[held.mark].name;
  if (name.empty()) return Say("fastening {} from above", held.mark + 1);
  std::string words = name;
  std::replace(words.begin(), words.end(), '_', ' ');
  return Say("the mark \"{}\"", words);
}

}  // namespace

std::optional<std::size_t> CheckFasteningLine(const BodyFacts& facts, const TrunkOnPicture& trunk, std::span<const Station> rings,
                                              const TurnBeliefs& turns, std::vector<Finding>& out) {
  const auto line = HoldToLine(facts, trunk, rings, turns, 2.0 * kTolerance);
  if (!line) return std::nullopt;
  const std::vector<PointId> rests_on{P::kNeckPit, P::kHipL, P::kHipR};
  Finding f = body_check::Start(facts, "cloth.centre_front.line", Say("Fastenings in one line"), Kind::kConstruction, Verdict::kCannotTell);
  f.unit = "% of chest width";
  f.tolerance = 100.0 * kTolerance;
  f.test = "nats against none astray";
  f.source = Say("4 % of the chest's width: common practice, default, editable");
  const auto& marks = facts.Marks().centre_front;
  const Held& worst = line->Likeliest();
  const double shift = worst.shift.value, enough = kOffNats + std::log(static_cast<double>(line->held.size()));
  f.measured = 100.0 * shift;
  f.expected = 0.0;
  f.sd = 100.0 * worst.shift.sd;
  f.smallest_visible = 100.0 * std::max(kTolerance, std::sqrt(2.0 * enough) * worst.shift.sd);
  f.evidence = line->one_strays;
  const auto finish = [&](std::string why, std::string ask) {
    f.why = std::move(why);
    f.ask = std::move(ask);
    body_check::Finish(facts, rests_on, f);
    out.push_back(f);
  };
  (void)marks; (void)trunk;
  const std::string who = body_check::Sentence(Called(facts, worst));
  if (line->one_strays > kOffNats && std::abs(shift) > kTolerance) {
    f.verdict = worst.share > kNamed ? Verdict::kOff : Verdict::kCannotTell;
    finish(who + fmt::format(" share {:.2f} h {:.2f}", worst.share, worst.height), "x");
    return worst.share > kNamed ? std::optional(worst.mark) : std::nullopt;
  }
  if (std::all_of(line->held.begin(), line->held.end(), [](const Held& h) { return h.height < kOnTrunk || h.beyond < kStray; }))
    f.verdict = Verdict::kClear;
  finish(who + fmt::format(" share {:.2f} h {:.2f}", worst.share, worst.height), "x");
  return std::nullopt;
}

}  // namespace armslength::surface_check
