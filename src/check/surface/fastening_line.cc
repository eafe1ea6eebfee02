#include "check/surface/fastening_line.h"

#include <algorithm>
#include <array>
#include <cmath>

#include <Eigen/Dense>

namespace armslength::surface_check {
namespace {

using body_check::BodyFacts;
using body_check::kDegree;
using body_check::Measure;
using P = PointId;

// All spreads are one sd; lengths in stature. They are from memory of drawn and measured bodies, wide on purpose.
constexpr int kTurnStride = 2;                                               // of the steps of the turn
constexpr double kOnTrunkLow = -0.10, kOnTrunkHigh = 1.15, kLowest = -0.60;  // heights: further off is no trunk's
// Front of the trunk before the line from hips to pit, at these heights; the pit may be marked on the skin or behind it.
constexpr std::array<std::array<double, 2>, 6> kFront{
    {{-0.30, 0.095}, {0.0, 0.080}, {0.38, 0.062}, {0.60, 0.070}, {0.80, 0.073}, {1.0, 0.042}}};
constexpr double kFrontSd = 0.005, kFrontLen = 0.18, kPitDepth = 0.020, kHipDepth = 0.012;
constexpr double kSkirtFrom = 0.32, kSkirtWithin = 0.03, kSkirt = 0.008, kSkirtSd = 0.010;  // cloth below the belt stands off
constexpr double kFlareFrom = 0.35, kFlare = 0.06;                                          // ... ever more
constexpr double kBreastFrom = 0.72, kBreast = 0.08;                                        // the breast bone falls back towards the neck
constexpr double kForward = 0.015;                                                          // the spine's bend to front or back
constexpr double kSide = 0.011, kSideS = 0.005;                                             // ... to the side, and as an S
constexpr double kUneven = 0.0015, kUnevenLen = 0.25;
constexpr double kUnevenTwist = 3.0 * kDegree, kTwistLen = 0.35;
constexpr double kThick = 0.0015;    // one stands off more than the next
constexpr double kJointOwn = 0.004;  // hips and pit beside the trunk's axis
constexpr double kCollarBehind = 0.035, kCollarSd = 0.015, kCollarAskew = 0.006;
constexpr double kRingSd = 0.05;  // a ring's middle, half-widths
constexpr double kAll = 0.06;     // all together off the centre front, local widths
constexpr double kLeastFacing = 0.15;

double FrontAt(double height) {
  if (height <= kFront.front()[0]) return kFront.front()[1];
  for (std::size_t i = 1; i < kFront.size(); ++i)
    if (height < kFront[i][0]) {
      const double u = (height - kFront[i - 1][0]) / (kFront[i][0] - kFront[i - 1][0]);
      return kFront[i - 1][1] + u * (kFront[i][1] - kFront[i - 1][1]);
    }
  return kFront.back()[1];
}

double BelowBelt(double height) { return 1.0 / (1.0 + std::exp((height - kSkirtFrom) / kSkirtWithin)); }

// Width of the trunk over the chest's.
double WidthAt(double height) {
  const double below = std::max(0.0, 0.45 - height), above = std::max(0.0, height - 0.45);
  return 0.86 + std::min(0.30, 1.0 * below) + std::min(0.16, 0.5 * above);
}

// Something seen across the trunk: a fastening on its front, or the middle of a ring on its axis.
struct Seen {
  double height, across;  // along the trunk as it lies on the picture; stature, + picture right of hips to pit
  double white;           // own error
  bool front;
  bool neck = false;
};

struct Scene {
  const BodyFacts& facts;
  std::vector<Seen> seen;  // fastenings first
  Vec3 hips, pit, right, away;
  Vec2 hips_px, right_px;
  double unit = 1.0, chest = 0.17;
  double rise = 0.0;                                 // along the picture's trunk, of what stands one stature before it
  double sigma = 0.01, knees = 0.0, knees_sd = 0.1;  // the legs' direction against the trunk's, below the hips
};

struct Expected {
  Eigen::VectorXd mean, facing;
  Eigen::VectorXd round;  // how a shift along the section's round takes back, square chest widths to stature
  Eigen::MatrixXd cov;
};

Expected Expect(const Scene& scene, double of_hips, double of_shoulders) {
  const auto n = static_cast<Eigen::Index>(scene.seen.size());
  constexpr Eigen::Index kEffects = 12;
  Expected out{Eigen::VectorXd(n), Eigen::VectorXd(n), Eigen::VectorXd(n), Eigen::MatrixXd::Zero(n, n)};
  Eigen::MatrixXd effects = Eigen::MatrixXd::Zero(n, kEffects);
  std::vector<double> sine(scene.seen.size()), depth(scene.seen.size()), heights(scene.seen.size());
  for (Eigen::Index i = 0; i < n; ++i) {
    const Seen& s = scene.seen[static_cast<std::size_t>(i)];
    const double seen = std::clamp(s.height, 0.0, 1.0), turn = (1.0 - seen) * of_hips + seen * of_shoulders;
    // On the front it stands as much above or below its section's middle as the trunk leans from or to the viewer.
    const double h = s.front ? s.height - scene.rise * FrontAt(s.height) * std::cos(turn) : s.height;
    heights[static_cast<std::size_t>(i)] = h;
    const double sn = std::sin(turn), cs = std::cos(turn), d = s.front ? FrontAt(h) + kSkirt * BelowBelt(h) : s.neck ? -kCollarBehind : 0.0;
    sine[static_cast<std::size_t>(i)] = s.front ? sn : 0.0;
    depth[static_cast<std::size_t>(i)] = s.front ? d * cs : 0.0;
    out.facing[i] = cs;
    out.round[i] = 2.0 * d * sn / std::pow(WidthAt(h), 2);
    const Vec3 at = scene.hips + h * (scene.pit - scene.hips) + d * (sn * scene.right - cs * scene.away);
    out.mean[i] = (scene.facts.Reading().camera.Project(at) - scene.hips_px).dot(scene.right_px) / scene.unit;
    const double bow = h >= 0.0 ? 4.0 * h * (1.0 - h) : 4.0 * h, ess = h * (1.0 - h) * (2.0 * h - 1.0) * 10.0;
    Eigen::Index k = 0;
    effects(i, k++) = (1.0 - h) * std::hypot(scene.sigma / std::sqrt(2.0), kJointOwn);
    effects(i, k++) = h * std::hypot(scene.sigma, kJointOwn);
    effects(i, k++) = kSide * bow * cs;
    effects(i, k++) = kSideS * (h >= 0.0 ? ess : -10.0 * h);
    effects(i, k++) = kForward * bow * sn;
    effects(i, k++) = std::max(0.0, -h) * scene.knees_sd;
    if (s.front) {
      effects(i, k++) = kPitDepth * h * sn;
      effects(i, k++) = kHipDepth * (1.0 - h) * sn;
      effects(i, k++) = kFlare * std::max(0.0, kFlareFrom - h) * sn;
      effects(i, k++) = kBreast * std::max(0.0, h - kBreastFrom) * sn;
      effects(i, k++) = kSkirtSd * BelowBelt(h) * sn;
      effects(i, k++) = kAll * WidthAt(h) * scene.chest * cs;
    } else if (s.neck) {
      effects(i, k) = kPitDepth * sn;
    }
    out.mean[i] += std::max(0.0, -h) * scene.knees;
    out.cov(i, i) += s.white * s.white + std::pow(s.front ? kThick * sn : s.neck ? kCollarSd * sn : 0.0, 2);
  }
  out.cov += effects * effects.transpose();
  for (Eigen::Index i = 0; i < n; ++i)
    for (Eigen::Index j = 0; j < n; ++j) {
      const auto a = static_cast<std::size_t>(i), b = static_cast<std::size_t>(j);
      const double apart = heights[a] - heights[b];
      const auto near = [&](double length) { return std::exp(-0.5 * apart * apart / (length * length)); };
      out.cov(i, j) += kUneven * kUneven * near(kUnevenLen) + kFrontSd * kFrontSd * sine[a] * sine[b] * near(kFrontLen) +
                       kUnevenTwist * kUnevenTwist * depth[a] * depth[b] * near(kTwistLen);
    }
  return out;
}

std::optional<Scene> SceneOf(const BodyFacts& facts, const TrunkOnPicture& trunk, std::span<const Station> rings, const TurnBeliefs& turns,
                             std::vector<Held>& held) {
  Scene s{facts, {}, facts.HipMiddle(), facts.Joint(P::kNeckPit).at, {}, {}, trunk.hips, trunk.right};
  const auto view = ViewOfTrunk(facts);
  if (!view) return std::nullopt;
  s.right = view->right;
  s.away = view->away;
  s.unit = facts.PxPerStature(s.pit.z());
  s.sigma = facts.SigmaStature();
  const double shoulders = facts.Reading().length[static_cast<std::size_t>(BoneId::kShoulderWidth)];
  if (shoulders > 0.0) s.chest = 0.8 * shoulders;
  if (facts.Marked({P::kKneeL, P::kKneeR})) {
    // Cloth below the hips hangs anywhere between straight down and along the thighs.
    const Vec2 legs = 0.5 * (facts.Px(P::kKneeL) + facts.Px(P::kKneeR)) - trunk.hips;
    const double slope = legs.dot(trunk.right) / s.unit * 0.7;
    s.knees = 0.5 * slope;
    s.knees_sd += 0.5 * std::abs(slope);
  }
  s.rise = s.unit * turns.front_px.dot(trunk.up) / std::max(1.0, (trunk.pit - trunk.hips).norm());
  const double mark = std::max(1.0 / s.unit, 0.25 * s.sigma), own = std::hypot(mark, kOwnSd * s.chest);
  const auto& marks = facts.Marks().centre_front;
  int on_trunk = 0;
  for (std::size_t i = 0; i < marks.size(); ++i) {
    Held h;
    h.mark = i;
    h.height = trunk.HeightOf(marks[i].at) - s.rise * FrontAt(0.5);
    if (h.height < kLowest || h.height > kOnTrunkHigh) continue;
    on_trunk += h.height > kOnTrunkLow;
    held.push_back(h);
  }
  if (on_trunk < 3) return std::nullopt;
  std::sort(held.begin(), held.end(), [](const Held& a, const Held& b) { return a.height > b.height; });
  for (const Held& h : held)
    s.seen.push_back({trunk.HeightOf(marks[h.mark].at), (marks[h.mark].at - trunk.hips).dot(trunk.right) / s.unit, own, true});
  for (const Station& ring : rings) {
    const Vec2 middle = 0.5 * (ring.from + ring.to);
    const double half = 0.5 * (ring.to - ring.from).norm() / s.unit;
    s.seen.push_back({ring.height, (middle - trunk.hips).dot(trunk.right) / s.unit,
                      std::hypot(mark, ring.neck ? kCollarAskew : kRingSd * half), false, ring.neck});
  }
  return s;
}

// Chest widths of shift behind a miss across the picture, and stature for one more of them there.
std::array<double, 2> ShiftBehind(double miss, double per, double round) {
  const double root = std::sqrt(std::max(0.09 * per * per, per * per - 4.0 * round * miss));
  return {2.0 * miss / (per + root), root};
}

double Normal(double z) { return 0.5 * std::erfc(-z / std::sqrt(2.0)); }

}  // namespace

std::size_t FasteningLine::Likeliest() const {
  const auto best = std::max_element(held.begin(), held.end(), [](const Held& a, const Held& b) { return a.share < b.share; });
  return static_cast<std::size_t>(best - held.begin());
}

std::optional<FasteningLine> HoldToLine(const BodyFacts& facts, const TrunkOnPicture& trunk, std::span<const Station> rings,
                                        const TurnBeliefs& turns, double beyond) {
  FasteningLine line;
  const auto scene = SceneOf(facts, trunk, rings, turns, line.held);
  if (!scene) return std::nullopt;
  const std::size_t n = line.held.size();
  const auto all = static_cast<Eigen::Index>(scene->seen.size());
  Eigen::VectorXd across(all);
  for (Eigen::Index i = 0; i < all; ++i) across[i] = scene->seen[static_cast<std::size_t>(i)].across;
  // One turn of hips and shoulders: how likely with no stray, and what the others foretell of each.
  struct Turned {
    double log_like;
    std::vector<std::array<double, 4>> left_out;  // miss, its sd (stature), stature per chest width of shift, the section's round
  };
  std::vector<Turned> turned;
  double most = -1e300;
  for (std::size_t h = 0; h < turns.turn_rad.size(); h += kTurnStride)
    for (std::size_t c = 0; c < turns.turn_rad.size(); c += kTurnStride) {
      const double of_hips = turns.turn_rad[h], of_shoulders = turns.turn_rad[c];
      const double likely = turns.Likely(h, c);
      if (likely < TurnBeliefs::kUnlikely) continue;
      const Expected expected = Expect(*scene, of_hips, of_shoulders);
      const Eigen::LLT<Eigen::MatrixXd> factor(expected.cov);
      const Eigen::MatrixXd sure = factor.solve(Eigen::MatrixXd::Identity(all, all));
      const Eigen::VectorXd miss = across - expected.mean, pull = sure * miss;
      double log_det = 0.0;
      for (Eigen::Index i = 0; i < all; ++i) log_det += std::log(factor.matrixLLT()(i, i));
      Turned t{likely - 0.5 * miss.dot(pull) - log_det, {}};
      for (std::size_t i = 0; i < n; ++i) {
        const auto k = static_cast<Eigen::Index>(i);
        t.left_out.push_back({pull[k] / sure(k, k), 1.0 / std::sqrt(sure(k, k)),
                              scene->chest * std::max(kLeastFacing, std::abs(expected.facing[k])), expected.round[k]});
      }
      most = std::max(most, t.log_like);
      turned.push_back(std::move(t));
    }
  double none = 0.0, strays = 0.0;
  struct Sums {
    double weight = 0.0, first = 0.0, second = 0.0, out = 0.0, miss = 0.0, stray = 0.0;
  };
  std::vector<Sums> sums(n);
  for (const Turned& t : turned) {
    const double like = std::exp(std::max(-600.0, t.log_like - most));
    none += like;
    for (std::size_t i = 0; i < n; ++i) {
      const auto [miss, sd, per, round] = t.left_out[i];
      const double z = miss / sd, wide = kStraySpread * per / sd;
      const double strayed =
          like * std::exp(std::min(600.0, 0.5 * z * z * wide * wide / (1.0 + wide * wide))) / std::sqrt(1.0 + wide * wide);
      sums[i].stray += strayed / static_cast<double>(n);
      // What the others say by themselves: this one's own likelihood taken out.
      const double others = like * sd * std::exp(std::min(600.0, 0.5 * z * z));
      const auto [shift, there] = ShiftBehind(miss, per, round);
      const double own = sd / there;
      sums[i].weight += others;
      sums[i].first += others * shift;
      sums[i].second += others * (shift * shift + own * own);
      sums[i].miss += others * miss;
      sums[i].out += others * (1.0 - Normal((beyond - shift) / own) + Normal((-beyond - shift) / own));
    }
  }
  for (const Sums& s : sums) strays += s.stray;
  if (none <= 0.0 || strays <= 0.0) return std::nullopt;
  line.one_strays = std::log(strays / none);
  for (std::size_t i = 0; i < n; ++i) {
    const Sums& s = sums[i];
    Held& held = line.held[i];
    const double shift = s.first / s.weight;
    held.shift = {shift, std::sqrt(std::max(1e-8, s.second / s.weight - shift * shift))};
    held.foretold = facts.Marks().centre_front[held.mark].at - s.miss / s.weight * scene->unit * trunk.right;
    held.beyond = s.out / s.weight;
    held.share = s.stray / strays;
  }
  return line;
}

}  // namespace armslength::surface_check
