// Whole picture checks: small drawings with one thing wrong, and drawings by other people.
#include <gtest/gtest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <tuple>

#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>

#include "check/pixels/made_pictures.h"
#include "check/pixels/picture_checks.h"
#include "colour/planes.h"

namespace armslength {
namespace {

// A ring of strokes that swell and thin out, as a brush leaves them: its openings are no slips. The same ring with one even
// line and one opening is.
TEST(PictureChecks, ABrushedOpenLineIsAStyle) {
  const auto ring = [](bool brushed) {
    cv::Mat m(900, 900, CV_8UC3, cv::Scalar::all(255));
    for (int k = 0; k < 3600; ++k) {
      const double a = 2 * std::numbers::pi * k / 3600, in_stroke = std::fmod(k / 450.0, 1.0);  // eight strokes
      if (brushed ? in_stroke > 0.93 : k > 3600 - 30) continue;
      const double half = brushed ? 1.0 + 7.0 * std::sin(std::numbers::pi * in_stroke / 0.93) : 5.0;
      cv::circle(m, {450 + static_cast<int>(300 * std::cos(a)), 450 + static_cast<int>(300 * std::sin(a))}, static_cast<int>(half), cv::Scalar::all(0), cv::FILLED);
    }
    return m;
  };
  const PictureReport brushed = Check(ring(true)), even = Check(ring(false));
  ASSERT_NE(Find(brushed, "line.gaps"), nullptr);
  EXPECT_EQ(Find(brushed, "line.gaps")->verdict, Verdict::kClear);
  ASSERT_NE(Find(even, "line.gaps"), nullptr);
  EXPECT_EQ(Find(even, "line.gaps")->verdict, Verdict::kOff);
}

TEST(PictureChecks, WhatIsMeantStaysMeant) {
  PictureCheckOptions options;
  options.meant = {"line"};
  const PictureReport report = Check(Egg(3.0), options);
  const Finding* gaps = Find(report, "line.gaps");
  ASSERT_NE(gaps, nullptr);
  EXPECT_TRUE(gaps->meant);
}

TEST(PictureChecks, ASketchMaySearch) {
  PictureCheckOptions options;
  options.stage = Stage::kSketch;
  const PictureReport report = Check(Egg(3.0), options);
  EXPECT_EQ(Find(report, "line.gaps"), nullptr);
  EXPECT_EQ(Find(report, "line.wobble"), nullptr);
  EXPECT_TRUE(std::ranges::any_of(report.notes, [](const std::string& n) { return n.find("sketch stage") != std::string::npos; }));
}

// `n` short arcs that go over the outline again, `off` px outside it; or that lie beside each other, as hatching does.
cv::Mat GoneOver(int n, int off, bool hatching) {
  cv::Mat m = Egg(0);
  for (int i = 0; i < n; ++i) {
    const int r = hatching ? 120 + 12 * i : 200 + off, from = hatching ? 60 : 20 + 320 * i / n;
    cv::ellipse(m, cv::Point(350, 450), cv::Size(r, hatching ? 200 + 12 * i : 320 + off), 0, from, from + 24, cv::Scalar(15, 10, 10), 4,
                cv::LINE_AA);
  }
  return m;
}

TEST(PictureChecks, AFewSecondStrokesAlongAContourAreFound) {
  const PictureReport doubled = Check(GoneOver(4, 10, false)), hatched = Check(GoneOver(5, 0, true)), far = Check(GoneOver(4, 30, false));
  const Finding* found = Find(doubled, "line.doubled");
  ASSERT_NE(found, nullptr);
  EXPECT_EQ(found->verdict, Verdict::kOff);
  EXPECT_EQ(*found->measured, 4) << found->why;
  for (const PictureReport* sound : {&hatched, &far}) {
    ASSERT_NE(Find(*sound, "line.doubled"), nullptr);
    EXPECT_EQ(Find(*sound, "line.doubled")->verdict, Verdict::kClear);
  }
}

TEST(PictureChecks, StrayMarksAreListed) {
  cv::Mat m = Egg(0);
  for (const cv::Point p : {cv::Point(60, 60), cv::Point(640, 80), cv::Point(70, 840), cv::Point(630, 830)})
    cv::line(m, p, p + cv::Point(7, 4), cv::Scalar(20, 20, 20), 3, cv::LINE_AA);
  const PictureReport report = Check(m);
  const Finding* strays = Find(report, "line.strays");
  ASSERT_NE(strays, nullptr);
  EXPECT_EQ(strays->verdict, Verdict::kOff);
  EXPECT_EQ(strays->where.points.size(), 4u);
}

TEST(PictureChecks, AFigureThatKissesTheFrameIsFound) {
  cv::Mat m(900, 700, CV_8UC3, cv::Scalar(240, 235, 230));
  cv::ellipse(m, cv::Point(350, 452), cv::Size(240, 446), 0, 0, 360, cv::Scalar(60, 80, 150), cv::FILLED,
              cv::LINE_AA);  // 2 to 6 px from the frame
  const PictureReport report = Check(m);
  const Finding* tangents = Find(report, "composition.tangents");
  ASSERT_NE(tangents, nullptr);
  EXPECT_EQ(tangents->verdict, Verdict::kOff);
}

TEST(PictureChecks, MarginsAreThePagesNotACutOuts) {
  const cv::Mat egg = Egg(0);  // 400 x 640 px in the middle of 700 x 900
  const auto margins = [&](const cv::Rect& page) {
    const PictureReport report = Check(egg(page).clone());
    const Finding* f = Find(report, "composition.margins");
    EXPECT_NE(f, nullptr);
    return f ? *f : Finding{};
  };
  // Of a cut-out nothing is asked and nothing kept open: a note says why.
  const auto left_out = [&](const cv::Rect& page) {
    const PictureReport report = Check(egg(page).clone());
    return Find(report, "composition.margins") == nullptr &&
           std::ranges::any_of(report.notes, [](const std::string& note) { return note.find("cut out") != std::string::npos; });
  };
  EXPECT_EQ(margins({0, 0, 700, 900}).verdict, Verdict::kClear);
  EXPECT_EQ(margins({0, 120, 700, 660}).verdict, Verdict::kOff);  // head and foot near the edge, room beside
  EXPECT_TRUE(left_out({138, 118, 424, 664}));
  EXPECT_TRUE(left_out({98, 118, 464, 664}));  // one side further off
  EXPECT_FALSE(left_out({0, 0, 700, 900}));
  const PictureReport cut = Check(egg(cv::Rect(148, 128, 404, 644)).clone());
  const Finding* tangents = Find(cut, "composition.tangents");
  ASSERT_NE(tangents, nullptr);
  EXPECT_EQ(tangents->verdict, Verdict::kClear);  // the egg kisses the rim of its cut-out only
}

TEST(PictureChecks, TheFrameCutsOnlyWhatReachesIt) {
  for (const int bottom : {899, 700}) {  // the figure runs out of the picture, or ends above its edge
    cv::Mat m(900, 700, CV_8UC3, cv::Scalar::all(255));
    cv::rectangle(m, {250, 100}, {450, bottom}, cv::Scalar(60, 80, 150), cv::FILLED);
    FigureMarks figure;
    figure.name = "one";
    figure.points[PointId::kHipL] = {350, 600};
    Marks marks;
    marks.figures = {figure};
    BodyReading reading;
    reading.usable = true;
    reading.camera.scale_px = 1000;
    reading.length[static_cast<std::size_t>(BoneId::kHead)] = 0.13;
    const auto put = [&](PointId id, double x, double y) { reading.joints[static_cast<std::size_t>(id)] = {x / 1000, y / 1000, 0}; };
    for (int i = 0; i < kBodyPointCount; ++i) put(static_cast<PointId>(i), 350, 400);
    put(PointId::kAnkleL, 350, 895);
    put(PointId::kToeL, 350, 960);
    ASSERT_NEAR(reading.JointPx(PointId::kToeL).y(), 960, 1e-6);
    PictureCheckOptions options;
    options.marks = &marks;
    options.readings = {&reading};
    const PictureReport report = Check(m, options);
    const Finding* crop = Find(report, "composition.crop");
    EXPECT_EQ(crop != nullptr, bottom == 899);
    if (crop != nullptr) {
      EXPECT_EQ(crop->verdict, Verdict::kOff);
    }
  }
}

TEST(PictureChecks, WeakGreyReadIsFoundByLightnessNotByHue) {
  // Red, green and blue patches of nearly one L*: loud in colour, mud in grey. CIE L* 53 to 55 by the
  // sRGB primaries' luminances (IEC 61966-2-1).
  cv::Mat m(600, 600, CV_8UC3, cv::Scalar(0, 0, 255));
  m(cv::Rect(200, 0, 200, 600)).setTo(cv::Scalar(0, 148, 0));
  m(cv::Rect(400, 0, 200, 600)).setTo(cv::Scalar(255, 110, 110));
  const PictureReport report = Check(m);
  const Finding* groups = Find(report, "value.groups");
  ASSERT_NE(groups, nullptr);
  EXPECT_EQ(groups->verdict, Verdict::kOff);
  cv::Mat clear = m.clone();
  clear(cv::Rect(0, 0, 200, 600)).setTo(cv::Scalar(20, 20, 20));
  clear(cv::Rect(400, 0, 200, 600)).setTo(cv::Scalar(250, 250, 250));
  const PictureReport good = Check(clear);
  ASSERT_NE(Find(good, "value.groups"), nullptr);
  EXPECT_EQ(Find(good, "value.groups")->verdict, Verdict::kClear);
}

TEST(PictureChecks, ASilhouetteInOneToneHasNoValuesToGroup) {
  cv::Mat m(600, 600, CV_8UC3, cv::Scalar(255, 255, 255));
  cv::ellipse(m, {300, 300}, {110, 240}, 0, 0, 360, cv::Scalar(200, 100, 10), cv::FILLED, cv::LINE_AA);
  EXPECT_EQ(Find(Check(m), "value.groups"), nullptr);
  m = cv::Scalar(255, 255, 255);
  cv::ellipse(m, {300, 300}, {110, 240}, 0, 0, 360, cv::Scalar(200, 100, 10), cv::FILLED);
  cv::ellipse(m, {300, 230}, {80, 80}, 0, 0, 360, cv::Scalar(220, 124, 40), cv::FILLED);  // a second, near tone is a weak read
  const PictureReport two = Check(m);
  ASSERT_NE(Find(two, "value.groups"), nullptr);
  EXPECT_EQ(Find(two, "value.groups")->verdict, Verdict::kOff);
}

TEST(PictureChecks, SwatchesAreComparedInCiede2000) {
  cv::Mat m(600, 600, CV_8UC3, cv::Scalar(255, 255, 255));
  cv::circle(m, {300, 300}, 200, cv::Scalar(60, 90, 200), cv::FILLED, cv::LINE_AA);
  PictureCheckOptions options;
  options.swatches = {{"coat", {200, 90, 60}}};
  const PictureReport same = Check(m, options);
  ASSERT_NE(Find(same, "colour.swatches"), nullptr);
  EXPECT_EQ(Find(same, "colour.swatches")->verdict, Verdict::kClear);
  EXPECT_LT(*Find(same, "colour.swatches")->measured, 0.5);
  options.swatches = {{"coat", {200, 60, 60}}};
  const PictureReport moved = Check(m, options);
  EXPECT_EQ(Find(moved, "colour.swatches")->verdict, Verdict::kOff);
}

// A skirt with buttons and two legs, dark along one side or along both; `small`: the shadow only on two buttons.
cv::Mat Skirt(bool one_side, bool both_sides, bool small) {
  cv::Mat m(900, 700, CV_8UC3, cv::Scalar(235, 240, 240));
  const cv::Scalar light(150, 110, 60), dark(110, 75, 40), ink(20, 15, 15);
  const auto form = [&](const std::vector<cv::Point>& shape, int width) {
    cv::Mat inside(m.size(), CV_8U, cv::Scalar(0));
    cv::fillPoly(inside, std::vector<std::vector<cv::Point>>{shape}, cv::Scalar(255));
    m.setTo(light, inside);
    for (const int side : {-1, 1}) {
      if (!both_sides && (side < 0 || !one_side)) continue;
      cv::Mat moved, band;
      cv::warpAffine(inside, moved, cv::Matx23d(1, 0, -side * 0.25 * width, 0, 1, 0), m.size());
      cv::bitwise_and(inside, ~moved, band);
      m.setTo(dark, band);
    }
    cv::polylines(m, std::vector<std::vector<cv::Point>>{shape}, true, ink, 5, cv::LINE_AA);
  };
  form({{230, 500}, {330, 500}, {320, 840}, {250, 840}}, 80);
  form({{370, 500}, {470, 500}, {450, 840}, {380, 840}}, 80);
  form({{280, 60}, {420, 60}, {540, 520}, {160, 520}}, 260);
  for (const int y : {180, 260, 340}) {
    cv::circle(m, {350, y}, 16, cv::Scalar(60, 190, 230), cv::FILLED, cv::LINE_AA);
    if (small) cv::circle(m, {350, y}, 11, cv::Scalar(40, 150, 190), 8, cv::LINE_AA);
    cv::circle(m, {350, y}, 16, ink, 4, cv::LINE_AA);
  }
  return m;
}

TEST(PictureChecks, FormsDarkAlongBothSidesAreFoundWhateverTheirShape) {
  const PictureReport pillow = Check(Skirt(false, true, false)), lit = Check(Skirt(true, false, true));
  ASSERT_NE(Find(pillow, "value.pillow"), nullptr);
  EXPECT_EQ(Find(pillow, "value.pillow")->verdict, Verdict::kOff);
  EXPECT_GT(*Find(pillow, "value.pillow")->measured, 0.9);
  ASSERT_NE(Find(lit, "value.pillow"), nullptr);
  EXPECT_EQ(Find(lit, "value.pillow")->verdict, Verdict::kClear);
}

// Two balls with a dark rim all round, from `dark` to `light` over `soft` px.
cv::Mat Rimmed(double dark, double light, double soft) {
  cv::Mat m(800, 900, CV_8UC3, cv::Scalar::all(255));
  for (const cv::Point at : {cv::Point(250, 400), cv::Point(640, 400)})
    for (int r = 180; r > 0; r -= 2) {
      const double t = std::clamp((180.0 - r - (90.0 - soft)) / soft, 0.0, 1.0);
      cv::circle(m, at, r, cv::Scalar::all(dark + t * (light - dark)), cv::FILLED, cv::LINE_AA);
    }
  return m;
}

TEST(PictureChecks, InkOnPaperIsNoShading) {
  const PictureReport pillow = Check(Rimmed(70, 190, 90)), ink = Check(Rimmed(0, 250, 4));
  const Finding* soft = Find(pillow, "value.pillow");
  ASSERT_NE(soft, nullptr);
  EXPECT_EQ(soft->verdict, Verdict::kOff);
  const Finding* black = Find(ink, "value.pillow");
  EXPECT_TRUE(black == nullptr || black->verdict != Verdict::kOff);
}

TEST(PictureChecks, FlatFillsNeedNoSoftEdges) {
  cv::Mat flat(800, 900, CV_8UC3, cv::Scalar::all(255)), shaded;
  for (int i = 0; i < 4; ++i) {
    cv::circle(flat, {220 + 140 * i, 400}, 120, cv::Scalar(200 - 30 * i, 60 + 40 * i, 40), cv::FILLED, cv::LINE_AA);
  }
  shaded = flat.clone();
  for (int y = 0; y < flat.rows; ++y)
    for (int x = 0; x < flat.cols; ++x)
      if (flat.at<cv::Vec3b>(y, x) != cv::Vec3b(255, 255, 255))
        for (int k = 0; k < 3; ++k) shaded.at<cv::Vec3b>(y, x)[k] = cv::saturate_cast<std::uint8_t>(flat.at<cv::Vec3b>(y, x)[k] * (0.5 + 0.001 * (y - 280)));
  EXPECT_EQ(Find(Check(flat), "value.edges"), nullptr);
  const PictureReport report = Check(shaded);
  const Finding* edges = Find(report, "value.edges");
  ASSERT_NE(edges, nullptr);
  EXPECT_EQ(edges->verdict, Verdict::kOff);
  EXPECT_EQ(edges->kind, Kind::kTaste);
}

// The isoperimetric inequality: of all shapes of one area the disc has the shortest border, so the same shadow in n equal
// discs has sqrt(n) times the border of one; a hundred spots can never be as short as a crescent.
TEST(PictureChecks, ShadowsInManySpotsAreNoticedCrescentsAreNot) {
  const PictureReport sound = Check(Balls(0));
  const Finding* clear = Find(sound, "value.shadow_shapes");
  ASSERT_NE(clear, nullptr);
  EXPECT_EQ(clear->verdict, Verdict::kClear);
  EXPECT_DOUBLE_EQ(*clear->measured, 0.0);
  cv::Mat m = Balls(0);
  for (int i = 0; i < 6; ++i)
    for (int k = 0; k < 40; ++k) {  // an even spiral of spots, light and dark by turns
      const double r = 105 * std::sqrt((k + 0.5) / 40), a = 2.39996 * k;
      const cv::Point at(180 + 320 * (i % 3) + static_cast<int>(r * std::cos(a)), 240 + 420 * (i / 3) + static_cast<int>(r * std::sin(a)));
      cv::circle(m, at, 9, k % 2 == 0 ? cv::Scalar(70, 80, 140) : cv::Scalar(105, 120, 205), cv::FILLED, cv::LINE_AA);
    }
  const PictureReport spots = Check(m);
  const Finding* broken = Find(spots, "value.shadow_shapes");
  ASSERT_NE(broken, nullptr);
  EXPECT_EQ(broken->verdict, Verdict::kOff);
  EXPECT_EQ(broken->kind, Kind::kTaste) << "a print looks the same";
  EXPECT_EQ(broken->where.points.size(), 6u);
}

TEST(PictureChecks, WhatWorksIsSaidAndOnlyThat) {
  const PictureReport one = Check(Balls(0)), two = Check(Balls(3));
  ASSERT_NE(Find(one, "value.keep.light"), nullptr);
  EXPECT_EQ(Find(one, "value.keep.light")->kind, Kind::kKeep);
  EXPECT_EQ(Find(two, "value.keep.light"), nullptr);
  // Three bands 25 and more L* apart on white, one pale: the middle grey of CIE L* is 50 by definition (CIE 15).
  const auto bands = [](int dark, int middle, int light) {
    cv::Mat m(900, 700, CV_8UC3, cv::Scalar(255, 255, 255));
    cv::rectangle(m, {200, 100, 300, 230}, cv::Scalar::all(dark), cv::FILLED);
    cv::rectangle(m, {200, 330, 300, 230}, cv::Scalar::all(middle), cv::FILLED);
    cv::rectangle(m, {200, 560, 300, 230}, cv::Scalar::all(light), cv::FILLED);
    return m;
  };
  EXPECT_NE(Find(Check(bands(20, 119, 200)), "value.keep.grey"), nullptr);
  EXPECT_EQ(Find(Check(bands(100, 119, 138)), "value.keep.grey"), nullptr);
}

TEST(PictureChecks, AFigureThatSinksIntoTheGroundIsNoticed) {
  const auto on_ground = [](const cv::Scalar& ground, int own = 120) {
    cv::Mat m(900, 700, CV_8UC3, ground);
    cv::ellipse(m, cv::Point(350, 450), cv::Size(200, 320), 0, 0, 360, cv::Scalar::all(own), cv::FILLED);
    return Check(m);
  };
  // Greys 120 and 133 are CIE L* 50.4 and 55.6, greys 120 and 190 lie 27 apart (IEC 61966-2-1).
  const PictureReport weak = on_ground(cv::Scalar(133, 133, 133)), clear = on_ground(cv::Scalar(190, 190, 190));
  ASSERT_NE(Find(weak, "value.separation"), nullptr);
  EXPECT_EQ(Find(weak, "value.separation")->verdict, Verdict::kOff);
  EXPECT_EQ(Find(weak, "value.separation")->kind, Kind::kTaste);
  EXPECT_FALSE(Find(weak, "value.separation")->where.points.empty());
  ASSERT_NE(Find(clear, "value.separation"), nullptr);
  EXPECT_EQ(Find(clear, "value.separation")->verdict, Verdict::kClear);
  // A pale shape is no bare line drawing: greys 190 and 204 are CIE L* 77.0 and 82.0.
  const PictureReport pale = on_ground(cv::Scalar(204, 204, 204), 190);
  ASSERT_NE(Find(pale, "value.separation"), nullptr);
  EXPECT_EQ(Find(pale, "value.separation")->verdict, Verdict::kOff);
}

TEST(PictureChecks, SaysHowFigureAndBackgroundWereTold) {
  Picture picture;
  picture.image = FromMat(Egg(0));
  for (std::size_t i = 0; i < picture.image.pixels.size(); i += 4)
    if (picture.image.pixels[i] > 250) picture.image.pixels[i + 3] = 0;
  auto alpha = CheckPicture(picture);
  ASSERT_TRUE(alpha);
  EXPECT_EQ(alpha->split.by, SplitBy::kAlpha);
  EXPECT_EQ(Check(Egg(0)).split.by, SplitBy::kFlatBackground);
  cv::Mat noise(400, 400, CV_8UC3);
  cv::randu(noise, 0, 255);
  EXPECT_EQ(Check(noise).split.by, SplitBy::kNone);
}

TEST(PictureChecks, AllViewsAreThereAndRight) {
  const cv::Mat m = Egg(0);
  const PictureReport report = Check(m);
  for (const char* id : {"mirrored", "upside_down", "grey", "groups_2", "groups_3", "groups_4", "groups_5", "blurred", "thumbnail",
                         "silhouette", "line_only", "line_weight", "edges"})
    EXPECT_TRUE(std::ranges::any_of(report.views, [&](const FreshEyeView& v) { return v.id == id; })) << id;
  const ImageRgba8 image = FromMat(m);
  const ImageRgba8 mirrored = MakeView(image, SimpleView::kMirrored);
  EXPECT_EQ(MakeView(mirrored, SimpleView::kMirrored).pixels, image.pixels);
  // Grey keeps L*: the lightness of every pixel is that of the picture, within a rounding step.
  cv::Mat colours(64, 64, CV_8UC3);
  cv::randu(colours, 0, 255);
  const ImageRgba8 source = FromMat(colours), grey = MakeView(source, SimpleView::kGrey);
  std::vector<std::uint8_t> a(64 * 64), b(64 * 64);
  LightnessRow(source.pixels.data(), a.size(), a.data());
  LightnessRow(grey.pixels.data(), b.size(), b.data());
  for (std::size_t i = 0; i < a.size(); ++i) ASSERT_NEAR(a[i], b[i], 2);
}

TEST(PictureChecks, SameForAnyNumberOfThreads) {
  const cv::Mat m = Egg(3.0);
  PictureCheckOptions one;
  one.threads = 1;
  PictureCheckOptions four;
  four.threads = 4;
  const PictureReport a = Check(m, one), b = Check(m, four);
  ASSERT_EQ(a.findings.size(), b.findings.size());
  for (std::size_t i = 0; i < a.findings.size(); ++i) {
    EXPECT_EQ(a.findings[i].id, b.findings[i].id);
    EXPECT_EQ(a.findings[i].measured, b.findings[i].measured);
    EXPECT_EQ(a.findings[i].why, b.findings[i].why);
  }
}

TEST(PictureChecks, StopsWhenAskedAndRefusesNothingness) {
  Picture picture;
  picture.image = FromMat(Egg(0));
  PictureCheckOptions options;
  options.control.stop_requested = [] { return true; };
  const auto stopped = CheckPicture(picture, options);
  ASSERT_FALSE(stopped);
  EXPECT_EQ(stopped.error().kind, ErrorKind::kCancelled);
  const auto empty = CheckPicture(Picture{});
  ASSERT_FALSE(empty);
  EXPECT_EQ(empty.error().kind, ErrorKind::kInput);
}

// Drawings by other people, sound in line: nothing may be called a fault of craft but the one real
// opening in the jacket of b29, seen by eye at (626, 832).
TEST(PictureChecks, OtherPeoplesDrawingsAreLeftInPeace) {
  for (const std::string name :
       {"b16_woman_nurse_gerald_g_01", "b29_karate_kick_frouke_01", "b33_silhouette_female_3", "b49_woman02", "h06_head1"}) {
    SCOPED_TRACE(name);
    const auto picture = LoadPicture(std::string(AL_TEST_DATA) + "/pictures/" + name + ".png");
    ASSERT_TRUE(picture) << picture.error().Text();
    const auto report = CheckPicture(*picture);
    ASSERT_TRUE(report);
    EXPECT_EQ(report->line.line_art, name != "b49_woman02");
    for (const Finding& f : report->findings) {
      if (f.verdict != Verdict::kOff || f.kind == Kind::kTaste) continue;
      EXPECT_TRUE(name.starts_with("b29") && f.id == "line.gaps") << f.id << ": " << f.why;
    }
  }
}

}  // namespace
}  // namespace armslength
