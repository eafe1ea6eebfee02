#include "reading/head/head_reading.h"

#include <algorithm>
#include <cmath>
#include <fstream>
#include <map>
#include <random>
#include <sstream>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "marks/marks_file.h"
#include "reading/head/head_curves.h"
#include "reading/head/head_thresholds.h"
#include "synth/head_figure.h"

namespace armslength {
namespace {

using P = PointId;
using F = HeadFaultKind;
constexpr double kDegrees = 180 / M_PI;

double Median(std::vector<double> v) {
  std::sort(v.begin(), v.end());
  return v.empty() ? NAN : v[v.size() / 2];
}

// Rows of a CSV with # comment lines, by column name.
std::vector<std::map<std::string, std::string>> ReadCsv(const std::string& name) {
  std::ifstream in(std::string(AL_TEST_DATA) + "/face/" + name);
  std::vector<std::map<std::string, std::string>> rows;
  std::vector<std::string> head;
  for (std::string line; std::getline(in, line);) {
    if (line.empty() || line[0] == '#') continue;
    std::vector<std::string> cells;
    std::stringstream cut(line);
    for (std::string c; std::getline(cut, c, ',');) cells.push_back(c);
    if (head.empty()) {
      head = cells;
      continue;
    }
    std::map<std::string, std::string> row;
    for (std::size_t i = 0; i < cells.size() && i < head.size(); ++i) row[head[i]] = cells[i];
    rows.push_back(row);
  }
  return rows;
}

SynthHead Head(unsigned seed, double yaw_low, double yaw_high, SynthHeadMarks marks = SynthHeadMarks::kFull) {
  SynthHeadOptions o;
  o.seed = 7'000'000 + seed;
  o.yaw_low_deg = yaw_low;
  o.yaw_high_deg = yaw_high;
  o.marks = marks;
  return MakeHead(o);
}

// Exact mathematics: a length turned by an angle out of the picture plane shows its cosine.
TEST(HeadPose, TurnShortensAcrossByItsCosine) {
  for (double deg : {0.0, 15.0, 30.0, 45.0, 60.0}) {
    HeadPose pose;
    pose.yaw_rad = deg / kDegrees;
    pose.scale_px = 100;
    const Vec2 a = pose.Project({-0.2, 0.5, 0}), b = pose.Project({0.2, 0.5, 0});
    EXPECT_NEAR((b - a).norm(), 40 * std::cos(pose.yaw_rad), 1e-9);
    // Yaw towards picture right carries the nose there; nodding down lowers it.
    EXPECT_NEAR(pose.Project({0, 0.5, 0.4}).x(), 40 * std::sin(pose.yaw_rad), 1e-9);
  }
  HeadPose nod;
  nod.pitch_rad = 0.3;
  nod.scale_px = 100;
  EXPECT_GT(nod.Project({0, 0.5, 0.4}).y(), 0.0);  // picture y runs down
}

// Far / near eye width in a parallel view of an average head: 10 deg .89, 20 deg .79, 30 deg .69,
// 40 deg .58, each +-.08 by the depth of the eyes (computed for drawing practice from the cosine
// of the turn on a face whose eyes lie about 25 degrees round it).
TEST(HeadModel, FarEyeNarrowsWithTheTurn) {
  const std::vector<std::pair<double, double>> expected = {{10, .89}, {20, .79}, {30, .69}, {40, .58}};
  for (const auto& [turn, ratio] : expected) {
    std::vector<double> ratios;
    for (unsigned seed = 0; seed < 60; ++seed) {
      SynthHeadOptions o;
      o.seed = 100 + seed;
      o.style = SynthHeadStyle::kClassical;
      o.yaw_deg = turn;
      o.pitch_deg = 0;
      o.perspective = false;
      const SynthHead h = MakeHead(o);
      const auto width = [&](P a, P b) { return (h.right_px.at(a) - h.right_px.at(b)).norm(); };
      ratios.push_back(width(P::kEyeLInner, P::kEyeLOuter) / width(P::kEyeRInner, P::kEyeROuter));
    }
    EXPECT_NEAR(Median(ratios), ratio, 0.08) << turn;
  }
}

TEST(HeadReading, PoseComesBackFromFullMarks) {
  std::vector<double> yaw, pitch, roll;
  for (unsigned seed = 0; seed < 80; ++seed) {
    const SynthHead h = Head(seed, 0, 55);
    const auto r = ReadHead(h.marks);
    ASSERT_TRUE(r) << r.error().Text();
    if (!r->usable) continue;
    yaw.push_back(std::abs(r->pose.yaw_rad - h.pose.yaw_rad) * kDegrees);
    pitch.push_back(std::abs(r->pose.pitch_rad - h.pose.pitch_rad) * kDegrees);
    roll.push_back(std::abs(r->pose.roll_rad - h.pose.roll_rad) * kDegrees);
  }
  EXPECT_GE(yaw.size(), 76u);
  EXPECT_LT(Median(yaw), 2.5);
  EXPECT_LT(Median(pitch), 3.0);
  EXPECT_LT(Median(roll), 1.0);
}

TEST(HeadReading, SixMarksGiveAPose) {
  std::vector<double> yaw;
  int wrong_side = 0;
  for (unsigned seed = 0; seed < 60; ++seed) {
    const SynthHead h = Head(1000 + seed, 15, 50, SynthHeadMarks::kSix);
    ASSERT_LE(h.marks.points.size(), 6u);
    const auto r = ReadHead(h.marks);
    ASSERT_TRUE(r) << r.error().Text();
    if (!r->usable) continue;
    yaw.push_back(std::abs(r->pose.yaw_rad - h.pose.yaw_rad) * kDegrees);
    wrong_side += r->pose.yaw_rad * h.pose.yaw_rad < 0;
  }
  EXPECT_GE(yaw.size(), 50u);
  EXPECT_LT(Median(yaw), 9.0);
  EXPECT_LE(wrong_side, 2);
}

TEST(HeadReading, AnyTiltReadsTheSame) {
  SynthHeadOptions o;
  o.seed = 12;
  o.yaw_deg = 25;
  o.pitch_deg = -10;
  o.sigma = 0.0;
  o.roll_deg = 0;
  const auto upright = ReadHead(MakeHead(o).marks);
  o.roll_deg = 170;  // upside down
  const auto turned = ReadHead(MakeHead(o).marks);
  ASSERT_TRUE(upright && upright->usable && turned && turned->usable);
  EXPECT_NEAR(turned->pose.yaw_rad, upright->pose.yaw_rad, 0.01);
  EXPECT_NEAR(std::remainder(turned->pose.roll_rad - upright->pose.roll_rad - 170 / kDegrees, 2 * M_PI), 0.0, 0.01);
}

TEST(HeadReading, SaysWhyItCannot) {
  FigureMarks m;
  auto r = ReadHead(m);
  ASSERT_TRUE(r);
  EXPECT_FALSE(r->usable);
  EXPECT_THAT(r->why_not, testing::HasSubstr("no eye"));
  m = Head(1, 0, 5).marks;
  for (P id : {P::kEyeRInner, P::kEyeROuter, P::kEyeRTop, P::kEyeRBottom}) m.points.erase(id);
  r = ReadHead(m);
  ASSERT_TRUE(r);
  EXPECT_FALSE(r->usable);
  EXPECT_THAT(r->why_not, testing::HasSubstr("profile"));
  m = Head(1, 0, 5).marks;
  for (P id : {P::kContourL, P::kContourR, P::kJawL, P::kJawR}) m.points.erase(id);
  r = ReadHead(m);
  ASSERT_TRUE(r);
  EXPECT_THAT(r->why_not, testing::HasSubstr("edge"));
  EXPECT_FALSE(r->ask.empty());
}

TEST(HeadReading, SwappedSidesAreAnErrorThatSaysSo) {
  FigureMarks m = Head(2, 0, 20).marks, swapped = m;
  for (const auto& [id, at] : m.points) swapped.points[Mirrored(id)] = at;
  const auto r = ReadHead(swapped);
  ASSERT_FALSE(r);
  EXPECT_EQ(r.error().kind, ErrorKind::kInput);
  EXPECT_THAT(r.error().remedy, testing::HasSubstr("swap"));
}

// Fresh seeds; bounds leave room for the small number of heads. The whole table is
// bench/detection_head's.
TEST(HeadFaults, FaultsAreFoundAndNamed) {
  struct Case {
    F kind;
    double amount;
    int at_least;  // of 60, turns 0 to 25 degrees
  };
  for (const Case c : {Case{F::kNoseOffset, .08, 52}, Case{F::kMouthOffset, .05, 46}, Case{F::kEyeLineTilt, 4 / kDegrees, 44},
                       Case{F::kChinOffset, .08, 42}, Case{F::kEyeSpacing, .08, 50}, Case{F::kEyeSize, std::log(.7), 38}}) {
    int found = 0;
    for (unsigned seed = 0; seed < 60; ++seed) {
      SynthHeadOptions o;
      o.seed = 8'000'000 + seed;
      o.yaw_high_deg = 25;
      o.faults = {{c.kind, c.amount}};
      const auto r = ReadHead(MakeHead(o).marks);
      ASSERT_TRUE(r);
      found += r->Fault(c.kind).off || (c.kind == F::kEyeLineTilt && r->Fault(F::kEyeHeight).off);
      EXPECT_FALSE(r->Fault(c.kind).cleared && std::abs(c.amount) > 2 * r->Fault(c.kind).tolerance) << FindingId(c.kind) << " seed " << seed;
    }
    EXPECT_GE(found, c.at_least) << FindingId(c.kind);
  }
}

TEST(HeadFaults, CleanHeadsOfBothStylesStayClean) {
  for (const auto style : {SynthHeadStyle::kClassical, SynthHeadStyle::kLargeEyed}) {
    int off = 0;
    for (unsigned seed = 0; seed < 200; ++seed) {
      SynthHeadOptions o;
      o.seed = 8'500'000 + seed;
      o.style = style;
      const auto r = ReadHead(MakeHead(o).marks);
      ASSERT_TRUE(r);
      off += std::any_of(r->faults.begin(), r->faults.end(), [](const HeadFault& f) { return f.off; });
    }
    EXPECT_LE(off, 20);  // 5 % of 200 with three standard deviations of room
  }
}

// The move that mends is the fault itself, backwards: nothing else is touched.
TEST(HeadFaults, TargetsUndoTheFault) {
  SynthHeadOptions o;
  o.seed = 31;
  o.yaw_deg = 8;
  o.faults = {{F::kNoseOffset, .1}};
  o.sigma = 0.002;
  const SynthHead h = MakeHead(o);
  const auto r = ReadHead(h.marks);
  ASSERT_TRUE(r && r->Fault(F::kNoseOffset).off);
  ASSERT_TRUE(r->target_px.contains(P::kNoseBase));
  EXPECT_LT((r->target_px.at(P::kNoseBase) - h.right_px.at(P::kNoseBase)).norm(), 0.02 * h.pose.scale_px);
  EXPECT_FALSE(r->target_px.contains(P::kChin));
  EXPECT_NEAR(r->Fault(F::kNoseOffset).amount, .1, .02);
}

// Tolerances against the perception thresholds of the 2017 review (Aesthet Surg J 37(4):375) and of
// J Oral Maxillofac Surg 73:1606 (2015), as fractions computed from them.
TEST(HeadTolerances, AgreeWithPublishedThresholds) {
  const auto rows = ReadCsv("face_thresholds_relative.csv");
  ASSERT_GE(rows.size(), 5u);
  std::map<std::string, double> of_width, mm;
  for (const auto& r : rows) {
    of_width[r.at("feature")] = std::stod(r.at("fraction_of_bizygomatic"));
    mm[r.at("feature")] = std::stod(r.at("mm"));
  }
  EXPECT_NEAR(ToleranceOf(F::kNoseOffset).value, of_width.at("nose_tip"), 5e-4);
  EXPECT_NEAR(ToleranceOf(F::kChinOffset).value, of_width.at("chin"), 5e-4);
  EXPECT_NEAR(ToleranceOf(F::kMouthOffset).value, of_width.at("mouth_corner"), 5e-4);
  // A head chin to crown is about 225 mm (from memory; ANSUR II does not have it).
  EXPECT_NEAR(ToleranceOf(F::kEyeHeight).value, mm.at("eyelid") / 225, 5e-4);
  EXPECT_NEAR(ToleranceOf(F::kBrow).value, mm.at("brow") / 225, 1e-3);
  EXPECT_NEAR(ToleranceOf(F::kEyeLineTilt).value * kDegrees, 2.31, 0.01);
  for (int k = 0; k < kHeadFaultCount; ++k) EXPECT_FALSE(ToleranceOf(static_cast<F>(k)).source.empty());
}

// Measured people break the neoclassical canons nearly always (Farkas et al. 1985, Plast Reconstr
// Surg 75:328: the two most frequent canons hold in 40 % and 37 % of 153 adults), so no canon may
// be an absolute. Faces drawn from measured widths (jkamprs 2019, s40902-019-0191-7, men) must not be
// called off, whatever their ratios.
TEST(HeadFaults, MeasuredFacesAreNotFaultyForBreakingCanons) {
  const auto canons = ReadCsv("neoclassical_canons.csv");
  for (const auto& row : canons) {
    if (row.at("canon") == "orbitonasal" || row.at("canon") == "nasofacial") {
      EXPECT_LE(std::stod(row.at("percent_valid_farkas1985")), 40.0);
    }
  }
  std::map<std::string, std::pair<double, double>> men;
  for (const auto& r : ReadCsv("face_ratios_measured.csv"))
    if (r.at("group") == "jkamprs men" && r.contains("sd")) men[r.at("item")] = {std::stod(r.at("mean")), std::stod(r.at("sd"))};
  ASSERT_TRUE(men.contains("intercanthal") && men.contains("eye_fissure") && men.contains("bizygomatic"));
  std::mt19937 rng(77);
  const auto draw = [&](const char* item) { return std::normal_distribution<double>(men.at(item).first, men.at(item).second)(rng); };
  int off = 0, orbital = 0;
  constexpr int kFaces = 150;
  for (int i = 0; i < kFaces; ++i) {
    const double gap = draw("intercanthal"), eye = draw("eye_fissure"), mouth = draw("mouth_width_ch_ch"), width = draw("bizygomatic");
    const double lower = draw("lower_face_sn_me"), middle = draw("midface_g_sn"), forehead = draw("forehead_tr_g");
    orbital += std::abs(gap / eye - 1) < 0.03;
    const double crown = lower + middle + forehead + 30;  // hairline to crown, from memory
    std::normal_distribution<double> n(0, 0.5);           // marking error, mm
    FigureMarks m;
    const auto put = [&](P id, double x, double y) { m.points[id] = {500 + 4 * (x + n(rng)), 1200 - 4 * (y + n(rng))}; };
    const double eye_y = lower + middle - 17;  // below the glabella, from memory
    put(P::kChin, 0, 0); put(P::kCrown, 0, crown); put(P::kNoseBase, 0, lower); put(P::kHairline, 0, lower + middle + forehead);
    for (int s : {1, -1}) {
      const auto id = [&](P l, P r) { return s > 0 ? l : r; };
      put(id(P::kEyeLInner, P::kEyeRInner), s * gap / 2, eye_y);
      put(id(P::kEyeLOuter, P::kEyeROuter), s * (gap / 2 + eye), eye_y + 2);
      put(id(P::kEyeLTop, P::kEyeRTop), s * (gap + eye) / 2, eye_y + 5);
      put(id(P::kEyeLBottom, P::kEyeRBottom), s * (gap + eye) / 2, eye_y - 5);
      put(id(P::kContourL, P::kContourR), s * width / 2, eye_y);
      put(id(P::kMouthL, P::kMouthR), s * mouth / 2, 0.66 * lower);
    }
    put(P::kMouthCentre, 0, 0.66 * lower);
    m.marking_error_px = 2.0;
    const auto r = ReadHead(m);
    ASSERT_TRUE(r) << r.error().Text();
    ASSERT_TRUE(r->usable) << r->why_not;
    off += std::any_of(r->faults.begin(), r->faults.end(), [](const HeadFault& f) { return f.off; });
  }
  EXPECT_LT(orbital, kFaces / 2);  // the canon itself holds in few of them
  EXPECT_LE(off, 15);              // 5 % of 150 with room
}

TEST(HeadCurves, RunThroughTheTrueFeatures) {
  std::vector<double> eyes, middle, mouth;
  for (unsigned seed = 0; seed < 60; ++seed) {
    const SynthHead h = Head(3000 + seed, 0, 50);
    const auto r = ReadHead(h.marks);
    if (!r || !r->usable) continue;
    const HeadCurves c = CurvesOf(r->pose, r->profile);
    for (P id : {P::kEyeLInner, P::kEyeLOuter, P::kEyeRInner, P::kEyeROuter})
      if (h.marks.Has(id)) eyes.push_back(DistanceToCurve(h.right_px.at(id), c.eyes) / h.pose.scale_px);
    for (P id : {P::kNoseBase, P::kMouthCentre, P::kChin}) middle.push_back(DistanceToCurve(h.right_px.at(id), c.middle) / h.pose.scale_px);
    for (P id : {P::kMouthL, P::kMouthR})
      if (h.marks.Has(id)) mouth.push_back(DistanceToCurve(h.right_px.at(id), c.mouth) / h.pose.scale_px);
  }
  EXPECT_LT(Median(eyes), 0.01);
  EXPECT_LT(Median(middle), 0.01);
  EXPECT_LT(Median(mouth), 0.01);
}

// Drawings of others (tests/data/pictures/HEADS.md): the turn that anyone sees, and guide lines that
// sit on the drawn features.
TEST(HeadPictures, ReadingsLandOnTheDrawnHeads) {
  struct Seen {
    const char* file;
    double low, high;  // turn, degrees, + to picture right
  };
  for (const Seen s : {Seen{"h01_adult_astrid_graeber_01", -8, 8}, {"h03_blue_girl_dirk_struve", -15, 8}, {"h05_cm1", -8, 8},
                       {"h06_head1", -60, -12}, {"h08_head3", -60, -12}, {"h12_bach_ganson", -35, 5}, {"h14_handel_ganson", -15, 10},
                       {"h15_man_face_darek_adamkiewi_01", -8, 8}, {"h17_angry_punk_dirk_struve", -50, 10}, {"h21_principessa", 5, 45}}) {
    SCOPED_TRACE(s.file);
    const auto marks = LoadMarks(std::string(AL_TEST_DATA) + "/pictures/" + s.file + ".marks.json");
    ASSERT_TRUE(marks) << marks.error().Text();
    const auto r = ReadHead(marks->figures[0]);
    ASSERT_TRUE(r) << r.error().Text();
    ASSERT_TRUE(r->usable) << r->why_not;
    EXPECT_GE(r->pose.yaw_rad * kDegrees, s.low);
    EXPECT_LE(r->pose.yaw_rad * kDegrees, s.high);
    const HeadCurves c = CurvesOf(r->freed_pose, r->freed_profile);
    std::vector<double> off;
    for (P id : {P::kEyeLInner, P::kEyeLOuter, P::kEyeRInner, P::kEyeROuter})
      off.push_back(DistanceToCurve(marks->figures[0].points.at(id), c.eyes) / r->pose.scale_px);
    EXPECT_LT(Median(off), 0.03);
  }
}

}  // namespace
}  // namespace armslength
