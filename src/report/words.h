#pragma once
#include <optional>
#include <string>

#include "check/finding.h"
#include "critique/critique.h"

namespace armslength {

// Numbers and verdicts in an illustrator's words: one place, so that page, overlay and
// guides never say different things. Numbers use a true minus sign and at most three
// significant digits.

// "1.2", "12", "0.08"; thousands stay whole.
[[nodiscard]] std::string NumberText(double value);

// A value with its unit: "×1.2" for ratios, "3.1°", "0.7 heads", "12 px", "4 % of stature".
[[nodiscard]] std::string MeasureText(double value, const std::string& unit);
// The number alone, on the scale on which that unit is said.
[[nodiscard]] std::string ToleranceText(double tolerance, const std::string& unit);

// Things that are counted (gaps, marks): no scale shows more than the number itself.
[[nodiscard]] bool CountsThings(const std::string& unit);

// The title without what follows a colon: numbers in it are shown beside it anyway.
[[nodiscard]] std::string ShortTitle(const Finding& finding);
// The title under a heading that says already that these stay open: "Arms", not "Arms: cannot tell from this
// view".
[[nodiscard]] std::string TitleUnderOpen(const Finding& finding);

// What is off, signed, for a callout: "+20 %", "−3.1°", "+0.7 heads"; counts
// as they are ("3 gaps"); "" without numbers.
[[nodiscard]] std::string AmountText(const Finding& finding);
// "about" the same with its spread: "+20 % ± 4 %".
[[nodiscard]] std::string AmountWithSpread(const Finding& finding);

// The smallest fault that this view would show: "14 %", "3.1°"; "" when that is not known.
[[nodiscard]] std::string SmallestVisibleText(const Finding& finding);
// It is so many times the tolerance that nobody would need to be told.
[[nodiscard]] bool OnlyGrossShows(const Finding& finding);

// How sure, in words. Bayes factors by the scale of Kass & Raftery 1995 (J Am Stat Assoc
// 90, table in section 3.2); other tests by how many standard deviations the measure lies
// beyond the tolerance band. "" when the finding carries neither.
[[nodiscard]] std::string CertaintyText(const Finding& finding);

// "construction", "your canon", "craft", "taste", "works".
[[nodiscard]] std::string KindText(Kind kind);
[[nodiscard]] std::string StageText(Stage stage);
[[nodiscard]] std::string WayText(RemedyWay way);
// "about 20 min", "under a minute", "about 1 h 30".
[[nodiscard]] std::string MinutesText(double minutes);

// A finding's detail as a sentence on its own: capital first, full stop last. "" stays "".
[[nodiscard]] std::string Sentence(std::string text);

}  // namespace armslength
