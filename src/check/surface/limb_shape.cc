#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <vector>

#include <fmt/format.h>

#include "check/body/guides.h"
#include "check/surface/families.h"
#include "check/surface/limb_contour.h"
#include "words/say.h"

namespace armslength::surface_check {
namespace {

using P = PointId;

// Left against right: 12 % of the thickness (limb lengths are flagged at 8 %; cloth needs more room).
// Common practice, no source; default, editable.
constexpr double kPairTolerance = 0.12;
// Sleeves and trousers of one person bunch and hang to about this on either side, one sd of the logarithm: drawn sound ones
// differ by 0.046 left against right (seeds from 1500001), thighs under a skirt's edge by 0.076.
constexpr double kClothSd = 0.040, kThighSd = 0.060;
constexpr double kSure = 2.3;
// Both pieces of a limb thinner than the other limb's by more than the tolerance speak for each other.
constexpr double kTogether = 1.3, kEach = 0.5;
constexpr double kFarthest = 0.60;  // log; beyond, one of the two is taken for another part

struct Thickness {
  double stature = 0.0, log_sd = 0.0;
  Vec2 from = Vec2::Zero(), to = Vec2::Zero();  // at the middle station
};

// Stations along the bone, clear of both joints.
std::optional<Thickness> Across(const BodyFacts& facts, const Silhouette& silhouette, BoneId bone) {
  const auto width = OwnWidth(facts, silhouette, bone, 0.30, 0.72, 6);
  if (!width) return std::nullopt;
  // Depth of the limb's middle changes its size through the perspective.
  const BoneEnds ends = Ends(bone);
  const double z_sd = std::sqrt(std::max(0.0, 0.5 * (facts.Joint(ends.from).cov(2, 2) + facts.Joint(ends.to).cov(2, 2))));
  return Thickness{width->stature,
                   std::hypot(std::hypot(0.3 * width->spread, width->pixel_log_sd), std::min(0.10, facts.Reading().camera.inverse_distance * z_sd)),
                   width->from, width->to};
}

struct Pair {
  std::string_view id;
  BoneId left, right;
  const char* spoken;
  const char* alike;
};

constexpr std::array<Pair, 4> kPairs{
    {{"arm.upper", BoneId::kUpperArmL, BoneId::kUpperArmR, Later("upper arm"), Later("Both upper arms as thick")},
     {"arm.fore", BoneId::kForearmL, BoneId::kForearmR, Later("forearm"), Later("Both forearms as thick")},
     {"leg.thigh", BoneId::kThighL, BoneId::kThighR, Later("thigh"), Later("Both thighs as thick")},
     {"leg.shin", BoneId::kShinL, BoneId::kShinR, Later("shin"), Later("Both shins as thick")}}};

}  // namespace

void CheckLimbThickness(const BodyFacts& facts, const Silhouette& silhouette, std::vector<Finding>& out) {
  std::array<std::array<std::optional<Thickness>, 2>, kPairs.size()> sides;
  std::array<double, kPairs.size()> log_ratio{}, spread{};
  for (std::size_t i = 0; i < kPairs.size(); ++i) {
    auto& [left, right] = sides[i];
    left = Across(facts, silhouette, kPairs[i].left);
    right = Across(facts, silhouette, kPairs[i].right);
    if (!left || !right) continue;
    const double cloth = kPairs[i].left == BoneId::kThighL ? kThighSd : kClothSd;
    log_ratio[i] = std::log(left->stature / right->stature);
    spread[i] = std::sqrt(left->log_sd * left->log_sd + right->log_sd * right->log_sd + 2 * cloth * cloth);
  }
  for (std::size_t i = 0; i < kPairs.size(); ++i) {
    const Pair& pair = kPairs[i];
    const auto& [left, right] = sides[i];
    if (!left && !right) continue;
    Finding f = body_check::Start(facts, fmt::format("limb.thickness.pair.{}", pair.id), SayLater(pair.alike), Kind::kConstruction,
                                  Verdict::kCannotTell);
    f.stage = Stage::kSketch;
    f.unit = "ratio";
    f.expected = 1.0;
    f.tolerance = kPairTolerance;
    f.test = "distance in sd";
    f.source = Say("12 % between left and right: common practice, default, editable");
    const std::array<BoneId, 2> bones{pair.left, pair.right};
    const auto rests_on = body_check::PointsOf(bones);
    if (!left || !right) {
      f.where = body_check::At(facts, body_check::PointsOf(left ? pair.left : pair.right));
      f.why = Say("Only the {} shows its contour on both sides, free of other parts.", SaidName(left ? pair.left : pair.right));
      f.ask = Say("Nothing to add: the other one is covered or lies before the body.");
      body_check::Finish(facts, rests_on, f);
      out.push_back(std::move(f));
      continue;
    }
    f.where.points = {left->from, left->to, right->from, right->to};
    const double off = log_ratio[i], sd = spread[i];
    // Pieces of one limb come in twos.
    const std::size_t other = i ^ 1U;
    const bool agrees =
        spread[other] > 0.0 && off * log_ratio[other] > 0.0 && std::abs(off) > std::log1p(kPairTolerance) + kEach * sd &&
        std::abs(log_ratio[other]) > std::log1p(kPairTolerance) + kEach * spread[other] &&
        0.5 * (std::abs(off) + std::abs(log_ratio[other])) > std::log1p(kPairTolerance) + kTogether * 0.5 * std::hypot(sd, spread[other]);
    // A bent thigh in trousers or under a skirt's edge is thicker than a straight one: never off alone.
    const bool alone = pair.left != BoneId::kThighL;
    const double visible = std::log1p(kPairTolerance) + kSure * sd;
    const bool neighbours = std::abs(off) > kFarthest || std::abs(log_ratio[other]) > kFarthest;
    f.measured = std::exp(off);
    f.sd = sd;
    f.smallest_visible = std::exp(visible);
    f.evidence = off / sd;
    f.why =
        Say("Measured across the bone from contour to contour, the left {} is {:.1f} % of the standing height thick, the "
            "right one {:.1f} %",
            SayLater(pair.spoken), 100 * left->stature, 100 * right->stature);
    f.guides.push_back(body_check::Line(GuideShape::Role::kDrawn, {left->from, left->to}));
    f.guides.push_back(body_check::Line(GuideShape::Role::kDrawn, {right->from, right->to}));
    if (!neighbours && ((alone && std::abs(off) > visible) || agrees)) {
      f.verdict = Verdict::kOff;
      f.title = off < 0 ? Say("{} thinner than the right one", body_check::Sentence(SaidName(pair.left)))
                        : Say("{} thinner than the left one", body_check::Sentence(SaidName(pair.right)));
      f.why += ".";
      const Thickness& thin = off < 0 ? *left : *right;
      const Vec2 middle = 0.5 * (thin.from + thin.to), half = 0.5 * (thin.to - thin.from) * std::exp(std::abs(off));
      f.guides.push_back(body_check::Line(GuideShape::Role::kTarget, {middle - half, middle + half},
                                          body_check::Percent(std::exp(std::abs(off)) - 1.0)));
      f.remedy = {RemedyWay::kWarp, 15.0, Say("Widen the thinner one to the mark, or slim the other by half as much each.")};
      f.gain = std::clamp(8.0 * (std::abs(off) - kPairTolerance), 1.5, 4.0);
    } else if (std::abs(off) < std::log1p(kPairTolerance) && pair.left != BoneId::kThighL) {
      // Never for thighs: under a skirt the contour is the skirt's.
      f.verdict = Verdict::kClear;
      f.why += Say(": alike, as cloth hangs.");
    } else {
      f.why += Say("; cloth alone may make that much.");
      f.ask = Say("Compare both sleeves or trouser legs where the cloth lies close.");
    }
    body_check::Finish(facts, rests_on, f);
    out.push_back(std::move(f));
  }
}

}  // namespace armslength::surface_check
