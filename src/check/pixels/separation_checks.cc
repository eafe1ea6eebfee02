// Does the figure stand off from what lies behind it: along its outline, in value first, then in colour.
#include <algorithm>
#include <array>
#include <cmath>

#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>

#include "check/pixels/context.h"
#include "words/say.h"

namespace armslength {
namespace {

constexpr double kColourStep = 0.06;  // OKLab a, b apart that tell two colours at a glance; default, editable
constexpr double kLineStep = 20.0;    // L* below both sides that a drawn line needs to part them; default, editable

enum class Edge : std::uint8_t { kValue, kLine, kColour, kLost };

struct Tone {
  double l = 0, a = 0, b = 0, n = 0;
  void Add(const SmallField& s, std::size_t i) {
    l += static_cast<double>(s.l[i]), a += static_cast<double>(s.a[i]), b += static_cast<double>(s.b[i]), n += 1;
  }
  void Finish() { l /= n, a /= n, b /= n; }
};

}  // namespace

void CheckSeparation(const PictureContext& c, Findings& out) {
  // Behind a figure on a transparent layer lies nothing, and bare paper behind a bare line drawing is one with it.
  if (c.split.by == SplitBy::kNone || c.split.by == SplitBy::kAlpha || c.uncoloured || c.stage < Stage::kFlats) return;
  const SmallField& s = c.small;
  const cv::Mat mask(c.split.height, c.split.width, CV_8U, const_cast<std::uint8_t*>(c.split.mask.data()));
  const cv::Mat inside(c.split.height, c.split.width, CV_32F, const_cast<float*>(c.to_ground.data()));
  cv::Mat outside, smooth, gx, gy;
  cv::distanceTransform(255 - mask, outside, cv::DIST_L2, 3);
  cv::GaussianBlur(inside - outside, smooth, {}, 2.0);
  cv::Sobel(smooth, gx, CV_32F, 1, 0, 3);
  cv::Sobel(smooth, gy, CV_32F, 0, 1, 3);
  std::vector<std::vector<cv::Point>> contours;
  cv::findContours(mask, contours, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_NONE);
  const int deep = 3 + static_cast<int>(std::lround(2.5 * c.graph.width_px / s.factor));
  std::array<double, 4> count{};
  double all = 0;
  struct Run {
    double length = 0;
    cv::Point middle;
  };
  std::vector<Run> weak;
  for (const auto& contour : contours) {
    if (contour.size() < 60) continue;
    std::size_t from = 0, length = 0;
    for (std::size_t k = 0; k <= contour.size(); ++k) {
      bool lost = false;
      if (k < contour.size()) {
        const cv::Point p = contour[k];
        // Where the frame cuts the figure there is no edge.
        const bool frame = p.x < 4 || p.y < 4 || p.x >= s.width - 4 || p.y >= s.height - 4;
        const double nx = static_cast<double>(gx.at<float>(p)), ny = static_cast<double>(gy.at<float>(p)), n = std::hypot(nx, ny);
        Tone in, behind;
        double darkest = 100;
        if (!frame && n > 1e-3)
          for (int r = -5; r <= deep + 4 && in.n < 3; ++r) {
            const int x = static_cast<int>(std::lround(p.x + nx / n * r)), y = static_cast<int>(std::lround(p.y + ny / n * r));
            if (x < 0 || y < 0 || x >= s.width || y >= s.height) continue;
            const std::size_t i = s.At(x, y);
            if (r < -1) {
              if (mask.at<std::uint8_t>(y, x) == 0) behind.Add(s, i);
              continue;
            }
            darkest = std::min(darkest, static_cast<double>(s.l[i]));
            if (r >= 2 && s.ink[i] < 48 && mask.at<std::uint8_t>(y, x) != 0) in.Add(s, i);
          }
        if (in.n >= 2 && behind.n >= 2) {
          in.Finish(), behind.Finish();
          Edge edge = Edge::kLost;
          if (std::abs(in.l - behind.l) >= c.Tolerances().separation_l)
            edge = Edge::kValue;
          else if (darkest < std::min(in.l, behind.l) - kLineStep)
            edge = Edge::kLine;
          else if (std::hypot(in.a - behind.a, in.b - behind.b) >= kColourStep)
            edge = Edge::kColour;
          count[static_cast<std::size_t>(edge)] += 1;
          all += 1;
          lost = edge == Edge::kLost || edge == Edge::kColour;
        }
      }
      if (lost) {
        if (length == 0) from = k;
        ++length;
      } else if (length > 0) {
        weak.push_back({static_cast<double>(length), contour[from + length / 2]});
        length = 0;
      }
    }
  }
  if (all < 200) return;
  const auto percent = [&](Edge e) { return 100 * count[static_cast<std::size_t>(e)] / all; };
  Finding x = MakeFinding("value.separation", Say("The figure stands off from the ground"), Kind::kTaste, Verdict::kClear, Stage::kFlats);
  x.measured = (percent(Edge::kColour) + percent(Edge::kLost)) / 100;
  x.expected = 0.0;
  x.tolerance = c.Tolerances().separation_share;
  x.unit = "share of the outline";
  x.test = "lightness just inside the outline against the ground just outside it";
  x.smallest_visible = c.Tolerances().separation_share;
  x.source = Say("common practice, no source; default, editable");
  x.why =
      Say("Along {:.0f} % of its outline the figure is {:.0f} L* or more lighter or darker than what lies behind it; {:.0f} % are parted "
          "by a drawn line, {:.0f} % by colour alone, which grey does not show, and {:.0f} % by neither.",
          percent(Edge::kValue), c.Tolerances().separation_l, percent(Edge::kLine), percent(Edge::kColour), percent(Edge::kLost));
  if (*x.measured > c.Tolerances().separation_share) {
    x.title = count[static_cast<std::size_t>(Edge::kColour)] > count[static_cast<std::size_t>(Edge::kLost)]
                  ? Say("In grey the figure sinks into the ground")
                  : Say("The figure's edge is lost in the ground");
    x.verdict = Verdict::kOff;
    x.gain = 1.5;
    x.remedy = {RemedyWay::kRepaint, 15,
                Say("If it is not meant: lighten or darken the ground behind these stretches, or give the edge a rim of light.")};
    std::stable_sort(weak.begin(), weak.end(), [](const Run& a, const Run& b) { return a.length > b.length; });
    for (const Run& run : weak)
      if (x.where.points.size() < 6) x.where.points.emplace_back((run.middle.x + 0.5) * s.factor, (run.middle.y + 0.5) * s.factor);
  }
  out.push_back(std::move(x));
}

}  // namespace armslength
