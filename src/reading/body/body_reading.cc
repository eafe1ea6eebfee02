#include "reading/body/body_reading.h"

#include <algorithm>

#include <fmt/format.h>

#include "reading/body/body_helpful.h"
#include "reading/body/body_scan.h"
#include "reading/body/body_verdict.h"
#include "reading/body/canon_family.h"
#include "words/say.h"

namespace armslength {
namespace {

using namespace body;
using P = PointId;

constexpr int kMostFaults = 3;  // looked for in one figure; more is another figure

Vec3 JointAt(const Params& x, P id) { return {x[3 * At(id)], x[3 * At(id) + 1], x[3 * At(id) + 2]}; }

// Built-in canon of drawn figures with the closest head count.
std::string NearestByHeads(double heads) {
  const Canon* nearest = nullptr;
  for (const Canon& canon : BuiltInCanons()) {
    if (!canon.name.starts_with("adult-") && !canon.name.starts_with("stylised-")) continue;
    if (nearest == nullptr || std::abs(canon.heads - heads) < std::abs(nearest->heads - heads)) nearest = &canon;
  }
  return nearest == nullptr ? "adult-7.5" : nearest->name;
}

// Joints, camera and lengths; `stature`: standing height of the canon in use in the
// problem's stature units (1 for a declared canon).
void FillPose(const BodyModel& model, Basin solution, double stature, BodyReading& reading) {
  const BodyProblem& problem = *model.problem;
  NormalSink::Matrix covariance;
  Curvature(model, solution, &covariance);
  const Params& x = solution.x;
  reading.cost = solution.cost;
  for (std::size_t j = 0; j < reading.joints.size(); ++j) {
    const auto i = static_cast<Eigen::Index>(3 * j);
    reading.joints[j] = Vec3(x[3 * j], x[3 * j + 1], x[3 * j + 2]) / stature;
    reading.joint_cov[j] = covariance.block<3, 3>(i, i) / (stature * stature);
  }
  reading.camera.scale_px = std::exp(x[kLogScale]) * problem.unit_px * stature;
  reading.camera.inverse_distance = x[kInverseDistance] * stature;
  reading.camera.elevation_rad = x[kElevation];
  reading.camera.origin_px = problem.origin_px;

  // Residuals, and the marking error they speak for: each axis of a mark has lost its
  // leverage's share of freedom to the fit.
  DenseSink dense;
  dense.params = model.ParamCount();
  Emit(model, x, dense, false);
  double sum = 0.0, freedom = 0.0;
  for (const DenseSink::Entry& row : dense.rows) {
    if (row.kind != RowKind::kMark) continue;
    const Eigen::Map<const Eigen::VectorXd> g(row.gradient.data(), dense.params);
    sum += row.residual * row.residual;
    freedom += 1.0 - g.dot(covariance * g);
  }
  for (std::size_t j = 0; j < reading.joints.size(); ++j)
    if (problem.marked[j])
      reading.residual_px[j] = problem.origin_px + problem.unit_px * problem.at[j] - reading.camera.Project(reading.joints[j]);
  reading.sigma_px = problem.sigma_px;
  // Eight freedoms' worth of trust in the stated error keep the estimate steady.
  constexpr double kTrust = 8.0;
  reading.sigma_estimated_px = problem.sigma_px * std::sqrt((sum + kTrust) / (std::max(0.0, freedom) + kTrust));

  for (int b = 0; b < kBoneCount; ++b) {
    const auto id = static_cast<BoneId>(b);
    const BoneEnds ends = Ends(id);
    Vec3 along = JointAt(x, ends.to) - JointAt(x, ends.from);
    Eigen::VectorXd g = Eigen::VectorXd::Zero(model.ParamCount());
    if (id == BoneId::kTrunk) along = JointAt(x, P::kNeckPit) - 0.5 * (JointAt(x, P::kHipL) + JointAt(x, P::kHipR));
    const double norm = std::max(along.norm(), 1e-9);
    const Vec3 unit = along / (norm * norm);
    const auto add = [&](P joint, double w) { g.segment<3>(3 * static_cast<Eigen::Index>(joint)) += w * unit; };
    if (id == BoneId::kTrunk) {
      add(P::kNeckPit, 1.0);
      add(P::kHipL, -0.5);
      add(P::kHipR, -0.5);
    } else {
      add(ends.to, 1.0);
      add(ends.from, -1.0);
    }
    reading.length[At(id)] = norm / stature;
    reading.length_log_sd[At(id)] = std::sqrt(std::max(0.0, g.dot(covariance * g)));
  }

  reading.turn_rad = TurnOf(x);
  reading.view = ViewOf(x);
}

}  // namespace

std::string_view Name(ViewClass view) {
  switch (view) {
    case ViewClass::kFront: return Later("front");
    case ViewClass::kThreeQuarter: return Later("three-quarter");
    case ViewClass::kSide: return Later("side");
    case ViewClass::kBack: return Later("back");
    case ViewClass::kHighLow: return Later("high or low");
  }
  return Later("front");
}

Result<BodyReading> ReadBody(const FigureMarks& marks, const Canon* declared, const BodyReadingOptions& options) {
  const auto cancelled = [] {
    return Fail(ErrorKind::kCancelled, {}, {}, "The body reading was stopped", "Run it again");
  };
  BodyReading reading;
  for (int j = 0; j < kBodyPointCount; ++j)
    reading.marked[static_cast<std::size_t>(j)] = marks.Has(static_cast<P>(j));
  const bool free_style = declared == nullptr;
  auto problem = MakeProblem(marks, free_style ? FreeStyle().middle : ProportionsFrom(*declared));
  if (!problem) {
    reading.why_not = problem.error();
    return reading;
  }
  BodyModel base{&*problem, {}, {}, {}};
  base.columns = free_style ? FreeStyle().columns : PartColumns(*declared);

  std::optional<Basin> warm;
  if (options.start != nullptr && options.start->usable) warm = StartFrom(base, *options.start);
  Scan scan;
  if (options.scan_hypotheses) {
    scan = ScanExplanations(base, TestableGroups(*problem, free_style), true, options.threads, warm ? &*warm : nullptr);
  } else if (warm) {
    scan.null = {SolveNear(base, *warm)};
  } else {
    scan.null = SolveFromLifts(base, 1, options.threads);
  }
  if (options.control.Stopped()) return cancelled();
  Basin& solution = scan.null.front();
  Solve(base, solution, {.max_iterations = 60, .tolerance = 1e-7});

  double stature = 1.0;
  if (free_style) {
    reading.canon.canon = CanonAt(FreeStyle(), solution.x);
    const double head = FreeStyle().middle.length[At(BoneId::kHead)] * std::exp(solution.x[kFixedParams]);
    stature = reading.canon.canon.heads * head;
    NormalSink::Matrix covariance;
    Curvature(base, solution, &covariance);
    reading.canon.heads = reading.canon.canon.heads;
    // heads ~ 1 / head size, the rest of the height hardly moving.
    reading.canon.heads_sd = reading.canon.heads * std::sqrt(covariance(kFixedParams, kFixedParams));
    reading.canon.how_to_change =
        Say("No canon was declared, so a free style was fitted. To have the proportions judged, declare one for this "
            "figure, such as \"canon\": \"{}\", the nearest by its heads.",
            NearestByHeads(reading.canon.heads));
  } else {
    reading.canon.canon = *declared;
    reading.canon.declared = true;
    reading.canon.heads = problem->proportions.heads;
    reading.canon.how_to_change =
        Say("Declared for this figure (\"canon\": \"{}\"); put another name there to have it judged against that.", declared->name);
  }
  FillPose(base, solution, stature, reading);
  reading.usable = true;
  if (options.scan_hypotheses) {
    std::optional<std::size_t> off = Judge(base, scan, free_style, options.threads, reading);
    // A fault found is let loose and the rest asked again: a figure may have two.
    BodyModel loosened = base;
    std::vector<bool> testable = TestableGroups(*problem, free_style);
    std::optional<Basin> explained;
    Scan further_scan;
    const Scan* current = &scan;
    for (int found_so_far = 1; off; ++found_so_far) {
      if (options.control.Stopped()) return cancelled();
      const BoneGroup& found = BoneGroups()[*off];
      explained = current->groups[*off].best;
      loosened.columns.push_back(ColumnOf(found));
      if (found_so_far >= kMostFaults) break;
      for (std::size_t g = 0; g < testable.size(); ++g)
        for (std::size_t b = 0; b < found.weight.size(); ++b)
          if (found.weight[b] != 0.0 && BoneGroups()[g].weight[b] != 0.0) testable[g] = false;
      further_scan = ScanExplanations(loosened, testable, false, options.threads);
      current = &further_scan;
      off = JudgeFurther(loosened, further_scan, free_style, reading);
    }
    if (reading.misplaced && !explained) {
      loosened.misplaced = reading.misplaced->point;
      explained = scan.misplaced[At(reading.misplaced->point)].best;
    }
    // A figure with a fault is shown as the fault explains it: without it the fit may turn
    // the body the wrong way to make the lengths come out.
    if (explained) {
      const double cost = reading.cost;
      Solve(loosened, *explained, {.max_iterations = 60, .tolerance = 1e-7});
      FillPose(loosened, *explained, stature, reading);
      reading.cost = cost;
    }
    if (options.control.Stopped()) return cancelled();
    if (options.find_helpful_mark) reading.helpful = FindHelpful(base, scan, marks, reading, options.threads);
  }
  return reading;
}

}  // namespace armslength
