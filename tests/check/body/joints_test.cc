#include <gtest/gtest.h>

#include "check/body/body_checks.h"
#include "check/body/scene.h"

namespace armslength {
namespace {

using testing::Find;
using testing::Scene;
using P = PointId;

const std::vector<P> kLeftForearm = {P::kWristL, P::kHandTipL};
const std::vector<P> kLeftShin = {P::kAnkleL, P::kToeL};

Scene WithElbow(double degrees) {
  Scene scene;
  scene.sigma_stature = 0.001;
  scene.depth_sd = 0.004;
  scene.Turn(kLeftForearm, scene[P::kElbowL], Vec3::UnitZ(), -degrees);  // in the picture plane, outwards
  return scene;
}

// Elbow flexion: 150 deg AAOS handbook norm, 145 in 38 CFR 4.71 Plate I, 143 in Boone & Azen 1979.
TEST(Joints, NormalElbowsAreInRange) {
  for (const double bend : {0.0, 60.0, 120.0, 143.0, 150.0}) {
    Scene scene = WithElbow(bend);
    const auto findings = CheckBody(scene.Marks(), scene.Reading());
    EXPECT_EQ(Find(findings, "body.joint.elbow_l"), nullptr) << bend;
    ASSERT_NE(Find(findings, "body.joints"), nullptr);
    EXPECT_EQ(Find(findings, "body.joints")->verdict, Verdict::kClear);
  }
}

TEST(Joints, AnElbowFoldedPastItsRangeIsOff) {
  Scene scene = WithElbow(174.0);
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  const Finding* f = Find(findings, "body.joint.elbow_l");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->verdict, Verdict::kOff);
  EXPECT_EQ(f->kind, Kind::kConstruction);
  EXPECT_NEAR(*f->measured, 174.0, 0.5);
  EXPECT_DOUBLE_EQ(*f->expected, 150.0);
  EXPECT_EQ(Find(findings, "body.joint.elbow_r"), nullptr);
  EXPECT_EQ(Find(findings, "body.joints"), nullptr);
  // The target opens the elbow: its wrist is further from the shoulder than the drawn one.
  ASSERT_GE(f->guides.size(), 2U);
  const Vec2 shoulder = scene.Reading().JointPx(P::kShoulderL);
  EXPECT_GT((f->guides[1].points[1] - shoulder).norm(), (f->guides[0].points[1] - shoulder).norm());
}

TEST(Joints, TheMirroredFigureHasTheMirroredFault) {
  Scene scene = WithElbow(174.0);
  Scene mirrored = scene;
  for (int i = 0; i < kBodyPointCount; ++i) {
    const auto id = static_cast<P>(i);
    Vec3 at = scene[id];
    at.x() = -at.x();
    mirrored[Mirrored(id)] = at;
  }
  const auto findings = CheckBody(mirrored.Marks(), mirrored.Reading());
  const Finding* f = Find(findings, "body.joint.elbow_r");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->verdict, Verdict::kOff);
  EXPECT_NEAR(*f->measured, 174.0, 0.5);
  EXPECT_EQ(Find(findings, "body.joint.elbow_l"), nullptr);
}

// A fold that depth can open is no contradiction: the same picture, forearm tilted.
TEST(Joints, WhatDepthCanExplainIsNotOff) {
  Scene scene = WithElbow(174.0);
  // Foreshortened: the forearm runs 60 degrees into depth, so the elbow may be open.
  const Vec3 elbow = scene[P::kElbowL];
  for (const P id : kLeftForearm) {
    const Vec3 along = scene[id] - elbow;
    scene[id] = elbow + Vec3(along.x() * 0.5, along.y() * 0.5, along.norm() * 0.866);
  }
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  const Finding* f = Find(findings, "body.joint.elbow_l");
  if (f != nullptr) {
    EXPECT_NE(f->verdict, Verdict::kOff);
  }
}

// In profile. Knee extension past straight: 0.5 to 5.4 deg on average by age and sex, Soucie et al. 2011 (CDC).
Scene Profile(double knee_forward) {
  Scene scene;
  scene.TurnAll(Vec3::UnitY(), -90.0);
  const double forward = scene[P::kToeL].x() - scene[P::kAnkleL].x();
  // Positive: the ankle moves to the toes' side.
  scene.Turn(kLeftShin, scene[P::kKneeL], Vec3::UnitZ(), (forward > 0 ? -1.0 : 1.0) * knee_forward);
  return scene;
}

TEST(Joints, AKneeBentForwardsIsTheWrongWay) {
  Scene scene = Profile(32.0);
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  const Finding* f = Find(findings, "body.joint.knee_l.backwards");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->verdict, Verdict::kOff) << f->title << ". " << f->why;
  EXPECT_NEAR(*f->measured, 32.0, 1.0);
  EXPECT_EQ(Find(findings, "body.joint.knee_r.backwards"), nullptr);
}

TEST(Joints, AKneeBentTheUsualWayOrSwayBackIsNot) {
  for (const double knee : {-90.0, -30.0, 0.0, 5.4}) {
    Scene scene = Profile(knee);
    EXPECT_EQ(Find(CheckBody(scene.Marks(), scene.Reading()), "body.joint.knee_l.backwards"), nullptr) << knee;
  }
}

TEST(Joints, UnconfirmedMarksOnlyAsk) {
  Scene scene = WithElbow(174.0);
  scene.proposed = {P::kWristL};
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  const Finding* f = Find(findings, "body.joint.elbow_l");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->verdict, Verdict::kCannotTell);
  EXPECT_NE(f->ask.find("left wrist"), std::string::npos) << f->ask;
}

TEST(Joints, CoarseMarksCannotTell) {
  Scene scene = WithElbow(174.0);
  scene.sigma_stature = 0.01;
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  const Finding* f = Find(findings, "body.joint.elbow_l");
  if (f != nullptr) {
    EXPECT_EQ(f->verdict, Verdict::kCannotTell);
  }
}

// An upper arm pointing straight back; the norm is 60 deg (AAOS).
TEST(Joints, AnArmStraightBackIsOff) {
  Scene scene;
  scene.depth_sd = 0.003;
  scene.TurnAll(Vec3::UnitY(), -90.0);
  const double forward = scene[P::kToeL].x() - scene[P::kAnkleL].x();
  scene.Turn(testing::kLeftArm, scene[P::kShoulderL], Vec3::UnitZ(), (forward > 0 ? 1.0 : -1.0) * 95.0);
  ASSERT_LT((scene[P::kElbowL].x() - scene[P::kShoulderL].x()) * forward, 0.0);
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  const Finding* f = Find(findings, "body.joint.shoulder_l");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->verdict, Verdict::kOff) << f->why;
  EXPECT_NEAR(*f->measured, 95.0, 1.0);
}

TEST(Joints, AnArmForwardsOrOverheadIsFine) {
  for (const double turn : {30.0, 90.0, 170.0}) {
    Scene scene;
    scene.depth_sd = 0.003;
    scene.TurnAll(Vec3::UnitY(), -90.0);
    const double forward = scene[P::kToeL].x() - scene[P::kAnkleL].x();
    scene.Turn(testing::kLeftArm, scene[P::kShoulderL], Vec3::UnitZ(), (forward > 0 ? -1.0 : 1.0) * turn);
    EXPECT_EQ(Find(CheckBody(scene.Marks(), scene.Reading()), "body.joint.shoulder_l"), nullptr) << turn;
  }
}

}  // namespace
}  // namespace armslength
