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

}  // namespace
}  // namespace armslength
