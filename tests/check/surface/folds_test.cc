#include <cmath>
#include <optional>
#include <random>

#include <gtest/gtest.h>

#include "check/surface/drawn.h"
#include "check/surface/families.h"

namespace armslength {
namespace {

constexpr int kSide = 420;

// White, with thin dark lines of `length` px at the given middles and directions.
struct Stroke {
  Vec2 middle;
  double angle = 0.0;
};
ImageRgba8 Sheet(const std::vector<Stroke>& strokes, double length) {
  ImageRgba8 image;
  image.width = image.height = kSide;
  image.pixels.assign(4u * kSide * kSide, 255);
  for (const Stroke& s : strokes) {
    const Vec2 along(std::cos(s.angle), std::sin(s.angle));
    for (int y = 0; y < kSide; ++y)
      for (int x = 0; x < kSide; ++x) {
        const Vec2 d = Vec2(x + 0.5, y + 0.5) - s.middle;
        const double t = d.dot(along), off = std::abs(d.x() * along.y() - d.y() * along.x());
        if (std::abs(t) > length / 2 || off > 2.0) continue;
        const auto v = static_cast<std::uint8_t>(255 - 200 * std::min(1.0, 2.0 - off));
        for (int c = 0; c < 3; ++c) image.At(x, y)[c] = std::min(image.At(x, y)[c], v);
      }
  }
  return image;
}

std::optional<Verdict> Judge(const std::vector<Stroke>& strokes) {
  static const testing::Worn worn = testing::Wear(3700, {});
  FigureMarks marks = worn.marks;
  marks.areas = {{"cloth", "folds", "trunk", {{10, 10}, {kSide - 10, 10}, {kSide - 10, kSide - 10}, {10, kSide - 10}}}};
  Picture picture;
  picture.image = Sheet(strokes, 80);
  const body_check::BodyFacts facts(marks, worn.reading);
  std::vector<Finding> out;
  surface_check::CheckFolds(facts, picture, out);
  if (out.size() != 1) return std::nullopt;
  return out[0].verdict;
}

// One to a square of a grid, so that none cross, in directions without order.
std::vector<Stroke> Scattered(std::mt19937& random, int count) {
  std::uniform_real_distribution<double> angle(0.0, M_PI), shift(-6.0, 6.0);
  std::vector<Stroke> strokes;
  for (int i = 0; i < count; ++i)
    strokes.push_back({Vec2(70 + 92 * (i % 4) + shift(random), 70 + 92 * (i / 4) + shift(random)), angle(random)});
  return strokes;
}

// The chance the check states is that of lines of any direction. By the binomial law (Feller 1968, VI) at its level of one
// in a thousand more than two such sheets of fifty are met once in some 50,000 runs.
TEST(Folds, LinesWithoutOrderAreHardlyEverParallel) {
  std::mt19937 random(1);
  int off = 0;
  for (int i = 0; i < 50; ++i) off += Judge(Scattered(random, 14)) == Verdict::kOff;
  EXPECT_LE(off, 2);
}

TEST(Folds, ARuledCombAmongOthersIsFound) {
  std::mt19937 random(2);
  for (const double direction : {0.2, 1.0, 1.9}) {
    SCOPED_TRACE(direction);
    std::vector<Stroke> strokes = Scattered(random, 8);
    for (int i = 0; i < 5; ++i)
      strokes.push_back({Vec2(210, 310) + 22.0 * (i - 2) * Vec2(-std::sin(direction), std::cos(direction)), direction});
    EXPECT_EQ(Judge(strokes), Verdict::kOff);
  }
}

TEST(Folds, AFanFromOnePointIsNotParallel) {
  std::vector<Stroke> strokes;
  for (int i = 0; i < 9; ++i) {
    const double angle = 0.25 + 0.14 * i;
    strokes.push_back({Vec2(30, 30) + (190 + 25.0 * (i % 3)) * Vec2(std::cos(angle), std::sin(angle)), angle});
  }
  EXPECT_NE(Judge(strokes), Verdict::kOff);
}

}  // namespace
}  // namespace armslength
