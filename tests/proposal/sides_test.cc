// Which limb is the left one, on belief maps made by hand.
#include "proposal/sides.h"

#include <gmock/gmock.h>

namespace armslength {
namespace {

struct Made {
  std::array<BeliefMap, kBodyPointCount> beliefs;
  std::vector<Vec2> inputs;
  ProposedFigure figure;
};

// A standing figure that faces us, so its left lies at the right; `crossed`: the maps take each lower leg for the other. `sure`: the
// share of each map's belief at its own place, the rest at the other side's.
Made Standing(bool crossed, double sure) {
  Made made;
  const auto place = [](PointId id) -> Vec2 {
    const double row = std::vector<double>{20, 40, 50, 56, 56, 90, 90, 120, 120, 130, 130, 128, 128, 180, 180, 228, 228, 236, 236}[static_cast<std::size_t>(id)];
    return {128.0 + 30.0 * Side(id), row};
  };
  const auto seen = [&](PointId id) { return crossed && id >= PointId::kKneeL ? Mirrored(id) : id; };
  for (int i = 0; i < kBodyPointCount; ++i) {
    const auto id = static_cast<PointId>(i);
    BeliefMap map(64, 64, CV_32F, cv::Scalar(0));
    const auto put = [&](const Vec2& at, double mass) { map.at<float>(static_cast<int>(at.y() / 4), static_cast<int>(at.x() / 4)) += static_cast<float>(mass); };
    put(place(seen(id)), sure);
    put(place(Mirrored(seen(id))), 1 - sure);
    made.beliefs[static_cast<std::size_t>(i)] = map;
    ProposedPoint& p = made.figure.points.emplace_back();
    p.id = id;
    p.at = place(seen(id));
    made.inputs.push_back(p.at);
  }
  return made;
}

Vec2 At(const std::vector<ProposedPoint>& points, PointId id) {
  const auto p = std::ranges::find(points, id, &ProposedPoint::id);
  return p == points.end() ? Vec2(-1, -1) : p->at;
}

TEST(Sides, CrossedThighsOfferTheLegsUncrossed) {
  for (const double sure : {0.6, 0.97}) {
    Made made = Standing(true, sure);
    const auto as_is = made.figure.points;
    SettleSides(made.beliefs, made.inputs, false, made.figure);
    EXPECT_EQ(At(made.figure.points, PointId::kKneeL), At(as_is, PointId::kKneeL)) << sure;
    EXPECT_EQ(At(made.figure.other.points, PointId::kKneeL), At(as_is, PointId::kKneeR)) << sure;
    EXPECT_EQ(At(made.figure.other.points, PointId::kToeR), At(as_is, PointId::kToeL)) << sure;
    EXPECT_EQ(At(made.figure.other.points, PointId::kHipL), At(as_is, PointId::kHipL)) << sure;
    EXPECT_EQ(At(made.figure.other.points, PointId::kHandTipL), At(as_is, PointId::kHandTipL)) << sure;
    EXPECT_TRUE(made.figure.undecided) << sure;
  }
}

TEST(Sides, UncrossedSureLegsStay) {
  Made made = Standing(false, 0.97);
  const auto as_is = made.figure.points;
  SettleSides(made.beliefs, made.inputs, false, made.figure);
  for (const ProposedPoint& p : as_is) EXPECT_EQ(At(made.figure.points, p.id), p.at) << Name(p.id);
  EXPECT_FALSE(made.figure.undecided);
  // what is offered then exchanges hips too
  EXPECT_EQ(At(made.figure.other.points, PointId::kKneeL) == At(as_is, PointId::kKneeR), At(made.figure.other.points, PointId::kHipL) == At(as_is, PointId::kHipR));
}

TEST(Sides, MapsThatBelieveInTheOtherNamesAreFollowed) {
  Made made = Standing(false, 0.97);
  const auto as_is = made.figure.points;
  for (int i = static_cast<int>(PointId::kHipL); i <= static_cast<int>(PointId::kToeR); i += 2) std::swap(made.beliefs[static_cast<std::size_t>(i)], made.beliefs[static_cast<std::size_t>(i + 1)]);
  SettleSides(made.beliefs, made.inputs, false, made.figure);
  EXPECT_EQ(At(made.figure.points, PointId::kKneeL), At(as_is, PointId::kKneeR));
  EXPECT_EQ(At(made.figure.points, PointId::kElbowL), At(as_is, PointId::kElbowL));
}

// The share of its belief that each map of a kind of point has at the other side's place.
void Doubt(Made& made, PointId from, PointId to, double share) {
  for (int i = static_cast<int>(from); i <= static_cast<int>(to); ++i) {
    const auto at = [&](PointId id) { return made.inputs[static_cast<std::size_t>(id)] / 4; };
    BeliefMap& map = made.beliefs[static_cast<std::size_t>(i)];
    map.setTo(0);
    for (const auto& [id, mass] : {std::pair(static_cast<PointId>(i), 1 - share), std::pair(Mirrored(static_cast<PointId>(i)), share)})
      map.at<float>(static_cast<int>(at(id).y()), static_cast<int>(at(id).x())) += static_cast<float>(mass);
  }
}

// Which pairs the other reading exchanges.
std::vector<PointId> ExchangedPairs(const Made& made) {
  std::vector<PointId> out;
  for (int i = static_cast<int>(PointId::kShoulderL); i < kBodyPointCount; i += 2)
    if (At(made.figure.points, static_cast<PointId>(i)) != At(made.figure.other.points, static_cast<PointId>(i))) out.push_back(static_cast<PointId>(i));
  return out;
}

TEST(Sides, FeetAreOfferedWhereOnlyTheyAreInDoubt) {
  Made made = Standing(false, 0.97);
  const auto as_is = made.figure.points;
  Doubt(made, PointId::kAnkleL, PointId::kToeR, 0.45);
  SettleSides(made.beliefs, made.inputs, false, made.figure);
  EXPECT_EQ(At(made.figure.points, PointId::kToeL), At(as_is, PointId::kToeL));
  EXPECT_THAT(ExchangedPairs(made), testing::ElementsAre(PointId::kAnkleL, PointId::kToeL));
}

TEST(Sides, HandsAndFeetTogetherWhereBothAreInDoubt) {
  Made made = Standing(false, 0.97);
  Doubt(made, PointId::kWristL, PointId::kHandTipR, 0.45);
  Doubt(made, PointId::kAnkleL, PointId::kToeR, 0.45);
  SettleSides(made.beliefs, made.inputs, false, made.figure);
  EXPECT_THAT(ExchangedPairs(made), testing::ElementsAre(PointId::kWristL, PointId::kHandTipL, PointId::kAnkleL, PointId::kToeL));
  EXPECT_TRUE(made.figure.undecided);
}

TEST(Sides, FeetAloneNeverLead) {
  Made made = Standing(false, 0.97);
  const auto as_is = made.figure.points;
  Doubt(made, PointId::kAnkleL, PointId::kToeR, 0.9);
  SettleSides(made.beliefs, made.inputs, false, made.figure);
  for (const ProposedPoint& p : as_is) EXPECT_EQ(At(made.figure.points, p.id), p.at) << Name(p.id);
  EXPECT_THAT(ExchangedPairs(made), testing::ElementsAre(PointId::kAnkleL, PointId::kToeL));
}

// Seen from the front or from behind: every map nearly as likely the other way round.
TEST(Sides, EverythingIsOfferedWhereFrontAndBackAreInDoubt) {
  Made made = Standing(false, 0.55);
  SettleSides(made.beliefs, made.inputs, false, made.figure);
  EXPECT_EQ(ExchangedPairs(made).size(), 8u);
  EXPECT_TRUE(made.figure.undecided);
}

}  // namespace
}  // namespace armslength
