#include <algorithm>
#include <cmath>

#include <Eigen/Cholesky>
#include <fmt/format.h>

#include "reading/head/head_reading.h"
#include "reading/head/head_start.h"

namespace armslength {
namespace {

using namespace head_internal;

// A character's head wanders a little from drawing to drawing: sd of every shape value.
constexpr double kDrift = 0.004;
constexpr std::size_t kMostOthers = 8;
constexpr double kConventionSd = 0.5;  // before any drawing of this artist is known

// The free prior with the far-eye convention open, for learning.
HeadProfile Open(const HeadProfile& prior) {
  HeadProfile p = prior;
  const int k = static_cast<int>(HeadParam::kFarEyeConvention);
  p.covariance(k, k) = std::max(p.covariance(k, k), kConventionSd * kConventionSd);
  return p;
}

struct Joint {
  HeadSolution solution;
  std::vector<HeadView> views;
};

Joint SolveJointly(std::vector<HeadView> views, const HeadProfile& prior) {
  HeadProblem problem(views, prior);
  Joint j;
  j.solution = SolveHead(problem, problem.Start(), 40);
  j.views = std::move(views);
  return j;
}

// All views but one; of many, those spread evenly over the turns say nearly as much.
std::vector<HeadView> Others(const std::vector<HeadView>& views, int but) {
  std::vector<HeadView> rest = views;
  rest.erase(rest.begin() + but);
  if (rest.size() <= kMostOthers) return rest;
  std::stable_sort(rest.begin(), rest.end(), [](const HeadView& a, const HeadView& b) { return a.start[3] < b.start[3]; });
  std::vector<HeadView> some;
  for (std::size_t k = 0; k < kMostOthers; ++k) some.push_back(rest[k * (rest.size() - 1) / (kMostOthers - 1)]);
  return some;
}

HeadProfile ProfileFrom(const HeadSolution& s, int shape_column, int drawings, std::string name) {
  HeadProfile p;
  p.name = std::move(name);
  p.drawings = drawings;
  p.mean = s.x.segment<kHeadParamCount>(shape_column);
  p.covariance = s.covariance.block<kHeadParamCount, kHeadParamCount>(shape_column, shape_column);
  p.covariance = 0.5 * (p.covariance + p.covariance.transpose()).eval();
  p.covariance.diagonal().array() += kDrift * kDrift;
  return p;
}

}  // namespace

Result<CharacterReading> ReadCharacter(std::span<const FigureMarks> drawings, const HeadReadingOptions& options) {
  const HeadProfile prior = Open(options.profile ? *options.profile : BuiltInHeadProfile("free"));
  CharacterReading out;
  std::vector<HeadView> views;
  std::vector<int> view_of(drawings.size(), -1);
  // Each alone first: poses to start from, marking errors, and which are usable.
  for (std::size_t i = 0; i < drawings.size(); ++i) {
    HeadReadingOptions single = options;
    single.profile = &prior;
    single.test_faults = false;
    single.body = drawings.size() == 1 ? options.body : nullptr;
    Result<HeadReading> r = ReadHead(drawings[i], single);
    if (!r) {
      Error e = r.error();
      e.place = fmt::format("/figures/{}{}", drawings[i].name.empty() ? std::to_string(i) : drawings[i].name, e.place);
      return tl::unexpected(std::move(e));
    }
    if (r->usable) {
      HeadView v = *StartHead(drawings[i], nullptr)->view;
      v.sigma = r->sigma_px / v.unit_px;
      v.start = {std::log(r->pose.scale_px / v.unit_px), (r->pose.origin_px.x() - v.centre_px.x()) / v.unit_px,
                 -(r->pose.origin_px.y() - v.centre_px.y()) / v.unit_px, r->pose.yaw_rad, r->pose.pitch_rad, r->pose.roll_rad,
                 r->pose.inverse_distance};
      view_of[i] = static_cast<int>(views.size());
      views.push_back(v);
    }
    out.readings.push_back(std::move(*r));
  }
  if (views.empty())
    return BadInput("", "", "none of these drawings shows a head that can be read",
                    "mark both eyes, the chin, the top of the head, the base of the nose and a face edge in at least one");
  const Joint all = SolveJointly(views, prior);
  if (!std::isfinite(all.solution.cost))
    return Fail(ErrorKind::kInternal, "", "", "the joint reading did not settle", "read the drawings one by one");
  out.profile = ProfileFrom(all.solution, kPoseCount * static_cast<int>(views.size()), static_cast<int>(views.size()), "character");

  for (std::size_t i = 0; i < drawings.size(); ++i) {
    if (view_of[i] < 0) continue;
    HeadReadingOptions judged = options;
    HeadProfile others;
    if (views.size() > 1) {
      std::vector<HeadView> rest = Others(views, view_of[i]);
      const int n = static_cast<int>(rest.size());
      const Joint left = SolveJointly(std::move(rest), prior);
      others = ProfileFrom(left.solution, kPoseCount * n, n, "the other drawings");
      others.features = options.profile ? options.profile->features : std::vector<std::string>{};
      judged.profile = &others;
    }
    Result<HeadReading> r = ReadHead(drawings[i], judged);
    if (!r) return tl::unexpected(r.error());
    out.readings[i] = std::move(*r);
  }
  return out;
}

Result<HeadProfile> LearnHeadStyle(std::span<const FigureMarks> heads, std::string name) {
  const HeadProfile& free = BuiltInHeadProfile("free");
  const HeadProfile prior = Open(free);
  std::vector<HeadReading> readings;
  for (const FigureMarks& m : heads) {
    HeadReadingOptions o;
    o.profile = &prior;
    o.test_faults = false;
    Result<HeadReading> r = ReadHead(m, o);
    if (!r) return tl::unexpected(r.error());
    if (r->usable) readings.push_back(std::move(*r));
  }
  if (readings.size() < 3)
    return BadInput("", "", fmt::format("{} of {} heads can be read; a style needs three", readings.size(), heads.size()),
                    "mark more heads, each with both eyes, chin, top of the head, base of the nose and a face edge");
  HeadProfile style;
  style.name = std::move(name);
  style.drawings = static_cast<int>(readings.size());
  const double n = static_cast<double>(readings.size());
  HeadProfile::Vector weight;
  for (int k = 0; k < kHeadParamCount; ++k) {
    // The built-in mean counts as three heads; values that a reading did not settle keep near it
    // by their own weight.
    weight[k] = 3.0 / free.covariance(k, k);
    double sum = weight[k] * free.mean[k];
    if (k == static_cast<int>(HeadParam::kFarEyeConvention)) weight[k] = sum = 0.0;
    for (const HeadReading& r : readings) {
      const double w = 1.0 / std::max(r.profile_cov(k, k), 1e-8);
      weight[k] += w;
      sum += w * r.profile[k];
    }
    style.mean[k] = sum / weight[k];
  }
  // Spread between heads, the built-in spread counting as three.
  style.covariance = 3.0 * free.covariance;
  for (const HeadReading& r : readings) style.covariance += (r.profile - style.mean) * (r.profile - style.mean).transpose();
  style.covariance /= 3.0 + n;
  style.covariance.diagonal() += weight.cwiseInverse();
  // A convention is kept from head to head.
  const int far_eye = static_cast<int>(HeadParam::kFarEyeConvention);
  style.covariance.row(far_eye).setZero();
  style.covariance.col(far_eye).setZero();
  style.covariance(far_eye, far_eye) = std::max(1e-4, 1.0 / weight[far_eye]) + 0.02 * 0.02;
  return style;
}

}  // namespace armslength
