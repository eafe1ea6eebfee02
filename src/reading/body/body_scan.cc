#include "reading/body/body_scan.h"

#include <algorithm>
#include <functional>
#include <numeric>

#include "support/job.h"

namespace armslength::body {
namespace {

constexpr SolveOptions kQuick{.max_iterations = 25, .tolerance = 2e-3};
// First look at an explanation: enough to see whether it is worth the rest.
constexpr SolveOptions kGlance{.max_iterations = 12, .tolerance = 3e-2, .patience = 1};
constexpr double kWorth = 6.0;  // explanations whose cost is this far above the best are left as they are

BodyModel WithColumn(const BodyModel& base, const BoneGroup& group) {
  BodyModel model = base;
  model.columns.push_back(ColumnOf(group));
  return model;
}

// Twice the log evidence of a basin up to a constant shared by all models of a figure.
double TwiceLogEvidence(const Basin& basin, double column_sd) {
  return -basin.cost - basin.log_det - 2.0 * std::log(column_sd);
}

class Scanner {
 public:
  Scanner(const BodyModel& base, const std::vector<bool>& testable, bool marks, int threads, const Basin* warm)
      : base_(base), testable_(testable), marks_(marks), threads_(threads), warm_(warm), last_(base.ParamCount()) {}

  Scan Run() {
    scan_.groups.resize(BoneGroups().size());
    scan_.null = SolveFromLifts(base_, 4, threads_, warm_);
    for (Basin& basin : scan_.null) Curvature(base_, basin);
    ForEachGroup([&](std::size_t g) { FirstLook(g); });
    SecondLook();
    ForEachGroup([&](std::size_t g) { Weigh(g); });
    if (marks_) ParallelFor(kBodyPointCount, threads_, [&](int j) { Mark(j); });
    return std::move(scan_);
  }

 private:
  void Try(const BodyModel& model, Basin start, Explanation& into, const SolveOptions& options = kGlance) {
    Solve(model, start, options);
    if (!into.tested || start.cost < into.best.cost) into.best = start;
    into.tested = true;
  }

  // Explanations are solved apart from each other, so threads do not change them.
  void ForEachGroup(const std::function<void(std::size_t)>& body) {
    ParallelFor(static_cast<int>(scan_.groups.size()), threads_, [&](int i) {
      if (testable_[static_cast<std::size_t>(i)]) body(static_cast<std::size_t>(i));
    });
  }

  void FirstLook(std::size_t g) {
    const BodyModel model = WithColumn(base_, BoneGroups()[g]);
    Explanation& e = scan_.groups[g];
    for (std::size_t i = 0; i < std::min<std::size_t>(2, scan_.null.size()); ++i) Try(model, scan_.null[i], e);
    // Fresh lifts with the bones scaled: the null may have twisted itself out of reach.
    if (!BoneGroups()[g].contest || BoneGroups()[g].asymmetric) return;
    for (const auto& [quantile, factor] : {std::pair{0.75, 1.15}, std::pair{0.9, 0.87}}) {
      Params columns = scan_.null.front().x;
      columns[static_cast<std::size_t>(last_)] = std::log(factor);
      const std::vector<double> samples = ScaleSamples(model, columns);
      const double scale = samples[static_cast<std::size_t>(quantile * static_cast<double>(samples.size() - 1))];
      Try(model, Lift(model, 1.03 * scale, columns).front(), e);
    }
  }

  // The null from the best alternatives; then every group from the better null and from
  // the best alternative's basin.
  void SecondLook() {
    std::vector<std::size_t> order;
    for (std::size_t g = 0; g < scan_.groups.size(); ++g)
      if (scan_.groups[g].tested) order.push_back(g);
    if (order.empty()) return;
    std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
      return scan_.groups[a].best.cost < scan_.groups[b].best.cost;
    });
    bool better = false;
    for (std::size_t i = 0; i < std::min<std::size_t>(3, order.size()); ++i) {
      Basin basin = scan_.groups[order[i]].best;
      basin.x[static_cast<std::size_t>(last_)] = 0.0;
      Solve(base_, basin, kQuick);
      if (basin.cost < scan_.null.front().cost - 0.02) {
        Curvature(base_, basin);
        scan_.null.insert(scan_.null.begin(), basin);
        better = true;
      }
    }
    const Basin leader = scan_.groups[order.front()].best;
    ParallelFor(static_cast<int>(order.size()), threads_, [&](int i) {
      const std::size_t g = order[static_cast<std::size_t>(i)];
      const BodyModel model = WithColumn(base_, BoneGroups()[g]);
      if (better) Try(model, scan_.null.front(), scan_.groups[g]);
      if (g != order.front()) {
        Basin start = leader;
        start.x[static_cast<std::size_t>(last_)] = 0.0;
        Try(model, start, scan_.groups[g]);
      }
      if (scan_.groups[g].best.cost < leader.cost + kWorth) Solve(model, scan_.groups[g].best, kQuick);
    });
  }

  void Weigh(std::size_t g) {
    Explanation& e = scan_.groups[g];
    const BodyModel model = WithColumn(base_, BoneGroups()[g]);
    e.sd = CurvatureSd(model, e.best, last_);
    e.value = e.best.x[static_cast<std::size_t>(last_)];
    e.evidence = TwiceLogEvidence(e.best, model.columns.back().sd) - TwiceLogEvidence(scan_.null.front(), 1.0);
  }

  void Mark(int j) {
    const auto n = static_cast<std::size_t>(j);
    if (!base_.problem->marked[n]) return;
    BodyModel model = base_;
    model.misplaced = static_cast<PointId>(j);
    Explanation& e = scan_.misplaced[n];
    for (std::size_t i = 0; i < std::min<std::size_t>(2, scan_.null.size()); ++i) Try(model, scan_.null[i], e);
    Curvature(model, e.best);
    const double sigma = base_.problem->sigma[n];
    e.evidence = TwiceLogEvidence(e.best, 1.0) - TwiceLogEvidence(scan_.null.front(), 1.0) -
                 4.0 * std::log(std::hypot(sigma, kMisplacedSd) / sigma);
  }

  const BodyModel& base_;
  const std::vector<bool>& testable_;
  bool marks_;
  int threads_;
  const Basin* warm_;
  int last_;  // index of the extra column's parameter
  Scan scan_;
};

}  // namespace

Scan ScanExplanations(const BodyModel& base, const std::vector<bool>& testable, bool marks, int threads,
                      const Basin* warm) {
  return Scanner(base, testable, marks, threads, warm).Run();
}

Profile ProfileFactor(const BodyModel& base, const BoneGroup& group, const Explanation& explanation,
                      std::span<const Basin> null, double rise) {
  BodyModel model = WithColumn(base, group);
  const int column = static_cast<int>(model.columns.size()) - 1;
  const std::size_t param = kFixedParams + static_cast<std::size_t>(column);
  const double least = std::min(explanation.best.cost, null.empty() ? 1e300 : null.front().cost);
  const auto rise_at = [&](double value) {
    double cost = 1e300;
    model.fixed = {column, value};
    for (int start = 0; start < 2; ++start) {
      if (start == 1 && null.empty()) break;
      Basin basin = start == 0 ? explanation.best : null.front();
      basin.x[param] = value;
      Solve(model, basin, kQuick);
      cost = std::min(cost, basin.cost);
    }
    return std::max(0.0, cost - least);
  };
  const auto edge = [&](double direction) {
    // The root of the rise grows about evenly with the distance: secant steps on it.
    const double target = std::sqrt(rise);
    double step = std::max(0.01, explanation.sd * target), inside = 0.0, inside_root = 0.0;
    double result = step;
    for (int i = 0; i < 4; ++i) {
      const double root = std::sqrt(rise_at(explanation.value + direction * step));
      result = step;
      if (std::abs(root - target) < 0.05 * target) break;
      const double slope = (root - inside_root) / (step - inside);
      if (root < target) {
        inside = step;
        inside_root = root;
      }
      const double next = slope > 1e-3 ? inside + (target - inside_root) / slope : 2.0 * step;
      step = std::clamp(next, inside + 0.2 * (step - inside), 2.5 * step);
      if (step > 1.2) {
        result = 1.2;
        break;
      }
      result = step;
    }
    return result;
  };
  return {explanation.value - edge(-1.0), explanation.value + edge(1.0)};
}

}  // namespace armslength::body
