#include <algorithm>
#include <cmath>

#include "check/pixels/context.h"
#include "check/pixels/neighbours.h"
#include "check/pixels/regions.h"
#include "check/pixels/thinning.h"
#include "words/say.h"

namespace armslength {
namespace {

// Robust spread: half the distance of the 16th to the 84th percentile, over the median.
double Spread(const std::vector<double>& values) {
  const double m = Median(values);
  return m > 0 ? (Quantile(values, 0.84) - Quantile(values, 0.16)) / (2 * m) : 0.0;
}

struct Place {
  Vec2 at = Vec2::Zero();
  double weight = 0.0;
};

// The strongest places, at least `apart` from each other.
std::vector<Vec2> Pick(std::vector<Place> places, std::size_t most, double apart) {
  std::stable_sort(places.begin(), places.end(), [](const Place& a, const Place& b) { return a.weight > b.weight; });
  std::vector<Vec2> out;
  for (const Place& p : places) {
    if (out.size() >= most) break;
    if (std::ranges::all_of(out, [&](const Vec2& q) { return (q - p.at).norm() >= apart; })) out.push_back(p.at);
  }
  return out;
}

Vec2 At(const StrokeSample& s) { return {static_cast<double>(s.x), static_cast<double>(s.y)}; }

// Does the ground beside this sample belong to the background?
bool IsOuter(const PictureContext& c, const StrokeSample& s) {
  const double r = 0.5 * static_cast<double>(s.width) + 3.0 * c.small.factor;
  const double nx = static_cast<double>(s.ty), ny = -static_cast<double>(s.tx);
  const Vec2 p = At(s);
  return c.InFigure(p.x() + nx * r, p.y() + ny * r, true) != c.InFigure(p.x() - nx * r, p.y() - ny * r, true);
}

// ---- wobble ----
struct Wobble {
  double long_px = 0.0, wobbly_px = 0.0;
  double worst_w = 0.0;
  double rms_w = 0.0;  // median over the wobbly windows
  std::vector<Place> places;
};

Wobble MeasureWobble(const PictureContext& c) {
  const StrokeGraph& g = c.graph;
  const double w = g.width_px, step = g.step_px;
  Wobble out;
  const int half = std::max(4, static_cast<int>(std::lround(8.0 * w / step)));  // the fit spans 16 w
  std::vector<double> levels;
  for (const Stroke& stroke : g.strokes) {
    const int n = static_cast<int>(stroke.samples.size());
    if (stroke.length_px < 30 * w || n < 2 * half + 1) continue;
    // Distance of each sample from the quadratic through the 16 w about it, across the line.
    std::vector<double> residual(static_cast<std::size_t>(n), 0.0);
    double s2 = 0, s4 = 0, s0 = 0;
    for (int k = -half; k <= half; ++k) {
      const double t = k;
      s0 += 1;
      s2 += t * t;
      s4 += t * t * t * t;
    }
    const double det = s0 * s4 - s2 * s2;
    for (int i = half; i < n - half; ++i) {
      const StrokeSample& mid = stroke.samples[static_cast<std::size_t>(i)];
      const double nx = static_cast<double>(mid.ty), ny = -static_cast<double>(mid.tx);
      double a = 0, b = 0;
      for (int k = -half; k <= half; ++k) {
        const StrokeSample& p = stroke.samples[static_cast<std::size_t>(i + k)];
        const double v = static_cast<double>(p.x - mid.x) * nx + static_cast<double>(p.y - mid.y) * ny;
        a += v;
        b += v * k * k;
      }
      residual[static_cast<std::size_t>(i)] = -(s4 * a - s2 * b) / det;  // mid lies at 0
    }
    // In windows of 20 w: how often it changes sides, and its typical distance. The median
    // of the distances, so that one corner is not a wobble.
    const int window = std::max(6, static_cast<int>(std::lround(20.0 * w / step)));
    for (int i = half; i + window <= n - half; i += window / 2) {
      std::vector<double> size;
      int flips = 0;
      double last = 0;
      const double dead = 0.06 * w;
      for (int k = i; k < i + window; ++k) {
        const double r = residual[static_cast<std::size_t>(k)];
        size.push_back(std::abs(r));
        if (std::abs(r) < dead) continue;
        if (last * r < 0) ++flips;
        last = r;
      }
      const double length = window / 2 * step;
      out.long_px += length;
      const double per_10w = flips * 10.0 * w / (window * step);
      if (per_10w < c.Tolerances().wobble_flips_per_10w) continue;
      // Both ends far apart enough: hair curls and lace turn back on themselves.
      const Vec2 a = At(stroke.samples[static_cast<std::size_t>(i)]), b = At(stroke.samples[static_cast<std::size_t>(i + window - 1)]);
      if ((b - a).norm() < 0.6 * window * step) continue;
      const double in_w = Median(size) / w;  // of a sine the median equals the rms
      // Ruffles and curls swing wider than a hand trembles.
      if (in_w <= c.Tolerances().wobble_rms_w || in_w > 1.6) continue;
      levels.push_back(in_w);
      out.wobbly_px += length;
      out.worst_w = std::max(out.worst_w, in_w);
      out.places.push_back({At(stroke.samples[static_cast<std::size_t>(i + window / 2)]), in_w});
    }
  }
  out.rms_w = Median(levels);
  return out;
}

// ---- doubled lines ----
constexpr double kLonger = 1.5;   // a line gone over again is so many times as long as the second stroke
constexpr double kFollows = 0.6;  // of the second stroke runs beside it
// So many second strokes, and so much of all contours: sound drawn figures have up to two and 0.015.
constexpr int kAgain = 4;
constexpr double kAgainShare = 0.016;

struct Doubled {
  double strokes_per_contour = 1.0;
  int again = 0;             // strokes that hang free and do little else than follow a longer line
  double again_share = 0.0;  // their length over that of the contours
  std::vector<Place> places;
};

Doubled MeasureDoubled(const PictureContext& c) {
  const StrokeGraph& g = c.graph;
  const double w = g.width_px, step = g.step_px;
  Doubled out;
  // Beside each other: middles within 2.6 times the wider of the two lines.
  const double reach = 2.6 * std::clamp(c.line.width_p90_px, w, 2.5 * w);
  const SampleGrid grid(g, std::max(4.0, reach), c.Width(), c.Height());
  const double shortest = 12.0 * w;
  const auto same_line = static_cast<std::int64_t>(std::ceil(6.0 * w / step));
  double lengths = 0, contours = 0, again_px = 0;
  for (std::uint32_t k = 0; k < g.strokes.size(); ++k) {
    const Stroke& stroke = g.strokes[k];
    const auto n = static_cast<std::uint32_t>(stroke.samples.size());
    if (stroke.length_px < shortest) continue;  // lashes, laces, fingers: short lines are details
    // The nearest line beside each sample: whose, and how far.
    std::vector<std::int64_t> beside(n, -1);
    std::vector<double> distance(n, 0.0);
    std::vector<int> lines(n, 0);  // other lines beside this one
    std::vector<std::uint32_t> seen;
    for (std::uint32_t i = 0; i < n; ++i) {
      seen.clear();
      const StrokeSample& s = stroke.samples[i];
      double best = reach;
      grid.Near(static_cast<double>(s.x), static_cast<double>(s.y), reach, [&](SampleRef r, const StrokeSample& p, double d) {
        if (g.strokes[r.stroke].length_px < shortest) return;
        if (r.stroke == k && std::abs(static_cast<std::int64_t>(r.index) - static_cast<std::int64_t>(i)) < same_line) return;
        const double along = std::abs(static_cast<double>(s.tx * p.tx + s.ty * p.ty));
        if (along < 0.94) return;  // within 20 degrees
        if (d > 2.6 * std::max(w, static_cast<double>(std::max(s.width, p.width)))) return;
        const double across = std::abs(static_cast<double>((p.x - s.x) * s.ty - (p.y - s.y) * s.tx));
        if (across < 0.7 * d) return;  // beside, not before or behind
        if (std::ranges::find(seen, r.stroke) == seen.end()) seen.push_back(r.stroke);
        if (d >= best) return;
        best = d;
        beside[i] = r.stroke;
        distance[i] = d;
      });
      lines[i] = static_cast<int>(std::min<std::size_t>(3, seen.size()));
    }
    // Hair and hatching lie beside lines of their own length; a contour gone over again beside a longer one.
    const auto follows_longer = std::ranges::count_if(
        beside, [&](std::int64_t b) { return b >= 0 && g.strokes[static_cast<std::size_t>(b)].length_px > kLonger * stroke.length_px; });
    if (stroke.free_begin && stroke.free_end && !stroke.closed && static_cast<double>(follows_longer) > kFollows * n) {
      ++out.again;
      again_px += stroke.length_px;
    }
    for (std::uint32_t i = 0; i < n;) {
      if (beside[i] < 0) {
        lengths += step;
        contours += step;
        ++i;
        continue;
      }
      std::uint32_t j = i;
      std::vector<double> d;
      double shared = 0;
      while (j < n && beside[j] >= 0) {
        shared += step / (1 + lines[j]);
        d.push_back(distance[j++]);
      }
      const double run = (j - i) * step;
      // A hem, a belt, a strap: the same distance over a long way is meant.
      const double m = Median(d);
      bool meant = run >= 8 * w && (Quantile(d, 0.9) - Quantile(d, 0.1)) < 0.25 * m;
      // But a line that hangs free and does little else than follow another is a second stroke.
      const Stroke& partner = g.strokes[static_cast<std::size_t>(beside[(i + j) / 2])];
      const auto follows = [&](const Stroke& one) { return one.free_begin && one.free_end && !one.closed && run > 0.5 * one.length_px; };
      if (follows(partner) || follows(stroke)) meant = false;
      const bool hairy = run >= 4 * w && !meant;
      lengths += run;
      contours += hairy ? shared : run;
      if (hairy) out.places.push_back({At(stroke.samples[(i + j) / 2]), run});
      i = j;
    }
  }
  if (contours > 0) out.strokes_per_contour = lengths / contours, out.again_share = again_px / contours;
  return out;
}

// ---- strays ----
struct Strays {
  std::vector<Vec2> outside, dust;
};

Strays FindStrays(const PictureContext& c) {
  const PlaneU8& ink = c.ink.plane;
  const double w = c.graph.width_px;
  const Parts parts = FindParts(ink.height(), true, [&](int y, const auto& add) {
    const std::uint8_t* row = ink.Row(y);
    int x = 0;
    while (x < ink.width()) {
      while (x < ink.width() && (row[x] & kInk) == 0) ++x;
      const int x0 = x;
      while (x < ink.width() && (row[x] & kInk) != 0) ++x;
      if (x > x0) add(x0, x);
    }
  });
  Strays out;
  const int clear = static_cast<int>(std::ceil(std::max(3.0, 3.0 * w)));
  for (const Part& part : parts.parts) {
    const auto area = static_cast<double>(part.area);
    const double extent = std::max(part.x1 - part.x0, part.y1 - part.y0);
    if (area < 2 || area > 8.0 * w * w || extent > 7.0 * w) continue;
    std::uint64_t around = 0;
    for (int y = std::max(0, part.y0 - clear); y < std::min(ink.height(), part.y1 + clear); ++y) {
      const std::uint8_t* row = ink.Row(y);
      for (int x = std::max(0, part.x0 - clear); x < std::min(ink.width(), part.x1 + clear); ++x) around += (row[x] & kInk) != 0;
    }
    if (around != part.area) continue;
    // Dark without being ink: a fill or a broad shadow begins here, so nothing stands alone.
    const std::size_t cell =
        c.ink.Cell(std::clamp((part.x0 + part.x1) / 2 - 1, 0, c.Width() - 1), std::clamp((part.y0 + part.y1) / 2 - 1, 0, c.Height() - 1));
    const int dark = c.ink.threshold[cell] != 0 ? c.ink.threshold[cell] : c.ink.ground[cell] - 38;
    std::uint64_t dark_px = 0;
    for (int y = std::max(0, part.y0 - 1 - clear); y < std::min(c.Height(), part.y1 - 1 + clear); ++y) {
      const std::uint8_t* row = c.planes.l.Row(y);
      for (int x = std::max(0, part.x0 - 1 - clear); x < std::min(c.Width(), part.x1 - 1 + clear); ++x) dark_px += row[x] < dark;
    }
    if (dark_px > part.area + part.area / 4 + 4) continue;
    const Vec2 at((part.x0 + part.x1) / 2.0 - 1.0, (part.y0 + part.y1) / 2.0 - 1.0);
    // A light patch's rim is no mark: the spot must be darker than the ground on every side.
    const bool inside = c.InFigure(at.x() - clear, at.y(), true) || c.InFigure(at.x() + clear, at.y(), true) ||
                        c.InFigure(at.x(), at.y() - clear, true) || c.InFigure(at.x(), at.y() + clear, true);
    if (!inside)
      out.outside.push_back(at);
    else if (area <= 0.5 * w * w)
      out.dust.push_back(at);
  }
  return out;
}

}  // namespace

void MeasureLine(PictureContext& c) {
  const StrokeGraph& g = c.graph;
  LineFacts& f = c.line;
  f.length_px = g.length_px;
  f.strokes = static_cast<int>(g.strokes.size());
  f.width_px = g.width_px;
  std::vector<double> all, within, outer, inner;
  for (const Stroke& stroke : g.strokes) {
    std::vector<double> own;
    for (std::size_t i = 0; i < stroke.samples.size(); i += 2) {
      const StrokeSample& s = stroke.samples[i];
      if (s.width <= 0) continue;
      own.push_back(static_cast<double>(s.width));
      if (c.split.by != SplitBy::kNone) (IsOuter(c, s) ? outer : inner).push_back(static_cast<double>(s.width));
    }
    all.insert(all.end(), own.begin(), own.end());
    if (stroke.length_px > 12 * g.width_px && own.size() >= 8) within.push_back(Spread(own));
  }
  f.width_p10_px = Quantile(all, 0.1);
  f.width_p90_px = Quantile(all, 0.9);
  f.width_spread = Spread(all);
  f.within_stroke_spread = Median(within);
  if (outer.size() >= 50 && inner.size() >= 50) f.outer_over_inner = Median(outer) / std::max(0.1, Median(inner));
  if (c.figure_height_px > 0) f.width_of_figure = f.width_px / c.figure_height_px;

  // Is it line art? Then the figure's outline carries a line; without a split, the strong edges do.
  const SmallField& s = c.small;
  std::size_t edge = 0, lined = 0, dark = 0;
  const int r = std::max(2, static_cast<int>(std::lround(1.0 + 0.5 * g.width_px / s.factor)));
  const auto ink_limit = static_cast<float>(c.ink.ink_l + 20.0);
  // Is there ink here; and if not, is the figure as dark as ink, so that a line would not show?
  const auto look = [&](int x, int y) {
    double sum = 0;
    int n = 0;
    const int far = r + 3;
    for (int j = std::max(0, y - far); j <= std::min(s.height - 1, y + far); ++j)
      for (int i = std::max(0, x - far); i <= std::min(s.width - 1, x + far); ++i) {
        const std::size_t k = s.At(i, j);
        if (std::max(std::abs(i - x), std::abs(j - y)) <= r && s.ink[k] > 40) return 1;
        if (c.split.by != SplitBy::kNone && c.split.mask[k] != 0) sum += static_cast<double>(s.l[k]), ++n;
      }
    return c.ink.ink_l < 30 && n > 0 && sum / n < static_cast<double>(ink_limit) ? -1 : 0;
  };
  for (int y = 2; y + 2 < s.height; ++y)
    for (int x = 2; x + 2 < s.width; ++x) {
      bool here;
      if (c.split.by != SplitBy::kNone) {
        const auto at = [&](int i, int j) { return c.split.mask[s.At(i, j)] != 0; };
        here = at(x, y) && (!at(x - 1, y) || !at(x + 1, y) || !at(x, y - 1) || !at(x, y + 1));
      } else {
        const float gx = s.l[s.At(x + 1, y)] - s.l[s.At(x - 1, y)], gy = s.l[s.At(x, y + 1)] - s.l[s.At(x, y - 1)];
        here = std::hypot(gx, gy) > 25.0f;
      }
      if (!here) continue;
      const int seen = look(x, y);
      dark += seen < 0;
      edge += seen >= 0;
      lined += seen > 0;
    }
  if (lined < (edge + dark) / 5) edge = 0;  // nearly all of it dark: cannot be told
  f.silhouette_cover = edge > 0 ? static_cast<double>(lined) / static_cast<double>(edge) : 0.0;
  std::size_t figure = 0, solid = 0;
  if (c.split.by != SplitBy::kNone)
    for (std::size_t k = 0; k < s.l.size(); ++k) {
      if (c.split.mask[k] == 0) continue;
      ++figure;
      solid += s.ink[k] <= 40 && s.l[k] < ink_limit;
    }
  const double mass = figure > 0 ? static_cast<double>(solid) / static_cast<double>(figure) : 0.0;
  const double needed = c.figure_height_px > 0 ? c.figure_height_px : 0.5 * c.LongSide();
  // A pale line has to be nearly everywhere: the rims of flat grey shapes are found as line in places. And what is one
  // mass of ink is no line drawing.
  const double cover = 0.5 + 0.3 * std::clamp((c.ink.ink_l - 30.0) / 15.0, 0.0, 1.0);
  f.line_art = c.ink.ink_l < 65 && f.silhouette_cover >= cover && mass < 0.9 && f.length_px >= 1.5 * needed;
}

void CheckLine(const PictureContext& c, Findings& out) {
  const LineFacts& f = c.line;
  const PictureTolerances& t = c.Tolerances();
  if (!f.line_art) return;
  const bool sketch = c.stage < Stage::kLine;

  // Weight.
  {
    Finding x = MakeFinding("line.weight", Say("Line weight"), Kind::kTaste, Verdict::kClear, Stage::kLine);
    x.measured = f.width_spread;
    x.tolerance = t.even_spread;
    x.unit = "relative spread of width";
    x.test = "robust spread over all strokes";
    std::string of_figure = f.width_of_figure > 0 ? Say(", {:.2f} % of the figure's height", 100 * f.width_of_figure) : std::string();
    std::string outer =
        f.outer_over_inner > 0
            ? Say(" The outline is {:.2f} times as wide as the lines inside it (common advice: 1.5 to 2).", f.outer_over_inner)
            : std::string();
    x.why =
        Say("Half of all line is wider than {:.1f} px{}; from thin to thick (a tenth to nine tenths) it runs from {:.1f} to {:.1f} px.{}",
            f.width_px, of_figure, f.width_p10_px, f.width_p90_px, outer);
    x.source = Say("common practice; default, editable");
    if (f.width_spread < t.even_spread) {
      x.title = Say("Line is equally wide everywhere");
      x.verdict = Verdict::kOff;
      x.gain = 1.0;
      x.remedy = {RemedyWay::kRepaint, 40,
                  Say("If it is not meant: thicken the outline, overlaps and the shadow side, thin the lines inside.")};
    }
    if (!sketch) out.push_back(std::move(x));
  }
  if (sketch) return;  // a sketch may wobble, search and stray

  {
    const Wobble m = MeasureWobble(c);
    if (m.long_px > 0) {
      Finding x = MakeFinding("line.wobble", Say("Line runs steadily"), Kind::kCraft, Verdict::kClear, Stage::kLine);
      const double share = m.wobbly_px / m.long_px;
      x.measured = m.rms_w;
      x.expected = 0.0;
      x.tolerance = t.wobble_rms_w;
      x.smallest_visible = t.wobble_rms_w;
      x.unit = "line widths";
      x.evidence = share;
      x.test = "share of the long strokes that wobble";
      x.source = Say("default, editable");
      x.why =
          Say("Long strokes were compared with a smooth curve over sixteen line widths: {:.0f} % of their length strays from it by more "
              "than {:.2f} line widths and changes sides at least {:.1f} times in ten line widths.",
              100 * share, t.wobble_rms_w, t.wobble_flips_per_10w);
      if (share > t.wobble_share && m.places.size() >= 3) {
        x.title = Say("Wobbly line");
        x.verdict = Verdict::kOff;
        x.gain = std::min(6.0, 2.0 + 10 * share);
        x.remedy = {RemedyWay::kRepaint, 3.0 + 0.01 * m.wobbly_px / std::max(1.0, f.width_px),
                    Say("Redraw these strokes from the shoulder in one go, faster and with more smoothing of the pen.")};
        x.where.points = Pick(m.places, 12, 10 * f.width_px);
      }
      out.push_back(std::move(x));
    }
  }
  {
    const Strays m = FindStrays(c);
    const std::size_t n = m.outside.size() + m.dust.size();
    Finding x = MakeFinding("line.strays", Say("No stray marks"), Kind::kCraft, Verdict::kClear, Stage::kLine);
    x.measured = static_cast<double>(n);
    x.expected = 0.0;
    x.tolerance = t.stray_count;
    x.unit = "marks";
    x.test = "islands of ink with nothing within three line widths";
    x.source = Say("default, editable");
    x.smallest_visible = 2.0;
    x.why = n == 0
                ? Say("No small mark stands alone. Dots inside the figure larger than half a line width squared count as drawn.")
                : SayCount(n,
                           "{} small mark stands alone ({} outside the figure, {} as dust inside it). Dots inside the figure larger than "
                           "half a line width squared count as drawn.",
                           "{} small marks stand alone ({} outside the figure, {} as dust inside it). Dots inside the figure larger than "
                           "half a line width squared count as drawn.",
                           n, m.outside.size(), m.dust.size());
    if (n > static_cast<std::size_t>(t.stray_count)) {
      x.title = n > 200 ? Say("Many specks") : Say("Stray marks");
      x.verdict = Verdict::kOff;
      x.gain = 2.0;
      x.remedy = {RemedyWay::kRepaint, std::min(20.0, 0.5 + 0.1 * static_cast<double>(n)), Say("Erase them; the places are listed.")};
      for (const auto* list : {&m.outside, &m.dust})
        for (const Vec2& p : *list)
          if (x.where.points.size() < 40) x.where.points.push_back(p);
    }
    out.push_back(std::move(x));
  }
}

void CheckDoubled(const PictureContext& c, Findings& out) {
  if (!c.line.line_art || c.stage < Stage::kLine) return;
  // Brush and black-and-white drawing: shapes of ink, of which nobody can count strokes.
  if (c.line.within_stroke_spread > 0.45) return;
  const LineFacts& f = c.line;
  const PictureTolerances& t = c.Tolerances();
  const Doubled m = MeasureDoubled(c);
  Finding x = MakeFinding("line.doubled", Say("One stroke per contour"), Kind::kCraft, Verdict::kClear, Stage::kLine);
  x.measured = m.strokes_per_contour;
  x.expected = 1.0;
  x.tolerance = t.strokes_per_contour - 1.0;
  x.unit = "strokes per contour";
  x.test = "length of lines beside a second line, even spacing left out";
  x.source = Say("default, editable");
  x.why =
      Say("There are {:.2f} strokes for each contour, counting lines that run beside another within two and a half line widths and come "
          "together, drift apart or hang free. Evenly spaced pairs such as hems are not counted, nor are short details.",
          m.strokes_per_contour);
  if (m.again > 0)
    x.why += SayCount(m.again, " {} stroke hangs free and does little else than follow a longer line.",
                      " {} strokes hang free and do little else than follow a longer line.", m.again);
  const bool again = m.strokes_per_contour <= t.strokes_per_contour && m.again >= kAgain && m.again_share > kAgainShare;
  if (again) {
    x.measured = m.again;
    x.expected = 0.0;
    x.tolerance = kAgain - 1;
    x.unit = "second strokes";
    x.test = "strokes that hang free and follow a longer line";
  }
  if (again || m.strokes_per_contour > t.strokes_per_contour) {
    x.title = Say("Hairy, doubled line");
    x.verdict = Verdict::kOff;
    x.gain = 4.0;
    x.remedy = {RemedyWay::kRepaint, 25, Say("Keep one stroke of each bundle and erase the others.")};
    x.where.points = Pick(m.places, 12, 10 * f.width_px);
  }
  out.push_back(std::move(x));
}

}  // namespace armslength
