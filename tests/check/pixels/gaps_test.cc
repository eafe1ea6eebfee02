// Openings in the line: found with place and size, and what is none.
#include "check/pixels/made_pictures.h"

namespace armslength {
namespace {

TEST(PictureChecks, AGapIsFoundWithItsPlaceAndSize) {
  // 1.6 degrees of an arc of 320 px: 8.9 px between the middles, less the round ends of the line.
  const PictureReport report = Check(Egg(3.0));
  const Finding* gaps = Find(report, "line.gaps");
  ASSERT_NE(gaps, nullptr);
  EXPECT_EQ(gaps->verdict, Verdict::kOff);
  ASSERT_EQ(gaps->where.points.size(), 1u);
  EXPECT_NEAR(gaps->where.points[0].x(), 550, 4);
  EXPECT_NEAR(gaps->where.points[0].y(), 450, 6);
}

TEST(PictureChecks, AClosedLineIsClear) {
  const PictureReport report = Check(Egg(0));
  const Finding* gaps = Find(report, "line.gaps");
  ASSERT_NE(gaps, nullptr);
  EXPECT_EQ(gaps->verdict, Verdict::kClear);
  for (const char* id : {"line.wobble", "line.doubled", "line.strays"}) {
    const Finding* f = Find(report, id);
    if (f != nullptr) {
      EXPECT_EQ(f->verdict, Verdict::kClear) << id;
    }
  }
}

// A coloured octagon, which turns by 45 degrees a corner; its line is missing for `open_px` on both arms of one corner. `inner`:
// lines in it that end on the outline, as seams do.
cv::Mat Octagon(double open_px, bool inner) {
  cv::Mat m(900, 900, CV_8UC3, cv::Scalar::all(255));
  const cv::Scalar ink(15, 10, 10);
  std::vector<cv::Point2d> at;
  for (int k = 0; k < 8; ++k) at.emplace_back(450 + 300 * std::cos(k * std::numbers::pi / 4 - 0.3), 450 + 300 * std::sin(k * std::numbers::pi / 4 - 0.3));
  std::vector<cv::Point> fill(at.begin(), at.end()), line;
  cv::fillPoly(m, std::vector<std::vector<cv::Point>>{fill}, cv::Scalar(200, 140, 70), cv::LINE_AA);
  // The line runs from one arm of corner 7 round to the other.
  const auto before = [&](std::size_t a, std::size_t b) {
    const cv::Point2d v = at[b] - at[a];
    return at[b] - v * (open_px / std::hypot(v.x, v.y));
  };
  line.emplace_back(before(0, 7));
  for (std::size_t k = 0; k < 7; ++k) line.emplace_back(at[k]);
  line.emplace_back(before(6, 7));
  cv::polylines(m, std::vector<std::vector<cv::Point>>{line}, open_px == 0, ink, 6, cv::LINE_AA);
  cv::ellipse(m, cv::Point(430, 380), cv::Size(60, 30), 0, 0, 360, ink, 6, cv::LINE_AA);
  if (inner) cv::line(m, at[5], {430, 560}, ink, 6, cv::LINE_AA), cv::line(m, (at[2] + at[3]) / 2, {430, 560}, ink, 6, cv::LINE_AA);
  return m;
}

TEST(PictureChecks, AGapRoundACornerOfAColouredFigureIsFound) {
  const PictureReport gap = Check(Octagon(11, false));  // some 14 px from tip to tip, more than two line widths
  const Finding* found = Find(gap, "line.gaps");
  ASSERT_NE(found, nullptr);
  EXPECT_EQ(found->verdict, Verdict::kOff) << found->why;
  ASSERT_EQ(found->where.points.size(), 1u);
  const double corner = 7 * std::numbers::pi / 4 - 0.3;
  EXPECT_NEAR(found->where.points[0].x(), 450 + 300 * std::cos(corner), 8);
  EXPECT_NEAR(found->where.points[0].y(), 450 + 300 * std::sin(corner), 8);
  for (const bool inner : {false, true}) {
    const PictureReport sound = Check(Octagon(0, inner));
    ASSERT_NE(Find(sound, "line.gaps"), nullptr);
    EXPECT_EQ(Find(sound, "line.gaps")->verdict, Verdict::kClear) << Find(sound, "line.gaps")->why;
  }
}

// The same, open on one arm only: that end points straight at the corner, the other 35 degrees past it.
TEST(PictureChecks, AGapBesideACornerIsFound) {
  const auto body = [](bool open) {
    cv::Mat m(900, 900, CV_8UC3, cv::Scalar::all(255));
    const std::vector<cv::Point> corners = {{250, 300}, {250, 700}, {550, 700}, {550, 136}, {365, 136}};
    cv::fillPoly(m, std::vector<std::vector<cv::Point>>{corners}, cv::Scalar(200, 140, 70), cv::LINE_AA);
    std::vector<cv::Point> line = corners;
    line.push_back(corners[0]);
    if (open) line[0] += cv::Point(0, 14);  // less the round ends of the line: 8 px
    cv::polylines(m, std::vector<std::vector<cv::Point>>{line}, false, cv::Scalar(15, 10, 10), 6, cv::LINE_AA);
    return Check(m);
  };
  const PictureReport open = body(true), sound = body(false);
  ASSERT_NE(Find(open, "line.gaps"), nullptr);
  EXPECT_EQ(Find(open, "line.gaps")->verdict, Verdict::kOff) << Find(open, "line.gaps")->why;
  ASSERT_NE(Find(sound, "line.gaps"), nullptr);
  EXPECT_EQ(Find(sound, "line.gaps")->verdict, Verdict::kClear) << Find(sound, "line.gaps")->why;
}

// Inside a coloured figure 8 px lie between two strokes. Where they are one contour between two fills it is open; two folds that point at
// each other are thinner than contours are, run out at their far ends, or have one colour on both sides but for a print that ends there.
TEST(PictureChecks, FoldsThatPointAtEachOtherAreNoGap) {
  enum class Strokes { kContour, kThin, kRunningOut, kOnPrint };
  const auto called = [](Strokes strokes) {
    cv::Mat m(900, 900, CV_8UC3, cv::Scalar::all(255));
    const cv::Scalar ink(15, 10, 10), cream(190, 225, 245), red(60, 70, 200);
    cv::rectangle(m, {200, 200}, {700, 700}, cream, cv::FILLED);
    if (strokes == Strokes::kOnPrint)
      cv::rectangle(m, {438, 450}, {462, 500}, red, cv::FILLED);
    else
      cv::rectangle(m, {200, 450}, {700, 700}, red, cv::FILLED);
    cv::rectangle(m, {200, 200}, {700, 700}, ink, 6);
    for (const int x : {300, 450, 600}) {  // buttons, so that the drawing has even closed lines and colours enough
      cv::ellipse(m, {x, 310}, {60, 50}, 0, 0, 360, cv::Scalar(180, 120, 60), cv::FILLED);
      cv::ellipse(m, {x, 310}, {60, 50}, 0, 0, 360, ink, 6, cv::LINE_AA);
    }
    const int far = strokes == Strokes::kContour ? 0 : 100, half = strokes == Strokes::kThin ? 1 : 3, thin = strokes == Strokes::kRunningOut ? 0 : half;
    const std::vector<std::vector<cv::Point>> both = {{{200 + far, 450 - thin}, {445, 450 - half}, {445, 450 + half}, {200 + far, 450 + thin}},
                                                      {{700 - far, 450 - thin}, {454, 450 - half}, {454, 450 + half}, {700 - far, 450 + thin}}};
    for (const auto& stroke : both) cv::fillPoly(m, std::vector<std::vector<cv::Point>>{stroke}, ink);
    const PictureReport report = Check(m);
    const Finding* f = Find(report, "line.gaps");
    EXPECT_NE(f, nullptr);
    return f != nullptr && f->verdict == Verdict::kOff;
  };
  EXPECT_TRUE(called(Strokes::kContour));
  EXPECT_FALSE(called(Strokes::kThin));
  EXPECT_FALSE(called(Strokes::kRunningOut));
  EXPECT_FALSE(called(Strokes::kOnPrint));
}

}  // namespace
}  // namespace armslength
