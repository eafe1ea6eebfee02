#include "critique/critique.h"

#include <cmath>
#include <limits>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace armslength {
namespace {

using testing::ElementsAre;
using testing::IsEmpty;

Finding Off(const std::string& id, double gain, double minutes, Kind kind = Kind::kConstruction) {
  Finding f;
  f.id = id;
  f.title = id;
  f.kind = kind;
  f.verdict = Verdict::kOff;
  f.figure = "anna";
  f.gain = gain;
  f.remedy.minutes = minutes;
  return f;
}

Finding Length(const std::string& id, double measured) {
  Finding f = Off(id, 5, 10);
  f.measured = measured;
  f.expected = 1.0;
  f.unit = "ratio";
  return f;
}

FigureCritique Figure(const std::string& name, std::vector<std::string> meant = {}) {
  FigureCritique figure;
  figure.marks.name = name;
  figure.marks.meant = std::move(meant);
  return figure;
}

std::vector<std::string> Ids(const std::vector<Finding>& list) {
  std::vector<std::string> ids;
  for (const Finding& f : list) ids.push_back(f.id);
  return ids;
}

TEST(Rank, GainPerMinuteOrdersTheFaults) {
  const Critique c = Rank({}, {Figure("anna")}, {Off("a.slow", 8, 40), Off("a.quick", 4, 5), Off("a.middle", 6, 15)});
  EXPECT_THAT(Ids(c.first), ElementsAre("a.quick", "a.middle", "a.slow"));
  EXPECT_THAT(c.rest, IsEmpty());
}

TEST(Rank, TheWholeFiguresProportionComesBeforeItsParts) {
  const Critique c = Rank({}, {Figure("anna")},
                          {Off("face.eye.size", 9, 5), Off("face.chin.offset", 8, 5), Off("face.nose.offset", 7, 5),
                           Off("body.legs.length", 6, 30, Kind::kCanon), Off("body.head.size", 2, 30, Kind::kCanon)});
  EXPECT_THAT(Ids(c.first), ElementsAre("body.legs.length", "face.eye.size", "face.chin.offset"));
  EXPECT_THAT(Ids(c.rest), ElementsAre("face.nose.offset", "body.head.size"));
}

TEST(Rank, SecondsDoNotBeatARealMend) {
  // Two seconds of work for a trifle: counted as a minute.
  EXPECT_DOUBLE_EQ(Worth(Off("a", 1, 0.03)), 1.0);
  EXPECT_DOUBLE_EQ(Worth(Off("a", 1, 0)), 1.0);
  EXPECT_DOUBLE_EQ(Worth(Off("a", 9, 3)), 3.0);
}

TEST(Rank, ConstructionAndCanonComeBeforeCraftWhateverTheWorth) {
  const Critique c = Rank({}, {Figure("anna")},
                          {Off("line.gaps", 9, 1, Kind::kCraft), Off("body.balance", 2, 60),
                           Off("body.head.size", 2, 30, Kind::kCanon)});
  EXPECT_THAT(Ids(c.first), ElementsAre("body.head.size", "body.balance", "line.gaps"));
}

TEST(Rank, ThreeFirstAndTheRestBehind) {
  std::vector<Finding> all;
  for (int i = 0; i < 7; ++i) all.push_back(Off("a." + std::to_string(i), 7 - i, 1));
  const Critique c = Rank({}, {Figure("anna")}, all);
  EXPECT_THAT(Ids(c.first), ElementsAre("a.0", "a.1", "a.2"));
  EXPECT_THAT(Ids(c.rest), ElementsAre("a.3", "a.4", "a.5", "a.6"));
}

TEST(Rank, TasteIsNeverAmongTheFaults) {
  const Critique c = Rank({}, {Figure("anna")}, {Off("line.even", 10, 1, Kind::kTaste)});
  EXPECT_THAT(c.first, IsEmpty());
  EXPECT_THAT(c.rest, IsEmpty());
  EXPECT_THAT(Ids(c.observations), ElementsAre("line.even"));
}

TEST(Rank, MeantFaultsAreShownAndNotCounted) {
  const Critique c = Rank({}, {Figure("anna", {"body.balance"}), Figure("bert")},
                          {Off("body.balance.side", 9, 1), Off("body.balances", 1, 1)});
  EXPECT_THAT(Ids(c.meant), ElementsAre("body.balance.side"));
  EXPECT_TRUE(c.meant.front().meant);
  EXPECT_THAT(Ids(c.first), ElementsAre("body.balances"));  // a prefix of letters is no prefix of the id
}

TEST(Rank, AnotherFiguresDeclarationDoesNotExcuse) {
  Finding f = Off("body.balance", 9, 1);
  f.figure = "bert";
  const Critique c = Rank({}, {Figure("anna", {"body.balance"}), Figure("bert")}, {f});
  EXPECT_THAT(Ids(c.first), ElementsAre("body.balance"));
}

TEST(Rank, OneFaultInManyPlacesLeavesRoomForOthers) {
  const Critique c = Rank({}, {Figure("anna")},
                          {Off("picture.tangent", 9, 1), Off("picture.tangent", 8, 1), Off("picture.tangent", 7, 1),
                           Off("body.balance", 5, 1), Off("body.spine", 4, 1)});
  EXPECT_THAT(Ids(c.first), ElementsAre("picture.tangent", "body.balance", "body.spine"));
  EXPECT_THAT(Ids(c.rest), ElementsAre("picture.tangent", "picture.tangent"));
  // With nothing else waiting they may fill the three.
  const Critique only = Rank({}, {Figure("anna")}, {Off("a.t", 9, 1), Off("a.t", 8, 1)});
  EXPECT_THAT(Ids(only.first), ElementsAre("a.t", "a.t"));
}

TEST(Rank, TheGateHoldsLaterStagesBack) {
  Finding late = Off("line.gaps", 9, 1, Kind::kCraft);
  late.stage = Stage::kLine;
  const Critique c = Rank({}, {Figure("anna")}, {late, Off("body.balance", 2, 5)}, Stage::kSketch);
  EXPECT_THAT(Ids(c.first), ElementsAre("body.balance"));
  EXPECT_EQ(c.held_back, 1);
  EXPECT_EQ(c.All().size(), 1u);
}

TEST(Rank, EveryFindingIsInExactlyOneList) {
  std::vector<Finding> all;
  int at = 0;
  for (const Kind kind : {Kind::kConstruction, Kind::kCanon, Kind::kCraft, Kind::kTaste, Kind::kKeep})
    for (const Verdict verdict : {Verdict::kOff, Verdict::kClear, Verdict::kCannotTell}) {
      Finding f = Off("x." + std::to_string(at++), 1, 1, kind);
      f.verdict = verdict;
      all.push_back(f);
    }
  const Critique c = Rank({}, {Figure("anna")}, all);
  std::vector<std::string> ids;
  for (const Finding* f : c.All()) ids.push_back(f->id);
  std::sort(ids.begin(), ids.end());
  EXPECT_EQ(ids.size(), all.size());
  EXPECT_EQ(std::unique(ids.begin(), ids.end()), ids.end());
}

TEST(Rank, EqualWorthIsSettledTheSameWayInAnyOrderGiven) {
  std::vector<Finding> all = {Off("b", 2, 2), Off("a", 4, 4), Off("c", 1, 1, Kind::kCanon), Off("d", 3, 3)};
  const std::vector<std::string> expected = {"a", "b", "d", "c"};
  std::sort(all.begin(), all.end(), [](const Finding& x, const Finding& y) { return x.id < y.id; });
  do {
    const Critique c = Rank({}, {Figure("anna")}, all);
    std::vector<std::string> ids = Ids(c.first);
    for (const Finding& f : c.rest) ids.push_back(f.id);
    ASSERT_EQ(ids, expected);
  } while (std::next_permutation(all.begin(), all.end(), [](const Finding& x, const Finding& y) { return x.id < y.id; }));
}

TEST(Rank, NumbersThatAreNotFiniteDoNotUpsetTheOrder) {
  Finding nan = Off("a.nan", std::numeric_limits<double>::quiet_NaN(), 1);
  Finding open = nan;
  open.verdict = Verdict::kCannotTell;
  const Critique c = Rank({}, {}, {nan, Off("a.real", 1, std::numeric_limits<double>::infinity()), open});
  EXPECT_THAT(Ids(c.first), ElementsAre("a.real", "a.nan"));
  EXPECT_EQ(c.cannot_tell.front().gain, 0.0);
}

TEST(Covers, ALargerPartCoversItsOwnPartsInTheSameDirection) {
  EXPECT_TRUE(Covers(Length("body.legs.length", 1.2), Length("body.thigh_l.length", 1.1)));
  EXPECT_TRUE(Covers(Length("body.legs.length", 1.2), Length("body.shins.length", 1.1)));
  EXPECT_TRUE(Covers(Length("body.thighs.length", 1.2), Length("body.thigh_r.length", 1.1)));
  EXPECT_TRUE(Covers(Length("body.arm_r.length", 0.8), Length("body.forearm_r.length", 0.9)));
  EXPECT_FALSE(Covers(Length("body.legs.length", 1.2), Length("body.thigh_l.length", 0.9)));
  EXPECT_FALSE(Covers(Length("body.thigh_l.length", 1.2), Length("body.legs.length", 1.1)));
  EXPECT_FALSE(Covers(Length("body.leg_l.length", 1.2), Length("body.thigh_r.length", 1.1)));
  EXPECT_FALSE(Covers(Length("body.legs.length", 1.2), Length("body.upper_arm_l.length", 1.1)));
  EXPECT_FALSE(Covers(Length("body.legs.length", 1.2), Length("body.head.size", 1.1)));
  EXPECT_FALSE(Covers(Length("body.legs.length", 1.2), Length("body.legs.length", 1.2)));
  Finding other = Length("body.thigh_l.length", 1.1);
  other.figure = "bert";
  EXPECT_FALSE(Covers(Length("body.legs.length", 1.2), other));
}

TEST(Covers, UnequalSidesFollowFromOneWrongSide) {
  EXPECT_TRUE(Covers(Length("body.forearm_l.length", 1.2), Length("body.pair.arms", 1.1)));
  EXPECT_FALSE(Covers(Length("body.arms.length", 1.2), Length("body.pair.arms", 1.1)));
  EXPECT_FALSE(Covers(Length("body.forearms.length", 1.2), Length("body.pair.arms", 1.1)));
  EXPECT_FALSE(Covers(Length("body.forearm_l.length", 1.2), Length("body.pair.legs", 1.1)));
  EXPECT_TRUE(Covers(Length("body.shins.length", 1.2), Length("body.legs.segments", 1.1)));
  EXPECT_FALSE(Covers(Length("body.legs.length", 1.2), Length("body.legs.segments", 1.1)));
}

TEST(Rank, CoveredFaultsTakeNoPlaceAndNameTheWidestParent) {
  const Critique c = Rank({}, {Figure("anna")},
                          {Length("body.thigh_l.length", 1.3), Length("body.thighs.length", 1.2),
                           Length("body.legs.length", 1.15), Off("body.balance", 1, 10)});
  EXPECT_THAT(Ids(c.first), ElementsAre("body.legs.length", "body.balance"));
  ASSERT_EQ(c.covered.size(), 2u);
  for (const CoveredFinding& f : c.covered) {
    EXPECT_EQ(f.parent, "body.legs.length");
    EXPECT_EQ(c.ParentOf(f.finding), "body.legs.length");
  }
  EXPECT_EQ(c.ParentOf(c.first.front()), "");
}

// The limbs' own answer is worth more by the minute, and still it is the narrower one.
TEST(Rank, LightFromTwoPlacesIsOneFault) {
  const Finding forms = Off("value.light", 5, 35, Kind::kCraft), limbs = Off("value.light.parts", 4, 10, Kind::kCraft);
  const Critique c = Rank({}, {Figure("anna")}, {limbs, forms});
  EXPECT_THAT(Ids(c.first), ElementsAre("value.light"));
  EXPECT_THAT(c.rest, IsEmpty());
  ASSERT_EQ(c.covered.size(), 1u);
  EXPECT_EQ(c.covered.front().finding.id, "value.light.parts");
  EXPECT_EQ(c.covered.front().parent, "value.light");
  // The picture's answer is about several figures, or the limbs' stands alone: each is its own fault.
  Finding of_all = forms;
  of_all.figure.clear();
  EXPECT_THAT(Ids(Rank({}, {Figure("anna"), Figure("bert")}, {limbs, of_all}).first), ElementsAre("value.light.parts", "value.light"));
  EXPECT_THAT(Ids(Rank({}, {Figure("anna")}, {limbs}).first), ElementsAre("value.light.parts"));
  EXPECT_FALSE(Covers(limbs, forms));
  EXPECT_FALSE(Covers(forms, Off("value.pillow", 1, 1)));
}

}  // namespace
}  // namespace armslength
