#include "report/words.h"

#include <limits>

#include <gtest/gtest.h>

namespace armslength {
namespace {

Finding With(double measured, double expected, const std::string& unit, std::optional<double> sd = {}) {
  Finding f;
  f.verdict = Verdict::kOff;
  f.measured = measured;
  f.expected = expected;
  f.unit = unit;
  f.sd = sd;
  return f;
}

TEST(Words, NumbersKeepThreeFiguresAndATrueMinus) {
  EXPECT_EQ(NumberText(0.0), "0");
  EXPECT_EQ(NumberText(-0.00001), "0");
  EXPECT_EQ(NumberText(1.5), "1.5");
  EXPECT_EQ(NumberText(-12.34), "−12.3");
  EXPECT_EQ(NumberText(1234.4), "1234");
  EXPECT_EQ(NumberText(0.0456), "0.046");
  EXPECT_EQ(NumberText(std::numeric_limits<double>::quiet_NaN()), "unknown");
}

TEST(Words, AmountsAreSignedAndCarryTheirUnit) {
  EXPECT_EQ(AmountText(With(1.2, 1.0, "ratio")), "+20 %");
  EXPECT_EQ(AmountText(With(0.81, 1.0, "ratio")), "−19 %");
  EXPECT_EQ(AmountText(With(0.95, 0.79, "ratio")), "+20 %");  // against what is expected there
  EXPECT_EQ(AmountText(With(3.1, 0.0, "deg")), "+3.1°");
  EXPECT_EQ(AmountText(With(8.2, 7.5, "heads")), "+0.7 heads");
  EXPECT_EQ(AmountText(With(8.5, 7.5, "heads")), "+1 head");
  EXPECT_EQ(AmountWithSpread(With(1.2, 1.0, "ratio", 0.034)), "+20 % ± 3 %");
  EXPECT_EQ(AmountWithSpread(With(6.1, 0.0, "% of stature", 1.2)), "+6.1 ± 1.2 % of stature");
  EXPECT_EQ(AmountWithSpread(With(3.1, 0.0, "deg", 0.8)), "+3.1° ± 0.8°");
  EXPECT_EQ(AmountWithSpread(With(-5.39, 0.0, "deg", 2.27)), "−5° ± 2°");  // no digits that mean nothing
  EXPECT_EQ(AmountWithSpread(With(0.4, 0.0, "deg", 2.6)), "0° ± 3°");
  EXPECT_EQ(AmountText(With(3, 0, "gaps")), "3 gaps");
  EXPECT_EQ(MeasureText(1, "gaps"), "1 gap");
  EXPECT_EQ(MeasureText(1, "strokes per contour"), "1 stroke per contour");
  EXPECT_EQ(MeasureText(1.2, "line widths"), "1.2 line widths");
  EXPECT_EQ(AmountText(Finding{}), "");
}

// "It would show from one gap on" tells nobody anything.
TEST(Words, ThingsHaveNoSmallestSize) {
  Finding gaps = With(2, 0, "gaps"), line = With(0.4, 0, "line widths");
  gaps.smallest_visible = 1.0;
  line.smallest_visible = 0.25;
  EXPECT_TRUE(CountsThings("gaps"));
  EXPECT_FALSE(CountsThings("line widths"));
  EXPECT_EQ(SmallestVisibleText(gaps), "");
  EXPECT_EQ(SmallestVisibleText(line), "0.25 line widths");
}

TEST(Words, SharesAreSaidInPerCent) {
  EXPECT_EQ(AmountWithSpread(With(0.452, 0.0, "share of the outline")), "45 % of the outline");
  EXPECT_EQ(AmountText(With(0.92, 0.75, "share of the height")), "92 % of the height");
  EXPECT_EQ(MeasureText(0.0, "share of the shaded area"), "0 % of the shaded area");
  EXPECT_EQ(ToleranceText(0.4, "share of the outline"), "40");
  EXPECT_EQ(ToleranceText(0.4, "heads"), "0.4");
}

// Kass & Raftery 1995, J Am Stat Assoc 90: 2 ln B of 2-6 positive, 6-10 strong, above 10 very strong.
TEST(Words, CertaintyFollowsThePublishedScaleOfBayesFactors) {
  Finding f = With(1.2, 1.0, "ratio");
  f.test = "2 ln Bayes factor";
  f.evidence = 1.0;
  EXPECT_EQ(CertaintyText(f), "a hint only");
  f.evidence = 2.0;
  EXPECT_EQ(CertaintyText(f), "fairly sure");
  f.evidence = 6.0;
  EXPECT_EQ(CertaintyText(f), "sure");
  f.evidence = 10.0;
  EXPECT_EQ(CertaintyText(f), "very sure");
}

TEST(Words, OtherTestsCountStandardDeviationsBeyondTheBand) {
  Finding f = With(6.0, 0.0, "deg", 1.0);
  f.tolerance = 2.5;
  EXPECT_EQ(CertaintyText(f), "very sure");  // 3.5 sd
  f.measured = 4.6;
  EXPECT_EQ(CertaintyText(f), "sure");
  f.measured = 2.6;
  EXPECT_EQ(CertaintyText(f), "a close call");
  f.verdict = Verdict::kCannotTell;
  EXPECT_EQ(CertaintyText(f), "not settled by these marks");
}

TEST(Words, TitlesAreCutAtTheColon) {
  Finding f;
  f.title = "Legs too long: drawn 1.17 times the canon's length";
  EXPECT_EQ(ShortTitle(f), "Legs too long");
  f.title = "Stray marks";
  EXPECT_EQ(ShortTitle(f), "Stray marks");
}

TEST(Words, Minutes) {
  EXPECT_EQ(MinutesText(0.4), "under a minute");
  EXPECT_EQ(MinutesText(25), "about 25 min");
  EXPECT_EQ(MinutesText(120), "about 2 h");
  EXPECT_EQ(MinutesText(95), "about 1 h 35 min");
  EXPECT_EQ(MinutesText(0), "");
}

}  // namespace
}  // namespace armslength
