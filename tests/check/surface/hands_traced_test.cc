#include <tuple>

#include <gtest/gtest.h>

#include "check/surface/drawn.h"
#include "synth/hand_outlines.h"

namespace armslength {
namespace {

using testing::Wear;
using testing::Worn;

struct Told {
  int asked = 0, off = 0;
};

// How often a finding of the left hand is off on traced hands that the view shows.
Told Count(const HandOutlines& hand, const std::string& id, unsigned first, unsigned figures = 40) {
  Told told;
  for (unsigned seed = first; seed < first + figures; ++seed) {
    Worn worn = Wear(seed, {});
    const HandView view = OutlineHand(worn, hand, seed);
    if (!worn.reading.usable || view.facing < 0.5 || view.along < 0.7) continue;
    for (const Finding& f : CheckSurface(worn.marks, worn.reading, nullptr))
      if (f.id == id + ".left") {
        ++told.asked;
        told.off += f.verdict == Verdict::kOff;
      }
  }
  return told;
}

TEST(TracedHands, SoundOnesRaiseHardlyAnAlarm) {
  for (const char* id : {"hand.shape.fingers", "hand.shape.palm", "hand.shape.side", "hand.shape.arc", "hand.size"}) {
    const Told told = Count({}, id, 4000);
    EXPECT_GT(told.asked, 8) << id;
    EXPECT_LE(told.off, 1) << id;
  }
}

TEST(TracedHands, TwiceTheToleranceIsFoundWhereItShows) {
  HandOutlines ring, other, thumb, rake;
  ring.ring_finger = 1.33;
  other.other_hand = thumb.thumb_by_little = rake.rake = true;
  // The side is plain wherever the hand is not seen from its edge; a ring finger may be bent by more than its neighbours.
  for (const auto& [hand, id, least] : {std::tuple{ring, "hand.shape.fingers", 0.8},
                                        {other, "hand.shape.side", 0.95},
                                        {thumb, "hand.shape.side", 0.95},
                                        {rake, "hand.shape.arc", 0.75}}) {
    const Told told = Count(hand, id, 4100);
    EXPECT_GT(told.asked, 8) << id;
    EXPECT_GE(told.off, least * told.asked) << id;
  }
}

// A thumb that points at the eye has no direction, but its place tells the side all the same.
TEST(TracedHands, AThumbThatPointsAtTheEyeStillTellsItsSide) {
  HandOutlines other;
  other.other_hand = true;
  int off = 0;
  for (const unsigned seed : {743004u, 743016u, 743025u}) off += Count(other, "hand.shape.side", seed, 1).off;
  EXPECT_GE(off, 2);
}

// In any pose the size named as the smallest that shows parts the palms called off from those that are not.
TEST(TracedHands, PalmsBelowTheSmallestThatShowsAreOffAndNoOthers) {
  int off = 0, open = 0;
  for (const double factor : {1.0, 1.2, 1.4})
    for (unsigned seed = 4400; seed < 4424; ++seed) {
      HandOutlines fingers;
      fingers.fingers = factor;
      Worn worn = Wear(seed, {});
      OutlineHand(worn, fingers, seed);
      if (!worn.reading.usable) continue;
      for (const Finding& f : CheckSurface(worn.marks, worn.reading, nullptr)) {
        if (f.id != "hand.shape.palm.left") continue;
        const bool below = f.smallest_visible && *f.measured <= *f.smallest_visible;
        EXPECT_EQ(f.verdict == Verdict::kOff, below) << seed << " times " << factor;
        off += below;
        open += f.verdict == Verdict::kCannotTell && f.smallest_visible;
      }
    }
  EXPECT_GT(off, 20);
  EXPECT_GT(open, 5);
}

// Bent fingers and tilted palms included: what they explain is asked for on top.
TEST(TracedHands, FingersFarTooLongForThePalmAreFound) {
  for (const auto& [factor, least] : {std::pair{1.33, 0.75}, {1.6, 0.9}}) {
    HandOutlines fingers;
    fingers.fingers = factor;
    const Told told = Count(fingers, "hand.shape.palm", 4200);
    EXPECT_GT(told.asked, 8);
    EXPECT_GE(told.off, least * told.asked) << factor;
  }
}

}  // namespace
}  // namespace armslength
