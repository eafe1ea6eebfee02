#include "reading/learn/learn_head.h"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "reading/head/head_reading.h"
#include "synth/head_figure.h"

namespace armslength {
namespace {

using testing::ElementsAre;
using testing::HasSubstr;

CanonExample Drawing(unsigned character, unsigned seed, double turn) {
  SynthHeadOptions o;
  o.character = 420'000 + character;
  o.seed = 520'000 + seed;
  o.yaw_deg = turn;
  CanonExample e{"d" + std::to_string(seed) + ".marks.json", MakeHead(o).marks};
  e.marks.name = "mara";
  return e;
}

TEST(LearnHead, FiguresWithoutAFaceTeachNothing) {
  CanonExample body{"body.marks.json", {}};
  body.marks.points[PointId::kCrown] = {10, 10};
  body.marks.points[PointId::kChin] = {10, 60};
  body.marks.points[PointId::kHipL] = {20, 200};
  const auto none = LearnHead(std::vector<CanonExample>{body});
  ASSERT_TRUE(none) << none.error().Text();
  EXPECT_FALSE(none->has_value());
  EXPECT_FALSE(HasFaceMarks(body.marks));
  EXPECT_TRUE(HasBodyMarks(body.marks));
}

// The drawings of one head give its true proportions; the generator's solid is the outside truth.
TEST(LearnHead, OneCharactersDrawingsGiveItsProportions) {
  std::vector<CanonExample> drawings = {Drawing(1, 1, 0), Drawing(1, 2, 25), Drawing(1, 3, -40)};
  drawings[1].marks.features = {{"scar", true, {}}, {"earring", true, {}}};
  drawings[2].marks.features = {{"scar", false, {}}};
  const auto learned = LearnHead(drawings, {"mara", true});
  ASSERT_TRUE(learned && learned->has_value());
  const HeadProfile& p = (*learned)->profile;
  EXPECT_EQ(p.name, "mara");
  EXPECT_EQ(p.drawings, 3);
  EXPECT_THAT(p.features, ElementsAre("scar", "earring"));
  SynthHeadOptions o;
  o.character = 420'001;
  o.asymmetry = 0;
  const SynthHead truth = MakeHead(o);
  EXPECT_NEAR(p.Mean(HeadParam::kNoseBaseHeight), truth.in_head.at(PointId::kNoseBase).y(), 0.015);
  EXPECT_NEAR(p.Mean(HeadParam::kMouthHeight), truth.in_head.at(PointId::kMouthCentre).y(), 0.015);
  EXPECT_NEAR(p.Mean(HeadParam::kEyeX), 0.5 * (truth.in_head.at(PointId::kEyeLInner).x() + truth.in_head.at(PointId::kEyeLOuter).x()), 0.012);
  EXPECT_THAT(DescribeLearned(**learned), HasSubstr("one character, 3 drawings"));
}

TEST(LearnHead, TooFewHeadsForAStyleSayWhy) {
  CanonExample swapped = Drawing(4, 6, 5);
  std::swap(swapped.marks.points.at(PointId::kEyeLInner), swapped.marks.points.at(PointId::kEyeRInner));
  std::swap(swapped.marks.points.at(PointId::kEyeLOuter), swapped.marks.points.at(PointId::kEyeROuter));
  std::swap(swapped.marks.points.at(PointId::kEyeLTop), swapped.marks.points.at(PointId::kEyeRTop));
  std::swap(swapped.marks.points.at(PointId::kEyeLBottom), swapped.marks.points.at(PointId::kEyeRBottom));
  const auto out = LearnHead(std::vector<CanonExample>{Drawing(2, 4, 0), Drawing(3, 5, 10), swapped});
  ASSERT_FALSE(out);
  EXPECT_EQ(out.error().kind, ErrorKind::kInput);
  EXPECT_THAT(out.error().cause, HasSubstr("d6.marks.json"));
  EXPECT_THAT(out.error().cause, HasSubstr("2 heads can be read"));
  EXPECT_THAT(out.error().remedy, HasSubstr("--one-character"));
}

TEST(LearnHead, AStyleLeavesOutWhatCannotBeRead) {
  std::vector<CanonExample> heads = {Drawing(5, 7, 0), Drawing(6, 8, 15), Drawing(7, 9, -20), Drawing(8, 10, 5)};
  for (PointId id : {PointId::kEyeLInner, PointId::kEyeLOuter, PointId::kEyeLTop, PointId::kEyeLBottom}) heads[3].marks.points.erase(id);
  const auto style = LearnHead(heads, {"mine", false});
  ASSERT_TRUE(style && style->has_value()) << (style ? "" : style.error().Text());
  EXPECT_EQ((*style)->profile.drawings, 3);
  ASSERT_EQ((*style)->left_out.size(), 1u);
  EXPECT_THAT((*style)->left_out[0], HasSubstr("only the right eye is marked"));
  // A style stays open: wider than what one character's drawings pin down.
  EXPECT_GT((*style)->profile.Sd(HeadParam::kEyeHeight), 0.01);
}

}  // namespace
}  // namespace armslength
