// One light or two, by the odds of forms' readings made by hand.
#include <algorithm>
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

double Odds(const std::vector<LightForm>& forms) { return AskLights(Hear(forms, false), kApartDeg).odds; }

TEST(LightOdds, FormsThatAreEachALittleOffHaveOneLight) {
  EXPECT_LT(Odds({Lit(-100), Lit(-80), Lit(-110), Lit(-70), Lit(-90), Lit(-95)}), 1.0);
}

TEST(LightOdds, TwoFormsLitFromTheOtherSideAreASecondLight) {
  std::vector<LightForm> forms{Lit(-30), Lit(-150), Lit(-30), Lit(-35), Lit(-145), Lit(-25)};
  for (std::size_t i = 0; i < forms.size(); ++i) forms[i].at = Vec2(100.0 * static_cast<double>(i), 0);
  const std::vector<Witness> heard = Hear(forms, false);
  const LightOdds told = AskLights(heard, kApartDeg);
  EXPECT_GT(told.odds, kClear);
  EXPECT_EQ(heard.size(), 6u);
  const std::size_t fewer = told.group[1].size() < told.group[0].size();
  ASSERT_EQ(told.group[fewer].size(), 2u);
  EXPECT_EQ(told.group[fewer][0].at, forms[1].at);
  EXPECT_EQ(told.group[fewer][1].at, forms[4].at);
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
  EXPECT_EQ(Hear(forms, false).size(), 5u);
  EXPECT_GT(Odds(forms), before + 0.5);
  forms.back().reach->best = 0.9;  // no light suits it well
  EXPECT_EQ(Hear(forms, false).size(), 4u);
}

// A limb at `x` px, upright and 40 px wide, lit from `deg`: read to 20 degrees, one in twenty misread.
LitLimb LimbAt(double x, double deg, bool arm) {
  LitLimb limb;
  limb.from = Vec2(x, 0), limb.to = Vec2(x, 200);
  limb.half_px = 20.0;
  limb.arm = arm;
  double sum = 0;
  for (std::size_t j = 0; j < kLights; ++j) {
    const double off = std::remainder(Direction(j, kLights) - deg * std::numbers::pi / 180, 2 * std::numbers::pi) * 180 / std::numbers::pi;
    sum += limb.likely[j] = std::exp(-0.5 * off * off / 400);
  }
  for (double& p : limb.likely) p = std::log(0.95 * p * static_cast<double>(kLights) / sum + 0.05);
  return limb;
}

// A sleeve looks at the same shade as the arm in it.
TEST(LightOdds, AFormAndTheLimbItLiesOnAreOneWitness) {
  LightForm sleeve = Lit(-30);
  sleeve.at = Vec2(105, 80);
  const std::vector<LitLimb> limbs{LimbAt(100, -30, true)};
  const std::vector<Witness> one = Hear({sleeve}, false, limbs);
  ASSERT_EQ(one.size(), 1u);
  EXPECT_TRUE(one[0].arm);
  EXPECT_NEAR(one[0].azimuth, -30 * std::numbers::pi / 180, 0.1);
  sleeve.at.x() = 160;  // beside it
  const std::vector<Witness> two = Hear({sleeve}, false, limbs);
  ASSERT_EQ(two.size(), 2u);
  EXPECT_FALSE(two[0].arm);
  // Together they say no more than the surer of the two alone.
  const auto best = [](const Witness& w) { return *std::max_element(w.likely.begin(), w.likely.end()); };
  EXPECT_LE(best(one[0]), std::max(best(two[0]), best(two[1])));
}

// Four forms of which one on an arm seems lit from elsewhere, by a fold or a cast shadow: the arm read across its own axis denies it.
TEST(LightOdds, LimbsThatAgreeTakeAFormsSecondLightBack) {
  std::vector<LightForm> forms{Lit(-40), Lit(-50), Lit(-45), Lit(140)};
  for (std::size_t i = 0; i < forms.size(); ++i) forms[i].at = Vec2(100.0 * static_cast<double>(i), 100);
  std::vector<LitLimb> limbs;
  for (const int i : {0, 1, 2, 3}) limbs.push_back(LimbAt(100.0 * i, -45, i > 1));
  const double forms_alone = AskLights(Hear(forms, false), kApartDeg).odds;
  const double with_limbs = AskLights(Hear(forms, false, limbs), kApartDeg).odds;
  EXPECT_GT(forms_alone, 2.0);
  EXPECT_LT(with_limbs, 0.5 * forms_alone);
  // An arm that says the same as its form leaves the second light standing.
  limbs[3] = LimbAt(300, 140, true);
  EXPECT_GT(AskLights(Hear(forms, false, limbs), kApartDeg).odds, 2.0);
}

TEST(LightOdds, ArmsWithALightOfTheirOwnAreAskedTogether) {
  const auto body = [](double arms) {
    return Hear({}, false, std::vector<LitLimb>{LimbAt(0, -60, false), LimbAt(100, -50, false), LimbAt(200, arms, true), LimbAt(300, arms, true)});
  };
  const LightOdds told = AskArms(body(-160), kApartDeg);
  EXPECT_GT(told.odds, 2.0);
  ASSERT_EQ(told.group[1].size(), 2u);
  EXPECT_EQ(told.group[1][0].at, Vec2(200, 100));
  EXPECT_NEAR(Direction(told.second, kLights), 200 * std::numbers::pi / 180, 0.1);
  EXPECT_LT(AskArms(body(-55), kApartDeg).odds, 0.0);
  EXPECT_EQ(AskArms(Hear({Lit(-30), Lit(150)}, false), kApartDeg).odds, 0.0) << "no arms";
}

}  // namespace
}  // namespace armslength
