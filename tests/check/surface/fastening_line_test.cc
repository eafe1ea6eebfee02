#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>

#include "canon/canon.h"
#include "check/surface/families.h"
#include "check/surface/fastening_line.h"
#include "synth/worn.h"

namespace armslength {
namespace {

using body_check::BodyFacts;

// Figures seen from the front and in three-quarter view, the canon they follow declared.
WornFigure Worn(unsigned index, const std::string& stray, double by, double all = 0.0) {
  static const Canon average = *FindCanon("adult-average");
  WearOptions options;
  options.seed = 9000 + 30 * (index / 12) + index % 12;  // views change every six seeds
  options.size = 0.25;
  options.canon = &average;
  options.change = [&](FigureDrawing& d, SynthRandom&) {
    d.faults.stray = stray;
    d.faults.stray_shift = by;
    d.faults.button_shift = all;
  };
  return Wear(options);
}

std::vector<Finding> Check(const WornFigure& worn) {
  std::vector<Finding> out;
  if (worn.reading.usable) surface_check::CheckCentreFront(BodyFacts(worn.marks, worn.reading), nullptr, out);
  return out;
}

const Finding* Of(const std::vector<Finding>& findings, std::string_view id) {
  for (const Finding& f : findings)
    if (f.id == id) return &f;
  return nullptr;
}

const NamedPoint* Fastening(const FigureMarks& marks, std::string_view name) {
  for (const NamedPoint& p : marks.centre_front)
    if (p.name == name) return &p;
  return nullptr;
}

TEST(FasteningLine, OneAstrayIsNamedAndTheGuideLeadsHome) {
  int asked = 0, found = 0, home = 0;
  for (unsigned i = 0; i < 24; ++i) {
    const std::string stray = i % 2 == 0 ? "buckle" : "button_3";
    const WornFigure sound = Worn(i, "", 0.0), off = Worn(i, stray, i % 4 < 2 ? 0.16 : -0.16);
    const NamedPoint *was = Fastening(sound.marks, stray), *is = Fastening(off.marks, stray);
    const auto findings = Check(off);
    const Finding* f = Of(findings, "cloth.centre_front.line");
    if (!f || !was || !is) continue;
    ++asked;
    EXPECT_NE(f->verdict, Verdict::kClear) << f->why;
    if (f->verdict != Verdict::kOff) continue;
    ASSERT_EQ(f->where.points.size(), 1U);
    if ((f->where.points[0] - is->at).norm() > 0.01) continue;  // another one named
    ++found;
    EXPECT_NEAR(std::abs(*f->measured), 16.0, std::max(8.0, 3.0 * *f->sd)) << f->why;
    ASSERT_EQ(f->guides.size(), 4U);
    EXPECT_EQ(f->guides[1].points[0], is->at);
    const Vec2 target = f->guides[2].points[0];
    EXPECT_EQ(f->guides[3].points.back(), target);
    home += (target - was->at).norm() < 0.5 * (is->at - was->at).norm();
    // All together are judged without it.
    const Finding* all = Of(findings, "cloth.centre_front");
    ASSERT_TRUE(all);
    EXPECT_EQ(all->where.points.size(), off.marks.centre_front.size() - 1);
    EXPECT_TRUE(std::none_of(all->where.points.begin(), all->where.points.end(), [&](const Vec2& p) { return p == is->at; }));
  }
  ASSERT_GE(asked, 15);
  EXPECT_GE(found, 0.7 * asked);
  EXPECT_GE(home, 0.8 * found);
}

TEST(FasteningLine, SoundRowsAndRowsShiftedTogetherHaveNoneAstray) {
  int asked = 0, alarms = 0, clear = 0;
  for (unsigned i = 0; i < 24; ++i)
    for (const double all : {0.0, 0.13}) {
      const auto findings = Check(Worn(i, "", 0.0, all));
      const Finding* f = Of(findings, "cloth.centre_front.line");
      if (!f) continue;
      ++asked;
      alarms += f->verdict == Verdict::kOff;
      clear += f->verdict == Verdict::kClear;
    }
  ASSERT_GE(asked, 30);
  EXPECT_LE(alarms, 2);
  EXPECT_GE(clear, 5);
}

TEST(FasteningLine, ALineOfThreeDoesNotSayWhichOfTwoStrays) {
  int asked = 0, two = 0, named = 0, right = 0;
  for (unsigned i = 0; i < 24; ++i) {
    WornFigure worn = Worn(i, "buckle", i % 2 == 0 ? 0.18 : -0.18);
    worn.marks.rings.clear();  // the joints alone say where the trunk's axis runs
    std::erase_if(worn.marks.centre_front,
                  [](const NamedPoint& p) { return p.name != "button_4" && p.name != "button_5" && p.name != "buckle"; });
    if (worn.marks.centre_front.size() < 3) continue;
    const auto findings = Check(worn);
    const Finding* f = Of(findings, "cloth.centre_front.line");
    if (!f) continue;
    ++asked;
    EXPECT_NE(f->verdict, Verdict::kClear) << f->why;
    if (f->verdict == Verdict::kCannotTell && f->where.points.size() == 2) {
      ++two;
      EXPECT_FALSE(f->ask.empty());
    }
    named += f->verdict == Verdict::kOff;
    right += f->verdict == Verdict::kOff && f->where.points[0] == worn.marks.centre_front.back().at;
  }
  ASSERT_GE(asked, 6);
  EXPECT_GE(two, 1);
  EXPECT_GE(right, named - 1);
}

TEST(FasteningLine, TwoFasteningsAreNotHeldAgainstEachOther) {
  WornFigure worn = Worn(0, "", 0.0);
  ASSERT_GE(worn.marks.centre_front.size(), 3U);
  worn.marks.centre_front.resize(2);
  EXPECT_EQ(Of(Check(worn), "cloth.centre_front.line"), nullptr);
}

}  // namespace
}  // namespace armslength
