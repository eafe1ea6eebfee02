#include "reading/head/head_reading.h"

#include <algorithm>
#include <cmath>
#include <limits>
#include <optional>

#include <Eigen/Geometry>
#include <fmt/format.h>

#include "reading/head/head_model.h"
#include "reading/head/head_solve.h"
#include "reading/head/head_start.h"
#include "reading/head/head_thresholds.h"
#include "words/say.h"

namespace armslength {
namespace {

using namespace head_internal;

constexpr std::array<std::string_view, kHeadFaultCount> kFindingIds = {
    "face.eye.size",     "face.eye.spacing", "face.eye_line.tilt", "face.eye.height",
    "face.brow",         "face.nose.offset", "face.mouth.offset",  "face.mouth.tilt",
    "face.chin.offset",  "face.jaw.skew",    "face.features.tilt", "face.ear.height"};

constexpr double kSigmaPriorRows = 20;  // how many residuals the artist's own error estimate counts for
constexpr double kFaceOnYaw = 20 * M_PI / 180;
constexpr double kProfileYaw = 76 * M_PI / 180;
constexpr int kMostFreed = 4;
constexpr double kDragged = 15 * M_PI / 180;
constexpr double kMostFeaturesTilt = 25 * M_PI / 180;
constexpr double kSureDeparture = 9.0;  // three sd
constexpr double kOtherTilt = 4 * M_PI / 180;
constexpr int kFirstSteps = 5;
constexpr double kBehind = 6.0;  // half squared residuals
constexpr double kUsualStyle = 2.0;  // sd of the free profile; more is strongly stylised

// Marks that the fault's direction needs, beyond having any effect at all.
bool HasMarksFor(HeadFaultKind kind, const HeadView& v) {
  const auto both_corners = [&](int eye) { return v.marked[static_cast<std::size_t>(eye)] && v.marked[static_cast<std::size_t>(eye) + 1]; };
  const auto all = [&](std::initializer_list<int> need) {
    return std::all_of(need.begin(), need.end(), [&](int i) { return v.marked[static_cast<std::size_t>(i)]; });
  };
  const auto any_eye = [&](int eye) {
    for (int k = 0; k < 4; ++k)
      if (v.marked[static_cast<std::size_t>(eye + k)]) return true;
    return false;
  };
  switch (kind) {
    case HeadFaultKind::kEyeSize: return both_corners(iEyeLInner) && both_corners(iEyeRInner);
    case HeadFaultKind::kEyeSpacing:
    case HeadFaultKind::kEyeLineTilt:
    case HeadFaultKind::kEyeHeight: return any_eye(iEyeLInner) && any_eye(iEyeRInner);
    case HeadFaultKind::kBrow: return all({iBrowL, iBrowR});
    case HeadFaultKind::kNoseOffset: return all({iNoseBase});
    case HeadFaultKind::kMouthOffset: return all({iMouthC}) || all({iMouthL, iMouthR});
    case HeadFaultKind::kMouthTilt: return all({iMouthL, iMouthR});
    case HeadFaultKind::kChinOffset: return all({iChin});
    case HeadFaultKind::kJawSkew: return all({iJawL, iJawR});
    case HeadFaultKind::kFeaturesTilt: return both_corners(iEyeLInner) && both_corners(iEyeRInner);
    case HeadFaultKind::kEarHeight: return (v.marked[iEarLTop] && v.marked[iEarRTop]) || (v.marked[iEarLBottom] && v.marked[iEarRBottom]);
    default: return false;
  }
}

// Proportions a character is known by.
constexpr std::array kProportions = {HeadParam::kEyeHeight,       HeadParam::kEyeX,        HeadParam::kEyeHalfWidth,
                                     HeadParam::kBrowAboveEye,    HeadParam::kNoseBaseHeight, HeadParam::kMouthHeight,
                                     HeadParam::kMouthHalfWidth,  HeadParam::kHairlineHeight, HeadParam::kHalfWidth,
                                     HeadParam::kJawX};

// Marking error from the residuals of one view, held near the stated one.
double RefinedSigma(const HeadProblem& problem, const HeadSolution& s, int view, double stated, bool learned) {
  const HeadView& v = problem.Views()[static_cast<std::size_t>(view)];
  const int first = problem.FirstRow(view), count = 2 * v.count;
  const auto jac = s.jacobian.middleRows(first, count);
  const double used = (jac * s.covariance).cwiseProduct(jac).sum();  // trace of the hat matrix
  double rss = s.residuals.segment(first, count).squaredNorm();
  // One contradiction must not pass for poor marking: take the best single explanation out.
  double best = 0.0;
  for (const FaultTest& t : TestFaults(problem, s, view)) best = std::max(best, t.evidence);
  if (learned)
    for (const FaultTest& t : TestDepartures(problem, s, view, kProportions, std::numeric_limits<double>::infinity())) best = std::max(best, t.evidence);
  rss = std::max(0.0, rss - best);
  const double dof = std::max(1.0, count - used - 1.0);
  const double now2 = v.sigma * v.sigma, stated2 = stated * stated;
  return std::sqrt((kSigmaPriorRows * stated2 + rss * now2) / (kSigmaPriorRows + dof));
}

struct SolvedView {
  HeadProblem problem;
  HeadSolution solution;
  HeadProfile prior;  // as used, perhaps looser than asked for
};

// Best of several starts: nod up and down, tilt by the head's axis and, where that differs, by
// the eye line. Starts that have fallen far behind after a few steps are not finished.
HeadSolution BestOfStarts(HeadProblem& problem) {
  HeadView& v = problem.Views()[0];
  std::vector<double> rolls = {v.roll0};
  if (std::abs(std::remainder(v.eye_roll - v.roll0, 2 * M_PI)) > kOtherTilt) rolls.push_back(v.eye_roll);
  std::vector<HeadSolution> begun;
  double lowest = std::numeric_limits<double>::infinity();
  for (double roll : rolls) {
    for (double pitch : {-0.25, 0.25}) {
      v.start[4] = pitch;
      v.start[5] = roll;
      begun.push_back(GlanceAtHead(problem, problem.Start(), kFirstSteps));
      lowest = std::min(lowest, begun.back().cost);
    }
  }
  HeadSolution best;
  best.cost = std::numeric_limits<double>::infinity();
  for (HeadSolution& s : begun) {
    if (!(s.cost <= lowest + kBehind)) continue;
    HeadSolution done = GlanceAtHead(problem, s.x, 30);
    if (done.cost < best.cost) best = std::move(done);
  }
  Finish(problem, best);
  return best;
}

// Heads drawn far from usual proportions are not built like usual heads in depth either.
HeadProfile LoosenedForStyle(const HeadProfile& prior, const HeadSolution& s) {
  if (prior.Learned() || !std::isfinite(s.cost)) return prior;
  double far = 0.0;
  using P = HeadParam;
  for (P p : {P::kEyeHeight, P::kEyeX, P::kEyeHalfWidth, P::kLidUp, P::kLidDown, P::kBrowAboveEye, P::kNoseBaseHeight, P::kMouthHeight,
              P::kMouthHalfWidth, P::kJawX, P::kHalfWidth})
    far = std::max(far, std::abs(s.x[kPoseCount + static_cast<int>(p)] - prior.Mean(p)) / prior.Sd(p));
  const double factor = std::clamp(1.0 + (far - kUsualStyle) * 1.5, 1.0, 2.0);
  if (factor == 1.0) return prior;
  HeadProfile::Vector wider = HeadProfile::Vector::Ones();
  for (P p : kHeadDepths)
    if (p != P::kJawDepth && p != P::kDepthRatio && p != P::kTaper && p != P::kSquareness && p <= P::kHairlineDepth)
      wider[static_cast<int>(p)] = factor;
  wider[static_cast<int>(P::kNoseDepth)] *= factor;  // caricature noses leave the face most
  HeadProfile loose = prior;
  loose.covariance = wider.asDiagonal() * prior.covariance * wider.asDiagonal();
  return loose;
}

SolvedView SolveView(const HeadView& view, const HeadProfile& prior) {
  const double stated = view.sigma;
  HeadProblem problem({view}, prior);
  HeadSolution best = BestOfStarts(problem);
  HeadProfile used = LoosenedForStyle(prior, best);
  if (used.covariance != prior.covariance) {
    problem = HeadProblem(problem.Views(), used);
    best = SolveHead(problem, best.x, 12);
  }
  for (int refit = 0; refit < 2 && std::isfinite(best.cost); ++refit) {
    problem.Views()[0].sigma = RefinedSigma(problem, best, 0, stated, prior.Learned());
    best = SolveHead(problem, best.x, 12);
  }
  return {std::move(problem), std::move(best), std::move(used)};
}

void FillPoints(const HeadView& v, const double* theta, std::map<PointId, Vec2>& out) {
  std::array<double, 2 * kHeadPointCount> p;
  ProjectHead(theta, nullptr, p.data());
  for (std::size_t i = 0; i < kHeadPoints.size(); ++i) out[kHeadPoints[i]] = v.ToPx({p[2 * i], p[2 * i + 1]});
}

// Tests every fault, then frees those found one after the other so that one does not speak
// for another.
void JudgeFaults(const HeadView& view, const HeadProblem& null_problem, const HeadSolution& null_solution,
                 const HeadProfile& prior, HeadReading& out) {
  const HeadCalibration& cal = CalibrationFor(out.pose.yaw_rad, out.marks_used, view.sigma / std::exp(null_solution.x[0]));
  std::vector<FreedFault> freed;
  HeadProblem problem = null_problem;
  HeadSolution solution = null_solution;
  std::array<double, kHeadFaultCount> dragged{}, dragged_amount{};
  const auto first_tests = TestFaults(null_problem, null_solution, 0);
  const auto needed = [&](HeadFaultKind kind, double sd) {
    return EvidenceNeeded(kind, cal.log_factor[static_cast<std::size_t>(kind)], sd);
  };
  // One feature far off may have dragged the pose along. Where the pose left its first guess, ask
  // whether the guess with that one feature freed explains the marks better.
  if (std::abs(null_solution.x[3] - view.start[3]) > kDragged) {
    struct Begun {
      HeadFaultKind kind;
      HeadProblem problem;
      HeadSolution solution;
    };
    std::vector<Begun> begun;
    double lowest = std::numeric_limits<double>::infinity();
    for (HeadFaultKind kind : {HeadFaultKind::kNoseOffset, HeadFaultKind::kMouthOffset, HeadFaultKind::kChinOffset, HeadFaultKind::kEyeSpacing}) {
      if (!HasMarksFor(kind, view)) continue;
      HeadProblem one({view}, prior, {{0, kind}});
      HeadSolution s = GlanceAtHead(one, one.Start(), kFirstSteps);
      lowest = std::min(lowest, s.cost);
      begun.push_back({kind, std::move(one), std::move(s)});
    }
    double best_share = 1.0;
    std::optional<HeadProblem> best_problem;
    HeadSolution best;
    for (Begun& b : begun) {
      if (!(b.solution.cost <= lowest + kBehind)) continue;  // fallen far behind
      HeadSolution s = SolveHead(b.problem, b.solution.x, 15);
      dragged[static_cast<std::size_t>(b.kind)] = 2 * (null_solution.cost - s.cost);
      dragged_amount[static_cast<std::size_t>(b.kind)] = s.x[kThetaCount];
      const FaultTest& seen = first_tests[static_cast<std::size_t>(b.kind)];
      if (!seen.tested) continue;
      const double share = 2 * (null_solution.cost - s.cost) / needed(b.kind, seen.sd);
      if (share > best_share && std::abs(s.x[kThetaCount]) >= ToleranceOf(b.kind).value) {
        best_share = share;
        best = std::move(s);
        best_problem = std::move(b.problem);
        freed = {{0, b.kind}};
      }
    }
    if (best_problem) {
      HeadFault& f = out.faults[static_cast<std::size_t>(freed[0].kind)];
      f = {freed[0].kind,
           true,
           2 * (null_solution.cost - best.cost),
           needed(freed[0].kind, first_tests[static_cast<std::size_t>(freed[0].kind)].sd),
           best.x[kThetaCount],
           0.0,
           ToleranceOf(freed[0].kind).value,
           0.0,
           true,
           false};
      f.smallest_visible = f.tolerance;
      problem = std::move(*best_problem);
      solution = std::move(best);
    }
  }
  {
    const auto& tests = first_tests;
    for (std::size_t k = 0; k < kHeadFaultCount; ++k) {
      const auto kind = static_cast<HeadFaultKind>(k);
      HeadFault& f = out.raw[k];
      f.kind = kind;
      f.tested = tests[k].tested && HasMarksFor(kind, view);
      f.tolerance = ToleranceOf(kind).value;
      const bool by_drag = dragged[k] > tests[k].evidence;
      f.evidence = by_drag ? dragged[k] : tests[k].evidence;
      f.amount = by_drag ? dragged_amount[k] : tests[k].amount;
      f.sd = tests[k].sd;
    }
  }
  std::array<bool, kHeadFaultCount> refused{};
  for (;;) {
    const auto tests = TestFaults(problem, solution, 0);
    int best = -1;
    double best_share = 1.0;
    for (int k = 0; k < kHeadFaultCount; ++k) {
      const auto kind = static_cast<HeadFaultKind>(k);
      HeadFault& f = out.faults[static_cast<std::size_t>(k)];
      if (f.off || refused[static_cast<std::size_t>(k)]) continue;
      const FaultTest& t = tests[static_cast<std::size_t>(k)];
      f.kind = kind;
      f.tolerance = ToleranceOf(kind).value;
      f.tested = t.tested && HasMarksFor(kind, view);
      if (!f.tested) continue;
      f.threshold = needed(kind, t.sd);
      f.evidence = t.evidence;
      f.amount = t.amount;
      f.sd = t.sd * cal.sd_factor[static_cast<std::size_t>(k)];
      f.smallest_visible = std::max(f.tolerance, (std::sqrt(f.threshold) + 1.28) * t.sd);
      const double share = t.evidence / f.threshold;
      if (share > best_share && std::abs(t.amount) >= f.tolerance) {
        best_share = share;
        best = k;
      }
    }
    if (best < 0 || static_cast<int>(freed.size()) >= kMostFreed) break;
    out.faults[static_cast<std::size_t>(best)].off = true;
    freed.push_back({0, static_cast<HeadFaultKind>(best)});
    HeadProblem next({view}, prior, freed);
    Eigen::VectorXd start(next.NumParameters());
    start.head(solution.x.size()) = solution.x;  // freed amounts stand last, in order
    start[next.NumParameters() - 1] = tests[static_cast<std::size_t>(best)].amount;
    HeadSolution s = SolveHead(next, start, 15);
    if (!std::isfinite(s.cost)) break;
    // Freed, a weakly held nod of the features can run to where no one draws it: no explanation.
    if (best == static_cast<int>(HeadFaultKind::kFeaturesTilt) && std::abs(s.x[s.x.size() - 1]) > kMostFeaturesTilt) {
      refused[static_cast<std::size_t>(best)] = true;
      out.faults[static_cast<std::size_t>(best)].off = false;
      freed.pop_back();
      continue;
    }
    problem = std::move(next);
    solution = std::move(s);
  }
  if (static_cast<int>(freed.size()) >= kMostFreed) {
    out.many_ways = true;
    for (HeadFault& f : out.faults) f.off = false;
    out.freed_pose = out.pose;
    out.freed_profile = out.profile;
    return;
  }
  for (std::size_t i = 0; i < freed.size(); ++i) {  // final sizes, all found faults free together
    const int col = kThetaCount + static_cast<int>(i);
    if (col >= solution.x.size()) break;
    HeadFault& f = out.faults[static_cast<std::size_t>(freed[i].kind)];
    f.amount = solution.x[col];
    f.sd = std::sqrt(solution.covariance(col, col)) * cal.sd_factor[static_cast<std::size_t>(freed[i].kind)];
  }
  for (HeadFault& f : out.faults) f.cleared = f.tested && !f.off && std::abs(f.amount) + 1.645 * f.sd < f.tolerance;

  out.freed_pose = view.Pose(solution.x.data());
  out.freed_profile = solution.x.segment<kHeadParamCount>(kPoseCount);
  if (freed.empty()) return;
  // Smallest move that makes the face consistent: only what a found fault moves goes to where
  // the head, fault taken out, has it; the artist's own deviation from the fit stays.
  std::array<double, kHeadFaultCount> amounts{};
  for (std::size_t i = 0; i < freed.size(); ++i)
    amounts[static_cast<std::size_t>(freed[i].kind)] = solution.x[kThetaCount + static_cast<int>(i)];
  std::array<double, 2 * kHeadPointCount> with, without;
  ProjectHead(solution.x.data(), amounts.data(), with.data());
  ProjectHead(solution.x.data(), nullptr, without.data());
  for (std::size_t i = 0; i < kHeadPoints.size(); ++i) {
    if (!view.marked[i]) continue;
    const Vec2 move(without[2 * i] - with[2 * i], without[2 * i + 1] - with[2 * i + 1]);
    if (move.norm() > 1e-6) out.target_px[kHeadPoints[i]] = view.ToPx(view.at[i] + move);
  }
}

}  // namespace

std::string_view FindingId(HeadFaultKind kind) { return kFindingIds[static_cast<std::size_t>(kind)]; }

Eigen::Matrix3d HeadPose::Rotation() const {
  return (Eigen::AngleAxisd(roll_rad, Eigen::Vector3d::UnitZ()) * Eigen::AngleAxisd(pitch_rad, Eigen::Vector3d::UnitX()) *
          Eigen::AngleAxisd(yaw_rad, Eigen::Vector3d::UnitY())).toRotationMatrix();
}

Vec2 HeadPose::Project(const Eigen::Vector3d& in_head) const {
  const Eigen::Vector3d p = Rotation() * (in_head - Eigen::Vector3d(0, 0.5, 0));
  return origin_px + scale_px / (1.0 - inverse_distance * p.z()) * Vec2(p.x(), -p.y());
}

double HeadReading::ParamSd(HeadParam p) const {
  return std::sqrt(profile_cov(static_cast<int>(p), static_cast<int>(p)));
}

int HeadReading::FarSide() const {
  return std::abs(pose.yaw_rad) < kFaceOnYaw ? 0 : pose.yaw_rad > 0 ? 1 : -1;
}

namespace head_internal {

HeadReading Summarize(const HeadView& view, const HeadProblem& problem, const HeadSolution& s, const HeadProfile& prior,
                      bool test_faults) {
  HeadReading out;
  out.prior = prior;
  out.marks_used = view.count;
  out.sigma_given_px = view.sigma * view.unit_px;
  const HeadView& fitted = problem.Views()[0];
  out.sigma_px = fitted.sigma * view.unit_px;
  if (!std::isfinite(s.cost)) {
    out.why_not = Say("no head fits these marks");
    out.ask = Say("check that every mark has the right name");
    return out;
  }
  out.pose = fitted.Pose(s.x.data());
  out.profile = s.x.segment<kHeadParamCount>(kPoseCount);
  out.profile_cov = s.covariance.block<kHeadParamCount, kHeadParamCount>(kPoseCount, kPoseCount);
  out.scale_log_sd = std::sqrt(s.covariance(0, 0));
  out.yaw_sd_rad = std::sqrt(s.covariance(3, 3));
  out.pitch_sd_rad = std::sqrt(s.covariance(4, 4));
  out.roll_sd_rad = std::sqrt(s.covariance(5, 5));
  out.freed_pose = out.pose;
  out.freed_profile = out.profile;
  if (std::abs(out.pose.yaw_rad) > kProfileYaw) {
    out.why_not =
        Say("the head is turned {:.0f} degrees: in a profile the two sides cannot be compared", std::abs(out.pose.yaw_rad) * 180 / M_PI);
    out.ask = Say("nothing to add: judge a profile by the outline of the face");
    return out;
  }
  out.usable = true;
  FillPoints(view, s.x.data(), out.model_px);
  for (std::size_t i = 0; i < kHeadPoints.size(); ++i)
    if (view.marked[i]) out.residual_px[kHeadPoints[i]] = view.ToPx(view.at[i]) - out.model_px[kHeadPoints[i]];
  if (prior.Learned()) {
    const auto tests = TestDepartures(problem, s, 0, kProportions, kSureDeparture);
    for (std::size_t i = 0; i < tests.size(); ++i)
      if (tests[i].tested) out.departures.push_back({kProportions[i], tests[i].evidence, tests[i].amount, tests[i].sd});
  }
  if (test_faults) JudgeFaults(fitted, problem, s, prior, out);
  return out;
}

}  // namespace head_internal

Result<HeadReading> ReadHead(const FigureMarks& marks, const HeadReadingOptions& options) {
  const HeadProfile& prior = options.profile ? *options.profile : BuiltInHeadProfile("free");
  Result<HeadStart> start = StartHead(marks, options.body);
  if (!start) return tl::unexpected(start.error());
  if (!start->view) {
    HeadReading out;
    out.prior = prior;
    out.why_not = start->why_not;
    out.ask = start->ask;
    return out;
  }
  const SolvedView solved = SolveView(*start->view, prior);
  return Summarize(*start->view, solved.problem, solved.solution, solved.prior, options.test_faults);
}

}  // namespace armslength
