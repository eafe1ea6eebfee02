#include "colour/planes.h"

#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

#include <gtest/gtest.h>

#include "colour/difference.h"
#include "colour/spaces.h"

namespace armslength {
namespace {

// All greys, and a grid that is dense in the dark, where lightness changes fastest.
std::vector<Rgb8> Probes() {
  std::vector<Rgb8> probes;
  std::vector<int> steps;
  for (int i = 0; i < 16; ++i) steps.push_back(i);
  for (int i = 16; i < 256; i += 6) steps.push_back(i);
  steps.push_back(255);
  for (const int r : steps)
    for (const int g : steps)
      for (const int b : steps) probes.push_back({static_cast<std::uint8_t>(r), static_cast<std::uint8_t>(g), static_cast<std::uint8_t>(b)});
  for (int i = 0; i < 256; ++i) probes.push_back({static_cast<std::uint8_t>(i), static_cast<std::uint8_t>(i), static_cast<std::uint8_t>(i)});
  return probes;
}

std::vector<std::uint8_t> AsRgba(const std::vector<Rgb8>& colours, std::uint8_t alpha) {
  std::vector<std::uint8_t> rgba;
  for (const auto& c : colours) rgba.insert(rgba.end(), {c.r, c.g, c.b, alpha});
  return rgba;
}

TEST(Planes, LightnessIsWithinItsBound) {
  const auto probes = Probes();
  const auto rgba = AsRgba(probes, 255);
  std::vector<std::uint8_t> lightness(probes.size());
  LightnessRow(rgba.data(), probes.size(), lightness.data());
  double worst = 0.0;
  for (std::size_t i = 0; i < probes.size(); ++i)
    worst = std::max(worst, std::abs(lightness[i] - 2.55 * ToLab(probes[i]).L));
  EXPECT_LE(worst, 0.75);
  EXPECT_GE(worst, 0.49);  // rounding alone reaches half a level: the check saw the whole range
}

TEST(Planes, FastLabAgrees) {
  const auto probes = Probes();
  const auto rgba = AsRgba(probes, 255);
  std::vector<float> L(probes.size()), a(probes.size()), b(probes.size());
  LabRow(rgba.data(), probes.size(), L.data(), a.data(), b.data());
  double worst = 0.0, worst_difference = 0.0;
  for (std::size_t i = 0; i < probes.size(); ++i) {
    const Lab exact = ToLab(probes[i]);
    worst = std::max({worst, std::abs(L[i] - exact.L), std::abs(a[i] - exact.a), std::abs(b[i] - exact.b)});
    worst_difference = std::max(worst_difference, DeltaE2000(exact, {L[i], a[i], b[i]}));
  }
  EXPECT_LT(worst, 2e-3);
  EXPECT_LT(worst_difference, 0.01);
}

TEST(Planes, FastOklabAgrees) {
  const auto probes = Probes();
  const auto rgba = AsRgba(probes, 255);
  std::vector<float> L(probes.size()), a(probes.size()), b(probes.size());
  OklabRow(rgba.data(), probes.size(), L.data(), a.data(), b.data());
  double worst = 0.0;
  for (std::size_t i = 0; i < probes.size(); ++i) {
    const Oklab exact = ToOklab(probes[i]);
    worst = std::max({worst, std::abs(L[i] - exact.L), std::abs(a[i] - exact.a), std::abs(b[i] - exact.b)});
  }
  EXPECT_LT(worst, 2e-5);
}

TEST(Planes, TransparentPixelsAreSeenOnWhite) {
  const std::uint8_t rgba[] = {0, 0, 0, 0, 0, 0, 0, 128, 200, 10, 90, 255};
  std::uint8_t over[3], stored[3];
  LightnessRow(rgba, 3, over);
  LightnessRow(rgba, 3, stored, AlphaRule::kIgnore);
  EXPECT_EQ(over[0], 255);
  EXPECT_NEAR(over[1], 2.55 * ToLab(Rgb8{127, 127, 127}).L, 0.75);  // 255 - 128 of white on black
  EXPECT_EQ(stored[0], 0);
  EXPECT_EQ(stored[1], 0);
  EXPECT_EQ(over[2], stored[2]);
  float L[3];
  LabRow(rgba, 3, L, nullptr, nullptr);
  EXPECT_NEAR(L[0], 100.0, 1e-3);
  OklabRow(rgba, 3, L, nullptr, nullptr, AlphaRule::kIgnore);
  EXPECT_EQ(L[0], 0.0f);
}

TEST(Planes, PlaneEqualsItsRows) {
  const int width = 117, height = 71;  // no multiple of any block
  std::mt19937 random(20);
  std::vector<std::uint8_t> rgba(4 * width * height);
  for (auto& v : rgba) v = static_cast<std::uint8_t>(random());
  std::vector<std::uint8_t> plane(width * height), row(width);
  LightnessPlane(rgba, width, height, plane);
  for (int y = 0; y < height; ++y) {
    LightnessRow(rgba.data() + 4 * y * width, width, row.data());
    ASSERT_TRUE(std::equal(row.begin(), row.end(), plane.begin() + y * width)) << y;
  }
}

}  // namespace
}  // namespace armslength
