#include "critique/artist_record.h"

#include <cmath>
#include <limits>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "critique/critique.h"
#include "report/words.h"

namespace armslength {
namespace {

Finding Bayes(double evidence, double measured = 1.2) {
  Finding f;
  f.id = "body.legs.length";
  f.title = "Legs too long";
  f.verdict = Verdict::kOff;
  f.measured = measured;
  f.expected = 1.0;
  f.tolerance = 0.05;
  f.unit = "ratio";
  f.evidence = evidence;
  f.test = "2 ln Bayes factor";
  f.gain = 5.0;
  return f;
}

Finding Spread(double beyond_sd, double tolerance = 2.0) {
  Finding f;
  f.id = "body.shoulders.tilt";
  f.verdict = Verdict::kOff;
  f.expected = 0.0;
  f.sd = 1.0;
  f.tolerance = tolerance;
  f.measured = tolerance + beyond_sd;
  f.unit = "deg";
  f.test = "distance in sd";
  return f;
}

Finding Count() {
  Finding f;
  f.id = "pixels.gaps";
  f.verdict = Verdict::kOff;
  f.kind = Kind::kCraft;
  f.measured = 3;
  return f;
}

std::vector<Finding> After(int not_so, Finding f) {
  std::vector<Finding> findings = {std::move(f)};
  ApplyRecord({{findings[0].id, {not_so, 0}}}, findings);
  return findings;
}

bool StillOff(int not_so, const Finding& f) { return After(not_so, f)[0].kind != Kind::kTaste; }

TEST(Widening, IsBoundedAndGrowsWithDisagreement) {
  double last = 0.0;
  for (int n = 0; n < 50; ++n) {
    const Widening w = WideningFor(FindingAnswers{n, 0});
    EXPECT_GE(w.tolerance_factor, last);
    EXPECT_LE(w.tolerance_factor, 2.0);
    last = w.tolerance_factor;
  }
  EXPECT_EQ(WideningFor(FindingAnswers{0, 0}).needed, std::nullopt);
  EXPECT_EQ(WideningFor(FindingAnswers{1, 0}).needed, CertaintyStep::kSure);
  EXPECT_DOUBLE_EQ(WideningFor(FindingAnswers{1, 0}).tolerance_factor, 1.25);
  EXPECT_EQ(WideningFor(FindingAnswers{2, 0}).needed, CertaintyStep::kVerySure);
  EXPECT_EQ(WideningFor(FindingAnswers{40, 0}).needed, CertaintyStep::kVerySure);
  EXPECT_DOUBLE_EQ(WideningFor(FindingAnswers{40, 0}).tolerance_factor, 2.0);
}

TEST(Widening, AgreementTakesDisagreementBack) {
  EXPECT_EQ(WideningFor(FindingAnswers{3, 3}).disagreed, 0);
  EXPECT_EQ(WideningFor(FindingAnswers{3, 5}).disagreed, 0);  // and never narrows a check
  EXPECT_DOUBLE_EQ(WideningFor(FindingAnswers{3, 5}).tolerance_factor, 1.0);
  EXPECT_EQ(WideningFor(FindingAnswers{3, 2}).disagreed, 1);
}

TEST(ApplyRecord, AsksForMoreCertaintyStepByStep) {
  EXPECT_TRUE(StillOff(0, Bayes(3)));
  EXPECT_FALSE(StillOff(1, Bayes(3)));   // fairly sure
  EXPECT_TRUE(StillOff(1, Bayes(7)));    // sure
  EXPECT_FALSE(StillOff(2, Bayes(7)));
  EXPECT_TRUE(StillOff(2, Bayes(11)));   // very sure
  EXPECT_TRUE(StillOff(1, Spread(2.6)));
  EXPECT_FALSE(StillOff(1, Spread(1.5)));
  EXPECT_FALSE(StillOff(2, Spread(2.6)));
}

TEST(ApplyRecord, VerySureAndFarOutIsAlwaysSaid) {
  for (const int n : {1, 2, 5, 100}) EXPECT_TRUE(StillOff(n, Bayes(25, 1.2))) << n;
}

TEST(ApplyRecord, WidensTheToleranceToo) {
  EXPECT_TRUE(StillOff(1, Bayes(25, 1.07)));   // 0.07 > 1.25 x 0.05
  EXPECT_FALSE(StillOff(2, Bayes(25, 1.07)));  // 0.07 < 1.5 x 0.05
  EXPECT_FALSE(StillOff(4, Bayes(25, 0.905)));  // both ways: 0.095 < 2 x 0.05
  EXPECT_TRUE(StillOff(4, Bayes(25, 0.88)));
}

TEST(ApplyRecord, AFindingWithoutNumbersGivesWayAtTheSecondDisagreement) {
  EXPECT_TRUE(StillOff(1, Count()));
  EXPECT_FALSE(StillOff(2, Count()));
}

TEST(ApplyRecord, LeavesOthersAlone) {
  Finding clear = Bayes(0.1), open = Bayes(0.1), meant = Bayes(0.1), keep = Bayes(0.1), other = Bayes(0.1);
  clear.verdict = Verdict::kClear;
  open.verdict = Verdict::kCannotTell;
  meant.meant = true;
  keep.kind = Kind::kKeep;
  other.id = "body.legs.lengths";
  std::vector<Finding> findings = {clear, open, meant, keep, other};
  EXPECT_TRUE(ApplyRecord({{"body.legs.length", {9, 0}}}, findings).empty());
  for (const Finding& f : findings) EXPECT_TRUE(f.why.empty()) << f.id;
  EXPECT_EQ(findings[4].kind, Kind::kConstruction);
}

TEST(ApplyRecord, NumbersThatAreNotFiniteAskForNothing) {
  Finding f = Bayes(std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::quiet_NaN());
  EXPECT_TRUE(StillOff(1, f));
  EXPECT_FALSE(StillOff(2, f));  // as one without numbers
}

TEST(ApplyRecord, SaysWhatItDidAndRankPutsItAmongTheObservations) {
  Finding f = Bayes(7);
  f.why = "The legs come out longer.";
  f.figure = "Mira";
  std::vector<Finding> findings = {f, Spread(9)};
  const auto softened = ApplyRecord({{"body.legs.length", {2, 0}}}, findings);
  ASSERT_EQ(softened.size(), 1u);
  EXPECT_EQ(softened[0].id, "body.legs.length");
  EXPECT_EQ(softened[0].figure, "Mira");
  EXPECT_EQ(findings[0].why,
            "The legs come out longer. You have disagreed with this twice; it needs to be very sure now before it counts.");
  const Critique critique = Rank({}, {}, findings);
  ASSERT_EQ(critique.first.size(), 1u);
  EXPECT_EQ(critique.first[0].id, "body.shoulders.tilt");
  ASSERT_EQ(critique.observations.size(), 1u);
  EXPECT_EQ(critique.observations[0].id, "body.legs.length");
}

// The steps are those that the report puts into words.
TEST(CertaintyOf, AgreesWithTheReportsWords) {
  const auto step = [](const std::string& words) -> std::optional<CertaintyStep> {
    if (words == "a hint only" || words == "a close call") return CertaintyStep::kHint;
    if (words == "fairly sure") return CertaintyStep::kFairlySure;
    if (words == "sure") return CertaintyStep::kSure;
    if (words == "very sure") return CertaintyStep::kVerySure;
    return std::nullopt;
  };
  for (double e = -1.0; e < 13.0; e += 0.25) EXPECT_EQ(CertaintyOf(Bayes(e)), step(CertaintyText(Bayes(e)))) << e;
  for (double e = -1.0; e < 5.0; e += 0.25) EXPECT_EQ(CertaintyOf(Spread(e)), step(CertaintyText(Spread(e)))) << e;
  EXPECT_EQ(CertaintyOf(Count()), step(CertaintyText(Count())));
}

}  // namespace
}  // namespace armslength
