// Makes data/thresholds/body_declared.json and body_free.json: runs the body reading's scan
// on synthetic figures with nothing wrong and writes down how its evidence behaves there.
//   calibrate_body --mode declared --figures 5000 --seed 1000000 --out data/thresholds/body_declared.json
//   calibrate_body --mode free --figures 2400 --seed 1500000 --out data/thresholds/body_free.json
#include <algorithm>
#include <array>
#include <atomic>
#include <cmath>
#include <cstdio>
#include <numeric>

#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include "reading/body/body_thresholds.h"
#include "reading/body/canon_family.h"
#include "support/files.h"
#include "support/job.h"
#include "synth/figure.h"
#include "synth/random.h"

using namespace armslength;
using namespace armslength::body;

namespace {

constexpr double kFamilyRate = 0.042;  // wanted share of false alarms; leaves room below 5 %
constexpr double kMarkRate = 0.008;    // of it, by the misplaced-mark statement alone
constexpr double kViewRate = 0.055;    // at most, in each view class

constexpr double kHaste = 2.0;        // true over stated marking error where no canon is declared

struct Sample {
  int info = 0, sigma = 0, view = 0, marks = 0;
  bool partial = false;
  std::vector<double> evidence;  // NaN where not tested
  double mark = -1e9, cost = 0.0;
  double largest = -1e9;         // standardised
};

// Figure `i` of a mode: information level, marking error and missing marks go round.
SynthFigure DrawnNull(unsigned seed, int i, bool free_style, Sample& sample) {
  SynthFigureOptions options;
  options.seed = seed + static_cast<unsigned>(i);
  SynthRandom random(options.seed, 77);
  sample.info = random.Below(4);
  sample.sigma = random.Below(3);
  sample.partial = random.Chance(0.25);
  options.sigma = kSigmaGrid[static_cast<std::size_t>(sample.sigma)];
  options.depth_flags = (sample.info & 1) != 0;
  options.head_box = (sample.info & 2) != 0;
  static const Canon average = *FindCanon("adult-average");
  options.canon = &average;
  // Without a canon the marks are mostly quick ones, and joints under clothes err about
  // twice as much as their owner thinks.
  if (free_style) options.sigma *= kHaste;
  if (free_style) options.canon = &BuiltInCanons()[static_cast<std::size_t>(random.Below(static_cast<int>(BuiltInCanons().size())))];
  SynthFigure figure = MakeFigure(options);
  if (free_style) figure.marks.marking_error_px = *figure.marks.marking_error_px / kHaste;
  if (sample.partial) {
    // An arm or leg out of sight, or two to four single marks not placed.
    const int gone = random.Below(3);
    if (gone < 2) {
      const bool arm = random.Chance(0.5);
      const int side = random.Below(2);
      for (PointId id : arm ? std::array{PointId::kElbowL, PointId::kWristL, PointId::kHandTipL}
                            : std::array{PointId::kKneeL, PointId::kAnkleL, PointId::kToeL})
        if (gone == 0 || random.Chance(0.7)) figure.marks.points.erase(static_cast<PointId>(static_cast<int>(id) + side));
    } else {
      for (int n = 2 + random.Below(3); n > 0; --n) figure.marks.points.erase(static_cast<PointId>(random.Below(kBodyPointCount)));
    }
  }
  return figure;
}

double Quantile(std::vector<double> v, double q) {
  if (v.empty()) return 0.0;
  std::sort(v.begin(), v.end());
  const double at = q * static_cast<double>(v.size() - 1);
  const auto low = static_cast<std::size_t>(at);
  const std::size_t high = std::min(low + 1, v.size() - 1);
  return v[low] + (v[high] - v[low]) * (at - static_cast<double>(low));
}

// Quantile per information level and sigma, smoothed to a level each and one slope along
// ln sigma for all: single cells hold too few figures for a steady tail.
std::array<std::array<double, 3>, kInfoLevels> Smoothed(const std::vector<Sample>& samples, double q,
                                                        double (*value)(const Sample&)) {
  std::array<std::array<double, 3>, kInfoLevels> cell{};
  double slope = 0.0;
  for (std::size_t i = 0; i < kInfoLevels; ++i) {
    for (std::size_t s = 0; s < 3; ++s) {
      std::vector<double> v;
      for (const Sample& sample : samples)
        if (static_cast<std::size_t>(sample.info) == i && static_cast<std::size_t>(sample.sigma) == s && !sample.partial)
          v.push_back(value(sample));
      cell[i][s] = Quantile(v, q);
    }
    slope += (cell[i][2] - cell[i][0]) / 2.0 / kInfoLevels;
  }
  for (auto& row : cell) {
    const double level = (row[0] + row[1] + row[2]) / 3.0;
    row = {level - slope, level, level + slope};
  }
  return cell;
}

Behaviour Learn(std::vector<Sample>& samples) {
  Behaviour b;
  const std::size_t groups = BoneGroups().size();
  for (std::size_t info = 0; info < kInfoLevels; ++info) {
    std::vector<double> cost;
    for (const Sample& s : samples)
      if (static_cast<std::size_t>(s.info) == info) cost.push_back(s.cost / s.marks);
    b.cost_per_mark[info] = Quantile(cost, 0.975);
    for (std::size_t g = 0; g < groups; ++g) {
      double sum = 0.0, square = 0.0, n = 0.0;
      for (const Sample& s : samples)
        if (static_cast<std::size_t>(s.info) == info && std::isfinite(s.evidence[g])) {
          sum += s.evidence[g];
          square += s.evidence[g] * s.evidence[g];
          n += 1.0;
        }
      const double mean = n > 0 ? sum / n : 0.0;
      const double sd = n > 1 ? std::sqrt(std::max(1e-6, square / n - mean * mean)) : 1.0;
      b.mean[info].push_back(mean);
      // Pulled towards 2 so that groups with a light tail do not get almost none of the
      // alarms and those with a heavy one not almost all.
      b.width[info].push_back(std::pow(std::max(sd, 0.3), 0.7) * std::pow(2.0, 0.3));
    }
  }
  for (Sample& s : samples)
    for (std::size_t g = 0; g < groups; ++g)
      if (BoneGroups()[g].contest && std::isfinite(s.evidence[g]))
        s.largest = std::max(s.largest, Standardized(b, s.info, g, s.evidence[g]));

  b.mark = Smoothed(samples, 1.0 - kMarkRate, [](const Sample& s) { return s.mark; });
  // The bones' threshold takes what the mark statement leaves of the wanted rate.
  const auto family_at = [&](double q) { return Smoothed(samples, q, [](const Sample& s) { return s.largest; }); };
  const auto excess = [&](const Sample& s) {
    const auto i = static_cast<std::size_t>(s.info), k = static_cast<std::size_t>(s.sigma);
    return std::max(s.largest - b.family[i][k] - (s.partial ? b.partial[i] : 0.0), s.mark > b.mark[i][k] ? 1e-9 : -1e9);
  };
  double low = 0.90, high = 0.9995;
  for (int step = 0; step < 20; ++step) {
    const double q = 0.5 * (low + high);
    b.family = family_at(q);
    double alarms = 0.0, n = 0.0;
    for (const Sample& s : samples)
      if (!s.partial) {
        alarms += excess(s) > 0.0;
        n += 1.0;
      }
    (alarms / n > kFamilyRate ? low : high) = q;
  }
  // Missing marks: one addition for all levels, never a discount.
  std::vector<double> over;
  for (const Sample& s : samples)
    if (s.partial)
      over.push_back(s.largest - b.family[static_cast<std::size_t>(s.info)][static_cast<std::size_t>(s.sigma)]);
  b.partial.fill(std::max(0.0, Quantile(over, 1.0 - kFamilyRate)));
  for (std::size_t v = 0; v < kViewClasses; ++v) {
    over.clear();
    for (const Sample& s : samples)
      if (static_cast<std::size_t>(s.view) == v) over.push_back(excess(s));
    b.view[v] = std::max(0.0, Quantile(over, 1.0 - kViewRate));
    if (b.view[v] < 1e-6) b.view[v] = 0.0;
  }
  return b;
}

Behaviour Calibrate(int figures, unsigned seed, bool free_style, int threads) {
  std::vector<Sample> samples(static_cast<std::size_t>(figures));
  static const Canon average = *FindCanon("adult-average");
  std::atomic<int> done = 0;
  ParallelFor(figures, threads, [&](int i) {
    Sample& sample = samples[static_cast<std::size_t>(i)];
    const SynthFigure figure = DrawnNull(seed, i, free_style, sample);
    const auto problem =
        MakeProblem(figure.marks, free_style ? FreeStyle().middle : ProportionsFrom(average));
    if (!problem) return;
    BodyModel base{&*problem, {}, {}, {}};
    if (free_style) base.columns = FreeStyle().columns;
    const Scan scan = ScanExplanations(base, TestableGroups(*problem, free_style), true);
    sample.marks = static_cast<int>(std::count(problem->marked.begin(), problem->marked.end(), true));
    sample.partial = Partial(*problem);
    sample.view = static_cast<int>(ViewOf(scan.null.front().x));
    sample.cost = scan.null.front().cost;
    for (const Explanation& e : scan.groups) {
      sample.evidence.push_back(e.tested ? e.evidence : std::nan(""));
      if (e.tested) sample.cost = std::min(sample.cost, e.best.cost);
    }
    for (const Explanation& e : scan.misplaced)
      if (e.tested) sample.mark = std::max(sample.mark, e.evidence);
    if (const int n = ++done; n % 200 == 0) std::fprintf(stderr, "%d of %d\n", n, figures);
  });
  std::erase_if(samples, [](const Sample& s) { return s.marks == 0; });
  return Learn(samples);
}

}  // namespace

int main(int argc, char** argv) {
  int figures = 5000, threads = 0;
  unsigned seed = 1000000;
  std::string out, mode;
  CLI::App app("Calibrates the body reading on synthetic figures with nothing wrong");
  app.add_option("--mode", mode, "declared: the canon is known; free: none is declared")
      ->required()
      ->check(CLI::IsMember({"declared", "free"}));
  app.add_option("--figures", figures, "how many figures");
  app.add_option("--seed", seed, "first seed");
  app.add_option("--threads", threads, "0: all cores");
  app.add_option("--out", out, "file to write")->required();
  CLI11_PARSE(app, argc, argv);
  const Behaviour behaviour = Calibrate(figures, seed, mode == "free", threads);
  const std::string made_by = fmt::format("tools/calibrate_body --mode {} --figures {} --seed {}", mode, figures, seed);
  if (auto written = WriteFileAtomic(out, BehaviourToJson(behaviour, made_by)); !written) {
    fmt::print(stderr, "{}\n", written.error().Text());
    return 1;
  }
  return 0;
}
