#include <cmath>
#include <set>

#include <gtest/gtest.h>

#include "check/surface/drawn.h"
#include "check/surface/ring_shape.h"
#include "reading/body/body_reading.h"

namespace armslength {
namespace {

using surface_check::ShapeOf;
using testing::Wear;
using testing::Worn;

bool IsRing(const Finding& f) { return f.id.starts_with("cloth.ring."); }

// Short over long axis of a circle's image is the sine of the view's tilt (descriptive geometry);
// sines of 10, 30 and 60 degrees from a table.
TEST(RingShape, BowOfAHalfCircleSeenAtATiltIsTheSineOfIt) {
  for (const auto& [degrees, sine] : {std::pair{10.0, 0.173648}, {30.0, 0.5}, {60.0, 0.866025}}) {
    SCOPED_TRACE(degrees);
    const double tilt = degrees * M_PI / 180;
    std::vector<Vec2> near, whole;
    for (int i = 0; i <= 12; ++i) {
      const double t = M_PI * i / 12;
      near.emplace_back(300 + 80 * std::cos(t), 200 + 80 * std::sin(t) * std::sin(tilt));
    }
    for (int i = 0; i < 24; ++i) {
      const double t = 2 * M_PI * i / 24;
      whole.emplace_back(300 + 80 * std::cos(t), 200 + 80 * std::sin(t) * std::sin(tilt));
    }
    const auto arc = ShapeOf(near, 1.0), ring = ShapeOf(whole, 1.0);
    ASSERT_TRUE(arc && ring);
    EXPECT_FALSE(arc->closed);
    EXPECT_NEAR(arc->bow * arc->normal.y(), sine, 1e-6);
    EXPECT_TRUE(ring->closed);
    EXPECT_NEAR(ring->bow, sine, 1e-4);
    EXPECT_NEAR(ring->half_width_px, 80.0, 1e-2);
  }
}

// A circle on a face of an isometric cube: long axis 1.22, short axis 0.71 of the face's drawn edge
// (isometric axonometry, ISO 5456-3:1996, values from memory).
TEST(RingShape, AnIsometricCircleHasTheStandardsAxes) {
  std::vector<Vec2> whole;
  const Vec2 x(std::cos(M_PI / 6), std::sin(M_PI / 6)), y(-std::cos(M_PI / 6), std::sin(M_PI / 6));
  for (int i = 0; i < 24; ++i) {
    const double t = 2 * M_PI * i / 24;
    whole.push_back(Vec2(400, 300) + 100 * (std::cos(t) * x + std::sin(t) * y));
  }
  const auto ring = ShapeOf(whole, 1.0);
  ASSERT_TRUE(ring);
  EXPECT_NEAR(ring->half_width_px, 0.5 * 1.22 * 200, 1.0);
  EXPECT_NEAR(ring->bow, 0.71 / 1.22, 0.006);
}

TEST(RingShape, TwoMarksOrADotAreNoRing) {
  EXPECT_FALSE(ShapeOf(std::vector<Vec2>{{0, 0}, {50, 0}}, 1.0));
  EXPECT_FALSE(ShapeOf(std::vector<Vec2>{{5, 5}, {5, 6}, {6, 5}}, 1.0));
}

struct Count {
  int rings = 0, off = 0, strong = 0, strong_off = 0;
  std::set<unsigned> figures;
};

// Seeds from 3000 on: none of them was looked at while the thresholds were set.
Count CountRings(double bow, unsigned first, unsigned figures) {
  Count c;
  for (unsigned seed = first; seed < first + figures; ++seed) {
    DrawingFaults faults;
    if (bow != 1.0) faults.ring_bow["all"] = bow;
    const Worn worn = Wear(seed, faults);
    for (const Finding& f : CheckSurface(worn.marks, worn.reading, nullptr)) {
      if (!IsRing(f) || !f.expected || !f.sd) continue;
      ++c.rings;
      const bool strong = std::abs(*f.expected) > std::abs(*f.smallest_visible - *f.expected) + 0.1;
      c.strong += strong;
      if (f.verdict != Verdict::kOff) continue;
      ++c.off;
      c.strong_off += strong;
      c.figures.insert(seed);
    }
  }
  return c;
}

TEST(Rings, SoundDrawingsRaiseNextToNoAlarm) {
  const Count c = CountRings(1.0, 3000, 60);
  RecordProperty("rings", c.rings);
  RecordProperty("off", c.off);
  RecordProperty("figures_with_an_alarm", static_cast<int>(c.figures.size()));
  EXPECT_GT(c.rings, 350);
  EXPECT_LE(c.off, c.rings / 50);
}

TEST(Rings, StraightRingsAreFoundWhereTheyCanShow) {
  const Count c = CountRings(0.0, 3100, 40);
  RecordProperty("strong", c.strong);
  RecordProperty("strong_off", c.strong_off);
  EXPECT_GT(c.strong, 30);
  EXPECT_GT(3 * c.off, c.rings);  // rings of one figure speak for each other
  EXPECT_GE(c.strong_off, 0.9 * c.strong);
}

TEST(Rings, RingsThatBowTheWrongWayAreFound) {
  const Count c = CountRings(-1.0, 3200, 40);
  EXPECT_GT(c.strong, 30);
  EXPECT_GT(5 * c.off, 2 * c.rings);
  EXPECT_GE(c.strong_off, 0.9 * c.strong);
}

// Belt and collar of a sound drawing fit the trunk as it leans; with its flag the other way round neither is to blame.
TEST(Rings, ADepthFlagSetWrongIsAskedAboutAndNotBlamedOnTheRings) {
  int turned = 0, asked = 0, off = 0;
  for (unsigned seed = 3400; seed < 3460; ++seed) {
    Worn worn = Wear(seed, {});
    const auto flag = worn.marks.depth.find(BoneId::kTrunk);
    if (flag == worn.marks.depth.end() || flag->second == Depth::kFlat) continue;
    flag->second = flag->second == Depth::kToward ? Depth::kAway : Depth::kToward;
    BodyReadingOptions options;
    options.scan_hypotheses = options.find_helpful_mark = false;
    const auto read = ReadBody(worn.marks, nullptr, options);
    if (!read || !read->usable) continue;
    ++turned;
    for (const Finding& f : CheckSurface(worn.marks, *read, nullptr)) {
      if (f.id != "cloth.ring.belt" && f.id != "cloth.ring.collar") continue;
      off += f.verdict == Verdict::kOff;
      if (f.why.find("leaning the other way") == std::string::npos) continue;
      ++asked;
      EXPECT_EQ(f.verdict, Verdict::kCannotTell);
      EXPECT_NE(f.ask.find("depth set"), std::string::npos);
    }
  }
  RecordProperty("turned", turned);
  RecordProperty("asked", asked);
  RecordProperty("off", off);
  EXPECT_GT(turned, 8);
  EXPECT_GT(asked, turned / 4);
  EXPECT_LE(5 * off, turned);
}

// Rings of a limb square to the view run straight: with its flag set wrong they would look like faults.
TEST(Rings, AFlatLimbFlaggedAsTurnedIsAskedAboutAndItsRingsAreNotBlamed) {
  int rings = 0, asked = 0, off = 0;
  for (unsigned seed = 3500; seed < 3560; ++seed) {
    Worn worn = Wear(seed, {});
    const auto flag = worn.marks.depth.find(BoneId::kForearmL);
    if (flag == worn.marks.depth.end() || flag->second != Depth::kFlat) continue;
    flag->second = Depth::kToward;
    BodyReadingOptions options;
    options.scan_hypotheses = options.find_helpful_mark = false;
    const auto read = ReadBody(worn.marks, nullptr, options);
    if (!read || !read->usable) continue;
    for (const Finding& f : CheckSurface(worn.marks, *read, nullptr)) {
      if (f.id != "cloth.ring.cuff_l") continue;
      ++rings;
      off += f.verdict == Verdict::kOff;
      if (f.why.find("square to the view") == std::string::npos) continue;
      ++asked;
      EXPECT_EQ(f.verdict, Verdict::kCannotTell);
      EXPECT_NE(f.ask.find("depth set"), std::string::npos);
    }
  }
  RecordProperty("rings", rings);
  RecordProperty("asked", asked);
  RecordProperty("off", off);
  EXPECT_GT(rings, 12);
  EXPECT_GT(asked, 0);
  EXPECT_LE(10 * off, rings);
}

TEST(Rings, TheSmallestThatShowsIsABowAsTheMeasuredOneIs) {
  DrawingFaults faults;
  faults.ring_bow["belt"] = -1.0;
  int told = 0;
  for (unsigned seed = 3500; seed < 3520; ++seed) {
    const Worn worn = Wear(seed, faults);
    for (const Finding& f : CheckSurface(worn.marks, worn.reading, nullptr)) {
      if (!IsRing(f) || !f.smallest_visible || *f.measured == *f.expected) continue;
      ++told;
      const double beyond = *f.measured - *f.expected, least = *f.smallest_visible - *f.expected;
      EXPECT_GT(beyond * least, 0.0) << f.id;
      EXPECT_GE(std::abs(least), *f.tolerance);
      if (f.verdict == Verdict::kOff && f.why.find("Alone") == std::string::npos) {
        EXPECT_GE(std::abs(beyond), std::abs(least)) << f.id;
      }
    }
  }
  EXPECT_GT(told, 40);
}

TEST(Rings, MeantAndUnconfirmedAreRespected) {
  DrawingFaults faults;
  faults.ring_bow["all"] = -1.0;
  for (unsigned seed = 3300; seed < 3310; ++seed) {
    Worn worn = Wear(seed, faults);
    worn.marks.meant = {"cloth.ring"};
    int off = 0;
    for (const Finding& f : CheckSurface(worn.marks, worn.reading, nullptr))
      if (IsRing(f)) {
        EXPECT_TRUE(f.meant);
        off += f.verdict == Verdict::kOff;
      }
    for (const auto& [id, at] : worn.marks.points) worn.marks.proposed.push_back(id);
    for (const Finding& f : CheckSurface(worn.marks, worn.reading, nullptr)) EXPECT_TRUE(!IsRing(f) || f.verdict != Verdict::kOff) << f.id;
    if (off > 0) return;
  }
  FAIL() << "no ring was off in ten figures";
}

TEST(Rings, AReadingThatFailedGivesNothing) { EXPECT_TRUE(CheckSurface({}, {}, nullptr).empty()); }

}  // namespace
}  // namespace armslength
