// The pixel passes against OpenCV and against brute force.
#include <gtest/gtest.h>

#include <cmath>
#include <numeric>
#include <random>

#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>

#include "check/pixels/ink.h"
#include "check/pixels/levels.h"
#include "check/pixels/palette.h"
#include "check/pixels/planes.h"
#include "check/pixels/regions.h"
#include "check/pixels/strokes.h"
#include "check/pixels/thinning.h"
#include "colour/difference.h"
#include "colour/spaces.h"
#include "picture/picture.h"

namespace armslength {
namespace {

// Public-domain drawings; tests/data/pictures/PIXELS.md has the credits.
const char* const kPictures[] = {"b16_woman_nurse_gerald_g_01", "b29_karate_kick_frouke_01", "b33_silhouette_female_3", "h06_head1"};

Picture Load(const std::string& name) {
  auto picture = LoadPicture(std::string(AL_TEST_DATA) + "/pictures/" + name + ".png");
  EXPECT_TRUE(picture) << picture.error().Text();
  return picture ? *picture : Picture{};
}

cv::Mat Bits(const PlaneU8& plane, std::uint8_t bit) {
  cv::Mat out(plane.height(), plane.width(), CV_8U);
  for (int y = 0; y < out.rows; ++y)
    for (int x = 0; x < out.cols; ++x) out.at<std::uint8_t>(y, x) = plane.Row(y)[x] & bit ? 255 : 0;
  return out;
}

// Parts (8-connected) and holes (4-connected ground), counted by OpenCV: Euler number = parts - holes.
std::pair<int, int> Topology(const cv::Mat& mask) {
  cv::Mat labels;
  return {cv::connectedComponents(mask, labels, 8) - 1, cv::connectedComponents(255 - mask, labels, 4) - 2};
}

PlaneU8 Speckle(int w, int h, double share, unsigned seed) {
  PlaneU8 plane(w, h);
  std::mt19937 rng(seed);
  std::uniform_real_distribution<double> u(0, 1);
  for (int y = 1; y + 1 < h; ++y)
    for (int x = 1; x + 1 < w; ++x) plane.Row(y)[x] = u(rng) < share ? kInk : 0;
  return plane;
}

TEST(Thinning, KeepsPartsAndHolesOfRealDrawings) {
  for (const char* name : kPictures) {
    SCOPED_TRACE(name);
    const Picture picture = Load(name);
    const PixelPlanes planes = ReadPlanes(picture.image, 0);
    InkMask ink = FindInk(planes.l, {}, 0);
    const auto before = Topology(Bits(ink.plane, kInk));
    ASSERT_GT(before.first, 0);
    const auto skeleton = Thin(ink.plane);
    EXPECT_EQ(Topology(Bits(ink.plane, kThin)), before);
    EXPECT_EQ(skeleton.size(), static_cast<std::size_t>(cv::countNonZero(Bits(ink.plane, kThin))));
  }
}

TEST(Thinning, KeepsPartsAndHolesOfNoiseAcrossBandSeams) {
  for (const double share : {0.3, 0.5, 0.7, 0.9}) {
    SCOPED_TRACE(share);
    PlaneU8 plane = Speckle(301, 1203, share, 5);
    const auto before = Topology(Bits(plane, kInk));
    Thin(plane);
    EXPECT_EQ(Topology(Bits(plane, kThin)), before);
  }
}

TEST(Thinning, LeavesNothingThatCouldGo) {
  PlaneU8 plane = Speckle(200, 1100, 0.6, 9);
  const auto skeleton = Thin(plane);
  const std::ptrdiff_t s = plane.width();
  const std::ptrdiff_t off[8] = {-s, -s + 1, 1, s + 1, s, s - 1, -1, -s - 1};
  for (const std::uint32_t i : skeleton) {
    unsigned m = 0;
    for (int k = 0; k < 8; ++k) m |= static_cast<unsigned>(plane.data()[i + off[k]] & kThin) << k;
    const bool end = (m & (m - 1)) == 0;
    EXPECT_TRUE(end || !IsSimple(static_cast<std::uint8_t>(m))) << "pixel " << i;
  }
}

TEST(Thinning, DoesNotDependOnThreads) {
  PlaneU8 one = Speckle(300, 1600, 0.55, 3), two = Speckle(300, 1600, 0.55, 3);
  EXPECT_EQ(Thin(one, 1), Thin(two, 4));
}

TEST(Thinning, RunsAlongTheMiddleByTheDistanceTransform) {
  // OpenCV's exact distance transform has its crest where a line's middle is: the skeleton must lie on it.
  for (const char* name : kPictures) {
    SCOPED_TRACE(name);
    const Picture picture = Load(name);
    const PixelPlanes planes = ReadPlanes(picture.image, 0);
    InkMask ink = FindInk(planes.l, {}, 0);
    cv::Mat depth;
    cv::distanceTransform(Bits(ink.plane, kInk), depth, cv::DIST_L2, cv::DIST_MASK_PRECISE);
    const auto skeleton = Thin(ink.plane);
    std::size_t on = 0;
    for (const std::uint32_t i : skeleton) {
      const int x = static_cast<int>(i) % depth.cols, y = static_cast<int>(i) / depth.cols;
      double best = 0;
      cv::minMaxLoc(depth(cv::Rect(x - 1, y - 1, 3, 3)), nullptr, &best);
      on += static_cast<double>(depth.at<float>(y, x)) >= best - 1.01;
    }
    EXPECT_GT(static_cast<double>(on), 0.9 * static_cast<double>(skeleton.size()));
  }
}

TEST(Strokes, WidthsAgreeWithTheDistanceTransform) {
  for (const char* name : kPictures) {
    SCOPED_TRACE(name);
    const Picture picture = Load(name);
    const PixelPlanes planes = ReadPlanes(picture.image, 0);
    InkMask ink = FindInk(planes.l, {}, 0);
    cv::Mat depth;
    cv::distanceTransform(Bits(ink.plane, kInk), depth, cv::DIST_L2, cv::DIST_MASK_PRECISE);
    const auto skeleton = Thin(ink.plane);
    const StrokeGraph graph = TraceStrokes(ink, skeleton, planes.l);
    std::vector<double> difference;
    for (const Stroke& stroke : graph.strokes)
      for (const StrokeSample& s : stroke.samples) {
        if (s.width <= 0) continue;
        const int x = static_cast<int>(s.x) + 1, y = static_cast<int>(s.y) + 1;
        if (x < 2 || y < 2 || x + 2 >= depth.cols || y + 2 >= depth.rows) continue;
        double most = 0;
        cv::minMaxLoc(depth(cv::Rect(x - 1, y - 1, 3, 3)), nullptr, &most);
        difference.push_back(std::abs(static_cast<double>(s.width) - (2 * most - 1)));
      }
    ASSERT_GT(difference.size(), 500u);
    std::nth_element(difference.begin(), difference.begin() + static_cast<std::ptrdiff_t>(difference.size() / 2), difference.end());
    EXPECT_LT(difference[difference.size() / 2], 1.0);  // 2 d - 1 itself is good to a pixel
  }
}

TEST(Parts, AgreeWithOpenCv) {
  const PlaneU8 plane = Speckle(257, 190, 0.45, 4);
  const cv::Mat mask = Bits(plane, kInk);
  for (const bool eight : {false, true}) {
    const Parts parts = FindParts(plane.height(), eight, [&](int y, const auto& add) {
      for (int x = 0; x < plane.width();) {
        while (x < plane.width() && !(plane.Row(y)[x] & kInk)) ++x;
        const int x0 = x;
        while (x < plane.width() && (plane.Row(y)[x] & kInk)) ++x;
        if (x > x0) add(x0, x);
      }
    });
    cv::Mat labels, stats, centres;
    const int n = cv::connectedComponentsWithStats(mask, labels, stats, centres, eight ? 8 : 4);
    ASSERT_EQ(parts.parts.size(), static_cast<std::size_t>(n - 1));
    for (int y = 0; y < mask.rows; ++y)
      for (int x = 0; x < mask.cols; ++x) {
        const int part = parts.At(x, y), label = labels.at<int>(y, x);
        ASSERT_EQ(part >= 0, label > 0);
        if (part >= 0) {
          ASSERT_EQ(static_cast<int>(parts.parts[static_cast<std::size_t>(part)].area), stats.at<int>(label, cv::CC_STAT_AREA));
        }
      }
  }
}

TEST(Levels, TwoGroupsAreOtsus) {
  // OpenCV's threshold with THRESH_OTSU.
  for (const char* name : kPictures) {
    SCOPED_TRACE(name);
    const Picture picture = Load(name);
    const PixelPlanes planes = ReadPlanes(picture.image, 0);
    const cv::Mat l(planes.l.height(), planes.l.width(), CV_8U, const_cast<std::uint8_t*>(planes.l.data()));
    cv::Mat sink;
    const double otsu = cv::threshold(l, sink, 0, 255, cv::THRESH_BINARY | cv::THRESH_OTSU);
    std::vector<double> histogram(256, 0.0);
    for (std::size_t i = 0; i < 256; ++i) histogram[i] = static_cast<double>(planes.l_hist[i]);
    const LevelSplit split = SplitLevels(histogram, 2);
    // The same two sets of pixels; the cut itself may lie anywhere in an empty stretch.
    double below_otsu = 0, below_cut = 0;
    for (int i = 0; i <= static_cast<int>(otsu); ++i) below_otsu += histogram[static_cast<std::size_t>(i)];
    for (int i = 0; i < split.cuts[0]; ++i) below_cut += histogram[static_cast<std::size_t>(i)];
    EXPECT_NEAR(below_cut, below_otsu, 0.002 * static_cast<double>(planes.visible));
  }
}

TEST(Levels, ThreeGroupsAreTheBestOfAll) {
  std::mt19937 rng(8);
  for (int round = 0; round < 20; ++round) {
    std::vector<double> h(24);
    for (double& v : h) v = static_cast<double>(rng() % 50);
    const LevelSplit split = SplitLevels(h, 3);
    const auto inside = [&](int a, int b) {
      double w = 0, s = 0, q = 0;
      for (int i = a; i < b; ++i) w += h[static_cast<std::size_t>(i)], s += h[static_cast<std::size_t>(i)] * i, q += h[static_cast<std::size_t>(i)] * i * i;
      return w > 0 ? q - s * s / w : 0.0;
    };
    double best = 1e18;
    for (int a = 1; a < 23; ++a)
      for (int b = a + 1; b < 24; ++b) best = std::min(best, inside(0, a) + inside(a, b) + inside(b, 24));
    EXPECT_NEAR(inside(0, split.cuts[0]) + inside(split.cuts[0], split.cuts[1]) + inside(split.cuts[1], 24), best, 1e-6);
  }
}

TEST(Palette, AgreesWithKMeansOnAllPixels) {
  // OpenCV's k-means on every pixel in OKLab, eight clusters: each that holds 3 % of the picture
  // has a palette colour within 5 CIEDE2000.
  for (const char* name : {"b16_woman_nurse_gerald_g_01", "b33_silhouette_female_3"}) {
    SCOPED_TRACE(name);
    const Picture picture = Load(name);
    const PixelPlanes planes = ReadPlanes(picture.image, 0);
    const auto palette = FindPalette(planes.cells);
    const int n = picture.image.width * picture.image.height;
    cv::Mat data(n, 3, CV_32F), labels, centres;
    for (int i = 0; i < n; ++i) {
      const std::uint8_t* p = picture.image.pixels.data() + 4 * static_cast<std::size_t>(i);
      const Oklab lab = ToOklab(Rgb8{p[0], p[1], p[2]});
      data.at<float>(i, 0) = static_cast<float>(lab.L);
      data.at<float>(i, 1) = static_cast<float>(lab.a);
      data.at<float>(i, 2) = static_cast<float>(lab.b);
    }
    cv::setRNGSeed(1);
    cv::kmeans(data, 8, labels, {cv::TermCriteria::COUNT, 12, 0}, 1, cv::KMEANS_PP_CENTERS, centres);
    std::vector<int> count(8);
    for (int i = 0; i < n; ++i) ++count[static_cast<std::size_t>(labels.at<int>(i))];
    for (int k = 0; k < 8; ++k) {
      if (count[static_cast<std::size_t>(k)] < 0.03 * n) continue;
      const Lab want = ToLab(ToXyz(Oklab{centres.at<float>(k, 0), centres.at<float>(k, 1), centres.at<float>(k, 2)}), White::kD65);
      double nearest = 1e9;
      for (const PaletteColour& c : palette) nearest = std::min(nearest, DeltaE2000(want, ToLab(Rgb8{c.srgb[0], c.srgb[1], c.srgb[2]})));
      EXPECT_LT(nearest, 5.0) << "cluster " << k;
    }
  }
}

TEST(Planes, ReducedPictureIsTheAreaAverage) {
  // OpenCV's INTER_AREA at a whole factor is the plain mean.
  ImageRgba8 image;
  image.width = 2800;
  image.height = 1200;
  image.pixels.resize(4u * 2800 * 1200);
  std::mt19937 rng(2);
  for (std::size_t i = 0; i < image.pixels.size(); ++i) image.pixels[i] = i % 4 == 3 ? 255 : static_cast<std::uint8_t>(rng());
  const PixelPlanes planes = ReadPlanes(image, 2);
  ASSERT_EQ(planes.factor, 2);
  cv::Mat want;
  cv::resize(cv::Mat(1200, 2800, CV_8UC4, image.pixels.data()), want, {1400, 600}, 0, 0, cv::INTER_AREA);
  const cv::Mat got(600, 1400, CV_8UC4, const_cast<std::uint8_t*>(planes.small.pixels.data()));
  EXPECT_LE(cv::norm(want, got, cv::NORM_INF), 1.0);
}

}  // namespace
}  // namespace armslength
