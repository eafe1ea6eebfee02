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
// Spreads beyond the tolerance: arms bunch more. Of 126 sound pairs of shins one lies 0.7 beyond, the others within (seeds from 1500001).
constexpr double kArmSure = 2.3, kShinSure = 1.7;
// Both pieces of a limb thinner than the other limb's by more than the tolerance speak for each other.
constexpr double kTogether = 1.3, kEach = 0.5;
constexpr double kFarthest = 0.60;  // log; beyond, one of the two is taken for another part
// Piece by piece: so many cuts, how far the pieces' ratios may be apart (log), and what fewer cuts leave open, one sd.
constexpr std::size_t kLeastOfPieces = 5;
constexpr double kPiecesAlike = 0.20, kPieceSd = 0.02;

// Depth of the limb's middle changes its size through the perspective.
double DepthSd(const BodyFacts& facts, BoneId bone) {
  const BoneEnds ends = Ends(bone);
  const double z_sd = std::sqrt(std::max(0.0, 0.5 * (facts.Joint(ends.from).cov(2, 2) + facts.Joint(ends.to).cov(2, 2))));
  return std::min(0.10, facts.Reading().camera.inverse_distance * z_sd);
}

// Stations along the bone, clear of both joints.
std::optional<Thickness> Across(const BodyFacts& facts, const std::optional<LimbWidths>& widths, BoneId bone) {
  const auto width = InOnePiece(widths, 6);
  if (!width) return std::nullopt;
  return Thickness{width->stature, std::hypot(std::hypot(0.3 * width->spread, width->pixel_log_sd), DepthSd(facts, bone)), width->from,
                   width->to};
}

// Where a boot's top or a cuff steps the width, the limbs are compared above and below it, each with its like: both pieces must tell
// the same, else what steps is another part that comes in. How thick each is where they are compared.
std::optional<std::array<Thickness, 2>> ByPieces(const LimbWidths& left, const LimbWidths& right, const std::array<double, 2>& depth_sd) {
  if (!left.Steps() && !right.Steps()) return std::nullopt;
  std::vector<std::array<const CutWidth*, 2>> both;
  for (const CutWidth& l : left.cuts)
    for (const CutWidth& r : right.cuts)
      if (l.place == r.place) both.push_back({&l, &r});
  // A mark's error moves the step along the limb: the cuts beside it are left out.
  std::vector<std::vector<std::array<const CutWidth*, 2>>> pieces(1);
  const auto steps = [&](std::size_t i) {
    return both[i - 1][0]->StepsTo(*both[i][0]) || both[i - 1][1]->StepsTo(*both[i][1]);
  };
  for (std::size_t i = 0; i < both.size(); ++i) {
    const bool after = i > 0 && steps(i), before = i + 1 < both.size() && steps(i + 1);
    if (after || before) {
      if (!pieces.back().empty()) pieces.emplace_back();
    } else {
      pieces.back().push_back(both[i]);
    }
  }
  if (pieces.back().empty()) pieces.pop_back();
  std::size_t n = 0;
  double low = 1e9, high = -1e9, square = 0.0;
  std::array<double, 2> mean{};
  std::array<const CutWidth*, 2> middle{};
  for (const auto& piece : pieces) {
    double ratio = 0.0;
    for (const auto& cut : piece) {
      ratio += (cut[0]->log - cut[1]->log) / static_cast<double>(piece.size());
      for (std::size_t k = 0; k < 2; ++k) mean[k] += cut[k]->log;
      if (!middle[0] || cut[0]->NearerMiddle(*middle[0])) middle = cut;
    }
    n += piece.size();
    low = std::min(low, ratio);
    high = std::max(high, ratio);
  }
  if (n < kLeastOfPieces || high - low > kPiecesAlike) return std::nullopt;
  for (double& m : mean) m /= static_cast<double>(n);
  for (const auto& piece : pieces)
    for (const auto& cut : piece) square += std::pow(cut[0]->log - cut[1]->log - mean[0] + mean[1], 2) / static_cast<double>(n);
  std::array<Thickness, 2> out;
  for (std::size_t k = 0; k < 2; ++k) {
    const double pixel = (k == 0 ? left : right).pixel / std::exp(mean[k]);
    const double own = std::hypot(kPieceSd, std::hypot(0.3 * std::sqrt(square), pixel));
    out[k] = Thickness{std::exp(mean[k]), std::hypot(own, depth_sd[k]), middle[k]->from, middle[k]->to};
  }
  return out;
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
    const auto of_left = OwnWidths(facts, silhouette, kPairs[i].left, 0.30, 0.72), of_right = OwnWidths(facts, silhouette, kPairs[i].right, 0.30, 0.72);
    left = Across(facts, of_left, kPairs[i].left);
    right = Across(facts, of_right, kPairs[i].right);
    if (of_left && of_right)
      if (const auto pieces = ByPieces(*of_left, *of_right, {DepthSd(facts, kPairs[i].left), DepthSd(facts, kPairs[i].right)})) {
        left = (*pieces)[0];
        right = (*pieces)[1];
      }
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
    const double visible = std::log1p(kPairTolerance) + (pair.left == BoneId::kShinL ? kShinSure : kArmSure) * sd;
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
