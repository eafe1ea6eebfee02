#include "check/body/standing.h"

#include <gtest/gtest.h>

#include "check/body/scene.h"

namespace armslength {
namespace {

using testing::Scene;
using B = BoneId;
using P = PointId;

double Level(const StandingBody& body, StandingLevel level) { return body.level[static_cast<std::size_t>(level)]; }

// Heights over the floor as fractions of stature, Drillis & Contini 1966 as reproduced in
// Winter 2009, Fig. 4.1; one head is 0.130 of it. The hanging fingertips are at 0.377 there.
TEST(Standing, TheSegmentTableStandsUpToItsOwnHeights) {
  Scene scene;
  const StandingFigure figure = Straighten(scene.Reading());
  ASSERT_TRUE(figure.usable);
  for (const StandingBody* body : {&figure.canon, &figure.drawn}) {
    const double unit = 0.130;
    EXPECT_NEAR(Level(*body, StandingLevel::kSole) * unit, 0.0, 1e-12);
    EXPECT_NEAR(Level(*body, StandingLevel::kAnkles) * unit, 0.039, 0.001);
    EXPECT_NEAR(Level(*body, StandingLevel::kKnees) * unit, 0.285, 0.001);
    EXPECT_NEAR(Level(*body, StandingLevel::kHips) * unit, 0.530, 0.001);
    EXPECT_NEAR(Level(*body, StandingLevel::kNeckPit) * unit, 0.818, 0.001);
    EXPECT_NEAR(Level(*body, StandingLevel::kChin) * unit, 0.870, 0.001);
    EXPECT_NEAR(Level(*body, StandingLevel::kCrown) * unit, 1.000, 0.002);
    EXPECT_NEAR(body->joints[static_cast<std::size_t>(P::kHandTipL)].y() * unit, 0.377, 0.002);
    EXPECT_NEAR(body->joints[static_cast<std::size_t>(P::kElbowR)].y() * unit, 0.630, 0.003);
  }
  EXPECT_NEAR(figure.heads_canon, 7.69, 0.01);
}

TEST(Standing, ItAgreesWithTheCanonsOwnLevels) {
  for (const Canon& canon : BuiltInCanons()) {
    Scene scene;
    BodyReading reading = scene.Reading();
    reading.canon.canon = canon;
    reading.length.fill(0.0);  // nothing known of the drawn body
    const StandingFigure figure = Straighten(reading);
    ASSERT_TRUE(figure.usable) << canon.name;
    EXPECT_NEAR(figure.heads_canon, StandingHeads(canon), 1e-9) << canon.name;
    EXPECT_NEAR(figure.drawn.Height(), figure.canon.Height(), 1e-9) << canon.name;
  }
}

TEST(Standing, TheNullHeightIsNoMeasurement) {
  Scene scene;
  const StandingFigure figure = Straighten(scene.Reading());
  EXPECT_EQ(figure.basis, StandingBasis::kReading);
  EXPECT_FALSE(figure.heads_drawn);
}

TEST(Standing, AHypothesisThatIsOffSetsTheDrawnLengths) {
  Scene scene;
  LengthHypothesis legs;
  legs.id = "body.legs.length";
  legs.bones = {B::kThighL, B::kThighR, B::kShinL, B::kShinR};
  legs.factor = 1.2;
  legs.factor_low = 1.15;
  legs.factor_high = 1.25;
  legs.off = true;
  scene.hypotheses = {legs};
  BodyReading reading = scene.Reading();
  for (double& length : reading.length) length *= 0.93;  // the null shrinks everything to fit: not to be shown
  const StandingFigure figure = Straighten(reading);
  EXPECT_EQ(figure.basis, StandingBasis::kHypothesis);
  const double leg = Level(figure.canon, StandingLevel::kHips) - Level(figure.canon, StandingLevel::kAnkles);
  EXPECT_NEAR(Level(figure.drawn, StandingLevel::kHips) - Level(figure.drawn, StandingLevel::kAnkles), 1.2 * leg, 1e-9);
  EXPECT_NEAR(Level(figure.drawn, StandingLevel::kChin) - Level(figure.drawn, StandingLevel::kHips),
              Level(figure.canon, StandingLevel::kChin) - Level(figure.canon, StandingLevel::kHips), 1e-9);
  ASSERT_TRUE(figure.heads_drawn);
  EXPECT_NEAR(*figure.heads_drawn, figure.heads_canon + 0.2 * leg, 1e-9);
  EXPECT_LT(*figure.heads_low, *figure.heads_drawn);
  EXPECT_GT(*figure.heads_high, *figure.heads_drawn);
  EXPECT_TRUE(figure.bone_off[static_cast<std::size_t>(B::kShinR)]);
  EXPECT_FALSE(figure.bone_off[static_cast<std::size_t>(B::kTrunk)]);
}

TEST(Standing, UnevenLegsStandOnTheLongerOne) {
  Scene scene;
  LengthHypothesis shin;
  shin.id = "body.shin_l.length";
  shin.bones = {B::kShinL};
  shin.factor = 1.3;
  shin.factor_low = 1.2;
  shin.factor_high = 1.4;
  shin.off = true;
  scene.hypotheses = {shin};
  const StandingFigure figure = Straighten(scene.Reading());
  const auto ankle = [&](P id) { return figure.drawn.joints[static_cast<std::size_t>(id)].y(); };
  EXPECT_NEAR(ankle(P::kAnkleL), figure.canon.level[1], 1e-9);
  EXPECT_GT(ankle(P::kAnkleR), ankle(P::kAnkleL) + 0.5);
}

TEST(Standing, TheBandGrowsFromTheFloorUp) {
  Scene scene;
  const StandingFigure figure = Straighten(scene.Reading());
  for (std::size_t i = 1; i < kStandingLevelCount; ++i) {
    EXPECT_GE(figure.drawn.level_sd[i], figure.drawn.level_sd[i - 1]);
    EXPECT_GT(figure.drawn.level[i], figure.drawn.level[i - 1]);
  }
}

TEST(Standing, AnUnusableReadingDoesNotStand) {
  BodyReading reading;
  reading.why_not = "Too few marks.";
  const StandingFigure figure = Straighten(reading);
  EXPECT_FALSE(figure.usable);
  EXPECT_EQ(figure.why_not, "Too few marks.");
}

}  // namespace
}  // namespace armslength
