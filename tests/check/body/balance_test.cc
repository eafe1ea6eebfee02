#include <gtest/gtest.h>

#include "check/body/balance.h"
#include "check/body/body_checks.h"
#include "check/body/scene.h"
#include "check/body/segment_masses.h"

namespace armslength {
namespace {

using testing::Find;
using testing::Scene;
using P = PointId;

// Segment masses after Dempster 1955 in Winter, Biomechanics and Motor Control of Human
// Movement (4th ed. 2009), Table 4.1, typed in from memory a second time.
TEST(SegmentMasses, AddUpToOneBody) {
  const SegmentTable& t = kSegmentTable;
  EXPECT_DOUBLE_EQ(t.head_neck.mass, 0.081);
  EXPECT_DOUBLE_EQ(t.trunk.mass, 0.497);
  EXPECT_DOUBLE_EQ(t.thigh.mass, 0.100);
  EXPECT_DOUBLE_EQ(t.shin.mass, 0.0465);
  EXPECT_DOUBLE_EQ(t.foot.mass, 0.0145);
  EXPECT_DOUBLE_EQ(t.upper_arm.mass + t.forearm.mass + t.hand.mass, 0.050);  // "total arm", same table
  EXPECT_DOUBLE_EQ(t.thigh.mass + t.shin.mass + t.foot.mass, 0.161);         // "total leg", same table
  double sum = 0.0;
  for (const double share : MassShares()) sum += share;
  EXPECT_NEAR(sum, 1.0, 1e-12);
}

// By hand, heights in stature (Drillis & Contini in Winter 2009, Fig. 4.1):
//   head and neck: middle of 0.870 and 1.000 = 0.935;   0.081 * 0.935    = 0.075735
//   trunk: middle of 0.530 and 0.818 = 0.674;           0.497 * 0.674    = 0.334978
//   upper arms: 0.818 - 0.436 * 0.186 = 0.736904;   2 * 0.028 * 0.736904 = 0.041267
//   forearms:   0.632 - 0.430 * 0.146 = 0.569220;   2 * 0.016 * 0.569220 = 0.018215
//   hands:      0.486 - 0.253 * 0.108 = 0.458676;   2 * 0.006 * 0.458676 = 0.005504
//   thighs:     0.530 - 0.433 * 0.245 = 0.423915;   2 * 0.100 * 0.423915 = 0.084783
//   shins:      0.285 - 0.433 * 0.246 = 0.178482;   2 * 0.0465 * 0.178482 = 0.016599
//   feet:       0.039 - 0.4 * 0.039 = 0.0234;       2 * 0.0145 * 0.0234  = 0.000679
//   together                                                               0.577760
TEST(SegmentMasses, UprightCentreIsWhereTheTablePutsIt) {
  Scene scene;
  const Vec3 centre = CentreOfMass(scene.joints);
  EXPECT_NEAR(0.530 - centre.y(), 0.577760, 1e-5);
  EXPECT_NEAR(centre.x(), 0.0, 1e-12);
  // A standing adult's centre of mass lies at 0.55 to 0.58 of the stature (textbook range, from memory).
  EXPECT_GT(0.530 - centre.y(), 0.55);
  EXPECT_LT(0.530 - centre.y(), 0.58);
}

// One arm stretched out sideways moves the centre by its share alone: upper arm's middle by
// 0.436 * 0.186, forearm's by 0.186 + 0.430 * 0.146, hand's by 0.332 + 0.253 * 0.108.
TEST(SegmentMasses, AnArmStretchedOutMovesTheCentreByHand) {
  Scene scene;
  scene.Turn(testing::kLeftArm, scene[P::kShoulderL], Vec3::UnitZ(), -90.0);
  ASSERT_GT(scene[P::kWristL].x(), 0.4);
  const double by_hand = 0.028 * 0.081096 + 0.016 * (0.186 + 0.06278) + 0.006 * (0.332 + 0.027324);
  EXPECT_NEAR(CentreOfMass(scene.joints).x(), by_hand, 1e-9);
}

TEST(Balance, UprightOnBothFeetIsClear) {
  Scene scene;
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  const Finding* f = Find(findings, "body.balance");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->verdict, Verdict::kClear) << f->title << ". " << f->why;
  EXPECT_EQ(testing::CountOff(findings), 0);
  // Outer edge of a foot: ankle at 0.080, half of the breadth 0.055 beyond, at the ball. In foot lengths of 0.152.
  ASSERT_TRUE(f->measured);
  EXPECT_NEAR(*f->measured, -100.0 * (0.080 + 0.0275) / 0.152, 0.5);
}

// Leaning stiffly to picture right about the ankles by a. The hip-high centre then plumbs
// sin(a) times its height over the ankles to the side: 0.577760 - 0.039 = 0.53876, less the
// small share of the feet, which stay.
TEST(Balance, AStiffLeanFallsByHandComputedShare) {
  for (const double side : {1.0, -1.0}) {
    Scene scene;
    const double angle = 22.0;
    std::vector<P> above;
    for (int i = 0; i < kBodyPointCount; ++i) {
      const auto id = static_cast<P>(i);
      if (id != P::kAnkleL && id != P::kAnkleR && id != P::kToeL && id != P::kToeR) above.push_back(id);
    }
    scene.Turn(above, {0.0, 0.530 - 0.039, 0.0}, Vec3::UnitZ(), side * angle);
    const auto findings = CheckBody(scene.Marks(), scene.Reading());
    const Finding* f = Find(findings, "body.balance");
    ASSERT_NE(f, nullptr);
    ASSERT_EQ(f->verdict, Verdict::kOff) << f->title << ". " << f->why;
    EXPECT_EQ(f->kind, Kind::kConstruction);
    // Shares of ankle and toe stay behind; everything else turns.
    const auto share = MassShares();
    double lift = 0.0;
    Scene upright;
    for (const P id : above) lift += share[static_cast<std::size_t>(id)] * (0.530 - 0.039 - upright[id].y());
    const double plumb = lift * std::sin(angle * std::numbers::pi / 180.0);
    // Outer edge of the foot: from the ball, 0.45 foot length before the ankle and half of
    // the breadth 0.055 out, to the heel, a quarter behind and 0.7 of that half out.
    const Vec2 ball(0.080 + 0.0275, -0.45 * 0.152), heel(0.080 + 0.7 * 0.0275, 0.25 * 0.152);
    const Vec2 normal = Vec2((heel - ball).y(), -(heel - ball).x()).normalized();
    const Vec2 weight(plumb, CentreOfMass(scene.joints).z());
    // Told along the surest direction, between straight across and square to that edge.
    EXPECT_GE(*f->measured, 100.0 * (plumb - ball.x()) / 0.152 - 0.5);
    EXPECT_LE(*f->measured, 100.0 * (weight - ball).dot(normal) / 0.152 + 0.5);
    EXPECT_NEAR(*f->measured, 63.5, 3.0);
    EXPECT_NE(f->title.find(side > 0 ? "right" : "left"), std::string::npos) << f->title;
    ASSERT_FALSE(f->guides.empty());
    EXPECT_LE(f->guides.size(), 7U);
    EXPECT_GT(f->remedy.minutes, 0.0);
    EXPECT_FALSE(f->source.empty());
  }
}

TEST(Balance, DeclaredAsMeantIsMarkedSo) {
  Scene scene;
  std::vector<P> above(testing::kUpperBody);
  for (const P id : {P::kHipL, P::kHipR, P::kKneeL, P::kKneeR}) above.push_back(id);
  scene.Turn(above, {0.0, 0.530 - 0.039, 0.0}, Vec3::UnitZ(), 22.0);
  scene.meant = {"body.balance"};
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  const Finding* f = Find(findings, "body.balance");
  ASSERT_NE(f, nullptr);
  EXPECT_TRUE(f->meant);
}

TEST(Balance, SittingIsNotAsked) {
  Scene scene;
  for (const auto& [leg, hip, knee] : {std::tuple{testing::kLeftLeg, P::kHipL, P::kKneeL}, {testing::kRightLeg, P::kHipR, P::kKneeR}}) {
    scene.Turn(leg, scene[hip], Vec3::UnitX(), -90.0);   // thighs towards the viewer
    scene.Turn({leg[1], leg[2]}, scene[knee], Vec3::UnitX(), 90.0);
  }
  ASSERT_LT(scene[P::kKneeL].z(), -0.2);
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  const Finding* f = Find(findings, "body.balance");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->verdict, Verdict::kCannotTell);
  EXPECT_NE(f->why.find("sits"), std::string::npos) << f->why;
}

TEST(Balance, DoubtfulMarksCannotTell) {
  Scene scene;
  std::vector<P> above(testing::kUpperBody);
  for (const P id : {P::kHipL, P::kHipR, P::kKneeL, P::kKneeR}) above.push_back(id);
  scene.Turn(above, {0.0, 0.530 - 0.039, 0.0}, Vec3::UnitZ(), 22.0);
  scene.sigma_stature = 0.05;
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  const Finding* f = Find(findings, "body.balance");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->verdict, Verdict::kCannotTell);
  EXPECT_FALSE(f->ask.empty());
}

// A doubt wider than the foot is no number: it is said in words.
TEST(Balance, WhatIsOpenByMoreThanAFootHasNoNumber) {
  for (const double lean_deg : {0.0, 22.0}) {
    Scene scene;
    std::vector<P> above(testing::kUpperBody);
    for (const P id : {P::kHipL, P::kHipR, P::kKneeL, P::kKneeR}) above.push_back(id);
    scene.Turn(above, {0.0, 0.530 - 0.039, 0.0}, Vec3::UnitZ(), lean_deg);
    scene.sigma_stature = 0.25;
    const auto findings = CheckBody(scene.Marks(), scene.Reading());
    const Finding* f = Find(findings, "body.balance");
    ASSERT_NE(f, nullptr);
    EXPECT_EQ(f->verdict, Verdict::kCannotTell);
    EXPECT_EQ(f->why.find_first_of("0123456789%"), std::string::npos) << f->why;
  }
}

TEST(Footing, OutsideAlongIsDistanceToTheHull) {
  const std::vector<Vec2> square = {{-1, -1}, {1, -1}, {1, 1}, {-1, 1}};
  EXPECT_DOUBLE_EQ(body_check::OutsideAlong(square, {3, 0}, {1, 0}), 2.0);
  EXPECT_DOUBLE_EQ(body_check::OutsideAlong(square, {0, 0}, {0, 1}), -1.0);
}

}  // namespace
}  // namespace armslength
