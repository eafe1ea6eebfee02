#include "reading/head/head_solve.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include <Eigen/Cholesky>
#include <ceres/tiny_solver.h>

namespace armslength::head_internal {
namespace {
constexpr double kYawSd = 60.0 * M_PI / 180, kPitchSd = 25.0 * M_PI / 180, kScaleFromBodySd = 0.15;
// A head drawn from 6 to 25 head heights away.
constexpr double kInverseDistance = 0.08, kInverseDistanceSd = 0.04;
constexpr int kPoseRows = 4;
constexpr double kStep = 1e-7, kFaultStep = 1e-5;

// Cauchy's loss as a residual: its square grows with the logarithm only.
double Soften(double r) {
  return std::copysign(kSoftMark * std::sqrt(std::log1p(r * r / (kSoftMark * kSoftMark))), r);
}
}  // namespace

HeadPose HeadView::Pose(const double* pose) const {
  HeadPose p;
  p.scale_px = unit_px * std::exp(pose[0]);
  p.origin_px = ToPx({pose[1], pose[2]});
  p.yaw_rad = pose[3];
  p.pitch_rad = pose[4];
  p.roll_rad = pose[5];
  p.inverse_distance = pose[6];
  return p;
}

HeadProblem::HeadProblem(std::vector<HeadView> views, const HeadProfile& prior, std::vector<FreedFault> freed)
    : views_(std::move(views)), mean_(prior.mean), freed_(std::move(freed)) {
  diagonal_ = (prior.covariance - HeadProfile::Matrix(prior.covariance.diagonal().asDiagonal())).isZero(0.0);
  whiten_.setZero();
  if (diagonal_) whiten_.diagonal() = prior.covariance.diagonal().cwiseSqrt().cwiseInverse();
  else whiten_ = prior.covariance.llt().matrixL().solve(HeadProfile::Matrix::Identity());
  for (const HeadView& v : views_) {
    first_row_.push_back(mark_rows_);
    mark_rows_ += 2 * v.count;
  }
  const int n = static_cast<int>(views_.size());
  rows_ = mark_rows_ + kHeadParamCount + kPoseRows * n + static_cast<int>(freed_.size());
  columns_ = kPoseCount * n + kHeadParamCount + static_cast<int>(freed_.size());
}

void HeadProblem::Theta(const double* x, int view, double* theta) const {
  std::copy_n(x + kPoseCount * view, kPoseCount, theta);
  std::copy_n(x + ShapeColumn(), kHeadParamCount, theta + kPoseCount);
}

void HeadProblem::Amounts(const double* x, int view, double* amounts) const {
  std::fill_n(amounts, kHeadFaultCount, 0.0);
  for (std::size_t i = 0; i < freed_.size(); ++i)
    if (freed_[i].view == view) amounts[static_cast<int>(freed_[i].kind)] = x[ShapeColumn() + kHeadParamCount + static_cast<int>(i)];
}

Eigen::VectorXd HeadProblem::Start() const {
  Eigen::VectorXd x = Eigen::VectorXd::Zero(columns_);
  for (std::size_t i = 0; i < views_.size(); ++i)
    for (int k = 0; k < kPoseCount; ++k) x[static_cast<int>(i) * kPoseCount + k] = views_[i].start[static_cast<std::size_t>(k)];
  x.segment<kHeadParamCount>(ShapeColumn()) = mean_;
  return x;
}

// Marks minus model of one view, whitened, into consecutive rows.
void HeadProblem::MarkRows(const HeadView& v, const double* theta, const double* amounts, double* r) const {
  double p[2 * kHeadPointCount];
  ProjectHead(theta, amounts, p);
  const double c = std::cos(v.roll0), s = std::sin(v.roll0);
  for (int i = 0; i < kHeadPointCount; ++i) {
    const auto si = static_cast<std::size_t>(i);
    if (!v.marked[si]) continue;
    const double w = 1.0 / (v.sigma * v.noise[si]);
    const bool jaw = i == iJawL || i == iJawR;
    const double wu = i == iContourL || i == iContourR ? w / kContourSlack : jaw ? w / kJawSlack : w;
    const double dx = p[2 * i] - v.at[si].x(), dy = p[2 * i + 1] - v.at[si].y();
    const double across = w * (c * dx + s * dy), up = wu * (-s * dx + c * dy);
    const bool soft = jaw || i == iCrown || i == iHeadTop || i == iHairline;
    *r++ = soft ? Soften(across) : across;
    *r++ = jaw ? Soften(up) : up;
  }
}

bool HeadProblem::operator()(const double* x, double* residuals, double* jacobian) const {
  Eigen::Map<Eigen::VectorXd> r(residuals, rows_);
  Eigen::Map<Eigen::MatrixXd> jac(jacobian, jacobian ? rows_ : 0, jacobian ? columns_ : 0);
  if (jacobian) jac.setZero();
  const int shape = ShapeColumn();
  for (std::size_t vi = 0; vi < views_.size(); ++vi) {
    const HeadView& v = views_[vi];
    const int view = static_cast<int>(vi), first = first_row_[vi], count = 2 * v.count;
    double theta[kThetaCount], amounts[kHeadFaultCount], moved[2 * kHeadPointCount];
    Theta(x, view, theta);
    Amounts(x, view, amounts);
    bool any_freed = false;
    for (const FreedFault& f : freed_) any_freed = any_freed || f.view == view;
    const double* fault = any_freed ? amounts : nullptr;
    MarkRows(v, theta, fault, residuals + first);
    if (!jacobian) continue;
    // Forward differences: the projection is smooth and cheap, and residuals are of order one.
    const auto differ = [&](double& value, int column) {
      const double kept = value;
      value += kStep;
      MarkRows(v, theta, fault, moved);
      value = kept;
      for (int k = 0; k < count; ++k) jac(first + k, column) = (moved[k] - r[first + k]) / kStep;
    };
    for (int k = 0; k < kPoseCount; ++k) differ(theta[k], view * kPoseCount + k);
    for (int k = 0; k < kHeadParamCount; ++k) differ(theta[kPoseCount + k], shape + k);
    for (std::size_t f = 0; f < freed_.size(); ++f)
      if (freed_[f].view == view) differ(amounts[static_cast<int>(freed_[f].kind)], shape + kHeadParamCount + static_cast<int>(f));
  }
  const Eigen::Map<const HeadProfile::Vector> shape_now(x + shape);
  int row = mark_rows_;
  if (diagonal_) r.segment<kHeadParamCount>(row) = whiten_.diagonal().cwiseProduct(shape_now - mean_);
  else r.segment<kHeadParamCount>(row) = whiten_ * (shape_now - mean_);
  if (jacobian) jac.block<kHeadParamCount, kHeadParamCount>(row, shape) = whiten_;
  row += kHeadParamCount;
  for (std::size_t vi = 0; vi < views_.size(); ++vi) {
    const int col = static_cast<int>(vi) * kPoseCount;
    r[row] = x[col + 3] / kYawSd;
    r[row + 1] = x[col + 4] / kPitchSd;
    r[row + 2] = views_[vi].log_scale_prior ? (x[col] - *views_[vi].log_scale_prior) / kScaleFromBodySd : 0.0;
    r[row + 3] = (x[col + 6] - kInverseDistance) / kInverseDistanceSd;
    if (jacobian) {
      jac(row + 3, col + 6) = 1.0 / kInverseDistanceSd;
      jac(row, col + 3) = 1.0 / kYawSd;
      jac(row + 1, col + 4) = 1.0 / kPitchSd;
      if (views_[vi].log_scale_prior) jac(row + 2, col) = 1.0 / kScaleFromBodySd;
    }
    row += kPoseRows;
  }
  for (std::size_t f = 0; f < freed_.size(); ++f, ++row) {  // keeps an amount the marks do not see at rest
    r[row] = x[shape + kHeadParamCount + static_cast<int>(f)];
    if (jacobian) jac(row, shape + kHeadParamCount + static_cast<int>(f)) = 1.0;
  }
  return r.allFinite();
}

Eigen::Matrix<double, Eigen::Dynamic, kHeadFaultCount> HeadProblem::FaultDirections(const double* x, int view) const {
  double theta[kThetaCount], amounts[kHeadFaultCount], up[2 * kHeadPointCount], down[2 * kHeadPointCount];
  Theta(x, view, theta);
  Amounts(x, view, amounts);
  Eigen::Matrix<double, Eigen::Dynamic, kHeadFaultCount> d(rows_, kHeadFaultCount);
  d.setZero();
  const HeadView& v = views_[static_cast<std::size_t>(view)];
  for (int kind = 0; kind < kHeadFaultCount; ++kind) {
    const double kept = amounts[kind];
    amounts[kind] = kept + kFaultStep;
    MarkRows(v, theta, amounts, up);
    amounts[kind] = kept - kFaultStep;
    MarkRows(v, theta, amounts, down);
    amounts[kind] = kept;
    for (int k = 0; k < 2 * v.count; ++k)
      d(first_row_[static_cast<std::size_t>(view)] + k, kind) = (up[k] - down[k]) / (2 * kFaultStep);
  }
  return d;
}

HeadSolution GlanceAtHead(const HeadProblem& problem, const Eigen::VectorXd& start, int max_iterations) {
  ceres::TinySolver<HeadProblem> solver;
  solver.options.max_num_iterations = max_iterations;
  solver.options.gradient_tolerance = 1e-7;
  solver.options.parameter_tolerance = 1e-7;
  solver.options.function_tolerance = 1e-6;
  HeadSolution s;
  s.x = start;
  solver.Solve(problem, &s.x);
  s.residuals.resize(problem.NumResiduals());
  const bool sound = problem(s.x.data(), s.residuals.data(), nullptr) && s.x.allFinite();
  s.cost = sound ? 0.5 * s.residuals.squaredNorm() : std::numeric_limits<double>::infinity();
  return s;
}

void Finish(const HeadProblem& problem, HeadSolution& s) {
  if (!std::isfinite(s.cost)) return;
  s.residuals.resize(problem.NumResiduals());
  s.jacobian.resize(problem.NumResiduals(), problem.NumParameters());
  if (!problem(s.x.data(), s.residuals.data(), s.jacobian.data())) {
    s.cost = std::numeric_limits<double>::infinity();
    return;
  }
  Eigen::MatrixXd a = s.jacobian.transpose() * s.jacobian;
  a.diagonal().array() += 1e-9;
  s.covariance = a.ldlt().solve(Eigen::MatrixXd::Identity(a.rows(), a.cols()));
}

HeadSolution SolveHead(const HeadProblem& problem, const Eigen::VectorXd& start, int max_iterations) {
  HeadSolution s = GlanceAtHead(problem, start, max_iterations);
  Finish(problem, s);
  return s;
}

std::array<FaultTest, kHeadFaultCount> TestFaults(const HeadProblem& problem, const HeadSolution& at, int view) {
  const auto d = problem.FaultDirections(at.x.data(), view);
  const Eigen::MatrixXd jd = at.jacobian.transpose() * d;
  const Eigen::VectorXd jr = at.jacobian.transpose() * at.residuals;
  std::array<FaultTest, kHeadFaultCount> tests;
  for (int k = 0; k < kHeadFaultCount; ++k) {
    const Eigen::VectorXd cj = at.covariance * jd.col(k);
    const double raw = d.col(k).squaredNorm();
    const double free = raw - jd.col(k).dot(cj);  // what no change of pose and shape can imitate
    const double along = d.col(k).dot(at.residuals) - cj.dot(jr);
    FaultTest& t = tests[static_cast<std::size_t>(k)];
    t.tested = raw > 0.0 && free > 1e-6 * raw && free > 1e-3;
    if (!t.tested) continue;
    t.evidence = along * along / free;
    t.amount = -along / free;
    t.sd = 1.0 / std::sqrt(free);
  }
  return tests;
}

std::vector<FaultTest> TestDepartures(const HeadProblem& problem, const HeadSolution& at, int view,
                                      std::span<const HeadParam> params, double sure) {
  // The marks move as a value moves, the prior stays where it is.
  const int first = problem.FirstRow(view), count = 2 * problem.Views()[static_cast<std::size_t>(view)].count;
  const auto rows = at.jacobian.middleRows(first, count);
  const auto n = static_cast<Eigen::Index>(params.size());
  Eigen::MatrixXd d(count, n);
  for (Eigen::Index k = 0; k < n; ++k) d.col(k) = rows.col(problem.ShapeColumn() + static_cast<int>(params[static_cast<std::size_t>(k)]));
  const Eigen::MatrixXd jd = rows.transpose() * d;
  const Eigen::MatrixXd free = d.transpose() * d - jd.transpose() * at.covariance * jd;
  const Eigen::VectorXd along = d.transpose() * at.residuals.segment(first, count) -
                                jd.transpose() * (at.covariance * (at.jacobian.transpose() * at.residuals));
  std::vector<FaultTest> tests(params.size());
  std::vector<Eigen::Index> taken;
  for (;;) {
    Eigen::Index best = -1;
    for (Eigen::Index k = 0; k < n; ++k) {
      FaultTest& t = tests[static_cast<std::size_t>(k)];
      if (std::find(taken.begin(), taken.end(), k) != taken.end()) continue;
      double f = free(k, k), a = along[k];
      if (!taken.empty()) {  // what the taken ones leave
        const auto m = static_cast<Eigen::Index>(taken.size());
        Eigen::MatrixXd s(m, m);
        Eigen::VectorXd c(m), g(m);
        for (Eigen::Index i = 0; i < m; ++i) {
          for (Eigen::Index j = 0; j < m; ++j) s(i, j) = free(taken[static_cast<std::size_t>(i)], taken[static_cast<std::size_t>(j)]);
          c[i] = free(taken[static_cast<std::size_t>(i)], k);
          g[i] = along[taken[static_cast<std::size_t>(i)]];
        }
        const Eigen::VectorXd w = s.ldlt().solve(c);
        f -= c.dot(w);
        a -= g.dot(w);
      }
      t.tested = d.col(k).squaredNorm() > 0.0 && f > 1e-6 * d.col(k).squaredNorm() && f > 1e-3;
      if (!t.tested) continue;
      t.evidence = a * a / f;
      t.amount = -a / f;
      t.sd = 1.0 / std::sqrt(f);
      if (t.evidence > sure && (best < 0 || t.evidence > tests[static_cast<std::size_t>(best)].evidence)) best = k;
    }
    if (best < 0) return tests;
    taken.push_back(best);
  }
}

}  // namespace armslength::head_internal
