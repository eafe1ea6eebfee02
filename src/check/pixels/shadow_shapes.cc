// Do light and shadow make few clear shapes, or are they broken into specks and frayed edges?
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>

#include "check/pixels/levels.h"
#include "check/pixels/shading.h"
#include "words/say.h"

namespace armslength {
namespace {

constexpr double kTones = 8.0;        // L* between light and shadow, at least: below it is one tone with variation
constexpr double kLeastTone = 0.08;   // of the patch, for either tone
constexpr double kParted = 0.6;       // of the variance must lie between the tones
constexpr double kSpeck = 0.002;      // of the patch: a smaller island is the brush's, not a shape
// A patch counts as broken up when both hold. Drawings by others, sound ones, stay below 3 and 7 (patches of a hundredth of the figure).
constexpr double kFrayed = 4.5;
constexpr int kManyPieces = 10;
constexpr std::size_t kLeastPatches = 2;  // with light and shadow
constexpr double kLeastShare = 0.04;      // of the figure, all of them together
constexpr double kBrokenShare = 0.3;      // of their area

struct ShadowShape {
  double share = 0.0;     // of the figure
  double border = 0.0;    // light-shadow border / root of the patch's area; a single terminator across a disc: 1.1
  int pieces = 0;         // connected pieces of either tone
  double edge_px = 0.0;   // median width of the border between the tones, picture px
  Vec2 at = Vec2::Zero();
};

std::optional<ShadowShape> ReadShadowShape(const PictureContext& c, const LitPatch& lit) {
  const SmallField& s = c.small;
  const Segment& segment = *lit.patch;
  const float cut = static_cast<float>(lit.split.cuts[0] * kLPerByte);
  const auto step = MaterialStep(s, segment, static_cast<double>(cut));
  if (!step || *step > kOneMaterial) return std::nullopt;
  int x0 = s.width, x1 = 0, y0 = s.height, y1 = 0;
  for (const std::uint32_t i : segment.pixels) {
    const int x = static_cast<int>(i % static_cast<std::uint32_t>(s.width)), y = static_cast<int>(i / static_cast<std::uint32_t>(s.width));
    x0 = std::min(x0, x), x1 = std::max(x1, x), y0 = std::min(y0, y), y1 = std::max(y1, y);
  }
  const int w = x1 - x0 + 3, h = y1 - y0 + 3;
  cv::Mat light(h, w, CV_32F, cv::Scalar(0)), mask(h, w, CV_8U, cv::Scalar(0));
  for (const std::uint32_t i : segment.pixels) {
    const int x = static_cast<int>(i % static_cast<std::uint32_t>(s.width)) - x0 + 1;
    const int y = static_cast<int>(i / static_cast<std::uint32_t>(s.width)) - y0 + 1;
    light.at<float>(y, x) = s.l[i];
    mask.at<std::uint8_t>(y, x) = 255;
  }
  // The grain of paper and brush is no shape: the mean of the patch's own pixels round each.
  cv::Mat weight, mean;
  mask.convertTo(weight, CV_32F, 1.0 / 255);
  cv::GaussianBlur(light, mean, {5, 5}, 1.0, 1.0, cv::BORDER_CONSTANT);
  cv::GaussianBlur(weight, weight, {5, 5}, 1.0, 1.0, cv::BORDER_CONSTANT);
  cv::divide(mean, weight, mean);
  std::array<cv::Mat, 2> tone = {cv::Mat(h, w, CV_8U, cv::Scalar(0)), cv::Mat(h, w, CV_8U, cv::Scalar(0))};
  for (int y = 1; y < h - 1; ++y)
    for (int x = 1; x < w - 1; ++x)
      if (mask.at<std::uint8_t>(y, x)) tone[mean.at<float>(y, x) >= cut].at<std::uint8_t>(y, x) = 255;
  const double area = static_cast<double>(segment.pixels.size());
  ShadowShape out;
  out.share = segment.share;
  out.at = {segment.ax, segment.ay};
  for (const cv::Mat& one : tone) {
    cv::Mat labels, stats, centres;
    const int n = cv::connectedComponentsWithStats(one, labels, stats, centres, 8);
    for (int i = 1; i < n; ++i) out.pieces += stats.at<int>(i, cv::CC_STAT_AREA) >= std::max(9.0, kSpeck * area);
  }
  double border = 0;
  std::vector<double> edges;
  for (int y = 1; y < h - 1; ++y)
    for (int x = 1; x < w - 1; ++x) {
      if (!mask.at<std::uint8_t>(y, x)) continue;
      const bool here = mean.at<float>(y, x) >= cut;
      const auto other = [&](int dy, int dx) { return mask.at<std::uint8_t>(y + dy, x + dx) && (mean.at<float>(y + dy, x + dx) >= cut) != here; };
      border += other(0, 1) + other(1, 0);
      if (!here && (other(0, 1) || other(1, 0)) && mask.at<std::uint8_t>(y, x - 1) && mask.at<std::uint8_t>(y - 1, x) &&
          mask.at<std::uint8_t>(y, x + 1) && mask.at<std::uint8_t>(y + 1, x)) {
        const double g = std::hypot(static_cast<double>(light.at<float>(y, x + 1) - light.at<float>(y, x - 1)),
                                    static_cast<double>(light.at<float>(y + 1, x) - light.at<float>(y - 1, x))) / 2;
        if (g > 0) edges.push_back((lit.split.means[1] - lit.split.means[0]) * kLPerByte / g);
      }
    }
  // Steps between neighbours along rows and columns overstate a slanting line by 4/pi on average.
  out.border = border * std::numbers::pi / 4 / std::sqrt(area);
  if (!edges.empty()) out.edge_px = Median(edges) * s.factor;
  return out;
}

}  // namespace

std::optional<LevelSplit> LightAndShadow(const SmallField& s, const Segment& segment) {
  std::vector<double> histogram(256, 0.0);
  for (const std::uint32_t i : segment.pixels) histogram[LevelBin(static_cast<double>(s.l[i]) / kLPerByte)] += 1;
  LevelSplit split = SplitLevels(histogram, 2);
  if ((split.means[1] - split.means[0]) * kLPerByte < kTones || split.explained < kParted) return std::nullopt;
  if (split.shares[0] < kLeastTone || split.shares[1] < kLeastTone) return std::nullopt;
  return split;
}

void CheckShadowShapes(const PictureContext& c, const std::vector<LitPatch>& lit, std::vector<Finding>& out) {
  std::vector<ShadowShape> shapes;
  for (const LitPatch& one : lit)
    if (const auto shape = ReadShadowShape(c, one)) shapes.push_back(*shape);
  double share = 0, broken = 0, border = 0, pieces = 0;
  std::vector<double> edges;
  std::vector<Vec2> where;
  for (const ShadowShape& shape : shapes) {
    share += shape.share;
    border += shape.share * shape.border;
    pieces += shape.share * shape.pieces;
    if (shape.edge_px > 0) edges.push_back(shape.edge_px);
    if (shape.border < kFrayed || shape.pieces < kManyPieces) continue;
    broken += shape.share;
    where.push_back(shape.at);
  }
  if (shapes.size() < kLeastPatches || share < kLeastShare || edges.empty()) return;
  // A print in two values of one colour looks the same from here: so it is told, never counted.
  Finding x = MakeFinding("value.shadow_shapes", Say("Shadows make clear shapes"), Kind::kTaste, Verdict::kClear, Stage::kShading);
  x.measured = broken / share;
  x.expected = 0.0;
  x.tolerance = kBrokenShare;
  x.unit = "share of the shaded area";
  x.test = "patches of one material whose light and shadow fall into many pieces with a long border";
  x.smallest_visible = kBrokenShare;
  x.source = Say("default, editable");
  x.why = Say("On {} patches with light and shadow of one material, the two fall into {:.0f} pieces on average; the border between them is {:.1f} times as "
              "long as the patch is wide and {:.0f} px soft.",
              shapes.size(), pieces / share, border / share, Median(edges));
  if (broken > kBrokenShare * share && broken > kLeastShare) {
    x.title = Say("Shadows break into pieces");
    x.verdict = Verdict::kOff;
    x.gain = 2.0;
    x.where.points = where;
    x.remedy = {RemedyWay::kRepaint, 30, Say("If it is no print or texture: look at the picture in two values, and join the specks into one shape a form.")};
  }
  out.push_back(std::move(x));
}

}  // namespace armslength
