// Light told of limbs alone and of all forms together, on findings made by hand.
#include "check/one_light.h"

#include <vector>

#include <gtest/gtest.h>

namespace armslength {
namespace {

Finding Told(const char* id, Verdict verdict, const char* figure = "figure 1") {
  Finding f;
  f.id = id;
  f.kind = Kind::kCraft;
  f.verdict = verdict;
  f.figure = figure;
  return f;
}

std::size_t Left(std::vector<Finding> findings, std::size_t limbs = 5) {
  JoinLight(std::vector<LitLimb>(limbs), findings);
  return findings.size();
}

TEST(OneLight, WhatContradictsTheJoinedAnswerIsLeftOut) {
  const Finding off = Told("value.light", Verdict::kOff), clear = Told("value.light", Verdict::kClear);
  EXPECT_EQ(Left({Told("value.light.parts", Verdict::kClear), off}), 1u);
  EXPECT_EQ(Left({Told("value.light.parts", Verdict::kOff), clear}), 1u);
  EXPECT_EQ(Left({Told("value.light.parts", Verdict::kOff), off}), 2u);
  EXPECT_EQ(Left({Told("value.light.parts", Verdict::kClear), clear}), 2u);
}

// Limbs of marks that nobody confirmed never reach the picture's checks: its answer knows nothing of them.
TEST(OneLight, WithoutLimbsHandedOnNothingIsLeftOut) {
  const std::vector<Finding> both{Told("value.light.parts", Verdict::kClear), Told("value.light", Verdict::kOff)};
  EXPECT_EQ(Left(both, 0), 2u);
  EXPECT_EQ(Left(both, 1), 1u);
}

TEST(OneLight, AnotherFigureAndAnotherCheckStay) {
  const Finding off = Told("value.light", Verdict::kOff);
  EXPECT_EQ(Left({Told("value.light.parts", Verdict::kClear, "figure 2"), off}), 2u);
  EXPECT_EQ(Left({Told("value.pillow", Verdict::kClear), off}), 2u);
  // Two figures: the picture's answer is about both, a figure's own about one of them.
  EXPECT_EQ(Left({Told("value.light.parts", Verdict::kClear), Told("value.light", Verdict::kOff, "")}), 2u);
  EXPECT_EQ(Left({Told("value.light.parts", Verdict::kOff)}), 1u) << "too few forms for the picture to say anything";
}

}  // namespace
}  // namespace armslength
