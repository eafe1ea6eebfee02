#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <map>

#include <gtest/gtest.h>

#include "check/surface/drawn.h"
#include "check/surface/people.h"
#include "marks/marks_file.h"
#include "picture/picture.h"

namespace armslength {
namespace {

using testing::Wear;
using testing::Worn;

bool Ours(const std::string& id) {
  return id.starts_with("limb.continuity") || id == "limb.thickness.legs" || id == "limb.thickness.neck" || id == "limb.thickness.waist" ||
         id.starts_with("limb.taper") || id.starts_with("hand.");
}

struct Count {
  int off = 0, clear = 0, figures_off = 0;
};

Count Told(const std::string& prefix, const DrawingFaults& faults, unsigned first, unsigned figures) {
  Count c;
  for (unsigned seed = first; seed < first + figures; ++seed) {
    const Worn worn = Wear(seed, faults, 0.5, true);
    bool any = false;
    for (const Finding& f : CheckSurface(worn.marks, worn.reading, nullptr)) {
      if (!Ours(f.id) || !f.id.starts_with(prefix)) continue;
      c.off += f.verdict == Verdict::kOff;
      c.clear += f.verdict == Verdict::kClear;
      any = any || f.verdict == Verdict::kOff;
      EXPECT_TRUE(f.verdict != Verdict::kOff || (!f.guides.empty() && !f.source.empty() && !f.why.empty())) << f.id;
      EXPECT_TRUE(f.verdict != Verdict::kCannotTell || !f.ask.empty()) << f.id;
    }
    c.figures_off += any;
  }
  return c;
}

TEST(Limbs, SoundDrawingsRaiseAlmostNoAlarm) {
  const Count c = Told("", {}, 3600, 30);
  EXPECT_LE(c.figures_off, 1);  // 5 %
  EXPECT_GT(c.clear, 60);
}

TEST(Limbs, ABootBesideItsLegIsFoundAndNotCleared) {
  DrawingFaults faults;
  faults.boot_shift = 0.6 * 0.080;  // of the width at its top
  const Count c = Told("limb.continuity.shin_l", faults, 3650, 16);
  EXPECT_GE(c.off, 5);
  EXPECT_LE(5 * c.clear, c.off);
}

// A rim seen from above or below lies askew to the cuts: either edge jumps at its own place. Each of these was missed for it.
TEST(Limbs, ABootBesideItsLegIsFoundWhereItsRimLiesAskew) {
  int off = 0;
  for (const unsigned seed : {1525055u, 1525069u, 1525040u}) {
    WearOptions options;
    options.seed = seed;
    options.size = 0.5;
    options.change = [](FigureDrawing& d, SynthRandom& random) { d.faults.boot_shift = random.Sign() * 0.6 * 0.080; };
    const Worn worn = armslength::Wear(options);
    for (const Finding& f : CheckSurface(worn.marks, worn.reading, nullptr))
      off += f.id == "limb.continuity.shin_l" && f.verdict == Verdict::kOff;
  }
  EXPECT_EQ(off, 3);
}

TEST(Limbs, AHandBesideItsSleeveIsFoundSometimesAndHardlyEverCleared) {
  DrawingFaults faults;
  faults.hand_shift = 0.8 * 0.050;
  const Count c = Told("limb.continuity.forearm_l", faults, 3670, 24);
  EXPECT_GE(c.off, 1);
  EXPECT_LE(c.clear, 3);
}

TEST(Limbs, LegsHalfAsThickAreAnObservation) {
  DrawingFaults faults;
  faults.leg_girth = {0.45, 0.45};
  int off = 0;
  for (unsigned seed = 3690; seed < 3702; ++seed) {
    const Worn worn = Wear(seed, faults, 0.5, true);
    for (const Finding& f : CheckSurface(worn.marks, worn.reading, nullptr))
      if (f.id == "limb.thickness.legs" && f.verdict == Verdict::kOff) {
        ++off;
        EXPECT_EQ(f.kind, Kind::kTaste);
      }
  }
  EXPECT_GE(off, 3);
}

// The traced contour pushed out along the lower shin, like a flare.
TEST(Limbs, ABareShinThatWidensIsAFaultAFlaredTrouserLegIsNot) {
  int narrow = 0, bare_off = 0, clothed_off = 0, clothed_open = 0;
  for (unsigned seed = 3740; seed < 3764; ++seed) {
    Worn worn = Wear(seed, {}, 0.5, true);
    const auto taper = [&] {
      for (const Finding& f : CheckSurface(worn.marks, worn.reading, nullptr))
        if (f.id == "limb.taper.shin_l") return f.verdict;
      return Verdict::kCannotTell;
    };
    if (taper() != Verdict::kClear) continue;
    ++narrow;
    const Vec2 knee = worn.marks.points[PointId::kKneeL], ankle = worn.marks.points[PointId::kAnkleL];
    const Vec2 dir = (ankle - knee).normalized(), across(-dir.y(), dir.x());
    for (Area& area : worn.marks.areas) {
      if (area.kind != "figure") continue;
      for (Vec2& p : area.outline) {
        const double t = (p - knee).dot(dir) / (ankle - knee).norm(), aside = (p - knee).dot(across);
        if (t > 0.45 && t < 0.95 && std::abs(aside) < 0.07 * worn.reading.camera.scale_px)
          p += across * aside * std::min(0.9, 4.0 * (t - 0.45));
      }
    }
    const Verdict clothed = taper();
    clothed_off += clothed == Verdict::kOff;
    clothed_open += clothed == Verdict::kCannotTell;
    worn.marks.areas.push_back({"bare leg", "skin", "shin_l", {knee, ankle, ankle + across}});
    bare_off += taper() == Verdict::kOff;
  }
  EXPECT_GT(narrow, 5);
  EXPECT_EQ(clothed_off, 0);
  EXPECT_GT(clothed_open, 2);
  EXPECT_GT(bare_off, 1);
}

// --- hands -------------------------------------------------------------------------------------

struct HandPlan {
  bool left = true, palm = false;
  bool name_side = true;
  std::array<double, 5> length{0.30, 0.40, 0.445, 0.41, 0.325};  // thumb first, of the hand
  double knuckle = 0.0;  // distance of the knuckles from the wrist, of the hand; 0: 0.46
  bool thumb_other_side = false;
};

// Fingers as an artist outlines them: slim boxes with round ends, points off by half a percent of the hand.
Worn WithHand(unsigned seed, const HandPlan& plan) {
  static const Worn* figure = new Worn(Wear(3871, {}, 0.25, false));
  Worn worn = *figure;
  SynthRandom random(seed, 5);
  const PointId w = plan.left ? PointId::kWristL : PointId::kWristR;
  const Vec2 wrist = worn.marks.points[w];
  const double h = 400.0, turn = random.Uniform(0, 2 * M_PI);
  const Vec2 way(std::cos(turn), std::sin(turn));
  // Seen from its back a left hand with fingers up (0, -1) has its thumb at the right (1, 0).
  const double sign = (plan.left != plan.palm) != plan.thumb_other_side ? 1.0 : -1.0;
  const Vec2 thumb_way = sign * Vec2(-way.y(), way.x());
  const std::string on = plan.left ? "hand_l" : "hand_r";
  const auto add = [&](const char* name, const Vec2& root, const Vec2& dir, double length) {
    Area area{name, "part", on, {}};
    const Vec2 side(-dir.y(), dir.x());
    const double r = 0.05 * h;
    for (int i = 0; i < 24; ++i) {
      const double a = 2 * M_PI * i / 24;
      const double along = i < 12 ? length - r : r;
      area.outline.push_back(root + dir * (along + r * std::sin(a)) + side * (r * std::cos(a)) +
                             0.005 * h * Vec2(random.Normal(), random.Normal()));
    }
    worn.marks.areas.push_back(std::move(area));
  };
  constexpr std::array<const char*, 5> names{"thumb", "Index finger", "middle finger", "ring", "little finger"};
  constexpr std::array<double, 5> across{0.20, 0.15, 0.05, -0.05, -0.15}, lower{0.0, 0.01, 0.0, 0.01, 0.04};
  const double knuckle = plan.knuckle > 0 ? plan.knuckle : 0.46;
  for (std::size_t i = 0; i < 5; ++i) {
    const double side = plan.thumb_other_side && i > 0 ? -across[i] : across[i];
    // With the thumb on the other side the row of fingers stays as it was.
    const Vec2 root = wrist + way * (h * (i == 0 ? 0.18 : knuckle - lower[i])) + thumb_way * (h * side);
    const Vec2 dir = i == 0 ? (0.75 * way + 0.55 * thumb_way).normalized() : way;
    add(names[i], root, dir, plan.length[i] * h);
  }
  if (plan.name_side) add(plan.palm ? "palm" : "back", wrist, way, 0.45 * h);
  return worn;
}

std::map<std::string, Finding> Hands(const Worn& worn) {
  std::map<std::string, Finding> out;
  for (const Finding& f : CheckSurface(worn.marks, worn.reading, nullptr))
    if (f.id.starts_with("hand.shape")) out[f.id] = f;
  return out;
}

TEST(Hands, SoundOnesAreClearedEitherWayRound) {
  int off = 0, clear = 0;
  for (unsigned seed = 3800; seed < 3820; ++seed)
    for (const bool left : {true, false})
      for (const bool palm : {true, false}) {
        HandPlan plan;
        plan.left = left;
        plan.palm = palm;
        if (palm) plan.knuckle = 0.59;
        for (const auto& [id, f] : Hands(WithHand(seed, plan))) {
          off += f.verdict == Verdict::kOff;
          clear += f.verdict == Verdict::kClear && id.find(".side.") != std::string::npos;
          EXPECT_NE(f.verdict, Verdict::kOff) << id << f.why;
        }
      }
  EXPECT_EQ(off, 0);
  EXPECT_EQ(clear, 80);
}

TEST(Hands, ALeftHandOnARightArmIsTold) {
  for (unsigned seed = 3830; seed < 3840; ++seed) {
    HandPlan plan;
    plan.palm = seed % 2;
    Worn worn = WithHand(seed, plan);
    // The same outlines, said to be the other hand.
    const Vec2 shift = worn.marks.points[PointId::kWristR] - worn.marks.points[PointId::kWristL];
    for (Area& area : worn.marks.areas) {
      area.on = "hand_r";
      for (Vec2& p : area.outline) p += shift;
    }
    auto hands = Hands(worn);
    ASSERT_TRUE(hands.contains("hand.shape.side.right"));
    EXPECT_EQ(hands["hand.shape.side.right"].verdict, Verdict::kOff);
    EXPECT_FALSE(hands["hand.shape.side.right"].guides.empty());
  }
}

TEST(Hands, WithoutPalmOrBackTheSideCannotBeTold) {
  HandPlan plan;
  plan.name_side = false;
  auto hands = Hands(WithHand(3845, plan));
  EXPECT_EQ(hands["hand.shape.side.left"].verdict, Verdict::kCannotTell);
  EXPECT_NE(hands["hand.shape.side.left"].ask.find("palm"), std::string::npos);
}

TEST(Hands, AThumbAtTheLittleFingerIsTold) {
  HandPlan plan;
  plan.thumb_other_side = true;
  plan.name_side = false;
  EXPECT_EQ(Hands(WithHand(3846, plan))["hand.shape.side.left"].verdict, Verdict::kOff);
}

TEST(Hands, AFingerFarTooLongIsFound) {
  int off = 0;
  for (unsigned seed = 3850; seed < 3860; ++seed) {
    HandPlan plan;
    plan.length[3] = 0.60;
    auto hands = Hands(WithHand(seed, plan));
    off += hands["hand.shape.fingers.left"].verdict == Verdict::kOff;
  }
  EXPECT_GE(off, 8);
}

TEST(Hands, FingersTooLongForThePalmAreFound) {
  int off = 0;
  for (unsigned seed = 3860; seed < 3870; ++seed) {
    HandPlan plan;
    plan.length = {0.45, 0.72, 0.80, 0.74, 0.58};
    plan.knuckle = 0.40;
    off += Hands(WithHand(seed, plan))["hand.shape.palm.left"].verdict == Verdict::kOff;
  }
  EXPECT_GE(off, 8);
}

// The smallest short palm that a finding names is one that shows: the same hand with its knuckles set there is called off, and set a
// little higher it is not.
TEST(Hands, TheSmallestShortPalmIsWhereItShows) {
  int named = 0, open = 0;
  for (unsigned seed = 3880; seed < 3900; ++seed)
    for (const bool palm : {true, false}) {
      const auto with = [&](double ratio) {
        HandPlan plan;
        plan.palm = palm;
        const double whole = 0.905, finger = whole / (1.0 + ratio);
        plan.knuckle = whole - finger;
        for (double& length : plan.length) length *= finger / 0.445;
        return Hands(WithHand(seed, plan)).at("hand.shape.palm.left");
      };
      const Finding drawn = with(palm ? 1.3 : 0.9);
      ASSERT_TRUE(drawn.measured && drawn.expected);
      ASSERT_NE(drawn.verdict, Verdict::kOff) << drawn.why;
      open += drawn.verdict == Verdict::kCannotTell;
      if (!drawn.smallest_visible) continue;
      ++named;
      EXPECT_LT(*drawn.smallest_visible, *drawn.measured);
      // Beyond the tolerance, but for what this finger differs from the mean of all, which the odds go by.
      EXPECT_LT(*drawn.smallest_visible, 1.03 * *drawn.expected / 1.15);
      const double scale = (palm ? 1.3 : 0.9) / *drawn.measured;  // as planned over as read
      EXPECT_EQ(with(0.97 * *drawn.smallest_visible * scale).verdict, Verdict::kOff) << *drawn.smallest_visible;
      EXPECT_NE(with(1.03 * *drawn.smallest_visible * scale).verdict, Verdict::kOff) << *drawn.smallest_visible;
    }
  EXPECT_GT(named, 35);
  EXPECT_GT(open, 0);
}

TEST(Hands, CurledFingersTellNothing) {
  HandPlan plan;
  plan.length = {0.14, 0.14, 0.14, 0.14, 0.14};
  for (const auto& [id, f] : Hands(WithHand(3870, plan))) EXPECT_EQ(f.verdict, Verdict::kCannotTell) << id;
}

// 200 people of the US Army survey 2012 (NATICK/TR-15/007), palm up: from the wrist's crease to the middle finger's root
// is `palmlength`, to its tip `handlength`. None of them has a palm that is off.
TEST(Hands, MeasuredPalmsAreNotOff) {
  int people = 0, clear = 0;
  for (const auto& person : testing::People()) {
    if (++people % 5 != 0) continue;
    HandPlan plan;
    plan.palm = true;
    plan.knuckle = person.at("palmlength") / person.at("handlength");
    plan.length[2] = 1.0 - plan.knuckle;
    for (std::size_t i : {1, 3, 4}) plan.length[i] *= plan.length[2] / 0.445;
    const auto hands = Hands(WithHand(3900 + static_cast<unsigned>(people), plan));
    const Finding& f = hands.at("hand.shape.palm.left");
    EXPECT_NE(f.verdict, Verdict::kOff) << f.why;
    clear += f.verdict == Verdict::kClear;
  }
  EXPECT_EQ(people, 200);
  EXPECT_GE(clear, 30);  // of 40; the wrist's mark is off by 1 % of stature
}

TEST(Hands, NoOutlinesNoFinding) { EXPECT_TRUE(Hands(Wear(3871, {}, 0.25, false)).empty()); }

// Drawings by others with nothing wrong about limbs, hands and soles to the eye; credits in tests/data/proposal.
// Two sides of one drawn figure may truly differ, and cloth bunches: of the 67 here an eye finds two such pairs.
TEST(Limbs, DrawingsByOthersRaiseNoSillyClaim) {
  int read = 0, said = 0, pairs = 0;
  std::vector<std::filesystem::path> files;
  for (const char* folder : {"/proposal", "/proposal_more"})
    for (const auto& entry : std::filesystem::directory_iterator(std::string(AL_TEST_DATA) + folder)) files.push_back(entry.path());
  for (const std::filesystem::path& file : files) {
    const std::string path = file.string();
    if (!path.ends_with(".marks.json")) continue;
    const auto marks = LoadMarks(path);
    const auto picture = LoadPicture(path.substr(0, path.size() - 11) + ".png");
    if (!marks || !picture) continue;
    for (const FigureMarks& figure : marks->figures) {
      BodyReadingOptions options;
      options.scan_hypotheses = false;
      options.find_helpful_mark = false;
      const auto reading = ReadBody(figure, nullptr, options);
      if (!reading || !reading->usable) continue;
      ++read;
      for (const Finding& f : CheckSurface(figure, *reading, &*picture)) {
        pairs += f.verdict == Verdict::kOff && f.id.starts_with("limb.thickness.pair");
        if (f.id == "limb.thickness.legs") {
          EXPECT_GT(f.measured.value_or(1.0), 0.3) << path;  // a gap between lines is no leg
        }
        if (!Ours(f.id)) continue;
        ++said;
        EXPECT_FALSE(f.verdict == Verdict::kOff && f.kind != Kind::kTaste) << path << " " << f.id << ": " << f.title << " " << f.why;
        if (std::getenv("AL_SHOW")) std::printf("%s %s %s: %s\n", file.filename().c_str(), f.id.c_str(), std::string(Name(f.verdict)).c_str(), f.why.c_str());
      }
    }
  }
  EXPECT_GT(read, 40);
  EXPECT_GT(said, 40);
  EXPECT_LE(pairs, 2);
}

}  // namespace
}  // namespace armslength
