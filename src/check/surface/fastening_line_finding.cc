#include <algorithm>
#include <cmath>

#include "check/body/guides.h"
#include "check/surface/fastening_line.h"
#include "words/say.h"

namespace armslength::surface_check {
namespace {

using body_check::BodyFacts;
using P = PointId;

// Nats by which one astray is likelier than none, to be called; false alarms are counted by bench/detection_surface.
constexpr double kOffNats = 0.2;
constexpr double kSpreads = 2.0;    // the amount known to half of itself, or it is none to act on
constexpr double kNamed = 0.60;     // chance that it is this one, to name it
constexpr double kStray = 0.05;     // chance left of twice the tolerance, to clear
constexpr double kOnTrunk = -0.10;  // height; what hangs lower need not be held to clear the rest

// Smallest shift that would be called, chest widths.
double Visible(const Held& held, std::size_t n) {
  const double nats = kOffNats + std::log(static_cast<double>(n)) + std::max(0.0, std::log(kStraySpread / held.shift.sd));
  return std::max(kShiftTolerance, std::sqrt(2.0 * nats) * held.shift.sd);
}

}  // namespace

std::optional<std::size_t> CheckFasteningLine(const BodyFacts& facts, const TrunkOnPicture& trunk, std::span<const Station> rings,
                                              const TurnBeliefs& turns, std::vector<Finding>& out) {
  const auto line = HoldToLine(facts, trunk, rings, turns, 2.0 * kShiftTolerance);
  if (!line) return std::nullopt;
  const std::vector<PointId> rests_on{P::kNeckPit, P::kShoulderL, P::kShoulderR, P::kHipL, P::kHipR};
  Finding f = body_check::Start(facts, "cloth.centre_front.line", Say("Fastenings in one line"), Kind::kConstruction, Verdict::kCannotTell);
  f.unit = "% of chest width";
  f.tolerance = 100.0 * kShiftTolerance;
  f.test = "nats against none astray";
  f.source = Say("4 % of the chest's width: common practice, default, editable");
  f.expected = 0.0;
  f.evidence = line->one_strays;
  const std::size_t n = line->held.size();
  const auto drawn = [&](const Held& held) { return facts.Marks().centre_front[held.mark].at; };
  const auto measure = [&](const Held& held) {
    f.measured = 100.0 * held.shift.value;
    f.sd = 100.0 * held.shift.sd;
    f.smallest_visible = 100.0 * Visible(held, n);
  };
  const auto finish = [&](std::string why, std::string ask) {
    f.why = std::move(why);
    f.ask = std::move(ask);
    body_check::Finish(facts, rests_on, f);
    out.push_back(f);
  };
  const auto called = [&](std::size_t i) {
    return Say("fastening {} of {} from the neck (\"{}\")", i + 1, n, facts.Marks().centre_front[line->held[i].mark].name);
  };

  const std::size_t first = line->Likeliest();
  const Held& worst = line->held[first];
  if (line->one_strays > kOffNats && std::abs(worst.shift.value) > std::max(kShiftTolerance, kSpreads * worst.shift.sd)) {
    measure(worst);
    const double off = 100.0 * std::abs(worst.shift.value);
    if (worst.share > kNamed) {
      f.verdict = Verdict::kOff;
      f.title = Say("One fastening off the others' line");
      f.where.points = {drawn(worst)};
      std::vector<Vec2> through;
      for (const Held& held : line->held) through.push_back(&held == &worst ? held.foretold : drawn(held));
      f.guides.push_back(body_check::Line(GuideShape::Role::kHelp, through));
      f.guides.push_back(body_check::Cross(GuideShape::Role::kDrawn, {drawn(worst)}));
      f.guides.push_back(body_check::Cross(GuideShape::Role::kTarget, {worst.foretold}));
      f.guides.push_back(
          body_check::Line(GuideShape::Role::kArrow, {drawn(worst), worst.foretold}, body_check::Percent(worst.shift.value)));
      f.remedy = {RemedyWay::kMove, 5.0, Say("Move it onto the line through the others; one set aside on purpose is declared as meant.")};
      f.gain = 2.0;
      finish(body_check::Sentence(Say("{} lies {:.0f} % of the chest's width (±{:.0f}) beside the line through the others.", called(first),
                                      off, 100.0 * worst.shift.sd)),
             "");
      return worst.mark;
    }
    std::size_t second = first == 0 ? 1 : 0;
    for (std::size_t i = 0; i < n; ++i)
      if (i != first && line->held[i].share > line->held[second].share) second = i;
    const Held& other = line->held[second];
    f.where.points = {drawn(worst), drawn(other)};
    finish(Say("The fastenings do not lie in one line: either {} strays by {:.0f} % of the chest's width or {} by {:.0f} %; which of them, "
               "the "
               "others leave open.",
               called(first), off, called(second), 100.0 * std::abs(other.shift.value)),
           Say("Mark more fastenings above and below these two."));
    return std::nullopt;
  }
  const Held* loosest = nullptr;
  std::size_t held_fast = 0;
  for (const Held& held : line->held) {
    f.where.points.push_back(drawn(held));
    held_fast += held.beyond < kStray;
    if (held.height > kOnTrunk && held.beyond >= kStray && (!loosest || held.shift.sd > loosest->shift.sd)) loosest = &held;
  }
  measure(loosest ? *loosest : worst);
  if (!loosest && line->one_strays < kOffNats) {
    f.verdict = Verdict::kClear;
    finish(Say("Held against the line through the others, each of {} fastenings lies within {:.0f} % of the chest's width.", held_fast,
               200.0 * kShiftTolerance),
           "");
    return std::nullopt;
  }
  finish(Say("The line through the others holds {} of {} fastenings within {:.0f} % of the chest's width; a shift of the rest under {:.0f} "
             "% would "
             "not show for certain.",
             held_fast, n, 200.0 * kShiftTolerance, *f.smallest_visible),
         Say("More marked fastenings, a collar or belt drawn from edge to edge, and surer hips and pit of the neck would narrow it."));
  return std::nullopt;
}

}  // namespace armslength::surface_check
