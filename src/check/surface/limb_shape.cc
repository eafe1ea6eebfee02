#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <vector>

#include <fmt/format.h>

#include "check/body/guides.h"
#include "check/surface/families.h"
#include "check/surface/limb_contour.h"

namespace armslength::surface_check {
namespace {

using P = PointId;

// Left against right: 12 % of the thickness (limb lengths are flagged at 8 %; cloth needs more room).
// Common practice, no source; default, editable.
constexpr double kPairTolerance = 0.12;
// Sleeves and trousers of one person bunch and hang to about this on either side, one sd of the logarithm.
constexpr double kClothSd = 0.055;
constexpr double kSure = 2.6;
// Stations along the bone, clear of both joints.
constexpr std::array<double, 7> kStations{0.30, 0.37, 0.44, 0.51, 0.58, 0.65, 0.72};

struct Thickness {
  double stature = 0.0, log_sd = 0.0;
  Vec2 from = Vec2::Zero(), to = Vec2::Zero();  // at the middle station
};

// Across the bone in the picture from its line to the contour on either side. Nothing when another
// part lies beside or behind it, so that the contour is not its own.
std::optional<Thickness> Across(const BodyFacts& facts, const Silhouette& silhouette, BoneId bone) {
  if (!facts.BoneMarked(bone)) return std::nullopt;
  const BoneEnds ends = Ends(bone);
  const Vec2 a = facts.Px(ends.from), b = facts.Px(ends.to);
  const Vec3 from = facts.Joint(ends.from).at, to = facts.Joint(ends.to).at;
  // Seen almost from its end, a limb's contour is that of its neighbours.
  if ((b - a).norm() < 0.5 * facts.Reading().camera.scale_px * (to - from).norm()) return std::nullopt;
  const Vec2 dir = (b - a).normalized(), across(-dir.y(), dir.x());
  std::vector<double> widths;
  Thickness out;
  double asymmetry = 0.0;
  for (const double t : kStations) {
    const Vec2 at = a + t * (b - a);
    const double unit = facts.PxPerStature(from.z() + t * (to.z() - from.z()));
    const auto edges = EdgesAcross(silhouette, at, across, MostHalfWidth(bone) * unit);
    if (!edges) continue;
    widths.push_back((edges->right + edges->left) / unit);
    asymmetry += std::abs(edges->right - edges->left) / (edges->right + edges->left);
    if (widths.size() == 1 || std::abs(t - 0.51) < 0.01) {
      out.from = at - edges->left * across;
      out.to = at + edges->right * across;
    }
  }
  if (widths.size() < 5) return std::nullopt;
  // The bone runs near the middle of its limb; far off, the contour is another part's.
  if (asymmetry / static_cast<double>(widths.size()) > 0.45) return std::nullopt;
  double mean = 0.0, square = 0.0;
  for (const double w : widths) mean += std::log(w) / static_cast<double>(widths.size());
  // A limb tapers evenly; a step is another part coming in.
  for (std::size_t i = 1; i < widths.size(); ++i)
    if (std::abs(std::log(widths[i] / widths[i - 1])) > 0.22) return std::nullopt;
  for (const double w : widths) square += std::pow(std::log(w) - mean, 2) / static_cast<double>(widths.size());
  out.stature = std::exp(mean);
  // Depth of the limb's middle changes its size through the perspective.
  const double z_sd = std::sqrt(std::max(0.0, 0.5 * (facts.Joint(ends.from).cov(2, 2) + facts.Joint(ends.to).cov(2, 2))));
  const double pixel = silhouette.PixelPx() / (out.stature * facts.PxPerStature(0.5 * (from.z() + to.z())));
  out.log_sd = std::hypot(std::hypot(0.3 * std::sqrt(square), pixel), std::min(0.10, facts.Reading().camera.inverse_distance * z_sd));
  return out;
}

struct Pair {
  std::string_view id;
  BoneId left, right;
  std::string_view spoken;
};

constexpr std::array<Pair, 4> kPairs{{{"arm.upper", BoneId::kUpperArmL, BoneId::kUpperArmR, "upper arm"},
                                      {"arm.fore", BoneId::kForearmL, BoneId::kForearmR, "forearm"},
                                      {"leg.thigh", BoneId::kThighL, BoneId::kThighR, "thigh"},
                                      {"leg.shin", BoneId::kShinL, BoneId::kShinR, "shin"}}};

}  // namespace

void CheckLimbThickness(const BodyFacts& facts, const Silhouette& silhouette, std::vector<Finding>& out) {
  for (const Pair& pair : kPairs) {
    const auto left = Across(facts, silhouette, pair.left), right = Across(facts, silhouette, pair.right);
    if (!left && !right) continue;
    Finding f = body_check::Start(facts, fmt::format("limb.thickness.pair.{}", pair.id),
                                  fmt::format("Both {}s as thick", pair.spoken), Kind::kConstruction, Verdict::kCannotTell);
    f.stage = Stage::kSketch;
    f.unit = "ratio";
    f.expected = 1.0;
    f.tolerance = kPairTolerance;
    f.test = "distance in sd";
    f.source = "12 % between left and right: common practice, default, editable";
    const std::array<BoneId, 2> bones{pair.left, pair.right};
    const auto rests_on = body_check::PointsOf(bones);
    if (!left || !right) {
      f.where = body_check::At(facts, body_check::PointsOf(left ? pair.left : pair.right));
      f.why = fmt::format("Only the {} {} shows its contour on both sides, free of other parts.", left ? "left" : "right", pair.spoken);
      f.ask = "Nothing to add: the other one is covered or lies before the body.";
      body_check::Finish(facts, rests_on, f);
      out.push_back(std::move(f));
      continue;
    }
    f.where.points = {left->from, left->to, right->from, right->to};
    const double off = std::log(left->stature / right->stature);
    const double sd = std::sqrt(left->log_sd * left->log_sd + right->log_sd * right->log_sd + 2 * kClothSd * kClothSd);
    const double visible = std::log1p(kPairTolerance) + kSure * sd;
    f.measured = std::exp(off);
    f.sd = sd;
    f.smallest_visible = std::exp(visible);
    f.evidence = off / sd;
    f.why = fmt::format("Measured across the bone from contour to contour, the left {} is {:.1f} % of the standing height thick, the "
                        "right one {:.1f} %", pair.spoken, 100 * left->stature, 100 * right->stature);
    f.guides.push_back(body_check::Line(GuideShape::Role::kDrawn, {left->from, left->to}));
    f.guides.push_back(body_check::Line(GuideShape::Role::kDrawn, {right->from, right->to}));
    if (std::abs(off) > visible) {
      f.verdict = Verdict::kOff;
      f.title = fmt::format("{} {} thinner than the {} one", off < 0 ? "Left" : "Right", pair.spoken, off < 0 ? "right" : "left");
      f.why += ".";
      const Thickness& thin = off < 0 ? *left : *right;
      const Vec2 middle = 0.5 * (thin.from + thin.to), half = 0.5 * (thin.to - thin.from) * std::exp(std::abs(off));
      f.guides.push_back(body_check::Line(GuideShape::Role::kTarget, {middle - half, middle + half},
                                          body_check::Percent(std::exp(std::abs(off)) - 1.0)));
      f.remedy = {RemedyWay::kWarp, 15.0, "Widen the thinner one to the mark, or slim the other by half as much each."};
      f.gain = std::clamp(8.0 * (std::abs(off) - kPairTolerance), 1.5, 4.0);
    } else if (std::abs(off) < std::log1p(kPairTolerance) && pair.left != BoneId::kThighL) {
      // Never for thighs: under a skirt the contour is the skirt's.
      f.verdict = Verdict::kClear;
      f.why += ": alike, as cloth hangs.";
    } else {
      f.why += "; cloth alone may make that much.";
      f.ask = "Compare both sleeves or trouser legs where the cloth lies close.";
    }
    body_check::Finish(facts, rests_on, f);
    out.push_back(std::move(f));
  }
}

}  // namespace armslength::surface_check
