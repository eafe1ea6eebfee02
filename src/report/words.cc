#include "report/words.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string_view>

#include <fmt/format.h>

#include "critique/artist_record.h"
#include "words/say.h"

namespace armslength {
namespace {

// Half away from zero on the decimal digits a reader sees.
std::string Unsigned(double value) {
  value = std::abs(value);
  if (value >= 100.0) return fmt::format("{:.0f}", value);
  std::string text = value >= 10.0 ? fmt::format("{:.1f}", value)
                     : value >= 0.1 ? fmt::format("{:.2f}", value)
                                    : fmt::format("{:.3f}", value);
  if (text.find('.') != std::string::npos) {
    text.erase(text.find_last_not_of('0') + 1);
    if (text.ends_with('.')) text.pop_back();
  }
  return Digits(std::move(text));
}

// No more decimals than the spread leaves meaning: "+5 ± 2", "+3.1 ± 0.8".
std::string Unsigned(double value, double sd) {
  const int decimals = sd >= 2.0 ? 0 : sd >= 0.2 ? 1 : sd >= 0.02 ? 2 : 3;
  std::string text = fmt::format("{:.{}f}", std::abs(value), decimals);
  if (text.find('.') != std::string::npos) {
    text.erase(text.find_last_not_of('0') + 1);
    if (text.ends_with('.')) text.pop_back();
  }
  return Digits(std::move(text));
}

bool IsZero(const std::string& digits) { return digits == "0"; }

// How one of them is said; things come whole, and the smallest number of them that shows says nothing.
struct Plural {
  std::string_view unit;
  const char* one;
  bool things;
};
constexpr std::array<Plural, 10> kPlurals = {{{"gaps", Later("1 gap"), true},
                                              {"places", Later("1 place"), true},
                                              {"marks", Later("1 mark"), true},
                                              {"parts", Later("1 part"), true},
                                              {"second strokes", Later("1 second stroke"), true},
                                              {"families of hue", Later("1 family of hue"), true},
                                              {"hands inside the mass", Later("1 hand inside the mass"), true},
                                              {"line widths", Later("1 line width"), false},
                                              {"head widths", Later("1 head width"), false},
                                              {"strokes per contour", Later("1 stroke per contour"), false}}};

// Shares are measured in 0..1 and said in per cent: nobody says "0.45 share of the outline".
struct Share {
  std::string_view unit;
  const char* said;
};
constexpr std::array<Share, 6> kShares = {{{"share of the height", Later("% of the height")},
                                           {"share of the width", Later("% of the width")},
                                           {"share of the outline", Later("% of the outline")},
                                           {"share of the shaded area", Later("% of the shaded area")},
                                           {"of the neutral baseline", Later("% of the neutral baseline")},
                                           {"relative spread of width", Later("% spread of width")}}};

template <class Row, std::size_t n>
const Row* RowOf(const std::array<Row, n>& rows, const std::string& unit) {
  const auto at = std::ranges::find(rows, unit, &Row::unit);
  return at == rows.end() ? nullptr : &*at;
}

// Unit glued on the way it is set in print.
std::string WithUnit(const std::string& number, const std::string& unit) {
  if (unit.empty()) return number;
  if (unit == "ratio" || unit == "factor") return "×" + number;
  if (unit == "deg") return number + "°";
  if (unit == "soft to sharp") return Say("soft edges {} times as wide as sharp ones", number);
  if (unit == "heads" && (number == "1" || number == "+1" || number == "−1")) return Say("{} head", number);
  if (const Plural* plural = number == "1" ? RowOf(kPlurals, unit) : nullptr) return SayLater(plural->one);
  return number + " " + SayLater(unit);  // "%", "px", "heads", "% of stature", "L*"
}

bool IsRatio(const std::string& unit) { return unit == "ratio" || unit == "factor"; }

std::optional<double> Finite(std::optional<double> value) {
  return value && std::isfinite(*value) ? value : std::nullopt;
}

}  // namespace

std::string NumberText(double value) {
  if (!std::isfinite(value)) return Say("unknown");
  const std::string digits = Unsigned(value);
  return value < 0.0 && !IsZero(digits) ? "−" + digits : digits;
}

std::string MeasureText(double value, const std::string& unit) {
  if (!std::isfinite(value)) return Say("unknown");
  if (const Share* share = RowOf(kShares, unit)) return WithUnit(NumberText(std::round(100.0 * value)), share->said);
  return WithUnit(NumberText(value), unit);
}

bool CountsThings(const std::string& unit) {
  const Plural* plural = RowOf(kPlurals, unit);
  return plural != nullptr && plural->things;
}

std::string ToleranceText(double tolerance, const std::string& unit) {
  return RowOf(kShares, unit) != nullptr ? NumberText(std::round(100.0 * tolerance)) : NumberText(tolerance);
}

std::string ShortTitle(const Finding& finding) {
  const std::size_t colon = finding.title.find(": ");
  return colon == std::string::npos || colon == 0 ? finding.title : finding.title.substr(0, colon);
}

namespace {

// The amount; with a spread, rounded to what that leaves meaning.
std::string Amount(const Finding& finding, std::optional<double> sd) {
  const auto measured = Finite(finding.measured), expected = Finite(finding.expected);
  if (!measured) return "";
  const bool compared = IsRatio(finding.unit) || finding.unit == "deg" || finding.unit == "heads" ||
                        finding.unit == "px" || finding.unit == "L*" || finding.unit.starts_with("%");
  if (!expected || !compared) return MeasureText(*measured, finding.unit);
  double difference = *measured - *expected;
  std::string unit = finding.unit;
  if (IsRatio(unit) && *expected > 0.0) {
    difference = (*measured / *expected - 1.0) * 100.0;
    difference = std::abs(difference) >= 1.0 ? std::round(difference) : difference;
    unit = "%";
    sd.reset();
  } else if (unit == "deg" && std::abs(difference) >= 10.0) {
    difference = std::round(difference);
  } else if (unit == "heads") {
    difference = std::round(difference * 10.0) / 10.0;  // a tenth of a head is what an eye sees
  }
  const std::string digits = sd ? Unsigned(difference, *sd) : Unsigned(difference);
  if (IsZero(digits)) return WithUnit("0", unit);
  return WithUnit((difference < 0.0 ? "−" : "+") + digits, unit);
}

}  // namespace

std::string TitleUnderOpen(const Finding& finding) {
  return finding.title.ends_with(Say("{}: cannot tell from this view", "")) ? ShortTitle(finding) : finding.title;
}

std::string AmountText(const Finding& finding) { return Amount(finding, std::nullopt); }

std::string AmountWithSpread(const Finding& finding) {
  auto sd = Finite(finding.sd);
  if (sd && *sd <= 0.0) sd.reset();
  std::string text = Amount(finding, sd);
  if (text.empty() || !sd) return text;
  if (IsRatio(finding.unit)) {
    const double expected = Finite(finding.expected).value_or(1.0);
    const double percent = expected > 0.0 ? *sd / expected * 100.0 : *sd * 100.0;
    return text + " ± " + Unsigned(percent >= 1.0 ? std::round(percent) : percent) + " %";
  }
  if (finding.unit == "deg") return text + " ± " + Unsigned(*sd, *sd) + "°";
  // "+6.1 ± 1.2 % of stature": the unit once, at the end.
  const std::string unit = finding.unit.empty() ? "" : " " + SayLater(finding.unit);
  if (text.ends_with(unit)) text.resize(text.size() - unit.size());
  return text + " ± " + Unsigned(*sd, *sd) + unit;
}

std::string SmallestVisibleText(const Finding& finding) {
  const auto seen = Finite(finding.smallest_visible);
  if (!seen) return "";
  if (CountsThings(finding.unit)) return "";
  if (IsRatio(finding.unit) && finding.expected && *finding.expected > 0.0 && *seen > 0.0)
    return NumberText(std::round(std::abs(*seen / *finding.expected - 1.0) * 100.0)) + " %";
  // A bow is told by how far it misses, as its amount is.
  if (finding.unit == "of half-width") return MeasureText(std::abs(*seen - Finite(finding.expected).value_or(0.0)), finding.unit);
  return MeasureText(std::abs(*seen) >= 10.0 ? std::round(*seen) : *seen, finding.unit);
}

bool OnlyGrossShows(const Finding& finding) {
  constexpr double kTolerances = 4.0, kFactor = 2.0;
  constexpr double kPercent = 40.0, kDegrees = 30.0;  // whatever the tolerance
  const auto seen = Finite(finding.smallest_visible), tolerance = Finite(finding.tolerance);
  if (!seen) return false;
  const double expected = Finite(finding.expected).value_or(IsRatio(finding.unit) ? 1.0 : 0.0);
  if (IsRatio(finding.unit) && expected > 0.0 && *seen > 0.0) return std::abs(std::log(*seen / expected)) > std::log(kFactor);
  const double size = std::abs(*seen - expected);
  if ((finding.unit.starts_with('%') && size > kPercent) || (finding.unit == "deg" && size > kDegrees)) return true;
  return tolerance && *tolerance > 0.0 && std::abs(*seen - expected) > kTolerances * *tolerance;
}

std::string CertaintyText(const Finding& finding) {
  if (finding.verdict == Verdict::kCannotTell) return Say("not settled by these marks");
  const auto step = CertaintyOf(finding);
  if (!step) return "";
  switch (*step) {
    case CertaintyStep::kVerySure: return Say("very sure");
    case CertaintyStep::kSure: return Say("sure");
    case CertaintyStep::kFairlySure: return Say("fairly sure");
    case CertaintyStep::kHint: break;
  }
  return Finite(finding.evidence) && finding.test.find("Bayes") != std::string::npos ? Say("a hint only") : Say("a close call");
}

std::string KindText(Kind kind) {
  switch (kind) {
    case Kind::kConstruction: return Say("construction");
    case Kind::kCanon: return Say("your canon");
    case Kind::kCraft: return Say("craft");
    case Kind::kTaste: return Say("taste");
    case Kind::kKeep: return Say("works");
  }
  return "";
}

std::string StageText(Stage stage) {
  switch (stage) {
    case Stage::kThumbnail: return Say("thumbnail");
    case Stage::kConstruction: return Say("construction sketch");
    case Stage::kSketch: return Say("clean sketch");
    case Stage::kLine: return Say("line");
    case Stage::kFlats: return Say("flats");
    case Stage::kShading: return Say("shading");
    case Stage::kLighting: return Say("lighting");
    case Stage::kFinish: return Say("finish");
  }
  return "";
}

std::string WayText(RemedyWay way) {
  switch (way) {
    case RemedyWay::kGuide: return Say("Redraw over a guide");
    case RemedyWay::kMove: return Say("Move, scale or turn the part");
    case RemedyWay::kWarp: return Say("Bend it gently");
    case RemedyWay::kRepaint: return Say("Repaint");
    case RemedyWay::kLeave: return Say("Leave the drawing");
  }
  return "";
}

std::string MinutesText(double minutes) {
  if (!std::isfinite(minutes) || minutes <= 0.0) return "";
  if (minutes < 1.0) return Say("under a minute");
  const long whole = std::lround(minutes);
  if (whole < 60) return Say("about {} min", whole);
  if (whole % 60 == 0) return Say("about {} h", whole / 60);
  return Say("about {} h {} min", whole / 60, whole % 60);
}

std::string Sentence(std::string text) {
  if (text.empty()) return text;
  text = Capital(std::move(text));
  if (const char last = text.back(); last != '.' && last != '!' && last != '?') text += '.';
  return text;
}

}  // namespace armslength
