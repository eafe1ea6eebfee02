#include <cmath>

#include <gtest/gtest.h>

#include "check/surface/waves.h"

namespace armslength {
namespace {

using surface_check::ReadWaves;
using surface_check::TubularOf;

constexpr int kWidth = 260, kHeight = 420, kHalf = 80;

// A cylinder standing upright in the picture, stripes by `phase` (in turns) at (u across -1..1, y px).
template <typename Phase>
ImageRgba8 Striped(const Phase& phase) {
  ImageRgba8 image;
  image.width = kWidth;
  image.height = kHeight;
  image.pixels.assign(4u * kWidth * kHeight, 255);
  for (int y = 0; y < kHeight; ++y)
    for (int x = 0; x < kWidth; ++x) {
      const double u = (x + 0.5 - kWidth / 2.0) / kHalf;
      if (std::abs(u) >= 1.0) continue;
      const double p = phase(u, y + 0.5);
      const bool dark = p - std::floor(p) < 0.45;
      std::uint8_t* at = image.At(x, y);
      at[0] = dark ? 200 : 245;
      at[1] = dark ? 70 : 240;
      at[2] = dark ? 60 : 225;
    }
  return image;
}

std::vector<Vec2> Outline() {
  const double left = kWidth / 2.0 - kHalf, right = kWidth / 2.0 + kHalf;
  return {{left, 30}, {right, 30}, {right, 210}, {right, 390}, {left, 390}, {left, 210}};
}

// An upright cylinder in isometric view: circles round it have axes in the ratio tan 30 degrees
// (descriptive geometry; "35 degree" ellipses of the drawing templates, sine 0.577).
constexpr double kIsometric = 0.57735;

TEST(Waves, RingsOfAnIsometricCylinderReadAsWrapped) {
  const ImageRgba8 image = Striped([](double u, double y) { return (y - kHalf * kIsometric * std::sqrt(1 - u * u)) / 34.0; });
  const auto part = TubularOf(Outline(), Vec2(0, 1));
  ASSERT_TRUE(part);
  EXPECT_NEAR(part->half_width_px, kHalf, 1.0);
  const auto read = ReadWaves(image, Outline(), *part, 0.25, 0.85);
  ASSERT_TRUE(read);
  EXPECT_GT(read->log_ratio, 0.5);
  EXPECT_NEAR(read->bow, kIsometric, 0.09);
  EXPECT_LT(std::abs(read->wrapped.front().LineAngle()), 0.06);
  EXPECT_NEAR(2 * M_PI / read->wrapped.front().along, 34.0, 1.0);
}

TEST(Waves, StraightStripesReadAsFlat) {
  for (const double slant : {0.0, 0.5}) {
    SCOPED_TRACE(slant);
    const ImageRgba8 image =
        Striped([&](double u, double y) { return (y * std::cos(slant) - u * kHalf * std::sin(slant)) / 34.0; });
    const auto part = TubularOf(Outline(), Vec2(0, 1));
    const auto read = ReadWaves(image, Outline(), *part, 0.35, 0.75);
    ASSERT_TRUE(read);
    EXPECT_LT(read->log_ratio, -0.4);
    // The frame's across runs to picture left when its axis runs down.
    EXPECT_NEAR(read->flat.front().LineAngle(), -slant, 0.05);
  }
}

// Seen square on, a ring is a straight line: flat and wrapped are the same picture.
TEST(Waves, LevelStripesOnAPartSeenSquareOnTellNothing) {
  const ImageRgba8 image = Striped([](double, double y) { return y / 34.0; });
  const auto part = TubularOf(Outline(), Vec2(0, 1));
  const auto read = ReadWaves(image, Outline(), *part, -0.2, 0.2);
  ASSERT_TRUE(read);
  EXPECT_LT(read->log_ratio, 0.16);  // what "clear" asks for
  EXPECT_GT(read->log_ratio, -0.18);
}

TEST(Waves, AslantRoundAPartSeenSquareOnShowsByItsSqueeze) {
  const ImageRgba8 image = Striped([](double u, double y) { return (y + 0.9 * kHalf * std::asin(u)) / 40.0; });
  const auto part = TubularOf(Outline(), Vec2(0, 1));
  const auto read = ReadWaves(image, Outline(), *part, -0.1, 0.1);
  ASSERT_TRUE(read);
  EXPECT_GT(read->log_ratio, 0.22);
}

// Lines along an upright cylinder at even steps of angle stand at R sin(angle) across the picture (orthographic
// projection, descriptive geometry): closer towards the edges. A flat print's stand evenly. No tilt is needed.
TEST(Waves, UprightStripesTellByTheirSpacingAlone) {
  for (const double turns : {2.2, 3.1}) {
    SCOPED_TRACE(turns);
    const ImageRgba8 round = Striped([&](double u, double) { return turns * std::asin(u) + 0.3; });
    const ImageRgba8 even = Striped([&](double u, double) { return turns * u + 0.3; });
    const auto part = TubularOf(Outline(), Vec2(0, 1));
    const auto on_form = ReadWaves(round, Outline(), *part, -0.4, 0.4), flat = ReadWaves(even, Outline(), *part, -0.4, 0.4);
    ASSERT_TRUE(on_form && flat);
    EXPECT_GT(on_form->log_ratio, 0.22);
    EXPECT_LT(flat->log_ratio, -0.22);
    EXPECT_NEAR(std::abs(flat->flat.front().LineAngle()), M_PI_2, 0.06);
    EXPECT_NEAR(std::hypot(flat->flat.front().along, flat->flat.front().across), 2 * M_PI * turns / kHalf, 0.01);
  }
}

// Square checks on an isometric cylinder, two or three squares across as on a sleeve. Unrolled, a point at R sin(angle)
// across lies R angle round, and rings bulge by tan 30 degrees (isometric projection, ISO 5456-3); pasted on, every square
// of the picture is the same square.
TEST(Waves, ChecksOfTwoSquaresAcrossTellWhetherTheyAllLookAlike) {
  const auto crossed = [](double a, double b) { return a - std::floor(a) < 0.45 || b - std::floor(b) < 0.45 ? 0.0 : 0.6; };
  for (const double spacing : {52.0, 66.0})
    for (const double slant : {0.0, 0.35}) {
      SCOPED_TRACE(spacing);
      SCOPED_TRACE(slant);
      const double c = std::cos(slant) / spacing, s = std::sin(slant) / spacing;
      const ImageRgba8 flat = Striped([&](double u, double y) { return crossed(y * c - u * kHalf * s, y * s + u * kHalf * c); });
      const ImageRgba8 round = Striped([&](double u, double y) {
        const double along = y - kHalf * kIsometric * std::sqrt(1 - u * u), by = kHalf * std::asin(u);
        return crossed(along * c - by * s, along * s + by * c);
      });
      const auto part = TubularOf(Outline(), Vec2(0, 1));
      const auto as_flat = ReadWaves(flat, Outline(), *part, 0.25, 0.85), on_form = ReadWaves(round, Outline(), *part, 0.25, 0.85);
      ASSERT_TRUE(as_flat && on_form);
      EXPECT_LT(as_flat->log_ratio, -0.4);
      EXPECT_GT(on_form->log_ratio, 0.4);
      EXPECT_NEAR(on_form->bow, kIsometric, 0.09);
      ASSERT_TRUE(as_flat->crossing);
      for (const auto& wave : {as_flat->flat.front(), *as_flat->crossing})
        EXPECT_NEAR(2 * M_PI / std::hypot(wave.along, wave.across), spacing, 0.05 * spacing);
    }
}

// A skirt or a shirt is wider than the piece of it that shows is long; many lines still fit on it.
TEST(Waves, APieceWiderThanLongStillTells) {
  const double left = kWidth / 2.0 - kHalf, right = kWidth / 2.0 + kHalf;
  const std::vector<Vec2> outline{{left, 150}, {right, 150}, {right, 190}, {right, 230}, {left, 230}, {left, 190}};
  const ImageRgba8 flat = Striped([](double, double y) { return y / 20.0; });
  const ImageRgba8 round = Striped([](double u, double y) { return (y - kHalf * kIsometric * std::sqrt(1 - u * u)) / 20.0; });
  const auto part = TubularOf(outline, Vec2(0, 1));
  ASSERT_TRUE(part);
  const auto as_flat = ReadWaves(flat, outline, *part, 0.25, 0.85), on_form = ReadWaves(round, outline, *part, 0.25, 0.85);
  ASSERT_TRUE(as_flat && on_form);
  EXPECT_LT(as_flat->log_ratio, -0.4);
  EXPECT_GT(on_form->log_ratio, 0.4);
}

// A shadow with a sharp edge along the form must not pass for a stripe.
TEST(Waves, AShadowAlongPlainClothIsNoPattern) {
  const ImageRgba8 image = Striped([](double u, double) { return u > 0.25 ? 0.1 : 0.6; });
  const auto part = TubularOf(Outline(), Vec2(0, 1));
  const auto read = ReadWaves(image, Outline(), *part, 0.0, 0.4);
  EXPECT_TRUE(!read || std::abs(read->log_ratio) < 0.16) << read->log_ratio << " share " << read->flat.front().share << " angle " << read->flat.front().LineAngle();
}

TEST(Waves, PlainClothHoldsNoPattern) {
  const ImageRgba8 image = Striped([](double, double) { return 0.0; });
  const auto part = TubularOf(Outline(), Vec2(0, 1));
  EXPECT_FALSE(ReadWaves(image, Outline(), *part, 0.3, 0.7));
}

}  // namespace
}  // namespace armslength
