// Makes data/heads/head_depths.json: how the depths of heads that are built soundly go together.
// Each of many constructed heads (synth/head_figure.h) is drawn from six sides with next to no
// marking error and the model of the reading fitted to all six at once, its spreads widened.
// Only correlations are kept: means and spreads stay the working defaults of head_profile.cc.
// Seeds of its own: calibration, benches and tests use others.
// Usage: learn_head_depths OUT.json [heads, default 800]
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <mutex>
#include <vector>

#include <fmt/format.h>

#include "reading/head/head_solve.h"
#include "reading/head/head_start.h"
#include "support/files.h"
#include "support/job.h"
#include "synth/head_figure.h"

using namespace armslength;
using namespace armslength::head_internal;

namespace {

constexpr unsigned kFirstCharacter = 300'000'000, kFirstSeed = 310'000'000;
constexpr std::array<double, 6> kTurnsDeg = {-45, -25, -8, 12, 30, 50};
constexpr double kError = 0.002;  // head heights
constexpr double kWider = 1.5;    // than the built-in spreads, so that they do not decide
constexpr double kBelieve = 0.9;  // of each correlation: other artists' heads differ from ours

}  // namespace

int main(int argc, char** argv) {
  if (argc < 2) {
    std::fprintf(stderr, "usage: learn_head_depths OUT.json [heads]\n");
    return 2;
  }
  const int heads = argc > 2 ? std::max(50, std::atoi(argv[2])) : 800;
  HeadProfile prior = BuiltInHeadProfile("free");
  const HeadProfile::Vector variance = kWider * kWider * prior.covariance.diagonal();
  prior.covariance = HeadProfile::Matrix(variance.asDiagonal());
  std::vector<std::optional<HeadProfile::Vector>> shapes(static_cast<std::size_t>(heads));
  ParallelFor(heads, 0, [&](int i) {
    std::vector<HeadView> views;
    for (std::size_t k = 0; k < kTurnsDeg.size(); ++k) {
      SynthHeadOptions o;
      o.character = kFirstCharacter + static_cast<unsigned>(i);
      o.seed = kFirstSeed + 10U * static_cast<unsigned>(i) + static_cast<unsigned>(k);
      o.yaw_deg = kTurnsDeg[k];
      o.sigma = kError;
      o.asymmetry = 0.0;
      o.ears = true;
      const SynthHead head = MakeHead(o);
      const auto start = StartHead(head.marks, nullptr);
      if (!start || !start->view) return;
      HeadView v = *start->view;
      v.sigma = kError;
      const Vec2 origin = (head.pose.origin_px - v.centre_px) / v.unit_px;
      v.start = {std::log(head.pose.scale_px / v.unit_px), origin.x(), -origin.y(), head.pose.yaw_rad, head.pose.pitch_rad, head.pose.roll_rad, 0.08};
      views.push_back(v);
    }
    const HeadProblem problem(views, prior);
    const HeadSolution s = SolveHead(problem, problem.Start(), 60);
    if (std::isfinite(s.cost)) shapes[static_cast<std::size_t>(i)] = s.x.segment<kHeadParamCount>(problem.ShapeColumn());
  });
  HeadProfile::Vector mean = HeadProfile::Vector::Zero();
  int n = 0;
  for (const auto& s : shapes)
    if (s) {
      mean += *s;
      ++n;
    }
  mean /= std::max(1, n);
  HeadProfile::Matrix c = HeadProfile::Matrix::Zero();
  for (const auto& s : shapes)
    if (s) c += (*s - mean) * (*s - mean).transpose() / n;
  std::string rows;
  for (HeadParam a : kHeadDepths) {
    std::string row;
    for (HeadParam b : kHeadDepths) {
      if (a == b) break;
      const int i = static_cast<int>(a), j = static_cast<int>(b);
      row += fmt::format("{}{:.3f}", row.empty() ? "" : ", ", kBelieve * c(i, j) / std::sqrt(c(i, i) * c(j, j)));
    }
    rows += fmt::format("{}    [\"{}\", [{}]]", rows.empty() ? "" : ",\n", Name(a), row);
  }
  const auto written = WriteFileAtomic(
      argv[1], fmt::format("{{\n  \"format\": \"armslength-head-depths\",\n  \"version\": 1,\n  \"made_by\": \"learn_head_depths OUT.json {}\",\n"
                           "  \"note\": \"Correlations of depth values over {} constructed heads, below the diagonal.\",\n  \"rows\": [\n{}\n  ]\n}}\n",
                           heads, n, rows));
  return written ? 0 : 5;
}
