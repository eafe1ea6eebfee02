// Light from one place or from two, told from the forms alone.
#include "check/pixels/made_pictures.h"

namespace armslength {
namespace {

TEST(PictureChecks, FormsLitFromBothSidesAreFound) {
  const PictureReport sound = Check(Balls(0)), mixed = Check(Balls(3));
  ASSERT_NE(Find(sound, "value.light"), nullptr);
  EXPECT_EQ(Find(sound, "value.light")->verdict, Verdict::kClear);
  const Finding* two = Find(mixed, "value.light");
  ASSERT_NE(two, nullptr);
  EXPECT_EQ(two->verdict, Verdict::kOff);
  EXPECT_EQ(two->where.points.size(), 3u);
  // The lights lie at (45, -20) and (-45, -20): 132 degrees apart; each is read to about 15 degrees.
  EXPECT_NEAR(*two->measured, 132, 30);
}

// A limb in two tones whose lit part is the limb moved by `lift`: shadow lies along the other sides.
void DrawLimb(cv::Mat& m, const cv::Point& from, const cv::Point& to, const Vec2& lift) {
  cv::Mat limb(m.size(), CV_8U, cv::Scalar(0)), lit;
  cv::line(limb, from, to, cv::Scalar(255), 90);
  cv::warpAffine(limb, lit, cv::Matx23d(1, 0, lift.x(), 0, 1, lift.y()), m.size());
  std::vector<std::vector<cv::Point>> outline;
  cv::findContours(limb, outline, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_NONE);
  m.setTo(cv::Scalar(70, 80, 140), limb);
  m.setTo(cv::Scalar(105, 120, 205), limb & lit);
  cv::drawContours(m, outline, -1, cv::Scalar(20, 15, 15), 6, cv::LINE_AA);
}

// Six limbs, `slant` px from upright, under one light from above, so that only their lower ends lie in shadow; `turned` of them are lit
// from below.
cv::Mat Limbs(int turned, int slant) {
  cv::Mat m(900, 1000, CV_8UC3, cv::Scalar(235, 240, 240));
  for (int i = 0; i < 6; ++i) {
    const int x = 130 + 148 * i;
    DrawLimb(m, {x - slant, 180}, {x + slant, 720}, {0, i < turned ? 50 : -50});
  }
  return m;
}

TEST(PictureChecks, LimbsLitAlongTheirLengthAreHeard) {
  for (const int slant : {0, 30}) {  // sides along the edges of the map of a form, and not
    SCOPED_TRACE(slant);
    const PictureReport sound = Check(Limbs(0, slant)), mixed = Check(Limbs(2, slant));
    ASSERT_NE(Find(sound, "value.light"), nullptr) << "too few forms speak";
    EXPECT_EQ(Find(sound, "value.light")->verdict, Verdict::kClear);
    const Finding* two = Find(mixed, "value.light");
    ASSERT_NE(two, nullptr) << "too few forms speak";
    EXPECT_EQ(two->verdict, Verdict::kOff) << two->why;
    EXPECT_EQ(two->where.points.size(), 2u);
    EXPECT_NEAR(*two->measured, 180, 15);  // each is read to about 15 degrees
  }
}

// Six limbs with hard shadows 26 px deep, leaning `slant` px to the left and to the right in turn; the first `turned` of them are lit
// from `other`. Degrees, picture axes, towards the light.
cv::Mat Leaning(int slant, double light, int turned, double other) {
  constexpr double kReach = 26;
  cv::Mat m(900, 1100, CV_8UC3, cv::Scalar(235, 240, 240));
  for (int i = 0; i < 6; ++i) {
    const int x = 150 + 160 * i, lean = i % 2 == 0 ? slant : -slant;
    const double to = (i < turned ? other : light) * std::numbers::pi / 180;
    DrawLimb(m, {x - lean, 220}, {x + lean, 680}, {kReach * std::cos(to), kReach * std::sin(to)});
  }
  return m;
}

// The side a limb is dark on is the same for lights 70 degrees apart; how deep its side and its end are dark is not.
TEST(PictureChecks, LimbsLitFromSeventyDegreesAwayAreFoundByTheReachOfTheirShadows) {
  for (const auto& [slant, light, turned, away] : {std::tuple(0, -60.0, 3, 70.0), std::tuple(30, -120.0, 2, -70.0)}) {
    SCOPED_TRACE(testing::Message() << slant << " px, light " << light);
    const PictureReport sound = Check(Leaning(slant, light, 0, 0)), mixed = Check(Leaning(slant, light, turned, light + away));
    ASSERT_NE(Find(sound, "value.light"), nullptr) << "too few forms speak";
    EXPECT_EQ(Find(sound, "value.light")->verdict, Verdict::kClear);
    const Finding* two = Find(mixed, "value.light");
    ASSERT_NE(two, nullptr) << "too few forms speak";
    EXPECT_EQ(two->verdict, Verdict::kOff) << two->why;
    EXPECT_EQ(two->where.points.size(), static_cast<std::size_t>(turned));
    EXPECT_NEAR(*two->measured, 70, 15);  // half of such forms are read to 8 degrees
  }
}

// Six balls shaded evenly from the lit rim to the other; the first `turned` are lit `away` degrees from the rest's light from above.
cv::Mat SoftBalls(int turned, double away) {
  cv::Mat m(900, 1000, CV_8UC3, cv::Scalar(235, 240, 240));
  for (int i = 0; i < 6; ++i) {
    const cv::Point at(180 + 320 * (i % 3), 240 + 420 * (i / 3));
    constexpr int r = 120;
    const double to = (-90 + (i < turned ? away : 0)) * std::numbers::pi / 180;
    for (int y = -r; y <= r; ++y)
      for (int x = -r; x <= r; ++x)
        if (x * x + y * y <= r * r) {
          const double light = 0.8 + 0.2 * (x * std::cos(to) + y * std::sin(to)) / r;
          m.at<cv::Vec3b>(at.y + y, at.x + x) = cv::Vec3b(cv::saturate_cast<std::uint8_t>(105 * light),
                                                          cv::saturate_cast<std::uint8_t>(120 * light),
                                                          cv::saturate_cast<std::uint8_t>(205 * light));
        }
    cv::circle(m, at, r, cv::Scalar(20, 15, 15), 6, cv::LINE_AA);
  }
  return m;
}

TEST(PictureChecks, SoftFormsLitFromSeventyDegreesAwayAreFound) {
  const PictureReport sound = Check(SoftBalls(0, 0)), mixed = Check(SoftBalls(3, 70));
  ASSERT_NE(Find(sound, "value.light"), nullptr);
  EXPECT_EQ(Find(sound, "value.light")->verdict, Verdict::kClear);
  const Finding* two = Find(mixed, "value.light");
  ASSERT_NE(two, nullptr);
  EXPECT_EQ(two->verdict, Verdict::kOff) << two->why;
  EXPECT_NEAR(*two->measured, 70, 30);  // each is read to about 15 degrees
}

}  // namespace
}  // namespace armslength
