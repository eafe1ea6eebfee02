#include <algorithm>
#include <array>
#include <cmath>

#include "check/pixels/context.h"
#include "check/pixels/regions.h"
#include "check/pixels/thinning.h"
#include "geometry/line.h"
#include "words/say.h"

namespace armslength {
namespace {

constexpr double kCorner = 2.5;                    // line widths: two ends so near may meet round a corner
constexpr double kOuterGap = 4.0, kInnerGap = 2.5;  // line widths: a longer opening in a coloured picture is one by choice; default, editable

constexpr double kBlunt = 0.75;                     // width of a tip over its line's; below, the pen was lifted
constexpr double kContour = 0.75;                   // of the lines' median width; a thinner one is a fold or hatching; default, editable

struct Bridge {
  Vec2 from = Vec2::Zero(), to = Vec2::Zero();
  int end = -1, other = -1;   // other: -1 for a gap against the body of a line
  double gap_px = 0.0;
};

// Two near ends round a corner: each turns the same way towards the other, by no more than 60 degrees in all. A tip lies up to a third of
// the line's width off its middle, so over so short a way 15 degrees the other way say nothing.
bool RoundACorner(const OpenEnd& a, const OpenEnd& b, double line_px) {
  const Vec2 v = b.at - a.at;
  const double gap = v.norm(), one = Cross2(a.direction, v), other = Cross2(v, -b.direction);
  return gap < kCorner * line_px && a.direction.dot(-b.direction) > 0.5 && (one * other >= 0 || std::min(std::abs(one), std::abs(other)) < 0.26 * gap);
}

bool InkAt(const PlaneU8& plane, const Vec2& p) {
  const int x = static_cast<int>(std::floor(p.x())) + 1, y = static_cast<int>(std::floor(p.y())) + 1;
  return x >= 0 && y >= 0 && x < plane.width() && y < plane.height() && (plane.Row(y)[x] & kInk) != 0;
}

std::vector<Bridge> FindBridges(const PictureContext& c) {
  const std::vector<OpenEnd>& ends = c.graph.ends;
  const double w = c.graph.width_px;
  const double reach = c.Tolerances().gap_reach_w * w;
  std::vector<Bridge> found;
  // Ends sorted by x: only those within reach are looked at.
  std::vector<int> order(ends.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = static_cast<int>(i);
  std::sort(order.begin(), order.end(), [&](int a, int b) { return ends[static_cast<std::size_t>(a)].at.x() < ends[static_cast<std::size_t>(b)].at.x(); });
  std::vector<bool> used(ends.size());
  std::vector<std::pair<double, Bridge>> pairs;
  for (std::size_t oi = 0; oi < order.size(); ++oi)
    for (std::size_t oj = oi + 1; oj < order.size(); ++oj) {
      const OpenEnd &a = ends[static_cast<std::size_t>(order[oi])], &b = ends[static_cast<std::size_t>(order[oj])];
      if (b.at.x() - a.at.x() > reach) break;
      const Vec2 v = b.at - a.at;
      const double g = v.norm();
      if (g > reach || g < 0.5) continue;
      // Going on in the same direction; over a short gap the direction from tip to tip is loose.
      const double turn = a.direction.dot(-b.direction);
      if (turn < 0.77 && !RoundACorner(a, b, w)) continue;  // 40 degrees
      const double loose = std::clamp(1.0 - g / (2.0 * w + 2.0), 0.0, 1.0);
      const double need = 0.87 - 0.6 * loose;  // 30 degrees, 74 when the tips nearly touch
      const double ca = a.direction.dot(v) / g, cb = b.direction.dot(-v) / g;
      if (ca < need || cb < need) continue;
      // Two lines of plainly different weight are not one broken line.
      if (std::max(a.width, b.width) > 2.5 * std::min(a.width, b.width) + 1.0) continue;
      pairs.push_back({g * (3.0 - ca - cb), {a.at, b.at, order[oi], order[oj], g}});
    }
  std::stable_sort(pairs.begin(), pairs.end(), [](const auto& x, const auto& y) { return x.first < y.first; });
  for (const auto& [cost, bridge] : pairs) {
    if (used[static_cast<std::size_t>(bridge.end)] || used[static_cast<std::size_t>(bridge.other)]) continue;
    used[static_cast<std::size_t>(bridge.end)] = used[static_cast<std::size_t>(bridge.other)] = true;
    found.push_back(bridge);
  }
  // Ends that stop just short of another line.
  for (std::size_t i = 0; i < ends.size(); ++i) {
    if (used[i]) continue;
    const OpenEnd& a = ends[i];
    double best = 2.0 * w + 2.0;
    Vec2 hit = Vec2::Zero();
    for (const double turn : {0.0, 0.25, -0.25}) {
      const Vec2 d(a.direction.x() * std::cos(turn) - a.direction.y() * std::sin(turn),
                   a.direction.x() * std::sin(turn) + a.direction.y() * std::cos(turn));
      for (double r = 1.5; r < best; r += 0.5)
        if (InkAt(c.ink.plane, a.at + d * r)) {
          best = r;
          hit = a.at + d * r;
          break;
        }
    }
    if (hit.isZero()) continue;
    found.push_back({a.at, hit, static_cast<int>(i), -1, best});
  }
  return found;
}

// Width of the line that the gap is in: an outline may be far thicker than most lines of the drawing.
double OwnWidth(const PictureContext& c, const Bridge& b) {
  const double other = b.other < 0 ? 0.0 : c.graph.ends[static_cast<std::size_t>(b.other)].width;
  return std::max({c.graph.width_px, c.graph.ends[static_cast<std::size_t>(b.end)].width, other});
}

// Direction of the line across the gap, unit. From tip to tip says little over a gap shorter than the line is wide.
Vec2 Along(const PictureContext& c, const Bridge& b) {
  if (b.other >= 0 && b.gap_px <= OwnWidth(c, b))
    return (c.graph.ends[static_cast<std::size_t>(b.end)].direction - c.graph.ends[static_cast<std::size_t>(b.other)].direction).normalized();
  return (b.to - b.from).normalized();
}

// The line `back` px behind one of its ends; null: it is shorter.
const StrokeSample* Behind(const PictureContext& c, const OpenEnd& end, double back) {
  const std::vector<StrokeSample>& all = c.graph.strokes[static_cast<std::size_t>(end.stroke)].samples;
  const auto k = static_cast<std::size_t>(back / c.graph.step_px);
  return k < all.size() ? &all[end.at_begin ? k : all.size() - 1 - k] : nullptr;
}

// Lightness of the broken line itself, a little behind its end, as stored. Read on its middle: straight behind the tip of a bent line lies
// what is beside it.
int OwnInk(const PictureContext& c, const Bridge& b) {
  const OpenEnd& end = c.graph.ends[static_cast<std::size_t>(b.end)];
  std::array<int, 3> along{};
  for (std::size_t k = 0; k < along.size(); ++k) {
    const double back = 1.0 + 0.5 * static_cast<double>(k) * end.width;
    const StrokeSample* s = Behind(c, end, back);
    const Vec2 p = s != nullptr ? Vec2(static_cast<double>(s->x), static_cast<double>(s->y)) : Vec2(end.at - end.direction * back);
    const int x = std::clamp(static_cast<int>(p.x()), 0, c.Width() - 1), y = std::clamp(static_cast<int>(p.y()), 0, c.Height() - 1);
    along[k] = c.planes.l.Row(y)[x];
  }
  std::ranges::sort(along);
  return along[1];
}

// Do the colours on both sides meet: no other line beside the gap, nothing as dark as ink in it? Against the ground and
// between two ends of one line its own darkness counts; where lines of all sorts meet, that of the drawing.
bool Open(const PictureContext& c, const Bridge& b, bool outline, const Vec2& one, const Vec2& other) {
  const double length = (other - one).norm();
  const Vec2 along = Along(c, b);
  const int steps = std::max(2, static_cast<int>(std::ceil(2.0 * length)));
  const double ink_l = outline || b.other >= 0 ? OwnInk(c, b) * kLPerByte : c.ink.ink_l;
  const int dark = ink_l < 50 ? static_cast<int>((ink_l + 12.0) / kLPerByte) : 0;
  for (int k = 0; k <= steps; ++k) {
    const double t = static_cast<double>(k) / steps;
    const Vec2 p = one + (other - one) * t;
    const bool beside = std::abs(t - 0.5) * length > 0.6 * c.graph.width_px;
    if (beside && InkAt(c.ink.plane, p)) return false;
    const int x = static_cast<int>(std::floor(p.x())), y = static_cast<int>(std::floor(p.y()));
    if (x < 0 || y < 0 || x >= c.Width() || y >= c.Height()) return false;
    int lightest = c.planes.l.Row(y)[x];
    // A gap of two or three px is half blended, and its middle known to a px only.
    if (!beside && b.gap_px < 4.0)
      for (const double r : {-1.0, 1.0}) {
        const int i = std::clamp(static_cast<int>(std::floor(p.x() + r * along.x())), 0, c.Width() - 1);
        const int j = std::clamp(static_cast<int>(std::floor(p.y() + r * along.y())), 0, c.Height() - 1);
        lightest = std::max<int>(lightest, c.planes.l.Row(j)[i]);
      }
    if (lightest < dark) return false;
  }
  return true;
}

// Does the line plainly go on behind the gap?
bool Straight(const PictureContext& c, const Bridge& b, bool outline) {
  const double w = c.graph.width_px;
  const OpenEnd& p = c.graph.ends[static_cast<std::size_t>(b.end)];
  if (p.blunt < kBlunt) return false;  // a stroke that thins out was ended on purpose; a slip has blunt ends
  if (b.other < 0) {
    // No end faces this one: the gap lies at a corner, beside a crossing, or is too small for two. In the outline,
    // where ground shows between, a blunt end is a slip; inside, the line must run on as wide as it came.
    if (outline) return true;
    if (b.gap_px > 2.0 * w || p.blunt < 0.85) return false;
    const Vec2 along = p.direction, across(-along.y(), along.x());
    for (const double r : {1.2, 2.2}) {
      const Vec2 at = b.to + along * (r * w);
      bool ink = false;
      const double aside = (r < 2 ? 0.6 : 1.0) * w;  // lines are bent
      for (double side = -aside; side <= aside; side += 0.5) ink = ink || InkAt(c.ink.plane, at + across * side);
      if (!ink || (r < 2 && (InkAt(c.ink.plane, at + across * (1.6 * w)) || InkAt(c.ink.plane, at - across * (1.6 * w))))) return false;
    }
    return true;
  }
  const OpenEnd& q = c.graph.ends[static_cast<std::size_t>(b.other)];
  if (q.blunt < kBlunt) return false;
  // Over a gap shorter than the line is wide the directions of the two tips are loose.
  const bool tiny = b.gap_px <= w;
  if (RoundACorner(p, q, w)) return true;
  if (p.direction.dot(-q.direction) < (tiny ? 0.77 : 0.9)) return false;
  // Sideways step of one end from the other's continuation.
  const Vec2 v = q.at - p.at;
  const double step = std::max(std::abs(Cross2(v, p.direction)), std::abs(Cross2(v, q.direction)));
  return step < (tiny || outline ? 0.75 : 0.5) * w + 0.25 * b.gap_px;  // beside the ground nothing else can be meant
}

// From the middle of a line as wide as lines are here to what lies beside it; `along` of unit length.
Vec2 Beside(const PictureContext& c, const Vec2& along) { return Vec2(-along.y(), along.x()) * (0.7 * c.graph.width_px + 2.0 * c.small.factor); }

// Do two colours meet across `along` at this place?
bool Differ(const PictureContext& c, const Vec2& at, const Vec2& along) {
  const Vec2 aside = Beside(c, along);
  const auto colour = [&](const Vec2& p) {
    const int sx = std::clamp(static_cast<int>(p.x() / c.small.factor), 0, c.small.width - 1);
    const int sy = std::clamp(static_cast<int>(p.y() / c.small.factor), 0, c.small.height - 1);
    return c.small.At(sx, sy);
  };
  const std::size_t i = colour(at + aside), j = colour(at - aside);
  return std::hypot(c.small.ok_l[i] - c.small.ok_l[j], c.small.a[i] - c.small.a[j], c.small.b[i] - c.small.b[j]) > 0.04f;
}

// Was the pen lifted where the line of this end has its other one?
bool RunsOut(const PictureContext& c, const OpenEnd& end) {
  return std::ranges::any_of(c.graph.ends, [&](const OpenEnd& o) { return o.stroke == end.stroke && o.at_begin != end.at_begin && o.blunt < kBlunt; });
}

// Inside a figure: is it a line between two fills that breaks? A fold lies within one, whose print may change from one side to the other here
// and there; it runs out at its far end, and is thinner than contours are, so that much lies between two that point at each other.
bool PartsFills(const PictureContext& c, const Bridge& b) {
  const double w = c.graph.width_px;
  double own = 0;
  int parts = 0, seen = 0;
  for (const int e : {b.end, b.other}) {
    if (e < 0) continue;
    const OpenEnd& end = c.graph.ends[static_cast<std::size_t>(e)];
    if (RunsOut(c, end)) return false;
    own = std::max(own, end.width);
    for (const double back : {2.0, 4.0, 6.0})
      if (const StrokeSample* s = Behind(c, end, back * w); s != nullptr) {
        ++seen;
        parts += Differ(c, {static_cast<double>(s->x), static_cast<double>(s->y)}, {static_cast<double>(s->tx), static_cast<double>(s->ty)});
      }
  }
  return own > kContour * w && b.gap_px < kInnerGap * std::min(own, w) && 4 * parts >= 3 * seen;
}

}  // namespace

void CheckGaps(const PictureContext& c, Findings& out) {
  if (!c.line.line_art || c.stage < Stage::kLine) return;
  const double w = c.graph.width_px;
  std::vector<Bridge> bridges = FindBridges(c);
  const bool fills_come = c.uncoloured || c.stage == Stage::kLine || c.stage == Stage::kFlats;
  Finding x = MakeFinding("line.gaps", Say("Lines close"), Kind::kCraft, Verdict::kClear, Stage::kLine);
  x.measured = 0;
  x.expected = 0.0;
  x.tolerance = 0.0;
  x.unit = "gaps";
  x.test = "closing the gap parts two regions";
  x.smallest_visible = 1.0;
  x.source = Say("default, editable");
  // Where the bridges lie, row by row: beside the ink, which others read meanwhile.
  const PlaneU8& plane = c.ink.plane;
  std::vector<std::pair<int, int>> bridged;  // y, x
  for (const Bridge& b : bridges) {
    const Vec2 v = b.to - b.from;
    const double n = v.norm();
    const Vec2 dir = n > 0 ? Vec2(v / n) : Vec2(1, 0);
    for (double r = -1.0; r <= n + 1.0; r += 0.4) {
      const Vec2 p = b.from + dir * r;
      for (int j = 0; j < 2; ++j)
        for (int i = 0; i < 2; ++i) {
          const int px = static_cast<int>(std::floor(p.x() - 0.5)) + i, py = static_cast<int>(std::floor(p.y() - 0.5)) + j;
          if (px >= 0 && py >= 0 && px < c.Width() && py < c.Height()) bridged.emplace_back(py, px);
        }
    }
  }
  std::ranges::sort(bridged);
  std::vector<const Bridge*> leaks, breaks;  // where a fill runs out; where two fills meet without their line
  std::vector<double> sizes;
  std::size_t open_style = 0;
  if (!bridges.empty()) {
    // Everything dark closes a region, fills too.
    const int dark = c.ink.ink_l < 50 ? static_cast<int>((c.ink.ink_l + 12.0) / kLPerByte) : 0;
    const Parts ground = FindParts(c.Height(), false, [&](int y, const auto& add) {
      const std::uint8_t* row = plane.Row(y + 1) + 1;
      const std::uint8_t* l = c.planes.l.Row(y);
      const auto open = [&](int i) { return (row[i] & kInk) == 0 && l[i] >= dark; };
      auto bridge = std::ranges::lower_bound(bridged, std::pair{y, 0});
      int i = 0;
      while (i < c.Width()) {
        while (i < c.Width() && !open(i)) ++i;
        int x0 = i;
        while (i < c.Width() && open(i)) ++i;
        for (; bridge != bridged.end() && bridge->first == y && bridge->second < i; ++bridge) {
          if (bridge->second > x0) add(x0, bridge->second);
          x0 = std::max(x0, bridge->second + 1);
        }
        if (i > x0) add(x0, i);
      }
    });
    const double least = std::max(36.0 * w * w, 2e-4 * c.Width() * static_cast<double>(c.Height()));  // smaller is a detail
    for (const Bridge& b : bridges) {
      const Vec2 v = Along(c, b);
      const Vec2 n(-v.y(), v.x());
      const Vec2 mid = (b.from + b.to) / 2;
      const auto side = [&](double sign) {
        for (double r = 1.5; r < 0.5 * w + 4; r += 0.5) {
          const Vec2 p = mid + n * (sign * r);
          const int part = ground.At(static_cast<int>(std::floor(p.x())), static_cast<int>(std::floor(p.y())));
          if (part >= 0) return part;
        }
        return -1;
      };
      // Two colours that meet at the gap: the fill is there already.
      const bool differ = Differ(c, mid, v);
      if (!fills_come || (differ && !c.uncoloured)) {
        // Inside a finished figure colours also meet without a line by choice: only a short, blunt break there is a slip.
        const Vec2 beside = Beside(c, v), one = mid + beside, other = mid - beside;
        const bool outline = c.split.by != SplitBy::kNone && c.InFigure(one.x(), one.y(), true) != c.InFigure(other.x(), other.y(), true);
        if (differ && Open(c, b, outline, one, other) && (outline ? b.gap_px < kOuterGap * w : PartsFills(c, b)) && Straight(c, b, outline)) {
          // Both tips of one gap may have been followed.
          if (std::ranges::none_of(breaks, [&](const Bridge* o) { return ((o->from + o->to) / 2 - mid).norm() < 2.0 * w; }))
            breaks.push_back(&b);
        } else {
          ++open_style;
        }
        continue;
      }
      const int a = side(1), d = side(-1);
      if (a < 0 || d < 0 || a == d) continue;
      if (static_cast<double>(std::min(ground.parts[static_cast<std::size_t>(a)].area, ground.parts[static_cast<std::size_t>(d)].area)) < least) continue;
      leaks.push_back(&b);
      sizes.push_back(b.gap_px);
    }
  }
  // Strokes that mostly stand free and thin out were never meant to close.
  const auto thinned = static_cast<std::size_t>(std::ranges::count_if(c.graph.ends, [](const OpenEnd& e) { return e.blunt < kBlunt; }));
  if (5 * thinned > 3 * c.graph.ends.size() && 2 * thinned > c.graph.strokes.size()) {
    open_style += leaks.size();
    leaks.clear();
    sizes.clear();
  }
  // A few openings are slips; many are a way of drawing.
  const bool style = breaks.size() > 12 || c.line.within_stroke_spread > 0.33 || breaks.size() > 0.5 * static_cast<double>(c.graph.ends.size());
  if (style) open_style += breaks.size(), breaks.clear();
  x.why =
      Say("Open ends of line were followed for up to {:.0f} line widths; a gap counts when closing it parts two regions that a fill would "
          "now run through.",
          c.Tolerances().gap_reach_w);
  const bool finished = leaks.empty() && !breaks.empty();
  if (finished) {
    x.why =
        Say("Open ends of line were followed for up to {:.0f} line widths; in a finished picture a gap counts where a short, blunt break "
            "parts two colours.",
            c.Tolerances().gap_reach_w);
    leaks = breaks;
    for (const Bridge* b : leaks) sizes.push_back(b->gap_px);
  }
  if (!leaks.empty()) {
    x.title = finished            ? (leaks.size() == 1 ? Say("The line breaks between two fills") : Say("The line breaks in places"))
              : leaks.size() == 1 ? Say("A gap lets the fill leak")
                                  : Say("Gaps let the fill leak");
    x.verdict = Verdict::kOff;
    x.measured = static_cast<double>(leaks.size());
    x.gain = finished ? 2.0 : 3.0;
    x.remedy = {RemedyWay::kRepaint, 0.5 + 0.3 * static_cast<double>(leaks.size()),
                finished ? Say("Close the line at the places listed.")
                         : Say("Close the line at the places listed, or set the fill tool to close gaps of that size.")};
    std::string list;
    for (std::size_t k = 0; k < leaks.size() && k < 40; ++k) {
      const Vec2 mid = (leaks[k]->from + leaks[k]->to) / 2;
      x.where.points.push_back(mid);
      if (k < 8) list += (k ? ", " : "") + Say("{:.0f} px at ({:.0f}, {:.0f})", sizes[k], mid.x(), mid.y());
      GuideShape mark;
      mark.role = GuideShape::Role::kTarget;
      mark.points = {leaks[k]->from, leaks[k]->to};
      mark.label = Say("{:.0f} px", sizes[k]);
      if (k < 7) x.guides.push_back(std::move(mark));
    }
    x.why += Say(" Found: ") + list + (leaks.size() > 8 ? Say(" and more.") : std::string("."));
  } else if (open_style > 0) {
    x.why += SayCount(
        open_style,
        " {} small gap was seen where the fill is already in place or the picture is finished: open line is a style, not counted.",
        " {} small gaps were seen where the fill is already in place or the picture is finished: open line is a style, not counted.",
        open_style);
  }
  out.push_back(std::move(x));
}

}  // namespace armslength
