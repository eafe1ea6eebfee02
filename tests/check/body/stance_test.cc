#include <cmath>
#include <cstdio>
#include <fstream>
#include <sstream>

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

// Contrapposto as drawing teachers describe it: the hip over the standing leg rises, the
// shoulder over it drops (common practice, no source). Here the left leg carries.
Scene Contrapposto(double hips, double shoulders) {
  Scene scene;
  // Up is -y: the figure's left hip at +x rises with a turn from +x towards -y.
  scene.Turn({P::kHipL, P::kHipR}, {0, 0, 0}, Vec3::UnitZ(), -hips);
  scene.Turn({P::kShoulderL, P::kShoulderR}, scene[P::kNeckPit], Vec3::UnitZ(), shoulders);
  return scene;
}

TEST(Stance, ContrappostoTiltsAgainstEachOther) {
  Scene scene = Contrapposto(7.0, 6.0);
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  const Finding* f = Find(findings, "body.stance.tilt");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->kind, Kind::kKeep);
  EXPECT_THAT(f->why, HasSubstr("Shoulders 6 degrees, the figure's right side higher"));
  EXPECT_THAT(f->why, HasSubstr("hips 7 degrees, the figure's left side higher"));
  EXPECT_NEAR(*f->measured, -13.0, 0.3);  // shoulders less hips, left side up is positive
}

TEST(Stance, TiltsGoWithTheMirror) {
  Scene scene = Contrapposto(7.0, 6.0), mirrored;
  for (int i = 0; i < kBodyPointCount; ++i) {
    const auto id = static_cast<P>(i);
    Vec3 at = scene[id];
    at.x() = -at.x();
    mirrored[Mirrored(id)] = at;
  }
  const auto a = CheckBody(scene.Marks(), scene.Reading()), b = CheckBody(mirrored.Marks(), mirrored.Reading());
  ASSERT_EQ(a.size(), b.size());
  EXPECT_NEAR(*Find(a, "body.stance.tilt")->measured, -*Find(b, "body.stance.tilt")->measured, 1e-6);
  for (const Finding& f : a) {
    const Finding* other = Find(b, f.id);
    ASSERT_NE(other, nullptr) << f.id;
    EXPECT_EQ(other->verdict, f.verdict) << f.id;
  }
}

TEST(Stance, LevelIsStiffAndOnlyAnObservation) {
  Scene scene;
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  const Finding* f = Find(findings, "body.stance.tilt");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->kind, Kind::kTaste);
  EXPECT_EQ(f->verdict, Verdict::kClear);
  EXPECT_THAT(f->why, HasSubstr("stiff"));
  const Finding* line = Find(findings, "body.line_of_action");
  ASSERT_NE(line, nullptr);
  EXPECT_EQ(line->kind, Kind::kTaste);
}

TEST(Stance, ABowedLineIsNotStiff) {
  Scene scene;
  scene.Turn(testing::kUpperBody, {0, 0, 0}, Vec3::UnitZ(), 12.0);
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  const Finding* line = Find(findings, "body.line_of_action");
  ASSERT_NE(line, nullptr);
  EXPECT_EQ(line->title, "Line of action bows");
  EXPECT_GT(*line->measured, 2.0);
}

// Both soles on the floor, the right knee bent, the weight over the left foot: then the left
// hip must be the high one.
Scene WeightOnTheLeft(double hip_tilt_left_up) {
  Scene scene;
  scene.Turn({P::kHipL, P::kHipR}, {0, 0, 0}, Vec3::UnitZ(), -hip_tilt_left_up);
  // The right leg bends towards the viewer, its sole back on the floor by a smaller lift of the hip.
  scene.Turn({P::kKneeR, P::kAnkleR, P::kToeR}, scene[P::kHipR], Vec3::UnitX(), -30.0);
  scene.Turn({P::kAnkleR, P::kToeR}, scene[P::kKneeR], Vec3::UnitX(), 55.0);
  const double lift = 0.491 - scene[P::kAnkleR].y();
  scene[P::kAnkleR].y() += lift;
  scene[P::kToeR] = scene[P::kAnkleR] + Vec3(0, 0.039, -0.115);
  // The body over the left foot.
  for (const P id : testing::kUpperBody) scene[id].x() += 0.09;
  scene[P::kHipL].x() += 0.03;
  scene[P::kHipR].x() += 0.03;
  return scene;
}

TEST(Stance, TheHighHipBelongsOverTheStandingLeg) {
  Scene right_way = WeightOnTheLeft(8.0), wrong = WeightOnTheLeft(-12.0);
  const auto good = CheckBody(right_way.Marks(), right_way.Reading());
  const auto bad = CheckBody(wrong.Marks(), wrong.Reading());
  const Finding* keep = Find(good, "body.stance.high_hip");
  ASSERT_NE(keep, nullptr);
  EXPECT_EQ(keep->kind, Kind::kKeep);
  const Finding* off = Find(bad, "body.stance.high_hip");
  ASSERT_NE(off, nullptr);
  EXPECT_EQ(off->verdict, Verdict::kOff);
  EXPECT_EQ(off->kind, Kind::kConstruction);
  EXPECT_NEAR(*off->measured, 12.0, 0.5);
  // The target brings the free (right) hip down in the picture: larger y.
  ASSERT_GE(off->guides.size(), 2U);
  EXPECT_GT(off->guides[1].points[1].y(), off->guides[0].points[1].y());
}

TEST(Spine, ASideBendNoSpineAllowsIsOff) {
  Scene scene;
  scene.Turn({P::kShoulderL, P::kShoulderR}, scene[P::kNeckPit], Vec3::UnitZ(), 60.0);
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  const Finding* f = Find(findings, "body.spine.side_bend");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->verdict, Verdict::kOff);
  EXPECT_NEAR(*f->measured, 60.0, 1.0);
  // Sideways bending of the spine: 35 deg (standards table in Castori 2012).
  Scene usual;
  usual.Turn({P::kShoulderL, P::kShoulderR}, usual[P::kNeckPit], Vec3::UnitZ(), 35.0);
  EXPECT_EQ(Find(CheckBody(usual.Marks(), usual.Reading()), "body.spine.side_bend"), nullptr);
}

// Foreshortening of a segment in parallel view: drawn over true length is the cosine of its
// angle to the picture; the table also says what 1 % of length does to the angle.
TEST(Foreshortening, FollowsTheTable) {
  std::ifstream file(AL_TEST_DATA "/geometry/foreshortening.csv");
  ASSERT_TRUE(file);
  std::string line;
  int rows = 0;
  while (std::getline(file, line)) {
    if (line.empty() || line[0] == '#' || line.starts_with("angle_deg")) continue;
    std::istringstream row(line);
    double angle = 0.0, ratio = 0.0;
    char comma = 0;
    row >> angle >> comma >> ratio;
    ASSERT_EQ(comma, ',');
    ++rows;
    if (angle < 40.0 || angle > 80.0) continue;  // those the check speaks about
    Scene scene;
    scene.depth = {{B::kForearmL, Depth::kToward}};
    scene.Turn({P::kWristL, P::kHandTipL}, scene[P::kElbowL], Vec3::UnitX(), -angle);
    ASSERT_LT(scene[P::kWristL].z(), 0.0);
    const auto findings = CheckBody(scene.Marks(), scene.Reading());
    const Finding* f = Find(findings, "body.foreshortening");
    ASSERT_NE(f, nullptr) << angle;
    EXPECT_EQ(f->kind, Kind::kKeep);
    char drawn[16], tilt[32];
    std::snprintf(drawn, sizeof drawn, "%.2f of its", ratio);
    std::snprintf(tilt, sizeof tilt, "%.0f degrees towards", angle);
    EXPECT_THAT(f->why, HasSubstr(drawn));
    EXPECT_THAT(f->why, HasSubstr(tilt));
  }
  EXPECT_EQ(rows, 18);
}

TEST(Foreshortening, LongerThanFlatIsImpossible) {
  Scene scene;
  const Vec3 knee = scene[P::kKneeL], shin = scene[P::kAnkleL] - knee;
  scene[P::kAnkleL] = knee + 1.3 * shin;
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  const Finding* f = Find(findings, "body.foreshortening.shin_l");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->verdict, Verdict::kOff);
  EXPECT_NEAR(*f->measured, 1.3, 0.01);
  EXPECT_EQ(f->kind, Kind::kCanon);
}

TEST(Foreshortening, AFlagAgainstTheDrawingAsks) {
  Scene scene;
  scene.depth = {{B::kForearmL, Depth::kFlat}};
  scene.Turn({P::kWristL, P::kHandTipL}, scene[P::kElbowL], Vec3::UnitX(), -65.0);
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  const Finding* f = Find(findings, "body.foreshortening.forearm_l.depth");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->verdict, Verdict::kCannotTell);
  EXPECT_THAT(f->ask, HasSubstr("left forearm"));
}

// A hand 0.7 m in front of a viewer 2 m away is drawn 1.54 times as big, D / (D - reach). Drawn
// so on a figure seen from far away, it is too big there and fits that viewer.
TEST(Foreshortening, AHugeNearHandNamesTheViewerItFits) {
  const double stature_m = 1.75, reach = 0.7 / stature_m, near = 2.0 / stature_m;
  Scene scene;
  scene.inverse_distance = 0.05;
  for (const P id : {P::kWristL, P::kHandTipL}) scene[id].z() = -reach;
  const double whole = near / (near - reach);
  EXPECT_NEAR(whole, 1.54, 0.005);
  const double drawn = whole * (1.0 - 0.05 * reach);  // over what the far camera already does
  scene[P::kHandTipL] = scene[P::kWristL] + drawn * (scene[P::kHandTipL] - scene[P::kWristL]);
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  const Finding* f = Find(findings, "body.hand_l.size");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->verdict, Verdict::kOff);
  char viewer[64];
  std::snprintf(viewer, sizeof viewer, "viewer %.1f figure heights away", near);
  EXPECT_THAT(f->why, HasSubstr(viewer));
}

TEST(Feet, OneFloorIsClearAndAFloatingFootIsOff) {
  Scene scene;
  const auto good = CheckBody(scene.Marks(), scene.Reading());
  ASSERT_NE(Find(good, "body.feet.floor"), nullptr);
  EXPECT_EQ(Find(good, "body.feet.floor")->verdict, Verdict::kClear);
  // Heels on the floor too, by the marks: 0.530 below the hip joints, behind the ankles.
  FigureMarks marks = scene.Marks();
  marks.points[P::kHeelL] = {800.0 + 80.0, 900.0 + 530.0};
  marks.points[P::kHeelR] = {800.0 - 80.0, 900.0 + 530.0};
  const auto heels = CheckBody(marks, scene.Reading());
  EXPECT_LT(*Find(heels, "body.feet.floor")->sd, *Find(good, "body.feet.floor")->sd);
  EXPECT_NEAR(*Find(heels, "body.feet.floor")->measured, 0.0, 1e-9);
  scene.sigma_stature = 0.001;
  for (const P id : {P::kAnkleR, P::kToeR}) scene[id].y() -= 0.055;
  const auto bad = CheckBody(scene.Marks(), scene.Reading());
  const Finding* f = Find(bad, "body.feet.floor");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->verdict, Verdict::kOff) << f->why;
  EXPECT_NEAR(*f->measured, 5.5, 0.1);
  EXPECT_THAT(f->title, HasSubstr("right"));
  EXPECT_THAT(f->remedy.detail, HasSubstr("down by 55 px"));
}

TEST(HeadOnNeck, SeatedFloatingAndSlidOff) {
  Scene scene;
  const auto good = CheckBody(scene.Marks(), scene.Reading());
  ASSERT_NE(Find(good, "body.head.on_neck"), nullptr);
  EXPECT_EQ(Find(good, "body.head.on_neck")->verdict, Verdict::kClear);
  Scene floating;
  for (const P id : {P::kCrown, P::kChin}) floating[id].y() -= 0.09;
  const auto high = CheckBody(floating.Marks(), floating.Reading());
  ASSERT_NE(Find(high, "body.head.on_neck"), nullptr);
  EXPECT_EQ(Find(high, "body.head.on_neck")->verdict, Verdict::kOff);
  EXPECT_THAT(Find(high, "body.head.on_neck")->title, HasSubstr("floats"));
  Scene slid;
  for (const P id : {P::kCrown, P::kChin}) slid[id].x() += 0.10;
  const auto aside = CheckBody(slid.Marks(), slid.Reading());
  const Finding* f = Find(aside, "body.head.on_neck");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->verdict, Verdict::kOff);
  EXPECT_THAT(f->title, HasSubstr("slides off"));
}

TEST(Keeps, TellWhatHolds) {
  Scene scene;
  for (const auto& [id, bones] : {std::pair<std::string, std::vector<B>>{"body.head.size", {B::kHead}}, {"body.torso.length", {B::kTrunk}}}) {
    LengthHypothesis h;
    h.id = id;
    h.bones = bones;
    h.cleared = true;
    h.smallest_long = 1.12;
    scene.hypotheses.push_back(h);
  }
  const auto findings = CheckBody(scene.Marks(), scene.Reading());
  const Finding* f = Find(findings, "body.keep.proportions");
  ASSERT_NE(f, nullptr);
  EXPECT_EQ(f->kind, Kind::kKeep);
  EXPECT_EQ(f->title, "Proportions hold: head and torso");
  EXPECT_THAT(f->why, HasSubstr("12 %"));
}

}  // namespace
}  // namespace armslength
