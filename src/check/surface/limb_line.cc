// Whether a limb lines up with itself: above and below a boot top, a cuff, a hem or something that
// hides a stretch of it.
#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <vector>

#include <Eigen/Dense>
#include "check/body/guides.h"
#include "check/surface/families.h"
#include "check/surface/limb_contour.h"
#include "words/say.h"

namespace armslength::surface_check {
namespace {

// A limb's two pieces may lie this far beside each other, parts of its width there. Common practice, no
// source; default, editable.
constexpr double kTolerance = 0.20;
// Contours of sound limbs are no rulers (muscles, cloth that bunches at a cuff): one sd of the jump of
// the middle line, parts of the width, at a step and more across a hidden stretch (parts of the bone).
constexpr double kFormSd = 0.045, kHiddenSd = 0.40;
constexpr double kSure = 2.0;            // of 890 sound limbs one lies 1.5 beyond, the others 1.1 (seeds from 1500001)
constexpr double kStep = 0.0155;      // between cuts, parts of the bone
constexpr double kParallel = 9.0 * body_check::kDegree, kAlike = 0.60;  // of the two pieces of one limb: direction, log of the widths
constexpr double kSpread = 30.0 * body_check::kDegree;  // between the upper piece's edges: more is a sleeve's slanting mouth
constexpr int kWindow = 9;            // cuts on either side
constexpr double kLongestGap = 0.45;  // hidden stretch, parts of the bone

// A straight line through one edge or the middle over the cuts of a window.
struct Run {
  double value = 0.0, sd = 0.0;  // at the break, px
  double slope = 0.0;            // px per unit of t
};

Run Extend(const std::vector<std::pair<double, double>>& points, double to, double pixel_px) {
  const auto n = static_cast<double>(points.size());
  double mt = 0.0, mv = 0.0, tt = 0.0, tv = 0.0;
  for (const auto& [t, v] : points) {
    mt += t / n;
    mv += v / n;
  }
  for (const auto& [t, v] : points) {
    tt += (t - mt) * (t - mt);
    tv += (t - mt) * (v - mv);
  }
  Run run;
  run.slope = tt > 0 ? tv / tt : 0.0;
  run.value = mv + run.slope * (to - mt);
  double square = 0.0;
  for (const auto& [t, v] : points) square += std::pow(v - mv - run.slope * (t - mt), 2);
  const double noise = std::hypot(std::sqrt(square / std::max(1.0, n - 2.0)), 0.5 * pixel_px);
  run.sd = noise * std::sqrt(1.0 / n + (tt > 0 ? (to - mt) * (to - mt) / tt : 0.0));
  return run;
}

struct Break {
  double t = 0.0, gap = 0.0;             // where, and how much is left out, parts of the bone
  bool hidden = false;                   // left out because other parts cover it
  bool wide = false;                     // more is left out than a square rim needs: tells only when both edges move together
  double shift = 0.0, sd = 0.0;          // of the middle line, parts of the width; > 0 along `across`
  double left = 0.0, right = 0.0;        // of either edge along `across`, parts of the width
  double edge_sd = 0.0;
  double wider = 0.0;                    // log of width below over above
  double turn_rad = 0.0;                 // of the middle line
  double spread_rad = 0.0;               // between the upper piece's two edges
  double width_px = 0.0;
  Vec2 above_from = Vec2::Zero(), above_to = Vec2::Zero(), below_from = Vec2::Zero(), below_to = Vec2::Zero();
  // The edges move together. When one stays, another part or a wider hem explains the jump as well.
  [[nodiscard]] bool Together() const {
    const double a = std::min(std::abs(left), std::abs(right)), b = std::max(std::abs(left), std::abs(right));
    // A piece drawn beside the other keeps its direction; a foot or a hand that comes in does not.
    return left * right > 0.0 && a > 0.25 * b && a > 2.0 * edge_sd && std::abs(turn_rad) < kParallel && std::abs(wider) < kAlike &&
           spread_rad < kSpread;
  }
};

std::optional<Break> At(const LimbContour& c, std::size_t above, std::size_t below) {
  const auto window = [&](std::size_t start, int way) {
    std::vector<std::size_t> out;
    for (auto i = static_cast<std::ptrdiff_t>(start); i >= 0 && i < static_cast<std::ptrdiff_t>(c.cuts.size()) &&
                                                      static_cast<int>(out.size()) < kWindow; i += way) {
      if (!c.cuts[static_cast<std::size_t>(i)].seen) break;
      out.push_back(static_cast<std::size_t>(i));
    }
    return out;
  };
  const auto up = window(above, -1), down = window(below, 1);
  if (up.size() < 5 || down.size() < 5) return std::nullopt;
  Break b;
  b.t = 0.5 * (c.cuts[above].t + c.cuts[below].t);
  b.gap = c.cuts[below].t - c.cuts[above].t;
  const auto line = [&](const std::vector<std::size_t>& cuts, const auto& value, double to) {
    std::vector<std::pair<double, double>> points;
    for (const std::size_t i : cuts) points.emplace_back(c.cuts[i].t, value(c.cuts[i]));
    return Extend(points, to, c.pixel_px);
  };
  const auto right = [](const LimbCut& k) { return k.right; };
  const auto left = [](const LimbCut& k) { return -k.left; };
  const auto middle = [](const LimbCut& k) { return k.Middle(); };
  const Run r0 = line(up, right, b.t), r1 = line(down, right, b.t), l0 = line(up, left, b.t), l1 = line(down, left, b.t);
  const Run m0 = line(up, middle, b.t), m1 = line(down, middle, b.t);
  const double w0 = r0.value - l0.value, w1 = r1.value - l1.value;
  if (w0 < 4.0 * c.pixel_px || w1 < 4.0 * c.pixel_px) return std::nullopt;
  b.width_px = 0.5 * (w0 + w1);
  b.right = (r1.value - r0.value) / b.width_px;
  b.left = (l1.value - l0.value) / b.width_px;
  b.shift = (m1.value - m0.value) / b.width_px;
  b.wider = std::log(w1 / w0);
  const double form = std::hypot(kFormSd, kHiddenSd * std::max(0.0, b.gap - 2.5 * kStep));
  b.edge_sd = std::hypot(r0.sd, r1.sd) / b.width_px;
  b.sd = std::hypot(std::hypot(m0.sd, m1.sd) / b.width_px, form);
  b.turn_rad = std::atan(m1.slope / c.length_px) - std::atan(m0.slope / c.length_px);
  b.spread_rad = std::abs(std::atan(r0.slope / c.length_px) - std::atan(l0.slope / c.length_px));
  const auto place = [&](double t, const Run& run) -> Vec2 {
    return c.from + t * (c.to - c.from) + (run.value + run.slope * (t - b.t)) * c.across;
  };
  b.above_from = place(c.cuts[up.back()].t, m0);
  b.above_to = place(b.t, m0);
  b.below_from = place(b.t, m1);
  b.below_to = place(c.cuts[down.back()].t, m1);
  return b;
}

struct Part {
  BoneId bone;
  std::string_view piece;  // what comes at its lower end
};

constexpr std::array<Part, 8> kParts{{{BoneId::kThighL, Later("knee")},
                                      {BoneId::kThighR, Later("knee")},
                                      {BoneId::kShinL, Later("shoe")},
                                      {BoneId::kShinR, Later("shoe")},
                                      {BoneId::kUpperArmL, Later("elbow")},
                                      {BoneId::kUpperArmR, Later("elbow")},
                                      {BoneId::kForearmL, Later("hand")},
                                      {BoneId::kForearmR, Later("hand")}}};

// The cuts may run on past a wrist that is nearly straight, into the hand's narrow root.
double LastT(const BodyFacts& facts, BoneId bone) {
  if (bone != BoneId::kForearmL && bone != BoneId::kForearmR) return 0.84;  // below that the shoe spreads
  const BoneId hand = bone == BoneId::kForearmL ? BoneId::kHandL : BoneId::kHandR;
  if (!facts.BoneMarked(hand)) return 0.90;
  const BoneEnds arm = Ends(bone), end = Ends(hand);
  const Vec2 a = facts.Px(arm.to) - facts.Px(arm.from), b = facts.Px(end.to) - facts.Px(end.from);
  const double straight = a.dot(b) / std::max(1e-9, a.norm() * b.norm());
  return straight > std::cos(15.0 * body_check::kDegree) && b.norm() > 0.35 * a.norm() ? 1.12 : 0.90;
}

std::string Where(const Break& b, const Part& part, const std::string& bone) {
  if (b.hidden) return Say("across the hidden stretch of the {}", bone);
  if (b.t > 0.80 && part.piece == "hand") return Say("where the hand leaves the sleeve");
  if (b.t > 0.75) return Say("near the {}", SayLater(part.piece));
  return Say("{:.0f} % down the {}", 100.0 * b.t, bone);
}

}  // namespace

void CheckLimbLine(const BodyFacts& facts, const Silhouette& silhouette, std::vector<Finding>& out) {
  for (const Part& part : kParts) {
    const double last = LastT(facts, part.bone);
    const auto contour = ContourOf(facts, silhouette, part.bone, 0.08, last, 1 + static_cast<int>(std::lround((last - 0.08) / kStep)));
    if (!contour) continue;
    const LimbContour& c = *contour;
    std::vector<Break> breaks;
    int seen = 0;
    std::size_t before = c.cuts.size();  // last seen cut
    for (std::size_t i = 0; i < c.cuts.size(); ++i) {
      if (!c.cuts[i].seen) continue;
      ++seen;
      // A step is rounded, and a rim lies askew to the cuts: those nearest to it are left out. On a leg a boot's rim askew reaches far:
      // either edge jumps at its own place.
      for (const std::size_t out_of_it : {1, 3, 5, 8}) {
        bool whole = i >= out_of_it && i + out_of_it < c.cuts.size();
        for (std::size_t k = i - std::min(i, out_of_it); whole && k <= i + out_of_it; ++k) whole = c.cuts[k].seen;
        if (!whole) continue;
        if (auto b = At(c, i - out_of_it, i + out_of_it)) {
          b->wide = out_of_it > 5;
          breaks.push_back(*b);
        }
      }
      if (before < c.cuts.size() && i > before + 1)
        for (const std::size_t more : {1, 4, 7}) {
          const double gap = c.cuts[i].t - c.cuts[before].t + 2.0 * kStep * static_cast<double>(more - 1);
          if (before < more || i + more >= c.cuts.size() || gap >= kLongestGap) continue;
          if (auto b = At(c, before - more, i + more)) {
            b->hidden = true;
            b->wide = more > 1;
            breaks.push_back(*b);
          }
        }
      before = i;
    }
    if (std::ranges::all_of(breaks, [](const Break& b) { return b.wide; })) continue;
    const std::string spoken = SaidName(part.bone), name(Name(part.bone));
    const auto rests_on = body_check::PointsOf(part.bone);
    Finding f = body_check::Start(facts, "limb.continuity." + name, Say("{} lines up with itself", body_check::Sentence(spoken)),
                                  Kind::kConstruction, Verdict::kCannotTell);
    f.stage = Stage::kSketch;
    f.unit = "of the limb's width";
    f.expected = 0.0;
    f.tolerance = kTolerance;
    f.test = "distance in sd";
    f.source = Say("a fifth of the limb's width: common practice, default, editable");
    // The surest jump leads; where both edges move together it speaks for the drawing, else for neighbours.
    const auto excess = [](const Break& b) { return (std::abs(b.shift) - kTolerance) / b.sd; };
    const auto lead = [&](bool together) {
      const Break* best = nullptr;
      for (const Break& b : breaks)
        if ((together ? b.Together() : !b.wide) && (!best || excess(b) > excess(*best))) best = &b;
      return best;
    };
    const Break *sure = lead(true), *any = lead(false);
    const bool off = sure && excess(*sure) > kSure;
    const Break& b = off ? *sure : *any;
    f.measured = std::abs(b.shift);
    f.sd = b.sd;
    f.smallest_visible = kTolerance + kSure * b.sd;
    f.evidence = excess(b);
    f.where.points = {b.above_to, b.below_from};
    const double share = static_cast<double>(seen) / static_cast<double>(c.cuts.size());
    const std::string place = Where(b, part, spoken);
    const bool arm = part.piece == "hand";
    const bool reaches = before < c.cuts.size() && c.cuts[before].t > (arm ? 1.05 : 0.78);
    if (off) {
      f.verdict = Verdict::kOff;
      f.title = Say("{} does not line up {}", body_check::Sentence(spoken), place);
      f.why =
          Say("The middle line between its two contours jumps sideways by {:.0f} % of the limb's width (±{:.0f}) {}, and both "
              "contours go with it.",
              100 * std::abs(b.shift), 100 * b.sd, place);
      const Vec2 back = -b.shift * b.width_px * c.across;
      f.guides.push_back(body_check::Line(GuideShape::Role::kDrawn, {b.above_from, b.above_to}));
      f.guides.push_back(body_check::Line(GuideShape::Role::kDrawn, {b.below_from, b.below_to}));
      f.guides.push_back(body_check::Line(GuideShape::Role::kTarget, {b.above_from, b.above_to, b.below_to + back}));
      f.guides.push_back(body_check::Line(GuideShape::Role::kArrow, {b.below_to, b.below_to + back}, Say("{:.0f} px", back.norm())));
      f.guides.push_back(body_check::Around(b.below_to + back, kTolerance * b.width_px));
      f.remedy = {RemedyWay::kMove, 12.0,
                  Say("Draw the {}'s middle line through first, then move the lower piece by {:.0f} px onto it.", spoken, back.norm())};
      f.gain = std::clamp(8.0 * std::abs(b.shift), 1.5, 5.0);
    } else if (share > 0.8 && reaches && std::abs(any->shift) + any->sd < 1.25 * kTolerance) {
      f.verdict = Verdict::kClear;
      f.why = Say("From joint to joint its middle line jumps by no more than {:.0f} % of the width.", 100 * std::abs(any->shift));
    } else if (std::abs(any->shift) > kTolerance) {
      f.title = Say("{}: in one line or not, cannot tell", body_check::Sentence(spoken));
      f.why = any->Together() ? Say("Its middle line jumps by {:.0f} % of the width (±{:.0f}) {}: near the limit.",
                                    100 * std::abs(any->shift), 100 * any->sd, place)
                              : Say("The contour jumps {}, but on one side more than on the other: a wider hem or another part behind it "
                                    "would look the same.",
                                    place);
      f.ask = Say("Outline the figure closely there (area \"figure\"), or leave it if a hem or another part is meant.");
    } else if (share > 0.8 && std::abs(any->shift) + any->sd < 1.25 * kTolerance) {
      f.title = Say("{}: in one line or not, cannot tell", body_check::Sentence(spoken));
      f.why = arm ? Say("Down to the sleeve's end it is in line; the wrist is bent or covered, so the hand itself is not compared.")
                  : Say("What shows of it is in line; its lower end is covered.");
      f.ask = arm ? Say("Mark wrist and hand tip at high zoom, if the hand is meant to go straight on.")
                  : Say("Nothing to add: the rest is covered or touches other parts.");
    } else if (share > 0.8) {
      f.title = Say("{}: in one line or not, cannot tell", body_check::Sentence(spoken));
      f.why = Say("Its middle line jumps by {:.0f} % of the width (±{:.0f}) {}: near the limit.", 100 * std::abs(any->shift), 100 * any->sd,
                  place);
      f.ask = Say("Outline the figure closely there (area \"figure\").");
    } else {
      f.title = Say("{}: in one line or not, cannot tell", body_check::Sentence(spoken));
      f.why = Say("Only {:.0f} % of its length shows both contours free of other parts; there it is in line.", 100 * share);
      f.ask = Say("Nothing to add: the rest is covered or touches other parts.");
    }
    body_check::Finish(facts, rests_on, f);
    out.push_back(std::move(f));
  }
}

}  // namespace armslength::surface_check
