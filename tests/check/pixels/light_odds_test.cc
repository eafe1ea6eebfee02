// One light or two, by the odds of forms' readings made by hand.
#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "check/pixels/light_odds.h"

namespace armslength {
namespace {

constexpr double kApartDeg = 70.0, kClear = 4.0;

// A limb with a hard shadow, all of whose contour speaks: it suits lights by the cosine of how far they lie from `deg`.
LightForm Lit(double deg) {
  LightForm f;
  f.hard = true;
  f.told = 0.9, f.across = 1.0;
  f.sides.weight = 10.0;
  for (std::size_t j = 0; j < kLights; ++j) f.sides.suits[j] = std::cos(Direction(j, kLights) - deg * std::numbers::pi / 180);
  f.sides.best = 1.0;
  return f;
}

double Odds(const std::vector<LightForm>& forms) { return AskLights(forms, kApartDeg, false).odds; }

TEST(LightOdds, FormsThatAreEachALittleOffHaveOneLight) {
  EXPECT_LT(Odds({Lit(-100), Lit(-80), Lit(-110), Lit(-70), Lit(-90), Lit(-95)}), 1.0);
}

TEST(LightOdds, TwoFormsLitFromTheOtherSideAreASecondLight) {
  const std::vector<LightForm> forms{Lit(-30), Lit(-150), Lit(-30), Lit(-35), Lit(-145), Lit(-25)};
  const LightOdds told = AskLights(forms, kApartDeg, false);
  EXPECT_GT(told.odds, kClear);
  EXPECT_EQ(told.forms, 6u);
  const std::size_t fewer = told.group[1].size() < told.group[0].size();
  ASSERT_EQ(told.group[fewer].size(), 2u);
  EXPECT_EQ(told.group[fewer][0], &forms[1]);
  EXPECT_EQ(told.group[fewer][1], &forms[4]);
  const double apart = std::remainder(Direction(told.first, kLights) - Direction(told.second, kLights), 2 * std::numbers::pi);
  EXPECT_NEAR(std::abs(apart) * 180 / std::numbers::pi, 118, 15);
}

// What lies under something has its shadow from that.
TEST(LightOdds, OneFormWhoseFarSideIsCoveredIsNoSecondLight) {
  std::vector<LightForm> forms{Lit(-30), Lit(-30), Lit(-35), Lit(-25), Lit(150)};
  const double surely = Odds(forms);
  forms.back().across = 0.0;
  EXPECT_GT(surely, Odds(forms) + 1.0);
  EXPECT_LT(Odds(forms), kClear);
}

// Nothing of the sides, but a shadow whose reach one light suits well.
TEST(LightOdds, TheReachAloneIsHeardALittle) {
  std::vector<LightForm> forms{Lit(-30), Lit(-30), Lit(-35), Lit(150)};
  const double before = Odds(forms);
  LightForm reached = Lit(150);
  reached.reach = reached.sides;
  reached.sides = {};
  forms.push_back(reached);
  EXPECT_EQ(AskLights(forms, kApartDeg, false).forms, 5u);
  EXPECT_GT(Odds(forms), before + 0.5);
  forms.back().reach->best = 0.9;  // no light suits it well
  EXPECT_EQ(AskLights(forms, kApartDeg, false).forms, 4u);
}

}  // namespace
}  // namespace armslength
