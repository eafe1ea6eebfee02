// The body's own factor against Eigen's dense Cholesky.
#include "reading/body/body_cholesky.h"

#include <cmath>

#include <Eigen/Cholesky>
#include <gtest/gtest.h>

#include "reading/body/body_start.h"
#include "reading/body/body_scan.h"
#include "synth/figure.h"

namespace armslength::body {
namespace {

struct Case {
  BodyProblem problem;
  BodyModel model;
};

// `drop`: every drop-th mark is left out, so that other residuals stand in for it.
Case MakeCase(unsigned seed, int columns, int drop) {
  SynthFigureOptions options;
  options.seed = seed;
  FigureMarks marks = MakeFigure(options).marks;
  if (drop > 0)
    for (int j = 6; j < kBodyPointCount; j += drop) marks.points.erase(static_cast<PointId>(j));
  Case one{*MakeProblem(marks, ProportionsFrom(*FindCanon("adult-average"))), {}};
  one.model.problem = &one.problem;
  for (int c = 0; c < columns; ++c) one.model.columns.push_back(ColumnOf(BoneGroups()[static_cast<std::size_t>(c)]));
  return one;
}

TEST(BodyCholesky, AgreesWithADenseFactor) {
  for (unsigned seed = 1; seed <= 6; ++seed)
    for (const int columns : {0, 1, 3, 4, 8})
      for (const int drop : {0, 3}) {
        const Case one = MakeCase(seed, columns, drop);
        BodyModel model = one.model;
        model.problem = &one.problem;
        NormalSink normal;
        normal.Reset(model.ParamCount());
        Params x = Lift(model, 0.9, Params{}).front().x;
        for (std::size_t i = 0; i < x.size(); ++i) x[i] += 0.02 * std::sin(static_cast<double>(7 * i + seed));
        Emit(model, x, normal);
        constexpr double kDamping = 1e-2, kRidge = 1e-6;
        Eigen::MatrixXd dense = normal.hessian;
        ASSERT_LT((dense - dense.transpose()).cwiseAbs().maxCoeff(), 1e-9 * dense.cwiseAbs().maxCoeff());
        dense.diagonal() *= 1.0 + kDamping;
        dense.diagonal().array() += kRidge;
        const Eigen::LLT<Eigen::MatrixXd> llt(dense);
        BodyCholesky factor;
        ASSERT_TRUE(factor.Factor(normal, kDamping, kRidge));
        const Eigen::VectorXd expected = llt.solve(normal.gradient);
        EXPECT_LT((factor.Solve(normal.gradient) - expected).norm(), 1e-8 * expected.norm());
        double log_det = 0.0;
        for (Eigen::Index i = 0; i < dense.rows(); ++i) log_det += 2.0 * std::log(llt.matrixLLT()(i, i));
        EXPECT_NEAR(factor.LogDet(), log_det, 1e-8 * std::abs(log_det));
        const Eigen::MatrixXd inverse = llt.solve(Eigen::MatrixXd::Identity(dense.rows(), dense.rows()));
        EXPECT_LT((factor.Inverse() - inverse).norm(), 1e-8 * inverse.norm());
        for (int i = 0; i < model.ParamCount(); ++i) EXPECT_NEAR(factor.Variance(i), inverse(i, i), 1e-8 * inverse(i, i)) << i;
      }
}

TEST(BodyCholesky, RefusesWhatIsNotPositiveDefinite) {
  const Case one = MakeCase(3, 2, 0);
  BodyModel model = one.model;
  model.problem = &one.problem;
  NormalSink normal;
  normal.Reset(model.ParamCount());
  Emit(model, Lift(model, 0.9, Params{}).front().x, normal);
  for (const int param : {0, 20, kLogScale, model.ParamCount() - 1}) {
    NormalSink broken = normal;
    broken.hessian(param, param) = -1.0;
    BodyCholesky factor;
    EXPECT_FALSE(factor.Factor(broken, 0.0, 1e-6)) << param;
  }
}

}  // namespace
}  // namespace armslength::body
