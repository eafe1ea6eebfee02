#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "check/body/body_checks.h"
#include "check/body/scene.h"

namespace armslength {
namespace {

using testing::Find;
using testing::Scene;
using B = BoneId;
using P = PointId;
using ::testing::HasSubstr;
using ::testing::Not;

const std::vector<B> kLegs = {B::kThighL, B::kThighR, B::kShinL, B::kShinR};

LengthHypothesis Hypothesis(std::string id, std::vector<B> bones, double factor, double low, double high) {
  LengthHypothesis h;
  h.id = std::move(id);
  h.bones = std::move(bones);
  h.factor = factor;
  h.factor_low = low;
  h.factor_high = high;
  h.evidence = 14.2;
  return h;
}

LengthHypothesis LongLegs() {
  LengthHypothesis h = Hypothesis("body.legs.length", kLegs, 1.21, 1.16, 1.26);
  h.off = true;
  return h;
}

TEST(Lengths, LongLegsAreToldInWordsAndOnce) {
  Scene scene;
  auto thighs = Hypothesis("body.thighs.length", {B::kThighL, B::kThighR}, 1.19, 1.1, 1.3);
  auto left = Hypothesis("body.leg_l.length", {B::kThighL, B::kShinL}, 1.2, 1.1, 1.3);
  auto head = Hypothesis("body.head.size", {B::kHead}, 0.99, 0.95, 1.04);
  head.cleared = true;
  head.smallest_long = 1.12;
  auto torso = Hypothesis("body.torso.length", {B::kTrunk}, 0.97, 0.8, 1.1);
  scene.hypotheses = {LongLegs(), thighs, left, head, torso};
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  EXPECT_EQ(testing::CountOff(findings), 1);
  const Finding* f = Find(findings, "body.legs.length");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->verdict, Verdict::kOff);
  EXPECT_EQ(f->kind, Kind::kCanon);
  EXPECT_EQ(f->title, "Legs too long: drawn 1.21 times the canon's length (1.16 to 1.26)");
  EXPECT_DOUBLE_EQ(*f->measured, 1.21);
  EXPECT_DOUBLE_EQ(*f->expected, 1.0);
  EXPECT_EQ(f->unit, "ratio");
  // Half of a 95 % interval is 1.96 spreads, in the logarithm.
  EXPECT_NEAR(*f->sd, 1.21 * std::log(1.26 / 1.16) / (2 * 1.96), 1e-4);
  EXPECT_EQ(f->test, "2 ln Bayes factor");
  EXPECT_DOUBLE_EQ(*f->evidence, 14.2);
  EXPECT_EQ(Find(findings, "body.thighs.length"), nullptr);
  EXPECT_EQ(Find(findings, "body.leg_l.length"), nullptr);
  // More than 15 %: redrawn over a guide, not scaled.
  EXPECT_EQ(f->remedy.way, RemedyWay::kGuide);
  EXPECT_GT(f->gain, 5.0);
  const Finding* h = Find(findings, "body.head.size");
  ASSERT_NE(h, nullptr);
  EXPECT_EQ(h->verdict, Verdict::kClear);
  EXPECT_DOUBLE_EQ(*h->smallest_visible, 1.12);
  const Finding* t = Find(findings, "body.torso.length");
  ASSERT_NE(t, nullptr);
  EXPECT_EQ(t->verdict, Verdict::kCannotTell);
}

TEST(Lengths, TheGuideShortensTheLegsAlongTheirOwnDirections) {
  Scene scene;
  scene.hypotheses = {LongLegs()};
  const BodyReading reading = scene.Reading();
  const auto findings = CheckBody(scene.Marks(), reading);
  const Finding* f = Find(findings, "body.legs.length");
  ASSERT_NE(f, nullptr);
  EXPECT_LE(f->guides.size(), 7U);
  int targets = 0;
  for (const GuideShape& shape : f->guides) {
    if (shape.role == GuideShape::Role::kArrow) {
      EXPECT_EQ(shape.label, "-17 %");  // 1 / 1.21 - 1
    }
    if (shape.role != GuideShape::Role::kTarget) continue;
    ++targets;
    ASSERT_EQ(shape.points.size(), 3U);  // hip, knee, ankle
    const bool left = shape.points[0].x() > 800.0;
    EXPECT_NEAR((shape.points[0] - reading.JointPx(left ? P::kHipL : P::kHipR)).norm(), 0.0, 1e-9);
    const double drawn = (reading.JointPx(left ? P::kAnkleL : P::kAnkleR) - shape.points[0]).norm();
    EXPECT_NEAR((shape.points[2] - shape.points[0]).norm(), drawn / 1.21, 1e-6);
  }
  EXPECT_EQ(targets, 2);
}

// 7.69 heads of the average adult with a head drawn 1.2 times as big: 6.69 / 1.2 + 1 = 6.58 heads.
TEST(Lengths, ABigHeadIsAlsoToldInHeads) {
  Scene scene;
  auto head = Hypothesis("body.head.size", {B::kHead}, 1.2, 1.12, 1.28);
  head.off = true;
  scene.hypotheses = {head};
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  const Finding* f = Find(findings, "body.head.size");
  ASSERT_NE(f, nullptr);
  EXPECT_THAT(f->title, HasSubstr("Head too big"));
  EXPECT_THAT(f->title, HasSubstr("drawn 6.6 heads tall"));
  EXPECT_THAT(f->title, HasSubstr("the canon says 7.7"));
}

TEST(Lengths, WithoutACanonLongLegsAreAnObservation) {
  Scene scene;
  scene.declared = false;
  scene.hypotheses = {LongLegs()};
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  const Finding* f = Find(findings, "body.legs.length");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->kind, Kind::kTaste);
  EXPECT_THAT(f->title, Not(HasSubstr("too long")));
  const Finding* canon = Find(findings, "body.canon");
  ASSERT_NE(canon, nullptr);
  EXPECT_EQ(canon->verdict, Verdict::kCannotTell);
  EXPECT_FALSE(canon->ask.empty());
}

TEST(Lengths, WhatNoCanonAllowsIsConstruction) {
  Scene scene;
  scene.declared = false;
  auto legs = Hypothesis("body.legs.length", kLegs, 2.4, 2.3, 2.5);
  legs.off = true;
  scene.hypotheses = {legs};
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  const Finding* f = Find(findings, "body.legs.length");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->kind, Kind::kConstruction);
}

TEST(Lengths, OneLimbAloneIsConstructionInAnyStyle) {
  for (const bool declared : {true, false}) {
    Scene scene;
    scene.declared = declared;
    auto arm = Hypothesis("body.forearm_l.length", {B::kForearmL}, 1.3, 1.2, 1.4);
    arm.off = true;
    auto pair = Hypothesis("body.pair.arms", {B::kUpperArmL, B::kUpperArmR, B::kForearmL, B::kForearmR}, 1.1, 1.0, 1.2);
    scene.hypotheses = {arm, pair};
    const auto findings = CheckBody(scene.Marks(), scene.Reading());
    const Finding* f = Find(findings, "body.forearm_l.length");
    ASSERT_NE(f, nullptr);
    EXPECT_EQ(f->kind, Kind::kConstruction);
    EXPECT_THAT(f->title, HasSubstr("Left forearm too long"));
    EXPECT_EQ(testing::CountOff(findings), 1);
    EXPECT_EQ(Find(findings, "body.pair.arms"), nullptr);  // told once
  }
}

TEST(Lengths, PairsAreLeftOverRight) {
  Scene scene;
  auto pair = Hypothesis("body.pair.legs", {B::kThighL, B::kThighR, B::kShinL, B::kShinR}, 1.01, 0.97, 1.05);
  pair.cleared = true;
  pair.smallest_long = 1.09;
  scene.hypotheses = {pair};
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  const Finding* f = Find(findings, "body.pair.legs");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->verdict, Verdict::kClear);
  EXPECT_EQ(f->title, "Left and right of the legs match");
  EXPECT_EQ(Find(findings, "body.legs.length"), nullptr);
}

TEST(Lengths, WithinToleranceIsClearThoughMeasurable) {
  Scene scene;
  auto legs = Hypothesis("body.legs.length", kLegs, 1.04, 1.03, 1.05);
  legs.off = true;
  scene.hypotheses = {legs};
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  const Finding* f = Find(findings, "body.legs.length");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->verdict, Verdict::kClear);
}

TEST(Lengths, ProposedMarksNeverMakeItOff) {
  Scene scene;
  scene.hypotheses = {LongLegs()};
  scene.proposed = {P::kKneeL, P::kAnkleL, P::kWristR};
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  const Finding* f = Find(findings, "body.legs.length");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->verdict, Verdict::kCannotTell);
  EXPECT_THAT(f->ask, HasSubstr("left knee and left ankle"));
  EXPECT_THAT(f->ask, Not(HasSubstr("wrist")));
}

TEST(Lengths, CannotTellAsksForTheMarkThatHelps) {
  Scene scene;
  auto torso = Hypothesis("body.torso.length", {B::kTrunk}, 1.0, 0.7, 1.2);
  torso.smallest_long = 1.3;
  scene.hypotheses = {torso};
  BodyReading reading = scene.Reading();
  reading.helpful = {{"wrist_l", "Mark the left wrist.", "body.arms.length", 0.3},
                     {"head_top", "Mark the top of the skull under the hair.", "body.torso.length", 0.2}};
  const auto findings = CheckBody(scene.Marks(), reading);
  const Finding* f = Find(findings, "body.torso.length");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->ask, "Mark the top of the skull under the hair.");
  EXPECT_THAT(f->why, HasSubstr("30 % too long"));
}

TEST(Marks, AMisplacedMarkIsCheckedNotBlamed) {
  Scene scene;
  BodyReading reading = scene.Reading();
  reading.misplaced = MisplacedMark{P::kElbowR, 21.0, 60.0, {700.0, 800.0}};
  const auto findings = CheckBody(scene.Marks(), reading);
  const Finding* f = Find(findings, "body.marks.misplaced");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->title, "Check the mark at the right elbow");
  EXPECT_EQ(f->unit, "% of stature");
  EXPECT_DOUBLE_EQ(*f->measured, 6.0);  // 60 px of 1000 px per stature
  EXPECT_EQ(f->remedy.minutes, 0.0);
  EXPECT_EQ(f->remedy.way, RemedyWay::kLeave);
}

TEST(Reading, UnusableSaysWhy) {
  Scene scene;
  BodyReading reading = scene.Reading();
  reading.usable = false;
  reading.why_not = "Too few marks.";
  const auto findings = CheckBody(scene.Marks(), reading);
  ASSERT_EQ(findings.size(), 1U);
  EXPECT_EQ(findings[0].id, "body.reading");
  EXPECT_EQ(findings[0].verdict, Verdict::kCannotTell);
  EXPECT_EQ(findings[0].why, "Too few marks.");
}

}  // namespace
}  // namespace armslength
