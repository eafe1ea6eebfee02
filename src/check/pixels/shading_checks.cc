#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>

#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>

#include "check/pixels/context.h"
#include "check/pixels/levels.h"
#include "check/pixels/segments.h"
#include "check/pixels/shading.h"
#include "support/job.h"
#include "words/say.h"

namespace armslength {
namespace {

constexpr double kBothDark = 0.08;  // share of a form's chords; sound drawn forms mostly stay below 0.05
constexpr double kInk = 80.0;  // L* from dark to light of one patch: more is ink on paper
// Of the shaded area, and of the figure: glossy lips in a flat face are no pillow shading. Defaults, editable
constexpr double kLeastPillow = 0.18, kLeastOfFigure = 0.04;
constexpr double kDeg = 180.0 / std::numbers::pi;

// What the shading of one patch says. Model: the patch bulges like a cushion, so that its surface
// turns away from the viewer towards its rim. One direction should then part light from shadow.
struct Shade {
  double area = 0.0;        // small px
  double share = 0.0;       // of the figure
  double range_l = 0.0;     // 10th to 90th percentile
  double depth_r = 0.0;     // correlation of lightness with depth inside the outline
  double both_dark = 0.0;   // share of the chords straight across it that are dark at both ends and light between
  double sides = 0.0;       // share of the outline's sides that are darker than the middle
  double direction = 0.0;   // how well one direction parts light from shadow: 0.5 not at all, 1 wholly
  double strength_l = 0.0;  // L* from the shadow rim to the light rim
  Vec2 at = Vec2::Zero();   // picture px
};

// Straight across the form from every place of its rim: dark at both ends and light between? A light from one side
// darkens one end, whatever the form.
double BothDark(const SmallField& s, const Segment& segment, const FormDepth& form, double cut, float rim) {
  cv::Mat tone(form.mask.rows, form.mask.cols, CV_8U, cv::Scalar(0));  // 1 shadow, 2 light, 0 says nothing
  for (const std::uint32_t i : segment.pixels) tone.at<std::uint8_t>(form.Place(i)) = static_cast<double>(s.l[i]) >= cut ? 2 : 1;
  double chords = 0, dark = 0;
  for (const std::uint32_t i : segment.pixels) {
    const cv::Point p = form.Place(i);
    const float d = form.depth.at<float>(p);
    if (d < rim || d >= rim + 1.2f) continue;
    const double gx = static_cast<double>(form.gx.at<float>(p)), gy = static_cast<double>(form.gy.at<float>(p)), slope = std::hypot(gx, gy);
    if (slope < 0.3) continue;
    const auto at = [&](int k) {
      return cv::Point(static_cast<int>(std::lround(p.x + gx / slope * k)), static_cast<int>(std::lround(p.y + gy / slope * k)));
    };
    const cv::Rect inside(0, 0, form.mask.cols, form.mask.rows);
    int n = 1;
    while (inside.contains(at(n)) && form.mask.at<std::uint8_t>(at(n)) != 0) ++n;
    if (n < 8) continue;
    const auto light = [&](int begin, int end) {
      int known = 0, lit = 0;
      for (int k = begin; k < end; ++k) known += tone.at<std::uint8_t>(at(k)) != 0, lit += tone.at<std::uint8_t>(at(k)) == 2;
      return known >= 2 ? static_cast<double>(lit) / known : -1.0;
    };
    const int sixth = std::max(2, n / 6);
    const double near_end = light(0, sixth), far_end = light(n - sixth, n), middle = light(n / 2 - n / 6, n / 2 + n / 6 + 1);
    if (near_end < 0 || far_end < 0 || middle < 0) continue;
    chords += 1;
    dark += near_end < 0.5 && far_end < 0.5 && middle > 0.7;
  }
  return chords >= 40 ? dark / chords : 0.0;
}

std::optional<Shade> ReadShade(const PictureContext& c, const Segment& segment) {
  const SmallField& s = c.small;
  const Segment* const own = &segment;
  const auto form = DepthOf(s, {&own, 1});
  if (!form) return std::nullopt;
  const auto& [width, x0, y0, mask, depth, gx, gy, deepest] = *form;
  const float rim = std::max(1.5f, 0.06f * static_cast<float>(deepest));  // line and anti-aliasing are not shading
  std::vector<double> lights;
  double n = 0, sl = 0, sll = 0;
  struct Row {
    double nx, ny, t, l;
  };
  std::vector<Row> rows;
  const std::size_t every = std::max<std::size_t>(1, segment.pixels.size() / 5000);
  for (std::size_t k = 0; k < segment.pixels.size(); k += every) {
    const cv::Point p = form->Place(segment.pixels[k]);
    const float d = depth.at<float>(p);
    if (d < rim) continue;
    const double l = static_cast<double>(s.l[segment.pixels[k]]);
    const double t = std::min(1.0, static_cast<double>((d - rim) / std::max(1.0f, static_cast<float>(deepest) - rim)));
    const double g = std::hypot(static_cast<double>(gx.at<float>(p)), static_cast<double>(gy.at<float>(p)));
    const double tilt = (1.0 - t) / std::max(1.0, g);  // |gradient| of a distance is 1 off the ridge, less on it
    const Row row{-static_cast<double>(gx.at<float>(p)) * tilt, -static_cast<double>(gy.at<float>(p)) * tilt, t, l};
    rows.push_back(row);
    lights.push_back(l);
    n += 1, sl += l, sll += l * l;
  }
  if (n < 100) return std::nullopt;
  Shade out;
  out.area = static_cast<double>(segment.pixels.size());
  out.share = segment.share;
  out.at = {segment.ax, segment.ay};
  out.range_l = Quantile(lights, 0.9) - Quantile(lights, 0.1);
  const double vl = sll / n - sl * sl / (n * n);
  if (vl < 0.5) return out;
  // Sides of the outline by where they face, against the middle.
  std::vector<double> middle;
  std::array<std::vector<double>, 8> rim_side;
  const auto sector = [](const Row& r) {
    return static_cast<std::size_t>(static_cast<int>(std::floor((std::atan2(r.ny, r.nx) / std::numbers::pi + 1.0) * 4.0 + 0.5)) % 8);
  };
  for (const Row& r : rows) {
    if (r.t > 0.6) middle.push_back(r.l);
    if (r.t < 0.25 && std::hypot(r.nx, r.ny) > 0.3) rim_side[sector(r)].push_back(r.l);
  }
  std::array<int, 8> tone_of{};  // -1 darker than the middle, 1 not, 0 not asked
  const double mid = Median(middle);
  for (std::size_t k = 0; k < 8; ++k)
    if (rim_side[k].size() >= 15) tone_of[k] = Median(rim_side[k]) < mid - 3.0 ? -1 : 1;
  // Dark on two opposite sides; the ends of a limb need not be.
  for (std::size_t k = 0; k < 4; ++k) {
    if (tone_of[k] != -1 || tone_of[k + 4] != -1) continue;
    int dark = 0, asked = 0;
    for (const int v : tone_of) dark += v == -1, asked += v != 0;
    // Lightness against depth, seen across those sides; over the whole depth or in a band.
    for (const double clip : {1.0, 0.5, 0.25}) {
      double m = 0, l1 = 0, l2 = 0, d = 0, dd = 0, ld = 0;
      for (const Row& r : rows) {
        const std::size_t q = sector(r);
        const bool across = q % 4 == k || (q + 1) % 4 == k || q % 4 == (k + 1) % 4;
        if (!across && r.t < 0.6) continue;
        const double t = std::min(r.t, clip);
        m += 1, l1 += r.l, l2 += r.l * r.l, d += t, dd += t * t, ld += t * r.l;
      }
      const double v = (l2 / m - l1 * l1 / (m * m)) * (dd / m - d * d / (m * m));
      if (m > 50 && v > 0) out.depth_r = std::max(out.depth_r, (ld / m - l1 * d / (m * m)) / std::sqrt(v));
    }
    out.sides = std::max(out.sides, static_cast<double>(dark) / std::max(1, asked));
  }

  // Two tones: which way do the light ones face?
  std::vector<double> histogram(256, 0.0);
  for (const double l : lights) histogram[LevelBin(l / kLPerByte)] += 1;
  const LevelSplit split = SplitLevels(histogram, 2);
  const double cut = split.cuts[0] * kLPerByte - 0.5 * kLPerByte;
  out.strength_l = (split.means[1] - split.means[0]) * kLPerByte;
  if (out.strength_l < 5 || out.strength_l > 38 || split.shares[0] < 0.08 || split.shares[1] < 0.08) return out;
  const auto step = MaterialStep(s, segment, cut);
  if (!step || *step > kOneMaterial) return out;
  out.both_dark = BothDark(s, segment, *form, cut, rim);
  cv::Mat tone(mask.rows, mask.cols, CV_8U, cv::Scalar(0));
  for (const int light : {0, 1}) {
    tone.setTo(0);
    double all = 0;
    for (const std::uint32_t i : segment.pixels)
      if ((static_cast<double>(s.l[i]) >= cut) == (light == 1)) tone.at<std::uint8_t>(form->Place(i)) = 255, all += 1;
    cv::Mat labels, stats, centres;
    const int parts = cv::connectedComponentsWithStats(tone, labels, stats, centres, 8);
    std::vector<int> areas;
    for (int i = 1; i < parts; ++i) areas.push_back(stats.at<int>(i, cv::CC_STAT_AREA));
    std::sort(areas.rbegin(), areas.rend());
    const double two = (areas.empty() ? 0 : areas[0]) + (areas.size() < 2 ? 0 : areas[1]);
    if (two < 0.8 * all) return out;
  }
  double lx = 0, ly = 0, ln = 0, dx = 0, dy = 0, dn = 0;
  for (const Row& r : rows) {
    if (r.l >= cut)
      lx += r.nx, ly += r.ny, ln += 1;
    else
      dx += r.nx, dy += r.ny, dn += 1;
  }
  if (ln < 20 || dn < 20) return out;
  const double px = lx / ln - dx / dn, py = ly / ln - dy / dn;
  // Chance that a light place faces that way more than a shadowed one (rank sum).
  std::vector<std::pair<double, bool>> order;
  for (const Row& r : rows) order.emplace_back(r.nx * px + r.ny * py, r.l >= cut);
  std::sort(order.begin(), order.end());
  double below = 0, wins = 0;
  for (const auto& [at, light] : order) {
    if (light)
      wins += below;
    else
      below += 1;
  }
  out.direction = wins / (ln * dn);
  return out;
}

void CheckPillow(const PictureContext& c, const std::vector<Shade>& shades, Findings& out) {
  double shaded = 0, pillow = 0, of_figure = 0;
  std::vector<Vec2> where;
  for (const Shade& s : shades) {
    if (s.range_l < 4 || s.range_l > kInk) continue;
    shaded += s.area;
    // Darker on every side than in the middle: no light from the side does that.
    const bool ring = s.depth_r > c.Tolerances().pillow_r && s.sides >= 0.4 && s.direction < 0.78;
    if (ring || s.both_dark > kBothDark) {
      pillow += s.area;
      of_figure += s.share;
      where.push_back(s.at);
    }
  }
  if (shaded <= 0) return;
  Finding x = MakeFinding("value.pillow", Say("Shading follows a light"), Kind::kCraft, Verdict::kClear, Stage::kShading);
  x.measured = pillow / shaded;
  x.expected = 0.0;
  x.tolerance = kLeastPillow;
  x.unit = "share of the shaded area";
  x.test = "forms darker at opposite sides than in the middle, direction of light set apart";
  x.smallest_visible = kLeastPillow;
  x.source = Say("default, editable");
  x.why = Say("In {:.0f} % of the shaded area it is darker on opposite sides and lighter in the middle, whatever way the sides face.",
              100 * pillow / shaded);
  if (pillow > kLeastPillow * shaded && of_figure > kLeastOfFigure && where.size() >= 2) {
    x.title = Say("Pillow shading");
    x.verdict = Verdict::kOff;
    x.gain = 5.0;
    x.where.points = where;
    x.remedy = {RemedyWay::kRepaint, 30, Say("Choose one light and lay the shadows in two clear values on the side away from it.")};
  }
  out.push_back(std::move(x));
}

// Mean OKLab of a set of pixels.
struct Tone {
  double l = 0, a = 0, b = 0, star = 0, n = 0;
  void Add(const SmallField& s, std::size_t i) {
    l += static_cast<double>(s.ok_l[i]);
    a += static_cast<double>(s.a[i]);
    b += static_cast<double>(s.b[i]);
    star += static_cast<double>(s.l[i]);
    n += 1;
  }
  void Finish() {
    if (n > 0) l /= n, a /= n, b /= n, star /= n;
  }
  [[nodiscard]] double Chroma() const { return std::hypot(a, b); }
  [[nodiscard]] double Hue() const { return std::atan2(b, a); }
};

void CheckShadowColour(const PictureContext& c, const std::vector<LitPatch>& lit, Findings& out) {
  const SmallField& s = c.small;
  const PictureTolerances& t = c.Tolerances();
  std::vector<double> steps, ratios, weights;
  for (const auto& [patch, split] : lit) {
    Tone light, shadow;
    for (const std::uint32_t i : patch->pixels)
      (s.l[i] / static_cast<float>(kLPerByte) < static_cast<float>(split.cuts[0]) ? shadow : light).Add(s, i);
    light.Finish();
    shadow.Finish();
    if (light.Chroma() < 0.03 || shadow.l < 0.1) continue;
    ratios.push_back(shadow.Chroma() / shadow.l / (light.Chroma() / light.l));
    weights.push_back(patch->share);
    if (shadow.Chroma() > 0.03) steps.push_back(std::remainder(shadow.Hue() - light.Hue(), 2 * std::numbers::pi) * kDeg);
  }
  if (ratios.size() < 2) return;
  double mean = 0, weight = 0;
  for (std::size_t i = 0; i < ratios.size(); ++i) mean += weights[i] * ratios[i], weight += weights[i];
  mean /= weight;
  {
    Finding x = MakeFinding("colour.shadow_chroma", Say("Shadows keep their colour"), Kind::kTaste, Verdict::kClear, Stage::kShading);
    x.measured = mean;
    x.expected = 1.0;
    x.tolerance = 1.0 - t.chroma_ratio_min;
    x.unit = "of the neutral baseline";
    x.test = "chroma over lightness in OKLab, shadow against light, per material";
    x.source = Say("default, editable; baseline: the same proportions of red, green and blue in light and shadow");
    x.why = Say("Over {} materials, shadows hold {:.0f} % of the colour that a plain darkening of the same paint would have.",
                ratios.size(), 100 * mean);
    if (mean < t.chroma_ratio_min) {
      x.title = Say("Greyed shadows");
      x.verdict = Verdict::kOff;
      x.gain = 1.5;
      x.remedy = {RemedyWay::kRepaint, 15, Say("If they look dead: shift the shadow's hue a little and add chroma on a new layer.")};
    }
    out.push_back(std::move(x));
  }
  if (steps.size() < 3) return;
  const double spread = (Quantile(steps, 0.84) - Quantile(steps, 0.16)) / 2;
  Finding x = MakeFinding("colour.shadow_hue", Say("Shadow hues move together"), Kind::kTaste, Verdict::kClear, Stage::kShading);
  x.measured = spread;
  x.tolerance = t.hue_step_spread_deg;
  x.unit = "deg";
  x.test = "spread of hue steps from light to shadow over the materials";
  x.source = Say("default, editable; teachers disagree on the direction, so only coherence is judged");
  x.why =
      Say("From light to shadow the hue moves by {:.0f} degrees in a typical one of {} materials; from one to another that differs by "
          "{:.0f} degrees.",
          std::abs(Median(steps)), steps.size(), spread);
  if (spread > t.hue_step_spread_deg) {
    x.title = Say("Shadow hues move different ways");
    x.verdict = Verdict::kOff;
    x.gain = 1.0;
    x.remedy = {RemedyWay::kRepaint, 15, Say("If it is not meant: let all shadows lean towards one colour.")};
  }
  out.push_back(std::move(x));
}

// Light and shadow families of a material, told apart by the artist's own outlines.
void CheckFamilies(const PictureContext& c, Findings& out) {
  if (c.options->marks == nullptr) return;
  const SmallField& s = c.small;
  const auto paint = [&](const Area& area, cv::Mat& mask) {
    std::vector<cv::Point> polygon;
    for (const Vec2& v : area.outline) polygon.emplace_back(static_cast<int>(v.x() / s.factor), static_cast<int>(v.y() / s.factor));
    cv::fillPoly(mask, std::vector<std::vector<cv::Point>>{polygon}, cv::Scalar(255));
  };
  for (const FigureMarks& figure : c.options->marks->figures) {
    cv::Mat shadow(s.height, s.width, CV_8U, cv::Scalar(0));
    bool any = false;
    for (const Area& area : figure.areas)
      if (area.kind == "shadow" && area.outline.size() >= 3) {
        paint(area, shadow);
        any = true;
      }
    if (!any) continue;
    for (const Area& area : figure.areas) {
      if (area.outline.size() < 3 || (area.kind != "material" && area.kind != "skin" && area.kind != "hair")) continue;
      cv::Mat material(s.height, s.width, CV_8U, cv::Scalar(0));
      paint(area, material);
      // The boundary of the shadow outline is the artist's hand, two pixels wide.
      cv::Mat lit = material & ~shadow, dark = material & shadow;
      const cv::Mat five = cv::getStructuringElement(cv::MORPH_ELLIPSE, {5, 5});
      cv::erode(lit, lit, five);
      cv::erode(dark, dark, five);
      std::vector<double> l, d;
      for (int y = 0; y < s.height; ++y)
        for (int x = 0; x < s.width; ++x) {
          const std::size_t i = s.At(x, y);
          if (s.ink[i] > 32) continue;
          if (lit.at<std::uint8_t>(y, x)) l.push_back(static_cast<double>(s.l[i]));
          if (dark.at<std::uint8_t>(y, x)) d.push_back(static_cast<double>(s.l[i]));
        }
      if (l.size() < 50 || d.size() < 50) continue;
      const double gap = Quantile(l, 0.1) - Quantile(d, 0.9);
      Finding x = MakeFinding("value.families", Say("Light and shadow stay apart"), Kind::kCraft,
                              gap < c.Tolerances().family_gap_l ? Verdict::kOff : Verdict::kClear, Stage::kShading);
      x.figure = figure.name;
      x.where.outline = area.outline;
      x.measured = gap;
      x.expected = c.Tolerances().family_gap_l;
      x.tolerance = 0.0;
      x.unit = "L*";
      x.test = "darkest tenth of the light against the lightest tenth of the shadow";
      x.smallest_visible = 1.0;
      x.source = Say("teaching of light and shadow families; 5 L* is a default, editable");
      x.why = gap < 0 ? Say("In {} the darkest tenth of the light lies {:.0f} L* below the lightest tenth of the shadow.",
                            area.name.empty() ? area.kind : area.name, std::abs(gap))
                      : Say("In {} the darkest tenth of the light lies {:.0f} L* above the lightest tenth of the shadow.",
                            area.name.empty() ? area.kind : area.name, std::abs(gap));
      if (x.verdict == Verdict::kOff) {
        x.title = gap < 0 ? Say("Light and shadow overlap") : Say("Light and shadow nearly touch");
        x.gain = 4.0;
        x.remedy = {RemedyWay::kRepaint, 15, Say("Lift the half-tones of the light, or deepen the reflected light in the shadow.")};
      }
      out.push_back(std::move(x));
    }
  }
}

}  // namespace

std::optional<double> MaterialStep(const SmallField& s, const Segment& segment, double cut) {
  std::array<double, 2> u{}, v{}, count{};
  for (const std::uint32_t i : segment.pixels) {
    const auto k = static_cast<std::size_t>(static_cast<double>(s.l[i]) >= cut);
    const double l = std::max(0.08, static_cast<double>(s.ok_l[i]));
    u[k] += static_cast<double>(s.a[i]) / l, v[k] += static_cast<double>(s.b[i]) / l, count[k] += 1;
  }
  if (count[0] < 1 || count[1] < 1) return std::nullopt;
  return std::hypot(u[0] / count[0] - u[1] / count[1], v[0] / count[0] - v[1] / count[1]);
}

void CheckShading(const PictureContext& c, Findings& out) {
  CheckFamilies(c, out);
  if (c.uncoloured || c.stage < Stage::kShading) return;
  const std::vector<Segment> patches = FindSegments(c, 1e-4, 2000);
  const auto large = std::ranges::find_if(patches, [](const Segment& p) { return p.share < 0.0015; });
  const std::vector<Segment> segments(patches.begin(), std::min(large, patches.begin() + 80));
  std::vector<std::optional<Shade>> read(segments.size());
  std::vector<std::optional<LevelSplit>> splits(segments.size());
  ParallelFor(static_cast<int>(segments.size()), c.options->threads, [&](int i) {
    const auto k = static_cast<std::size_t>(i);
    read[k] = ReadShade(c, segments[k]);
    splits[k] = LightAndShadow(c.small, segments[k]);
  });
  std::vector<Shade> shades;
  for (const auto& shade : read)
    if (shade) shades.push_back(*shade);
  CheckPillow(c, shades, out);
  CheckLight(c, patches, out);
  std::vector<LitPatch> lit;
  for (std::size_t k = 0; k < segments.size(); ++k)
    if (splits[k]) lit.push_back({&segments[k], *splits[k]});
  CheckShadowColour(c, lit, out);
  CheckShadowShapes(c, lit, out);
}

}  // namespace armslength
