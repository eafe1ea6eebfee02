#include "check/surface/limb_contour.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "geometry/line.h"
#include "geometry/order.h"

namespace armslength::surface_check {

double MostHalfWidth(BoneId bone) {
  switch (bone) {
    case BoneId::kThighL: case BoneId::kThighR: return 0.100;
    case BoneId::kShinL: case BoneId::kShinR: return 0.075;
    default: return 0.065;
  }
}

std::optional<LimbEdges> EdgesAcross(const Silhouette& silhouette, const Vec2& at, const Vec2& across, double most_px) {
  const auto right = silhouette.ToEdge(at, across, 1.6 * most_px), left = silhouette.ToEdge(at, -across, 1.6 * most_px);
  if (!right || !left || *right + *left > 2.0 * most_px) return std::nullopt;
  return LimbEdges{*left, *right};
}

namespace {

// The covered place nearest to the bone's line, px along `across`, so far as the marks' error goes.
std::optional<double> NearestCovered(const Silhouette& silhouette, const Vec2& at, const Vec2& across, double most_px) {
  const double step = std::max(1.0, 0.5 * silhouette.PixelPx());
  for (double by = 0.0; by <= most_px; by += step)
    for (const double sign : {1.0, -1.0})
      if (silhouette.Covers(at + sign * by * across)) return sign * by;
  return std::nullopt;
}

constexpr std::array kLimbs{BoneId::kUpperArmL, BoneId::kUpperArmR, BoneId::kForearmL, BoneId::kForearmR,
                            BoneId::kThighL,    BoneId::kThighR,    BoneId::kShinL,    BoneId::kShinR};

// Another limb of the figure runs through the cut: before or behind this one, so that the edge may be its.
bool RunsThrough(const BodyFacts& facts, BoneId bone, const Vec2& from, const Vec2& to) {
  return std::ranges::any_of(kLimbs, [&](BoneId other) {
    if (other == bone || !facts.BoneMarked(other)) return false;
    const BoneEnds ends = Ends(other);
    return SegmentsCross(from, to, facts.Px(ends.from), facts.Px(ends.to));
  });
}

}  // namespace

std::optional<LimbContour> OwnContour(const BodyFacts& facts, const Silhouette& silhouette, BoneId bone, double t0, double t1, int count) {
  auto c = ContourOf(facts, silhouette, bone, t0, t1, count);
  if (!c) return std::nullopt;
  const double most_off = kMarkSure * facts.SigmaStature() * c->unit_px;
  std::vector<std::pair<double, double>> middles;  // t, px across
  for (LimbCut& cut : c->cuts) {
    const auto start = NearestCovered(silhouette, cut.at, c->across, most_off);
    const auto edges =
        start ? EdgesAcross(silhouette, cut.at + *start * c->across, c->across, MostHalfWidth(bone) * c->unit_px) : std::nullopt;
    cut.seen = edges.has_value();
    if (!edges) continue;
    middles.emplace_back(cut.t, *start + 0.5 * (edges->right - edges->left));
    cut.right = edges->right + *start;
    cut.left = edges->left - *start;
  }
  if (middles.size() < 4) return std::nullopt;
  // Theil and Sen's line: a place where something else comes in does not bend it.
  std::vector<double> slopes, rest;
  for (std::size_t i = 0; i < middles.size(); ++i)
    for (std::size_t k = i + 1; k < middles.size(); ++k)
      slopes.push_back((middles[k].second - middles[i].second) / (middles[k].first - middles[i].first));
  const double slope = Median(slopes);
  for (const auto& [t, v] : middles) rest.push_back(v - slope * t);
  const double base = Median(rest);
  std::vector<double> widths;
  for (const LimbCut& cut : c->cuts)
    if (cut.seen) widths.push_back(cut.Width());
  const double room = most_off + 0.15 * Median(widths);
  if (std::abs(base + slope * t0) > room || std::abs(base + slope * t1) > room) return std::nullopt;
  for (LimbCut& cut : c->cuts) {
    const double by = base + slope * cut.t;
    cut.at += by * c->across;
    cut.right -= by;
    cut.left += by;
    // What the contour's edges stand far off the common middle is another part's.
    if (cut.seen && (cut.right < 0.2 * cut.Width() || cut.left < 0.2 * cut.Width())) cut.seen = false;
    if (cut.seen && RunsThrough(facts, bone, cut.at - cut.left * c->across, cut.at + cut.right * c->across)) return std::nullopt;
  }
  return c;
}

bool LimbWidths::Steps() const {
  for (std::size_t i = 1; i < cuts.size(); ++i)
    if (cuts[i - 1].StepsTo(cuts[i])) return true;
  return false;
}

std::optional<LimbWidths> OwnWidths(const BodyFacts& facts, const Silhouette& silhouette, BoneId bone, double t0, double t1) {
  const auto c = OwnContour(facts, silhouette, bone, t0, t1, kWidthCuts);
  if (!c) return std::nullopt;
  const BoneEnds ends = Ends(bone);
  const double from = facts.Joint(ends.from).at.z(), to = facts.Joint(ends.to).at.z();
  LimbWidths out;
  out.pixel = c->pixel_px / c->unit_px;
  for (int i = 0; i < kWidthCuts; ++i) {
    const LimbCut& cut = c->cuts[static_cast<std::size_t>(i)];
    if (!cut.seen || cut.Width() < 2.0 * c->pixel_px) continue;
    out.cuts.push_back({i, std::log(cut.Width() / facts.PxPerStature(from + cut.t * (to - from))), cut.at - cut.left * c->across,
                        cut.at + cut.right * c->across});
  }
  return out;
}

std::optional<LimbWidth> InOnePiece(const std::optional<LimbWidths>& widths, int least) {
  if (!widths || static_cast<int>(widths->cuts.size()) < least || widths->Steps()) return std::nullopt;
  const auto n = static_cast<double>(widths->cuts.size());
  const CutWidth* middle = &widths->cuts.front();
  double mean = 0.0, square = 0.0;
  for (const CutWidth& cut : widths->cuts) {
    mean += cut.log / n;
    if (cut.NearerMiddle(*middle)) middle = &cut;
  }
  for (const CutWidth& cut : widths->cuts) square += (cut.log - mean) * (cut.log - mean) / n;
  return LimbWidth{std::exp(mean), std::sqrt(square), widths->pixel / std::exp(mean), middle->from, middle->to};
}

std::optional<LimbContour> ContourOf(const BodyFacts& facts, const Silhouette& silhouette, BoneId bone, double t0, double t1,
                                     int count) {
  if (!facts.BoneMarked(bone) || count < 2) return std::nullopt;
  const BoneEnds ends = Ends(bone);
  LimbContour c;
  c.bone = bone;
  c.from = facts.Px(ends.from);
  c.to = facts.Px(ends.to);
  const Vec3 from = facts.Joint(ends.from).at, to = facts.Joint(ends.to).at;
  c.length_px = (c.to - c.from).norm();
  c.unit_px = facts.PxPerStature(0.5 * (from.z() + to.z()));
  if (c.length_px < 0.5 * c.unit_px * (to - from).norm() || c.length_px < 12.0) return std::nullopt;
  c.dir = (c.to - c.from) / c.length_px;
  c.across = {-c.dir.y(), c.dir.x()};
  c.pixel_px = silhouette.PixelPx();
  for (int i = 0; i < count; ++i) {
    LimbCut cut;
    cut.t = t0 + (t1 - t0) * i / (count - 1);
    cut.at = c.from + cut.t * (c.to - c.from);
    const double most = MostHalfWidth(bone) * facts.PxPerStature(from.z() + cut.t * (to.z() - from.z()));
    if (const auto edges = EdgesAcross(silhouette, cut.at, c.across, most)) {
      cut.right = edges->right;
      cut.left = edges->left;
      cut.seen = true;
    }
    c.cuts.push_back(cut);
  }
  return c;
}

}  // namespace armslength::surface_check
