#pragma once
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "check/finding.h"

namespace armslength {

// How sure a finding is, in the steps the report words as "a hint only" / "a close call",
// "fairly sure", "sure", "very sure".
enum class CertaintyStep : std::uint8_t { kHint, kFairlySure, kSure, kVerySure };

// Bayes factors by the scale of Kass & Raftery 1995 (J Am Stat Assoc 90, section 3.2: 2 ln B of 2,
// 6, 10); other tests by how many standard deviations the measure lies beyond the tolerance band
// (1, 2, 3; default, editable). Nothing when the finding carries neither.
[[nodiscard]] std::optional<CertaintyStep> CertaintyOf(const Finding& finding);

// What one artist answered to one finding id, counted in pieces: the same answer on three
// versions of one piece is one answer.
struct FindingAnswers {
  int not_so = 0;
  int agreed = 0;
};

// How one artist's answers move a check, by finding id.
using ArtistRecord = std::map<std::string, FindingAnswers, std::less<>>;

// What a check has to reach for this artist before it says "off".
struct Widening {
  int disagreed = 0;  // "not so" less "agree", never below 0
  // The certainty it needs: as it comes at 0, sure after one, very sure from two on.
  std::optional<CertaintyStep> needed;
  // Tolerance times this: 1, 1.25, 1.5, 1.75, 2; never more than 2.
  double tolerance_factor = 1.0;
};

// Bounded on purpose: a finding that is very sure and lies outside twice its tolerance is
// always said. The steps are a default, editable; no source.
[[nodiscard]] Widening WideningFor(const FindingAnswers& answers);
[[nodiscard]] Widening WideningFor(const ArtistRecord& record, std::string_view id);

// A finding that was off and is now only an observation.
struct Softened {
  std::string id, figure;
  Widening widening;
};

// Turns `off` findings that do not reach what this artist's answers ask of them into
// observations (kind taste: shown, never an error, never among the first), and says so in `why`.
// Clear, cannot_tell, taste, keep and meant findings stay as they are. Call before Rank.
std::vector<Softened> ApplyRecord(const ArtistRecord& record, std::vector<Finding>& findings);

// "You have disagreed with this twice; it needs to be very sure now." "" without disagreement.
[[nodiscard]] std::string WideningText(const Widening& widening);

}  // namespace armslength
