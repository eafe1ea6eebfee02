// Derivatives against differences, and minima against Ceres' own solver.
#include <ceres/ceres.h>
#include <gtest/gtest.h>

#include "reading/body/body_start.h"
#include "reading/body/body_scan.h"
#include "reading/body/canon_family.h"
#include "synth/figure.h"
#include "synth/random.h"

namespace armslength::body {
namespace {

struct Case {
  BodyProblem problem;
  BodyModel model;
};

// A figure's problem with marks missing, flags, and columns, by seed.
std::unique_ptr<Case> MakeCase(unsigned seed) {
  SynthFigureOptions options;
  options.seed = seed;
  options.depth_flags = seed % 3 != 0;
  options.head_box = seed % 2 == 0;
  FigureMarks marks = MakeFigure(options).marks;
  if (seed % 4 == 1) marks.points.erase(PointId::kWristL);
  if (seed % 4 == 2)
    for (PointId id : {PointId::kCrown, PointId::kNeckPit, PointId::kToeR}) marks.points.erase(id);
  auto one = std::make_unique<Case>();
  const bool free_style = seed % 5 == 0;
  auto problem = MakeProblem(marks, free_style ? FreeStyle().middle : ProportionsFrom(*FindCanon("adult-average")));
  EXPECT_TRUE(problem) << problem.error();
  one->problem = *problem;
  one->model.problem = &one->problem;
  if (free_style) one->model.columns = FreeStyle().columns;
  one->model.columns.push_back(ColumnOf(BoneGroups()[seed % BoneGroups().size()]));
  if (seed % 7 == 0) one->model.misplaced = PointId::kKneeL;
  return one;
}

DenseSink Dense(const BodyModel& model, const Params& x) {
  DenseSink sink;
  sink.params = model.ParamCount();
  Emit(model, x, sink, /*idle_hinges=*/true);
  return sink;
}

TEST(BodyResiduals, DerivativesMatchCentralDifferences) {
  for (unsigned seed = 1; seed <= 12; ++seed) {
    SCOPED_TRACE(seed);
    const auto one = MakeCase(seed);
    Params columns{};
    Params x = Lift(one->model, 1.0, columns).front().x;
    SynthRandom random(seed);
    for (int i = 0; i < one->model.ParamCount(); ++i) x[static_cast<std::size_t>(i)] += 0.03 * random.Normal();
    x[kInverseDistance] = 0.2;
    const DenseSink at = Dense(one->model, x);
    for (int p = 0; p < one->model.ParamCount(); ++p) {
      constexpr double kStep = 1e-6;
      Params up = x, down = x;
      up[static_cast<std::size_t>(p)] += kStep;
      down[static_cast<std::size_t>(p)] -= kStep;
      const DenseSink high = Dense(one->model, up), low = Dense(one->model, down);
      ASSERT_EQ(high.rows.size(), at.rows.size());
      ASSERT_EQ(low.rows.size(), at.rows.size());
      for (std::size_t r = 0; r < at.rows.size(); ++r) {
        const double difference = (high.rows[r].residual - low.rows[r].residual) / (2 * kStep);
        ASSERT_NEAR(at.rows[r].gradient[static_cast<std::size_t>(p)], difference, 2e-4 * std::max(1.0, std::abs(difference)))
            << "row " << r << " parameter " << p;
      }
    }
  }
}

TEST(BodyResiduals, AllSinksAgreeOnTheCost) {
  const auto one = MakeCase(8);
  const Params x = Lift(one->model, 0.9, Params{}).front().x;
  NormalSink normal;
  normal.Reset(one->model.ParamCount());
  Emit(one->model, x, normal);
  double dense = 0.0;
  for (const auto& row : Dense(one->model, x).rows)
    dense += row.robust_c2 > 0 ? row.robust_c2 * std::log1p(row.residual * row.residual / row.robust_c2)
                               : row.residual * row.residual;
  EXPECT_NEAR(normal.cost, Cost(one->model, x), 1e-9 * normal.cost);
  EXPECT_NEAR(normal.cost, dense, 1e-9 * normal.cost);
}

// The same residuals as one Ceres cost function; robust rows become the root of their cost.
class Whole final : public ceres::CostFunction {
 public:
  explicit Whole(const BodyModel& model) : model_(model) {
    mutable_parameter_block_sizes()->push_back(model.ParamCount());
    set_num_residuals(static_cast<int>(Dense(model, Lift(model, 1.0, Params{}).front().x).rows.size()));
  }
  bool Evaluate(double const* const* parameters, double* residuals, double** jacobians) const override {
    Params x{};
    std::copy_n(parameters[0], model_.ParamCount(), x.begin());
    const DenseSink dense = Dense(model_, x);
    for (std::size_t r = 0; r < dense.rows.size(); ++r) {
      const auto& row = dense.rows[r];
      double value = row.residual, slope = 1.0;
      if (row.robust_c2 > 0.0 && std::abs(value) > 1e-9) {
        const double cost = row.robust_c2 * std::log1p(value * value / row.robust_c2);
        slope = std::abs(value) / (1.0 + value * value / row.robust_c2) / std::sqrt(cost);
        value = std::copysign(std::sqrt(cost), value);
      }
      residuals[r] = value;
      if (jacobians != nullptr && jacobians[0] != nullptr)
        for (int p = 0; p < model_.ParamCount(); ++p)
          jacobians[0][r * static_cast<std::size_t>(model_.ParamCount()) + static_cast<std::size_t>(p)] =
              slope * row.gradient[static_cast<std::size_t>(p)];
    }
    return true;
  }

 private:
  const BodyModel& model_;
};

TEST(BodySolver, FindsNoWorseMinimaThanCeres) {
  for (unsigned seed = 21; seed <= 28; ++seed) {
    SCOPED_TRACE(seed);
    const auto one = MakeCase(seed);
    std::vector<Basin> basins = SolveFromLifts(one->model, 1);
    ASSERT_FALSE(basins.empty());
    Basin ours = basins.front();
    Solve(one->model, ours, {.max_iterations = 200, .tolerance = 1e-10});

    Params x = ours.x;
    ceres::Problem problem;
    problem.AddResidualBlock(new Whole(one->model), nullptr, x.data());
    ceres::Solver::Options options;
    options.linear_solver_type = ceres::DENSE_QR;
    options.max_num_iterations = 200;
    options.function_tolerance = 1e-12;
    options.logging_type = ceres::SILENT;
    ceres::Solver::Summary summary;
    ceres::Solve(options, &problem, &summary);
    EXPECT_TRUE(summary.IsSolutionUsable());
    // Ceres may creep along the kink of a one-sided limit a little further.
    EXPECT_LE(ours.cost, 2.0 * summary.final_cost + 0.02);
  }
}

}  // namespace
}  // namespace armslength::body
