#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include <fmt/format.h>

#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>

#include "check/pixels/context.h"
#include "check/pixels/palette.h"
#include "colour/difference.h"
#include "words/say.h"

namespace armslength {
namespace {

constexpr double kColoured = 0.04;    // OKLab chroma under which nobody names a hue; default, editable
constexpr double kHighChroma = 0.15;  // default, editable

// Families of hue: peaks of the chroma-weighted hue circle, smoothed over 15 degrees, that hold at
// least 4 % of it and are parted from the next by a dip to under a half.
int HueFamilies(const std::array<double, 72>& circle) {
  std::array<double, 72> smooth{};
  double total = 0;
  for (int i = 0; i < 72; ++i)
    for (int k = -4; k <= 4; ++k) {
      const double w = std::exp(-0.5 * k * k / 4.0);
      smooth[static_cast<std::size_t>(i)] += w * circle[static_cast<std::size_t>((i + k + 72) % 72)];
    }
  for (const double v : smooth) total += v;
  if (total <= 0) return 0;
  const double peak = *std::ranges::max_element(smooth);
  int families = 0;
  for (int i = 0; i < 72; ++i) {
    const auto at = [&](int k) { return smooth[static_cast<std::size_t>((k + 144) % 72)]; };
    if (at(i) < 0.06 * peak || at(i) <= at(i - 1) || at(i) < at(i + 1)) continue;
    // Walk down both sides to the next higher hill; the dip before it must be deep.
    bool own = true;
    for (const int side : {-1, 1}) {
      double low = at(i);
      for (int k = 1; k < 36; ++k) {
        low = std::min(low, at(i + side * k));
        if (at(i + side * k) > at(i)) {
          own = own && low < 0.5 * at(i);
          break;
        }
      }
    }
    double share = 0;
    for (int k = -3; k <= 3; ++k) share += at(i + k);
    if (own && share >= 0.04 * total) ++families;
  }
  return families;
}

void CheckSwatches(const PictureContext& c, Findings& out) {
  const PictureTolerances& t = c.Tolerances();
  if (c.options->swatches.empty()) return;
  Finding x = MakeFinding("colour.swatches", Say("Declared colours are kept"), Kind::kCanon, Verdict::kClear, Stage::kFlats);
  x.tolerance = t.swatch_flag;
  x.expected = 0.0;
  x.unit = "CIEDE2000";
  x.test = "difference to the nearest colour of the picture, or inside the area of that name";
  x.source = Say("about 2 is just seen, over 5 reads as two colours; default, editable");
  x.smallest_visible = t.swatch_mention;
  double worst = 0;
  std::string list, missing;
  for (const Swatch& swatch : c.options->swatches) {
    const Lab want = ToLab(Rgb8{swatch.srgb[0], swatch.srgb[1], swatch.srgb[2]});
    double best = 1e9;
    // An area that carries the swatch's name speaks for it; else the nearest colour of the palette does.
    bool by_area = false;
    if (c.options->marks != nullptr)
      for (const FigureMarks& figure : c.options->marks->figures)
        for (const Area& area : figure.areas) {
          if (area.name != swatch.name || area.outline.size() < 3) continue;
          by_area = true;
          std::vector<cv::Point> polygon;
          for (const Vec2& v : area.outline) polygon.emplace_back(static_cast<int>(v.x() / c.small.factor), static_cast<int>(v.y() / c.small.factor));
          cv::Mat mask(c.small.height, c.small.width, CV_8U, cv::Scalar(0));
          cv::fillPoly(mask, std::vector<std::vector<cv::Point>>{polygon}, cv::Scalar(255));
          std::vector<ColourCell> cells(32768);
          for (int y = 0; y < mask.rows; ++y)
            for (int px = 0; px < mask.cols; ++px) {
              if (mask.at<std::uint8_t>(y, px) == 0 || c.small.ink[c.small.At(px, y)] > 32) continue;
              const std::uint8_t* p = c.planes.small.At(px, y);
              ColourCell& cell = cells[static_cast<std::size_t>((p[0] >> 3) << 10 | (p[1] >> 3) << 5 | p[2] >> 3)];
              ++cell.count;
              cell.r += p[0];
              cell.g += p[1];
              cell.b += p[2];
            }
          for (const PaletteColour& p : FindPalette(cells))
            if (p.share > 0.1) best = std::min(best, DeltaE2000(want, ToLab(Rgb8{p.srgb[0], p.srgb[1], p.srgb[2]})));
        }
    if (!by_area)
      for (const PaletteColour& p : c.colour.palette) best = std::min(best, DeltaE2000(want, ToLab(Rgb8{p.srgb[0], p.srgb[1], p.srgb[2]})));
    if (best > 20 && !by_area) {
      missing += (missing.empty() ? "" : ", ") + swatch.name;
      continue;
    }
    list += (list.empty() ? "" : ", ") + swatch.name + Say(" {:.1f}", best);
    worst = std::max(worst, best);
  }
  if (!list.empty()) x.measured = worst;
  x.why = Say("Difference of each declared colour: {}.", list.empty() ? Say("none found") : list);
  if (!missing.empty()) x.why += Say(" Not found in the picture: {}.", missing);
  if (list.empty()) {
    x.verdict = Verdict::kCannotTell;
    x.ask = Say("Outline an area and give it the swatch's name.");
  } else if (worst > t.swatch_flag) {
    x.title = Say("A declared colour has drifted");
    x.verdict = Verdict::kOff;
    x.gain = 3.0;
    x.remedy = {RemedyWay::kRepaint, 8, Say("Pick the swatch again and refill, or say that the light is meant to change it.")};
  } else if (worst > t.swatch_mention) {
    x.title = Say("Declared colours have moved a little");
  }
  out.push_back(std::move(x));
}

}  // namespace

void CheckColour(PictureContext& c, Findings& out) {
  const SmallField& s = c.small;
  const PictureTolerances& t = c.Tolerances();
  ColourFacts& f = c.colour;
  f.palette = FindPalette(c.planes.cells);
  std::array<double, 72> circle{};
  double area = 0, high = 0, coloured = 0;
  for (std::size_t i = 0; i < s.l.size(); ++i) {
    if (!s.seen[i] || s.ink[i] > 96) continue;
    if (c.split.by != SplitBy::kNone && c.split.mask[i] == 0) continue;
    const double chroma = std::hypot(static_cast<double>(s.a[i]), static_cast<double>(s.b[i]));
    area += 1;
    if (chroma > kHighChroma) high += 1;
    if (chroma < kColoured) continue;
    coloured += 1;
    const double hue = std::atan2(static_cast<double>(s.b[i]), static_cast<double>(s.a[i])) * 180.0 / std::numbers::pi;
    circle[static_cast<std::size_t>(static_cast<int>(std::floor((hue + 360.0) / 5.0)) % 72)] += chroma;
  }
  f.grey = coloured < 0.02 * std::max(1.0, area);
  f.hue_families = f.grey ? 0 : HueFamilies(circle);
  f.high_chroma_share = area > 0 ? high / area : 0.0;
  CheckSwatches(c, out);
  if (c.uncoloured || f.grey) return;
  Finding x = MakeFinding("colour.families", Say("Colours hold together"), Kind::kTaste, Verdict::kClear, Stage::kFlats);
  x.measured = f.hue_families;
  x.tolerance = t.hue_families;
  x.unit = "families of hue";
  x.test = "peaks of the chroma-weighted hue circle in OKLab";
  x.source = Say("default, editable");
  x.why = c.split.by != SplitBy::kNone
              ? Say("Families of hue: {}; {:.0f} % of the figure is strongly coloured (OKLab chroma over {:.2f}).", f.hue_families,
                    100 * f.high_chroma_share, kHighChroma)
              : Say("Families of hue: {}; {:.0f} % of the picture is strongly coloured (OKLab chroma over {:.2f}).", f.hue_families,
                    100 * f.high_chroma_share, kHighChroma);
  if (f.hue_families > t.hue_families && f.high_chroma_share > t.high_chroma_share) {
    x.title = Say("Many strong colours at once");
    x.verdict = Verdict::kOff;
    x.gain = 1.5;
    x.remedy = {RemedyWay::kRepaint, 20, Say("If it is not meant: let one family lead and grey the others.")};
  }
  out.push_back(std::move(x));
}

}  // namespace armslength
