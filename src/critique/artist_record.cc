#include "critique/artist_record.h"

#include <algorithm>
#include <cmath>

#include "words/say.h"

namespace armslength {
namespace {

std::optional<double> Finite(const std::optional<double>& value) {
  return value && std::isfinite(*value) ? value : std::nullopt;
}

std::string Spoken(CertaintyStep step) {
  switch (step) {
    case CertaintyStep::kHint: return Say("a hint");
    case CertaintyStep::kFairlySure: return Say("fairly sure");
    case CertaintyStep::kSure: return Say("sure");
    case CertaintyStep::kVerySure: return Say("very sure");
  }
  return "";
}

CertaintyStep StepFrom(double value, double fairly, double sure, double very) {
  if (value >= very) return CertaintyStep::kVerySure;
  if (value >= sure) return CertaintyStep::kSure;
  return value >= fairly ? CertaintyStep::kFairlySure : CertaintyStep::kHint;
}

// Outside the widened band? Nothing when the finding has no band.
std::optional<bool> OutsideBand(const Finding& f, double factor) {
  const auto measured = Finite(f.measured), expected = Finite(f.expected), tolerance = Finite(f.tolerance);
  if (!measured || !expected || !tolerance || *tolerance <= 0.0) return std::nullopt;
  return std::abs(*measured - *expected) > factor * *tolerance;
}

bool StillSaid(const Finding& f, const Widening& w) {
  const auto sure = CertaintyOf(f);
  const auto outside = OutsideBand(f, w.tolerance_factor);
  if (outside && !*outside) return false;
  if (sure) return *sure >= *w.needed;
  // No certainty to be raised: the band alone, then at most one disagreement.
  return outside.has_value() || w.disagreed < 2;
}

}  // namespace

std::optional<CertaintyStep> CertaintyOf(const Finding& f) {
  if (f.verdict == Verdict::kCannotTell) return std::nullopt;
  const auto evidence = Finite(f.evidence);
  if (evidence && f.test.find("Bayes") != std::string::npos) return StepFrom(*evidence, 2.0, 6.0, 10.0);
  const auto measured = Finite(f.measured), expected = Finite(f.expected), sd = Finite(f.sd);
  if (f.verdict != Verdict::kOff || !measured || !expected || !sd || *sd <= 0.0) return std::nullopt;
  return StepFrom((std::abs(*measured - *expected) - Finite(f.tolerance).value_or(0.0)) / *sd, 1.0, 2.0, 3.0);
}

Widening WideningFor(const FindingAnswers& answers) {
  Widening w;
  w.disagreed = std::max(0, answers.not_so - answers.agreed);
  if (w.disagreed >= 1) w.needed = w.disagreed == 1 ? CertaintyStep::kSure : CertaintyStep::kVerySure;
  w.tolerance_factor = std::min(2.0, 1.0 + 0.25 * w.disagreed);
  return w;
}

Widening WideningFor(const ArtistRecord& record, std::string_view id) {
  const auto it = record.find(id);
  return it == record.end() ? Widening{} : WideningFor(it->second);
}

std::vector<Softened> ApplyRecord(const ArtistRecord& record, std::vector<Finding>& findings) {
  std::vector<Softened> softened;
  for (Finding& f : findings) {
    if (f.verdict != Verdict::kOff || f.kind == Kind::kTaste || f.kind == Kind::kKeep || f.meant) continue;
    const Widening w = WideningFor(record, f.id);
    if (w.disagreed == 0 || StillSaid(f, w)) continue;
    f.kind = Kind::kTaste;
    f.why = f.why.empty() ? WideningText(w) : f.why + " " + WideningText(w);
    softened.push_back({f.id, f.figure, w});
  }
  return softened;
}

std::string WideningText(const Widening& w) {
  if (w.disagreed == 0 || !w.needed) return "";
  const std::string times = w.disagreed == 1 ? Say("once") : w.disagreed == 2 ? Say("twice") : Say("{} times", w.disagreed);
  return Say("You have disagreed with this {}; it needs to be {} now before it counts.", times, Spoken(*w.needed));
}

}  // namespace armslength
