#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "canon/canon.h"
#include "check/surface/families.h"
#include "check/surface/part_axis.h"
#include "check/surface/trunk_turn.h"
#include "synth/worn.h"

namespace armslength {
namespace {

using body_check::BodyFacts;

// Figures seen from the front and in three-quarter view, the canon they follow declared.
WornFigure Worn(unsigned index, double shift) {
  static const Canon average = *FindCanon("adult-average");
  WearOptions options;
  options.seed = 6000 + 30 * (index / 12) + index % 12;  // views change every six seeds
  options.size = 0.25;
  options.canon = &average;
  options.change = [shift](FigureDrawing& d, SynthRandom&) { d.faults.button_shift = shift; };
  return Wear(options);
}

const Finding* CentreFront(const std::vector<Finding>& findings) {
  for (const Finding& f : findings)
    if (f.id == "cloth.centre_front") return &f;
  return nullptr;
}

TEST(CentreFront, ACollarTellsWhichWayTheTrunkTurns) {
  int turned = 0, right_with = 0, right_without = 0, likely = 0;
  for (unsigned i = 0; i < 24; ++i) {
    const WornFigure worn = Worn(i, 0.0);
    if (!worn.reading.usable) continue;
    const BodyFacts facts(worn.marks, worn.reading);
    std::optional<surface_check::RingShape> collar;
    for (const Ring& ring : worn.marks.rings)
      if (ring.name == "collar") collar = surface_check::ShapeOf(ring.points, 1.0);
    ASSERT_TRUE(collar);
    const auto with = surface_check::TrunkTurnBeliefs(facts, collar), without = surface_check::TrunkTurnBeliefs(facts, std::nullopt);
    ASSERT_TRUE(with && without);
    const Axes& chest = worn.truth.body.chest;
    const Vec3 sight = surface_check::Sight(worn.truth.camera, worn.truth.joints[static_cast<std::size_t>(PointId::kNeckPit)]);
    const double truth = std::atan2(chest.col(0).dot(sight), chest.col(2).dot(sight));
    if (std::abs(truth) < 0.3 || std::abs(truth) > 1.2) continue;
    ++turned;
    const auto right = [&](const surface_check::TurnBeliefs& beliefs) {
      double good = 0.0, bad = 0.0;
      for (std::size_t k = 0; k < beliefs.turn_rad.size(); ++k)
        (beliefs.turn_rad[k] * truth > 0 ? good : bad) += std::exp(beliefs.shoulders[k]);
      return good > 4.0 * bad;
    };
    right_with += right(*with);
    right_without += right(*without);
    for (std::size_t k = 0; k < with->turn_rad.size(); ++k)
      if (std::abs(with->turn_rad[k] - truth) < 0.03) likely += with->shoulders[k] > -3.2;  // 2.5 spreads
  }
  ASSERT_GE(turned, 8);
  EXPECT_GE(right_with, 0.8 * turned);
  EXPECT_LT(right_without, 0.5 * turned);
  EXPECT_GE(likely, 0.8 * turned);
}

TEST(CentreFront, FarOffFasteningsAreFoundAndTheGuideLeadsToTheMiddle) {
  int asked = 0, found = 0, alarms = 0, nearer = 0, crosses = 0;
  for (unsigned i = 0; i < 24; ++i) {
    const WornFigure sound = Worn(i, 0.0), off = Worn(i, 0.18);
    if (!sound.reading.usable || !off.reading.usable) continue;
    std::vector<Finding> of_sound, of_off;
    surface_check::CheckCentreFront(BodyFacts(sound.marks, sound.reading), nullptr, of_sound);
    surface_check::CheckCentreFront(BodyFacts(off.marks, off.reading), nullptr, of_off);
    const Finding *right = CentreFront(of_sound), *wrong = CentreFront(of_off);
    if (!right || !wrong) continue;
    ++asked;
    alarms += right->verdict == Verdict::kOff;
    EXPECT_NE(wrong->verdict, Verdict::kClear) << wrong->why;
    if (wrong->verdict != Verdict::kOff) continue;
    ++found;
    ASSERT_GE(wrong->guides.size(), 2U);
    const auto &drawn = wrong->guides[0].points, &target = wrong->guides[1].points;
    ASSERT_EQ(drawn.size(), target.size());
    for (std::size_t k = 0; k < drawn.size(); ++k)
      for (std::size_t n = 0; n < off.marks.centre_front.size(); ++n) {
        if ((off.marks.centre_front[n].at - drawn[k]).norm() > 0.5) continue;
        for (const NamedPoint& p : sound.marks.centre_front) {
          if (p.name != off.marks.centre_front[n].name) continue;
          ++crosses;
          nearer += (target[k] - p.at).norm() < 0.5 * (drawn[k] - p.at).norm();
        }
      }
  }
  ASSERT_GE(asked, 15);
  EXPECT_LE(alarms, 1);
  EXPECT_GE(found, asked / 2);
  EXPECT_GE(nearer, 0.7 * crosses);
}

}  // namespace
}  // namespace armslength
