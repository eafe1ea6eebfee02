#include <algorithm>
#include <array>
#include <cmath>

#include "check/pixels/context.h"
#include "check/pixels/neighbours.h"
#include "words/say.h"

namespace armslength {
namespace {

struct Kiss {
  Vec2 at = Vec2::Zero();
  double gap_px = 0.0;
  std::string what;
  double weight = 0.0;
};

// Two lines that come to lie beside each other within the tolerance and drift apart again on both
// sides, without crossing.
void LineKisses(const PictureContext& c, std::vector<Kiss>& out) {
  const StrokeGraph& g = c.graph;
  const double w = g.width_px, step = g.step_px;
  const double close = w + c.Tolerances().tangent_gap_w * w;  // between middles of the lines
  const double reach = 5.0 * w;
  const SampleGrid grid(g, std::max(4.0, reach), c.Width(), c.Height());
  const auto apart = static_cast<std::int64_t>(std::ceil(20.0 * w / step));
  const double along_min = std::cos(c.Tolerances().tangent_angle_deg * 3.14159265358979 / 180.0);
  // Long lines only: forms that meet, not fingers or folds.
  const double arm_px = std::max(10.0 * w, 0.02 * (c.figure_height_px > 0 ? c.figure_height_px : c.LongSide()));
  const int arm = static_cast<int>(std::ceil(arm_px / step));
  for (std::uint32_t k = 0; k < g.strokes.size(); ++k) {
    const Stroke& stroke = g.strokes[k];
    const int n = static_cast<int>(stroke.samples.size());
    if (stroke.length_px < 2.4 * arm_px) continue;
    // Nearest other line at each sample, on which side, and how far.
    std::vector<double> d(static_cast<std::size_t>(n), reach);
    std::vector<int> side(static_cast<std::size_t>(n), 0);
    std::vector<SampleRef> who(static_cast<std::size_t>(n));
    std::vector<float> parallel(static_cast<std::size_t>(n), 0.0f);
    for (int i = 0; i < n; ++i) {
      const StrokeSample& s = stroke.samples[static_cast<std::size_t>(i)];
      grid.Near(static_cast<double>(s.x), static_cast<double>(s.y), reach, [&](SampleRef r, const StrokeSample& p, double dist) {
        if (dist >= d[static_cast<std::size_t>(i)]) return;
        if (r.stroke == k && std::abs(static_cast<std::int64_t>(r.index) - i) < apart) return;
        if (g.strokes[r.stroke].length_px < 2.4 * arm_px) return;
        d[static_cast<std::size_t>(i)] = dist;
        who[static_cast<std::size_t>(i)] = r;
        side[static_cast<std::size_t>(i)] = (p.x - s.x) * s.ty - (p.y - s.y) * s.tx > 0 ? 1 : -1;
        parallel[static_cast<std::size_t>(i)] = std::abs(s.tx * p.tx + s.ty * p.ty);
      });
    }
    for (int i = 0; i < n;) {
      if (d[static_cast<std::size_t>(i)] > close) {
        ++i;
        continue;
      }
      int j = i, at = i;
      while (j < n && d[static_cast<std::size_t>(j)] <= close) {
        if (d[static_cast<std::size_t>(j)] < d[static_cast<std::size_t>(at)]) at = j;
        ++j;
      }
      const double zone = (j - i) * step;
      const int before = i - arm, after = j - 1 + arm;
      const bool room = before >= 0 && after < n && at - arm >= 0 && at + arm < n;
      const SampleRef r = who[static_cast<std::size_t>(at)];
      const auto& other = g.strokes[r.stroke];
      const int m = static_cast<int>(other.samples.size());
      const bool other_room = static_cast<int>(r.index) >= arm && static_cast<int>(r.index) + arm < m;
      if (room && other_room && zone <= 14 * w && d[static_cast<std::size_t>(at)] > 0.4 * w &&
          static_cast<double>(parallel[static_cast<std::size_t>(at)]) >= along_min) {
        // Apart again at both arms, and still on the same side: no crossing.
        const auto far = [&](int from, int to) {
          double least = reach;
          for (int q = from; q < to; ++q) least = std::min(least, d[static_cast<std::size_t>(q)]);
          return least;
        };
        const int tail = std::max(1, arm / 4);
        const bool opens = far(before, before + tail) > 1.3 * close && far(after - tail, after) > 1.3 * close;
        // Same side of the other line's ends.
        const StrokeSample& s = stroke.samples[static_cast<std::size_t>(at)];
        const auto side_of = [&](int index) {
          const StrokeSample& p = other.samples[static_cast<std::size_t>(index)];
          return (p.x - s.x) * s.ty - (p.y - s.y) * s.tx > 0 ? 1 : -1;
        };
        const bool same = side_of(static_cast<int>(r.index) - arm) == side_of(static_cast<int>(r.index) + arm);
        // Ground between the two on both sides of the place: two forms meet. Lines inside a form
        // (fingers, straps, buttons on a placket) touch by design.
        const StrokeSample& p = other.samples[r.index];
        const auto between = [&](int own, int theirs) {
          const StrokeSample &a = stroke.samples[static_cast<std::size_t>(own)], &b = other.samples[static_cast<std::size_t>(theirs)];
          return c.InFigure(0.5 * static_cast<double>(a.x + b.x), 0.5 * static_cast<double>(a.y + b.y), true);
        };
        const int ri = static_cast<int>(r.index);
        const bool along = s.tx * p.tx + s.ty * p.ty > 0;
        const bool ground = !between(at - arm, along ? ri - arm : ri + arm) && !between(at + arm, along ? ri + arm : ri - arm);
        if (opens && same && ground && k <= r.stroke) {
          const Vec2 mid((static_cast<double>(s.x) + static_cast<double>(p.x)) / 2, (static_cast<double>(s.y) + static_cast<double>(p.y)) / 2);
          out.push_back({mid, std::max(0.0, d[static_cast<std::size_t>(at)] - w), Say("two lines"), 1.0});
        }
      }
      i = j;
    }
  }
}

// The figure's outline against the frame: near but not cut, or just touching.
void FrameKisses(const PictureContext& c, std::vector<Kiss>& out) {
  if (c.split.by == SplitBy::kNone || CutOut(c)) return;
  const FigureSplit& s = c.split;
  const double limit = std::max(c.Tolerances().tangent_gap_share * c.LongSide(), c.line.line_art ? c.Tolerances().tangent_gap_w * c.graph.width_px : 0.0);
  const int reach = std::max(1, static_cast<int>(std::ceil(limit * s.scale)));
  const auto at = [&](int x, int y) { return s.mask[static_cast<std::size_t>(y) * static_cast<std::size_t>(s.width) + static_cast<std::size_t>(x)] != 0; };
  const std::array<std::string, 4> names = {Say("figure and top edge"), Say("figure and bottom edge"), Say("figure and left edge"),
                                            Say("figure and right edge")};
  for (int edge = 0; edge < 4; ++edge) {
    const bool across = edge < 2;
    const int length = across ? s.width : s.height, deep = across ? s.height : s.width;
    // For each place along the edge: depth of the first figure pixel within reach.
    int from = -1;
    int nearest = 0;
    for (int i = 0; i <= length; ++i) {
      int first = -1;
      if (i < length)
        for (int d = 0; d <= std::min(reach, deep - 1) && first < 0; ++d) {
          const int x = across ? i : (edge == 2 ? d : s.width - 1 - d), y = across ? (edge == 0 ? d : s.height - 1 - d) : i;
          if (at(x, y)) first = d;
        }
      if (first >= 0) {
        if (from < 0) from = i, nearest = first;
        nearest = std::min(nearest, first);
        continue;
      }
      if (from < 0) continue;
      const double contact = i - from;
      // A wide contact that reaches the edge is a crop, not a kiss.
      const bool crop = nearest == 0 && contact > 0.03 * length;
      if (!crop && contact >= 2) {
        const double middle = (from + i) / 2.0 / s.scale, depth = nearest / s.scale;
        const Vec2 p = across ? Vec2(middle, edge == 0 ? depth : c.Height() - depth) : Vec2(edge == 2 ? depth : c.Width() - depth, middle);
        out.push_back({p, depth, names[static_cast<std::size_t>(edge)], 2.0});
      }
      from = -1;
    }
  }
}

}  // namespace

void CheckTangents(const PictureContext& c, Findings& out) {
  std::vector<Kiss> kisses;
  if (c.line.line_art && c.stage >= Stage::kSketch) LineKisses(c, kisses);
  FrameKisses(c, kisses);
  if (!c.line.line_art && c.split.by == SplitBy::kNone) return;
  std::stable_sort(kisses.begin(), kisses.end(), [](const Kiss& a, const Kiss& b) { return a.weight > b.weight; });
  Finding x = MakeFinding("composition.tangents", Say("No kissing edges"), Kind::kCraft, Verdict::kClear, Stage::kSketch);
  x.measured = static_cast<double>(kisses.size());
  x.expected = 0.0;
  x.tolerance = 0.0;
  x.unit = "places";
  x.test = "contours within the tolerance and nearly parallel that do not cross";
  x.smallest_visible = 1.0;
  x.source = Say("default, editable");
  x.why =
      Say("Looked for contours that come within {:.1f} line widths of each other, or within {:.1f} % of the picture of its edge, run side "
          "by side and part again.",
          c.Tolerances().tangent_gap_w, 100 * c.Tolerances().tangent_gap_share);
  if (!kisses.empty()) {
    x.title = kisses.size() == 1 ? Say("Kissing edges") : Say("Kissing edges in {} places", kisses.size());
    x.verdict = Verdict::kOff;
    x.gain = 2.5;
    x.remedy = {RemedyWay::kMove, 3.0 * static_cast<double>(std::min<std::size_t>(kisses.size(), 5)),
                Say("Move one of the two by 2 to 3 %: let them overlap clearly or part clearly.")};
    std::string list;
    for (std::size_t k = 0; k < kisses.size() && k < 20; ++k) {
      x.where.points.push_back(kisses[k].at);
      if (k < 4) list += (k ? ", " : "") + Say("{} at ({:.0f}, {:.0f})", kisses[k].what, kisses[k].at.x(), kisses[k].at.y());
    }
    x.why += Say(" Found: ") + list + (kisses.size() > 4 ? Say(" and more.") : std::string("."));
  }
  out.push_back(std::move(x));
}

}  // namespace armslength
