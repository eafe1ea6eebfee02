#pragma once
// Inside of the head reading: least squares over one or several drawings of a head.
#include <optional>
#include <span>
#include <vector>

#include <Eigen/Core>

#include "reading/head/head_model.h"

namespace armslength::head_internal {

// One drawing's head marks in the solver's units: centred, divided by unit_px, y up.
struct HeadView {
  Vec2 centre_px = Vec2::Zero();
  double unit_px = 1.0;
  double roll0 = 0.0;  // page direction of the head axis at the start; marking errors split along it
  std::array<bool, kHeadPointCount> marked{};
  std::array<Vec2, kHeadPointCount> at{};
  std::array<double, kHeadPointCount> noise{};  // factor on sigma
  double sigma = 0.005;                         // units
  std::optional<double> log_scale_prior;        // from the body, sd 0.15
  std::array<double, kPoseCount> start{};
  double eye_roll = 0.0;  // page direction by the eye line: the second start
  int count = 0;

  [[nodiscard]] Vec2 ToPx(const Vec2& p) const { return {centre_px.x() + unit_px * p.x(), centre_px.y() - unit_px * p.y()}; }
  [[nodiscard]] HeadPose Pose(const double* pose) const;
};

// A fault whose amount is solved for together with pose and shape.
struct FreedFault {
  int view = 0;
  HeadFaultKind kind{};
};

// Parameters: a pose per view, one shape, one amount per freed fault. Residuals: marks / sigma,
// then shape and pose priors.
class HeadProblem {
 public:
  HeadProblem(std::vector<HeadView> views, const HeadProfile& prior, std::vector<FreedFault> freed = {});

  using Scalar = double;
  enum { NUM_RESIDUALS = Eigen::Dynamic, NUM_PARAMETERS = Eigen::Dynamic };
  [[nodiscard]] int NumResiduals() const { return rows_; }
  [[nodiscard]] int NumParameters() const { return columns_; }
  bool operator()(const double* x, double* residuals, double* jacobian) const;

  // Rows that are marks of this view: [first, first + count).
  [[nodiscard]] int FirstRow(int view) const { return first_row_[static_cast<std::size_t>(view)]; }
  [[nodiscard]] int ShapeColumn() const { return kPoseCount * static_cast<int>(views_.size()); }
  [[nodiscard]] const std::vector<HeadView>& Views() const { return views_; }
  std::vector<HeadView>& Views() { return views_; }
  // d residuals / d fault amount for every kind, one view; zero rows elsewhere.
  [[nodiscard]] Eigen::Matrix<double, Eigen::Dynamic, kHeadFaultCount> FaultDirections(const double* x, int view) const;
  [[nodiscard]] Eigen::VectorXd Start() const;

 private:
  void MarkRows(const HeadView& v, const double* theta, const double* amounts, double* r) const;
  void Theta(const double* x, int view, double* theta) const;
  void Amounts(const double* x, int view, double* amounts) const;

  std::vector<HeadView> views_;
  HeadProfile::Vector mean_;
  HeadProfile::Matrix whiten_;  // whiten_ * (shape - mean_) has unit covariance
  bool diagonal_ = true;
  std::vector<FreedFault> freed_;
  std::vector<int> first_row_;
  int mark_rows_ = 0, rows_ = 0, columns_ = 0;
};

struct HeadSolution {
  Eigen::VectorXd x;
  double cost = 0.0;  // half the squared residuals
  Eigen::VectorXd residuals;
  Eigen::MatrixXd jacobian;
  Eigen::MatrixXd covariance;  // inverse of J'J
};

// Levenberg-Marquardt from the given start; fills residuals, Jacobian and covariance at the end.
[[nodiscard]] HeadSolution SolveHead(const HeadProblem& problem, const Eigen::VectorXd& start, int max_iterations = 30);
// The same with x and cost alone, for starts of which one is taken; Finish fills in the rest.
[[nodiscard]] HeadSolution GlanceAtHead(const HeadProblem& problem, const Eigen::VectorXd& start, int max_iterations);
void Finish(const HeadProblem& problem, HeadSolution& solution);

struct FaultTest {
  double evidence = 0.0, amount = 0.0, sd = 0.0;
  bool tested = false;
};
// One-step likelihood-ratio test of each fault at the solution, everything else free.
[[nodiscard]] std::array<FaultTest, kHeadFaultCount> TestFaults(const HeadProblem& problem, const HeadSolution& at, int view);

// The same for single shape values: departures from what the prior says of them, in their unit.
// One that is sure (beyond `sure` in evidence) is taken out of the others, strongest first, so
// that low eyes do not pass for a long nose.
[[nodiscard]] std::vector<FaultTest> TestDepartures(const HeadProblem& problem, const HeadSolution& at, int view,
                                                    std::span<const HeadParam> params, double sure);

}  // namespace armslength::head_internal
