#include "reading/body/body_start.h"

#include <algorithm>

#include "support/job.h"

namespace armslength::body {
namespace {

using P = PointId;

struct Chain {
  std::array<P, 4> joint;
  std::array<BoneId, 3> bone;
};
constexpr std::array<Chain, 4> kChains = {{
    {{P::kShoulderL, P::kElbowL, P::kWristL, P::kHandTipL}, {BoneId::kUpperArmL, BoneId::kForearmL, BoneId::kHandL}},
    {{P::kShoulderR, P::kElbowR, P::kWristR, P::kHandTipR}, {BoneId::kUpperArmR, BoneId::kForearmR, BoneId::kHandR}},
    {{P::kHipL, P::kKneeL, P::kAnkleL, P::kToeL}, {BoneId::kThighL, BoneId::kShinL, BoneId::kFootL}},
    {{P::kHipR, P::kKneeR, P::kAnkleR, P::kToeR}, {BoneId::kThighR, BoneId::kShinR, BoneId::kFootR}},
}};
constexpr double kStartDistance = 0.12;  // inverse viewing distance of a start

double& Z(Params& x, P id) { return x[3 * At(id) + 2]; }

// Puts a joint on the line of sight through `at` at its present depth.
void OntoRay(const Vec2& at, double scale, Params& x, P id) {
  const double f = (1.0 + x[kInverseDistance] * Z(x, id)) / scale;
  x[3 * At(id)] = at.x() * f;
  x[3 * At(id) + 1] = at.y() * f;
}

}  // namespace

double LiftedDepth(double length, double drawn, double scale) {
  const double in_plane = drawn / scale;
  return std::sqrt(std::max(0.0, length * length - in_plane * in_plane));
}

namespace {

PerBone<double> ExpectedLengths(const BodyModel& model, const Params& columns) {
  PerBone<double> length = model.problem->proportions.length;
  for (std::size_t c = 0; c < model.columns.size(); ++c)
    for (std::size_t b = 0; b < length.size(); ++b)
      length[b] *= std::exp(model.columns[c].weight[b] * columns[kFixedParams + c]);
  return length;
}

Vec2 MiddleOfHips(const BodyProblem& problem) {
  return 0.5 * (problem.at[At(P::kHipL)] + problem.at[At(P::kHipR)]);
}

}  // namespace

std::vector<double> ScaleSamples(const BodyModel& model, const Params& columns) {
  const BodyProblem& problem = *model.problem;
  const PerBone<double> length = ExpectedLengths(model, columns);
  std::vector<double> samples;
  for (int b = 0; b < kBoneCount; ++b) {
    const auto id = static_cast<BoneId>(b);
    if (id == BoneId::kNeck || (id >= BoneId::kHandL && id <= BoneId::kHandR) || id >= BoneId::kFootL) continue;
    Vec2 drawn;
    if (id == BoneId::kTrunk) {
      if (!problem.marked[At(P::kNeckPit)]) continue;
      drawn = problem.at[At(P::kNeckPit)] - MiddleOfHips(problem);
    } else {
      const BoneEnds ends = Ends(id);
      if (!problem.marked[At(ends.from)] || !problem.marked[At(ends.to)]) continue;
      drawn = problem.at[At(ends.to)] - problem.at[At(ends.from)];
    }
    samples.push_back(drawn.norm() / length[At(id)]);
  }
  if (samples.empty()) samples.push_back(1.0);
  std::sort(samples.begin(), samples.end());
  return samples;
}

std::vector<Basin> Lift(const BodyModel& model, double scale, const Params& columns) {
  const BodyProblem& problem = *model.problem;
  const PerBone<double> length = ExpectedLengths(model, columns);
  const auto depth = [&](BoneId id, const Vec2& from, const Vec2& to) {
    return LiftedDepth(length[At(id)], (to - from).norm(), scale);
  };
  const auto& at = problem.at;
  const double hips = depth(BoneId::kHipWidth, at[At(P::kHipR)], at[At(P::kHipL)]);
  const double shoulders = depth(BoneId::kShoulderWidth, at[At(P::kShoulderR)], at[At(P::kShoulderL)]);
  double trunk = depth(BoneId::kTrunk, MiddleOfHips(problem), at[At(P::kNeckPit)]);
  if (problem.flag[At(BoneId::kTrunk)] == Flag::kFlat) trunk *= 0.6;

  std::vector<Basin> lifts;
  for (double turn : {1.0, -1.0})
    for (double lean : {1.0, -1.0}) {
      const Flag flag = problem.flag[At(BoneId::kTrunk)];
      if ((flag == Flag::kAway && lean < 0) || (flag == Flag::kToward && lean > 0)) continue;
      Basin basin;
      Params& x = basin.x;
      x[kLogScale] = std::log(scale);
      x[kInverseDistance] = kStartDistance;
      // A trunk that leans away at the top is as well a low viewpoint, and the reverse.
      x[kElevation] = 0.08 - 0.7 * lean * std::asin(std::min(0.9, trunk / length[At(BoneId::kTrunk)]));
      for (std::size_t c = 0; c < model.columns.size(); ++c) x[kFixedParams + c] = columns[kFixedParams + c];
      Z(x, P::kHipL) = 0.5 * turn * hips;
      Z(x, P::kHipR) = -0.5 * turn * hips;
      const double pit = lean * trunk;
      Z(x, P::kNeckPit) = pit;
      Z(x, P::kShoulderL) = pit + 0.5 * turn * shoulders;
      Z(x, P::kShoulderR) = pit - 0.5 * turn * shoulders;
      for (P id : {P::kHipL, P::kHipR, P::kNeckPit, P::kShoulderL, P::kShoulderR}) OntoRay(at[At(id)], scale, x, id);
      // The chin stands a little to the front of the pit.
      const auto joint = [&](P id) { return Vec3(x[3 * At(id)], x[3 * At(id) + 1], x[3 * At(id) + 2]); };
      const Vec3 up = joint(P::kNeckPit) - 0.5 * (joint(P::kHipL) + joint(P::kHipR));
      const Vec3 front = (joint(P::kHipL) - joint(P::kHipR)).cross(up).normalized();
      Z(x, P::kChin) = pit + 0.04 * front.z() + 0.1 * lean * trunk;
      Z(x, P::kCrown) = Z(x, P::kChin) - 0.015 * front.z() + 0.2 * lean * trunk;
      OntoRay(at[At(P::kChin)], scale, x, P::kChin);
      OntoRay(at[At(P::kCrown)], scale, x, P::kCrown);

      for (int limb = 0; limb < 4; ++limb) {
        const Chain& chain = kChains[static_cast<std::size_t>(limb)];
        double best = 1e300;
        std::array<Vec3, 3> best_joints{Vec3::Zero(), Vec3::Zero(), Vec3::Zero()};
        for (int signs = 0; signs < 8; ++signs) {
          for (std::size_t i = 0; i < 3; ++i) {
            const BoneId bone = chain.bone[i];
            double dz = depth(bone, at[At(chain.joint[i])], at[At(chain.joint[i + 1])]);
            if (problem.flag[At(bone)] == Flag::kFlat) dz *= 0.6;
            const double sign = (signs >> i) & 1 ? 1.0 : -1.0;
            Z(x, chain.joint[i + 1]) = Z(x, chain.joint[i]) + sign * dz;
            OntoRay(at[At(chain.joint[i + 1])], scale, x, chain.joint[i + 1]);
          }
          const double cost = LimbCost(model, x, limb);
          if (cost < best) {
            best = cost;
            for (std::size_t i = 0; i < 3; ++i) best_joints[i] = joint(chain.joint[i + 1]);
          }
        }
        for (std::size_t i = 0; i < 3; ++i)
          for (int axis = 0; axis < 3; ++axis)
            x[3 * At(chain.joint[i + 1]) + static_cast<std::size_t>(axis)] = best_joints[i][axis];
      }
      basin.cost = Cost(model, x);
      lifts.push_back(basin);
    }
  std::sort(lifts.begin(), lifts.end(), [](const Basin& a, const Basin& b) { return a.cost < b.cost; });
  return lifts;
}

namespace {

constexpr SolveOptions kFewSteps{.max_iterations = 6, .tolerance = 2e-3};
constexpr SolveOptions kAllSteps{.max_iterations = 30, .tolerance = 2e-3};

bool Cheaper(const Basin& a, const Basin& b) { return a.cost < b.cost; }

std::vector<Basin> LiftsAt(const BodyModel& model, std::initializer_list<double> quantiles) {
  Params columns{};
  for (std::size_t c = 0; c < model.columns.size(); ++c) columns[kFixedParams + c] = model.columns[c].mean;
  const std::vector<double> samples = ScaleSamples(model, columns);
  std::vector<Basin> lifts;
  for (double q : quantiles) {
    const double sample = samples[static_cast<std::size_t>(q * static_cast<double>(samples.size() - 1))];
    for (const Basin& lift : Lift(model, 1.02 * sample, columns)) lifts.push_back(lift);
  }
  return lifts;
}

// A few steps for all, the rest for the `promising` best.
void SolveAll(const BodyModel& model, std::size_t promising, int threads, std::vector<Basin>& basins) {
  ParallelFor(static_cast<int>(basins.size()), threads,
              [&](int i) { Solve(model, basins[static_cast<std::size_t>(i)], kFewSteps); });
  std::stable_sort(basins.begin(), basins.end(), Cheaper);
  if (basins.size() > promising) basins.resize(promising);
  ParallelFor(static_cast<int>(basins.size()), threads,
              [&](int i) { Solve(model, basins[static_cast<std::size_t>(i)], kAllSteps); });
  std::stable_sort(basins.begin(), basins.end(), Cheaper);
}

}  // namespace

std::vector<Basin> SolveFromLifts(const BodyModel& model, int keep, int threads, const Basin* warm) {
  std::vector<Basin> basins = LiftsAt(model, {1.0, 0.9, 0.75, 0.6});
  if (warm != nullptr) basins.push_back(*warm);
  SolveAll(model, 6, threads, basins);
  std::vector<Basin> distinct;
  for (const Basin& basin : basins) {
    if (!distinct.empty() && basin.cost - distinct.back().cost < 0.02) continue;
    distinct.push_back(basin);
    if (static_cast<int>(distinct.size()) == keep) break;
  }
  return distinct;
}

Basin SolveNear(const BodyModel& model, const Basin& warm) {
  std::vector<Basin> basins = LiftsAt(model, {0.9});
  basins.push_back(warm);
  SolveAll(model, 2, 1, basins);
  return basins.front();
}

Basin StartFrom(const BodyModel& model, const BodyReading& reading) {
  const BodyProblem& problem = *model.problem;
  Basin basin;
  Params& x = basin.x;
  x[kLogScale] = std::log(std::max(reading.camera.scale_px, 1e-6) / problem.unit_px);
  x[kInverseDistance] = reading.camera.inverse_distance;
  x[kElevation] = reading.camera.elevation_rad;
  for (std::size_t c = 0; c < model.columns.size(); ++c) x[kFixedParams + c] = model.columns[c].mean;
  const double scale = std::exp(x[kLogScale]);
  for (int j = 0; j < kBodyPointCount; ++j) {
    const auto id = static_cast<P>(j);
    const Vec2 at = problem.marked[At(id)] ? problem.at[At(id)]
                                           : Vec2((reading.JointPx(id) - problem.origin_px) / problem.unit_px);
    Z(x, id) = reading.Joint(id).z();
    OntoRay(at, scale, x, id);
  }
  basin.cost = Cost(model, x);
  return basin;
}

}  // namespace armslength::body
