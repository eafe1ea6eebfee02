#include <gtest/gtest.h>

#include "check/surface/drawn.h"
#include "check/surface/limb_contour.h"

namespace armslength {
namespace {

using testing::Wear;
using testing::Worn;

constexpr const char* kAsksForTheToe = "Move this mark to the drawn tip of the shoe";

struct Count {
  int off = 0, clear = 0, asked = 0;  // asked: where the toe's mark belongs
};

Count Shapes(const std::string& prefix, const DrawingFaults& faults, unsigned first, unsigned figures) {
  Count c;
  for (unsigned seed = first; seed < first + figures; ++seed) {
    const Worn worn = Wear(seed, faults, 1.0, true);
    for (const Finding& f : CheckSurface(worn.marks, worn.reading, &worn.picture)) {
      if (!f.id.starts_with(prefix)) continue;
      c.off += f.verdict == Verdict::kOff;
      c.clear += f.verdict == Verdict::kClear;
      c.asked += f.ask.starts_with(kAsksForTheToe);
      EXPECT_TRUE(f.verdict != Verdict::kOff || (!f.guides.empty() && !f.source.empty())) << f.id;
    }
  }
  return c;
}

TEST(Contour, ShoesAndLimbsOfSoundDrawingsRaiseNoAlarm) {
  EXPECT_EQ(Shapes("foot.", {}, 3500, 8).off, 0);
  const Count limbs = Shapes("limb.", {}, 3520, 10);
  EXPECT_EQ(limbs.off, 0);
  EXPECT_GT(limbs.clear, 3);
}

TEST(Contour, BrickShoesAreFoundAndNotCleared) {
  DrawingFaults faults;
  faults.block_shoes = true;
  const Count c = Shapes("foot.", faults, 3540, 12);
  EXPECT_GE(c.off, 7);  // of 24 shoes in all views
  EXPECT_GE(c.off + c.asked, 8);
  EXPECT_LE(5 * c.clear, c.off);
}

// Each of these had one shoe called off before the mark was asked about.
TEST(Contour, AToeMarkInsideASoundShoeIsAskedAbout) {
  int off = 0, asked = 0;
  for (const unsigned seed : {2162013u, 2162015u, 2162039u}) {
    WearOptions options;
    options.seed = seed;
    options.size = 0.5;
    options.misplace = [](FigureMarks& marks) { PullToes(marks, 0.30); };
    const Worn worn = armslength::Wear(options);
    for (const Finding& f : CheckSurface(worn.marks, worn.reading, nullptr)) {
      if (!f.id.starts_with("foot.shape")) continue;
      off += f.verdict == Verdict::kOff;
      asked += f.ask.starts_with(kAsksForTheToe);
    }
  }
  EXPECT_EQ(off, 0);
  EXPECT_GE(asked, 3);
}

TEST(Contour, AThinLegIsFound) {
  DrawingFaults faults;
  faults.leg_girth[0] = 0.65;
  const Count c = Shapes("limb.thickness.pair.leg", faults, 3560, 8);
  EXPECT_GT(c.off, 1);
}

// A boot's top steps the width of both shins: left and right are compared above and below it.
TEST(Contour, AThinShinIsFoundThoughABootsTopStepsIt) {
  int stepped = 0, found = 0, alarms = 0, measured = 0;
  for (unsigned seed = 3900; seed < 3930; ++seed)
    for (const double girth : {0.7, 1.0}) {
      DrawingFaults faults;
      faults.leg_girth[0] = girth;
      const Worn worn = Wear(seed, faults, 0.5, true);
      if (!worn.reading.usable) continue;
      const body_check::BodyFacts facts(worn.marks, worn.reading);
      const auto silhouette = surface_check::Silhouette::Of(facts, nullptr);
      if (!silhouette) continue;
      bool steps = false;
      int seen = 0;
      for (const BoneId shin : {BoneId::kShinL, BoneId::kShinR})
        if (const auto widths = surface_check::OwnWidths(facts, *silhouette, shin, 0.30, 0.72)) {
          steps = steps || widths->Steps();
          seen += widths->cuts.size() >= 6;
        }
      if (!steps || seen < 2) continue;
      for (const Finding& f : CheckSurface(worn.marks, worn.reading, nullptr)) {
        if (f.id != "limb.thickness.pair.leg.shin") continue;
        stepped += girth < 1.0;
        found += girth < 1.0 && f.verdict == Verdict::kOff;
        measured += girth == 1.0 && f.measured.has_value();
        alarms += girth == 1.0 && f.verdict == Verdict::kOff;
      }
    }
  EXPECT_GE(stepped, 5);
  EXPECT_GE(2 * found, stepped);
  EXPECT_GE(measured, 2);
  EXPECT_EQ(alarms, 0);
}

TEST(Contour, NothingWithoutAContour) {
  Worn worn = Wear(3500, {});
  for (const Finding& f : CheckSurface(worn.marks, worn.reading, nullptr))
    EXPECT_FALSE(f.id.starts_with("foot.") || f.id.starts_with("limb.")) << f.id;
}

}  // namespace
}  // namespace armslength
