#include "check/surface/trunk_turn.h"

#include <algorithm>
#include <cmath>

#include <Eigen/Dense>

#include "check/surface/part_axis.h"

namespace armslength::surface_check {
namespace {

using body_check::kDegree;
using P = PointId;

constexpr double kStep = 3.0 * kDegree;
constexpr int kSteps = 26;  // each way
// Side lean of hips and chest against the line between them in drawn poses, one sd; twist between them. Defaults.
constexpr double kLeanSd = 9.0 * kDegree, kTwistSd = 12.0 * kDegree;
// True widths: a declared canon leaves them open by its spread. In free style the drawing canons have narrower shoulders and hips than
// measured people (both built in): halfway, and loosely held (log).
constexpr double kLeastSpread = 0.03, kShoulderFree = 0.10, kShoulderMore = 0.03, kHipFree = 0.14, kHipMore = 0.07;
// A neck's opening slopes down to the front by about this; with the chest's own bow on top of the trunk's. From memory.
constexpr double kSlope = 21.0 * kDegree, kSlopeSd = 10.0 * kDegree;
// Cloth hangs askew, shoulders sit unevenly; the bulge as drawn. Defaults.
constexpr double kAskew = 5.0 * kDegree, kBowSd = 0.12;
// One of so many collars or pairs of marks says nothing about the turn.
constexpr double kNothing = 0.03;

// The chest or pelvis turned by `turn` and leaning sideways by `lean` on the trunk's axis.
struct Frame {
  Vec3 left, up, front;
};

struct View : TrunkView {
  [[nodiscard]] Frame Turned(double turn, double lean) const {
    const Vec3 level = std::cos(turn) * right + std::sin(turn) * away;
    return {std::cos(lean) * level + std::sin(lean) * up, std::cos(lean) * up - std::sin(lean) * level,
            std::sin(turn) * right - std::cos(turn) * away};
  }
};

double LogSum(const std::vector<double>& logs) {
  const double most = *std::max_element(logs.begin(), logs.end());
  double sum = 0.0;
  for (const double l : logs) sum += std::exp(l - most);
  return most + std::log(sum);
}

struct Seen {
  double log_like = 0.0;
  double lean = 0.0, lean_sd = 0.0;  // of the line, as it then must be
};

// A line of joints as seen when the part is turned so, its true width and its side lean open.
Seen SeenLine(const BodyFacts& facts, const View& view, double turn, const Vec2& seen_px, const Vec3& middle, double width,
              double width_log_sd) {
  const BodyCamera& camera = facts.Reading().camera;
  const auto whole = [&](double lean) -> Vec2 {
    const Vec3 half = 0.5 * width * view.Turned(turn, lean).left;
    return camera.Project(middle + half) - camera.Project(middle - half);
  };
  const double mark = std::sqrt(2.0) * facts.SigmaStature() * camera.scale_px;
  Seen out;
  for (int round = 0; round < 3; ++round) {
    const double lean = out.lean;
    const Vec2 line = whole(lean), by_lean = (whole(lean + 0.02) - whole(lean - 0.02)) / 0.04;
    const Eigen::Matrix2d own = mark * mark * Eigen::Matrix2d::Identity() + width_log_sd * width_log_sd * line * line.transpose();
    const Eigen::Matrix2d all = own + kLeanSd * kLeanSd * by_lean * by_lean.transpose();
    const Vec2 miss = seen_px - line + by_lean * lean;  // against no lean
    const Eigen::Matrix2d sure = own.inverse();
    const double information = by_lean.dot(sure * by_lean) + 1.0 / (kLeanSd * kLeanSd);
    out.log_like = -0.5 * miss.dot(all.inverse() * miss) - 0.5 * std::log(all.determinant());
    out.lean = std::clamp(by_lean.dot(sure * miss) / information, -3.0 * kLeanSd, 3.0 * kLeanSd);
    out.lean_sd = 1.0 / std::sqrt(information);
  }
  return out;
}

// Best 0; never further down than a mark or ring that says nothing.
void Settle(std::vector<double>& logs) {
  const double whole = LogSum(logs), flat = std::log(kNothing / static_cast<double>(logs.size()));
  for (double& l : logs) {
    const double own = l - whole + std::log(1.0 - kNothing);
    l = std::max(own, flat) + std::log1p(std::exp(-std::abs(own - flat)));
  }
  const double most = *std::max_element(logs.begin(), logs.end());
  for (double& l : logs) l -= most;
}

}  // namespace

std::optional<TrunkView> ViewOfTrunk(const BodyFacts& facts) {
  const Vec3 hips = facts.HipMiddle(), pit = facts.Joint(P::kNeckPit).at;
  TrunkView view;
  view.up = (pit - hips).normalized();
  const Vec3 across = Sight(facts.Reading().camera, 0.5 * (hips + pit)).cross(view.up);
  if (across.norm() < 0.3) return std::nullopt;
  view.right = across.normalized();
  view.away = view.up.cross(view.right);
  return view;
}

std::optional<TurnBeliefs> TrunkTurnBeliefs(const BodyFacts& facts, const std::optional<RingShape>& collar) {
  if (!facts.Marked({P::kNeckPit, P::kShoulderL, P::kShoulderR, P::kHipL, P::kHipR})) return std::nullopt;
  const CanonInUse& canon = facts.Reading().canon;
  const auto width = [&](BoneId bone, double more) {
    const double own = facts.CanonLength(bone);
    return (own > 0.0 ? own : facts.Reading().length[static_cast<std::size_t>(bone)]) * (canon.declared ? 1.0 : std::exp(more));
  };
  const auto spread = [&](BoneId bone, double open) { return canon.declared ? std::max(kLeastSpread, canon.canon[bone].spread) : open; };
  const Vec3 hips = facts.HipMiddle(), pit = facts.Joint(P::kNeckPit).at;
  const auto own = ViewOfTrunk(facts);
  if (!own) return std::nullopt;
  const View view{*own};

  TurnBeliefs out;
  out.twist_sd = kTwistSd;
  out.front_px = -view.away.head<2>();
  const Vec2 seen_shoulders = facts.Px(P::kShoulderL) - facts.Px(P::kShoulderR), seen_hips = facts.Px(P::kHipL) - facts.Px(P::kHipR);
  const Vec3 sight = Sight(facts.Reading().camera, pit);
  const Vec2 up_px = view.up.head<2>().normalized(), right_px(-up_px.y(), up_px.x());
  double collar_tilt = 0.0, collar_bow = 0.0;
  if (collar) {
    Vec2 chord = collar->to - collar->from;
    if (chord.dot(right_px) < 0) chord = -chord;
    collar_tilt = std::atan2(chord.dot(up_px), chord.dot(right_px));
    collar_bow = collar->normal.dot(up_px) > 0 ? collar->bow : -collar->bow;
  }
  const double shoulders = width(BoneId::kShoulderWidth, kShoulderMore), shoulders_sd = spread(BoneId::kShoulderWidth, kShoulderFree);
  const double hip = width(BoneId::kHipWidth, kHipMore), hip_sd = spread(BoneId::kHipWidth, kHipFree);
  for (int i = -kSteps; i <= kSteps; ++i) {
    const double turn = i * kStep;
    out.turn_rad.push_back(turn);
    out.hips.push_back(SeenLine(facts, view, turn, seen_hips, hips, hip, hip_sd).log_like);
    const Seen chest = SeenLine(facts, view, turn, seen_shoulders, pit, shoulders, shoulders_sd);
    double of_collar = 0.0;
    if (collar) {
      const Frame frame = view.Turned(turn, chest.lean);
      std::vector<double> of_slope;
      for (int m = -3; m <= 3; ++m) {
        const double slope = kSlope + 0.75 * m * kSlopeSd;
        const Vec3 n = std::cos(slope) * frame.up + std::sin(slope) * frame.front;
        // The long axis lies square to the opening's own axis as seen.
        const Vec2 seen = n.head<2>();
        const double tilt = -std::atan2(seen.dot(right_px), seen.dot(up_px));
        const double bow = n.dot(sight), drawn = collar->closed ? std::copysign(collar_bow, bow) : collar_bow;
        // Seen nearly along its axis it has no long axis.
        const double loose = 0.10 * std::abs(bow) / std::max(0.15, std::sqrt(std::max(0.0, 1.0 - bow * bow)));
        const double sd = std::hypot(std::hypot(kAskew, chest.lean_sd), loose);
        of_slope.push_back(-0.5 * std::pow(0.75 * m, 2) - 0.5 * std::pow((tilt - collar_tilt) / sd, 2) - std::log(sd) -
                           0.5 * std::pow((bow - drawn) / kBowSd, 2));
      }
      of_collar = LogSum(of_slope);
    }
    out.shoulders.push_back(chest.log_like + of_collar);
  }
  Settle(out.hips);
  Settle(out.shoulders);
  return out;
}

}  // namespace armslength::surface_check
