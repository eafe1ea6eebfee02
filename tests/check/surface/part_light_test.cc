// Light read across solved limbs, on drawn figures with and without arms lit from the other side.
// That one picture has one main light unless meant otherwise: common practice, no source.
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <numbers>
#include <optional>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "check/pixels/picture_checks.h"
#include "check/surface/surface_checks.h"
#include "support/job.h"
#include "synth/worn.h"

namespace armslength {
namespace {

struct Count {
  int off = 0, clear = 0, names_a_leg = 0, wrong_side = 0;
};

// Lit from the side, so that the mirrored light is another light.
Count Read(bool second_light, unsigned first, int figures) {
  std::vector<std::optional<Finding>> found(static_cast<std::size_t>(figures));
  ParallelFor(figures, 0, [&](int i) {
    WearOptions options;
    options.seed = first + static_cast<unsigned>(i);
    options.areas = false;
    options.change = [&](FigureDrawing& drawing, SynthRandom&) {
      drawing.faults.second_light = second_light;
      drawing.to_light = Vec3(i % 2 == 0 ? 0.8 : -0.8, -0.3, -0.45).normalized();
    };
    const WornFigure worn = Wear(options);
    if (!worn.reading.usable) return;
    for (const Finding& f : CheckSurface(worn.marks, worn.reading, &worn.picture))
      if (f.id == "value.light.parts") found[static_cast<std::size_t>(i)] = f;
  });
  Count count;
  for (const auto& f : found) {
    if (!f) continue;
    const bool from_right = (&f - found.data()) % 2 == 0;
    double hour = 0;
    const std::size_t about = f->why.find("about ");
    if (about == std::string::npos || std::sscanf(f->why.c_str() + about, "about %lf o'clock", &hour) != 1) hour = -1;
    count.wrong_side += from_right ? hour < 0.5 || hour > 5.5 : hour < 6.5 || hour > 11.5;
    count.off += f->verdict == Verdict::kOff;
    count.clear += f->verdict == Verdict::kClear;
    count.names_a_leg += f->verdict == Verdict::kOff && f->why.find("arm") == std::string::npos;
  }
  return count;
}

TEST(PartLight, ArmsLitFromTheOtherSideAreFoundWhereTheyShow) {
  const Count sound = Read(false, 62000, 18), fault = Read(true, 62000, 18);
  EXPECT_LE(sound.off, 1);
  EXPECT_GE(sound.clear, 5);
  EXPECT_GE(fault.off, 11);
  EXPECT_LE(fault.clear, 1);
  EXPECT_EQ(fault.names_a_leg, 0);
}

// Trunk and legs name the hour: lit from 2 or 10 o'clock.
TEST(PartLight, TellsFromWhichSideTheLightComes) {
  const Count sound = Read(false, 62200, 14);
  EXPECT_GE(sound.clear, 4);
  EXPECT_EQ(sound.wrong_side, 0);
}

// What the picture's own check says of a drawn figure lit from `azimuth_deg`: by its forms alone, and with the limbs read behind the marks.
std::array<Verdict, 2> WithoutAndWithLimbs(unsigned seed, double azimuth_deg, bool second_light) {
  WearOptions options;
  options.seed = seed;
  options.areas = false;
  options.change = [&](FigureDrawing& drawing, SynthRandom&) {
    const double azimuth = azimuth_deg * std::numbers::pi / 180;
    drawing.to_light = Vec3(0.75 * std::cos(azimuth), 0.75 * std::sin(azimuth), std::min(drawing.to_light.z(), -0.3));
    drawing.faults.second_light = second_light;
  };
  const WornFigure worn = Wear(options);
  std::array<Verdict, 2> told{Verdict::kCannotTell, Verdict::kCannotTell};
  for (const bool with_limbs : {false, true}) {
    PictureCheckOptions checks;
    checks.make_views = false;
    if (with_limbs) (void)CheckSurface(worn.marks, worn.reading, &worn.picture, {}, &checks.lit_limbs);
    EXPECT_EQ(checks.lit_limbs.size() >= 3, with_limbs);
    const auto report = CheckPicture(worn.picture, checks);
    if (!report) continue;
    for (const Finding& f : report->findings)
      if (f.id == "value.light") told[with_limbs] = f.verdict;
  }
  return told;
}

// Of figures measured: one light, but folds and hems seem to say two; arms' own light that too few forms show.
TEST(PartLight, LimbsJoinedWithTheFormsTakeACallBackAndMakeOne) {
  const auto sound = WithoutAndWithLimbs(833013, -160, false);
  EXPECT_EQ(sound[0], Verdict::kOff);
  EXPECT_EQ(sound[1], Verdict::kClear);
  const auto fault = WithoutAndWithLimbs(831011, -150, true);
  EXPECT_EQ(fault[0], Verdict::kClear);
  EXPECT_EQ(fault[1], Verdict::kOff);
}

TEST(PartLight, SaysNothingOfAFlatPicture) {
  WearOptions options;
  options.seed = 62100;
  options.areas = false;
  WornFigure worn = Wear(options);
  ASSERT_TRUE(worn.reading.usable);
  // One even tone inside, paper outside.
  for (std::size_t i = 0; i < worn.picture.image.pixels.size(); i += 4) {
    std::uint8_t* p = worn.picture.image.pixels.data() + i;
    const std::uint8_t* paper = worn.picture.image.pixels.data();
    if (std::abs(p[0] - paper[0]) + std::abs(p[1] - paper[1]) + std::abs(p[2] - paper[2]) < 12) continue;
    p[0] = 150, p[1] = 120, p[2] = 110;
  }
  for (const Finding& f : CheckSurface(worn.marks, worn.reading, &worn.picture)) EXPECT_NE(f.id, "value.light.parts");
}

}  // namespace
}  // namespace armslength
