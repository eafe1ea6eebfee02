#include <fstream>
#include <numbers>
#include <sstream>

#include <gtest/gtest.h>

#include "reading/body/body_start.h"
#include "synth/figure.h"

namespace armslength::body {
namespace {

// Table: exact values of projected over true length under parallel projection (cosine of
// the angle out of the picture plane), tests/data/geometry/foreshortening.csv. The lift is
// Taylor 2000, CVIU 80(3), eq. for the relative depth of a segment.
TEST(TaylorsLift, TableOfForeshorteningComesBack) {
  std::ifstream file(std::string(AL_TEST_DATA) + "/geometry/foreshortening.csv");
  ASSERT_TRUE(file);
  int rows = 0;
  for (std::string line; std::getline(file, line);) {
    double degrees = 0, ratio = 0;
    char comma = 0;
    std::istringstream in(line);
    if (!(in >> degrees >> comma >> ratio)) continue;  // comments and the heading
    ++rows;
    const double length = 0.246, scale = 731.0;
    const double depth = LiftedDepth(length, ratio * length * scale, scale);
    EXPECT_NEAR(depth, length * std::sin(degrees * std::numbers::pi / 180.0), 2e-3 * length) << degrees << " degrees";
  }
  EXPECT_GE(rows, 18);
}

TEST(TaylorsLift, DrawnLongerThanPossibleIsFlat) {
  EXPECT_EQ(LiftedDepth(0.2, 0.21, 1.0), 0.0);
  EXPECT_EQ(LiftedDepth(0.2, 0.2, 1.0), 0.0);
}

// Exact marks, the true scale, a far camera: one of the lifts has every bone at its length.
TEST(TaylorsLift, ExactMarksGiveTheBonesTheirLengths) {
  SynthFigureOptions options;
  options.seed = 6;
  options.sigma = 0.0;
  options.variation = 0.0;
  const SynthFigure figure = MakeFigure(options);
  const auto problem = MakeProblem(figure.marks, ProportionsFrom(*FindCanon("adult-average")));
  ASSERT_TRUE(problem);
  const BodyModel model{&*problem, {}, {}, {}};
  const auto lifts = Lift(model, figure.camera.scale_px / problem->unit_px, Params{});
  ASSERT_FALSE(lifts.empty());
  for (const Basin& lift : lifts) {
    const auto joint = [&](PointId id) { return Vec3(lift.x[3 * At(id)], lift.x[3 * At(id) + 1], lift.x[3 * At(id) + 2]); };
    for (BoneId bone : {BoneId::kThighL, BoneId::kShinR, BoneId::kUpperArmL}) {
      const BoneEnds ends = Ends(bone);
      // Not exact: the start supposes a viewing distance.
      EXPECT_NEAR((joint(ends.to) - joint(ends.from)).norm() / figure.length[At(bone)], 1.0, 0.15) << Name(bone);
    }
  }
}

}  // namespace
}  // namespace armslength::body
