#include <gtest/gtest.h>

#include "check/surface/drawn.h"

namespace armslength {
namespace {

using testing::Wear;
using testing::Worn;

struct Count {
  int off = 0, clear = 0;
};

Count Shapes(const std::string& prefix, const DrawingFaults& faults, unsigned first, unsigned figures) {
  Count c;
  for (unsigned seed = first; seed < first + figures; ++seed) {
    const Worn worn = Wear(seed, faults, 1.0, true);
    for (const Finding& f : CheckSurface(worn.marks, worn.reading, &worn.picture)) {
      if (!f.id.starts_with(prefix)) continue;
      c.off += f.verdict == Verdict::kOff;
      c.clear += f.verdict == Verdict::kClear;
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
  EXPECT_GE(c.off, 8);  // of 24 shoes in all views
  EXPECT_LE(5 * c.clear, c.off);
}

TEST(Contour, AThinLegIsFound) {
  DrawingFaults faults;
  faults.leg_girth[0] = 0.65;
  const Count c = Shapes("limb.thickness.pair.leg", faults, 3560, 8);
  EXPECT_GT(c.off, 1);
}

TEST(Contour, NothingWithoutAContour) {
  Worn worn = Wear(3500, {});
  for (const Finding& f : CheckSurface(worn.marks, worn.reading, nullptr))
    EXPECT_FALSE(f.id.starts_with("foot.") || f.id.starts_with("limb.")) << f.id;
}

}  // namespace
}  // namespace armslength
