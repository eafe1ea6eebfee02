#pragma once
#include <array>
#include <cmath>

#include <Eigen/Core>
#include <Eigen/Geometry>

#include "reading/body/body_problem.h"

// The residuals of the body reading with their derivatives written out. One function
// serves the normal equations, the plain cost and the dense Jacobian (tests): a sink takes
// the rows. Every residual is whitened; the cost is the sum of their squares, where a
// robust row counts c^2 ln(1 + r^2 / c^2).
namespace armslength::body {

// One row: a residual and its gradient, kept sparse.
class Row {
 public:
  void Start() {
    for (int i = 0; i < count_; ++i) seen_[touched_[i]] = false;
    count_ = 0;
  }
  void Add(int param, double g) {
    const auto p = static_cast<std::size_t>(param);
    if (!seen_[p]) {
      seen_[p] = true;
      gradient_[p] = 0.0;
      touched_[static_cast<std::size_t>(count_++)] = static_cast<std::uint8_t>(param);
    }
    gradient_[p] += g;
  }
  void AddPoint(int joint, const Vec3& g) {
    Add(3 * joint, g.x());
    Add(3 * joint + 1, g.y());
    Add(3 * joint + 2, g.z());
  }
  [[nodiscard]] int Count() const { return count_; }
  [[nodiscard]] int Param(int i) const { return touched_[static_cast<std::size_t>(i)]; }
  [[nodiscard]] double Gradient(int i) const { return gradient_[touched_[static_cast<std::size_t>(i)]]; }

 private:
  int count_ = 0;
  std::array<std::uint8_t, kMaxParams> touched_{};
  std::array<bool, kMaxParams> seen_{};
  std::array<double, kMaxParams> gradient_{};
};

// A vector between joints: a weighted sum of up to three of them.
struct Span {
  Vec3 v, unit;
  double norm = 0.0;
  int count = 0;
  std::array<int, 3> joint{};
  std::array<double, 3> weight{};
};

enum class RowKind : std::uint8_t { kMark, kPrior, kFlag, kHeadBox, kColumn };

// Sinks ----------------------------------------------------------------------

struct CostSink {
  static constexpr bool kGradients = false;
  double cost = 0.0;
  void Take(double r, const Row&, RowKind) { cost += r * r; }
  void TakeRobust(double r, double c2, const Row&, RowKind) { cost += c2 * std::log1p(r * r / c2); }
};

// Gauss-Newton normal equations; both triangles of `hessian` are filled.
struct NormalSink {
  static constexpr bool kGradients = true;
  using Matrix = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, 0, kMaxParams, kMaxParams>;
  using Vector = Eigen::Matrix<double, Eigen::Dynamic, 1, 0, kMaxParams, 1>;
  double cost = 0.0;
  Matrix hessian;
  Vector gradient;
  // Bit q of entry p: unknowns 3p..3p+2 and 3q..3q+2 share a row.
  std::array<std::uint32_t, (kMaxParams + 2) / 3> meets{};

  void Reset(int params) {
    cost = 0.0;
    meets.fill(0);
    hessian.setZero(params, params);
    gradient.setZero(params);
  }
  void Take(double r, const Row& row, RowKind) {
    cost += r * r;
    Accumulate(r, 1.0, row);
  }
  void TakeRobust(double r, double c2, const Row& row, RowKind) {
    cost += c2 * std::log1p(r * r / c2);
    Accumulate(r, 1.0 / (1.0 + r * r / c2), row);
  }

 private:
  void Accumulate(double r, double w, const Row& row) {
    const int n = row.Count();
    std::uint32_t all = 0;
    for (int a = 0; a < n; ++a) all |= 1u << (row.Param(a) / 3);
    for (int a = 0; a < n; ++a) {
      const int i = row.Param(a);
      meets[static_cast<std::size_t>(i / 3)] |= all;
      const double g = w * row.Gradient(a);
      gradient[i] += g * r;
      double* column = hessian.data() + static_cast<std::ptrdiff_t>(i) * hessian.rows();
      for (int b = 0; b < n; ++b) column[row.Param(b)] += g * row.Gradient(b);
    }
  }
};

// Residuals and dense rows, for checks against other solvers.
struct DenseSink {
  static constexpr bool kGradients = true;
  struct Entry {
    double residual = 0.0;
    double robust_c2 = 0.0;  // 0: a plain square
    RowKind kind = RowKind::kPrior;
    std::vector<double> gradient;
  };
  int params = 0;
  std::vector<Entry> rows;
  void Take(double r, const Row& row, RowKind kind) { TakeRobust(r, 0.0, row, kind); }
  void TakeRobust(double r, double c2, const Row& row, RowKind kind) {
    Entry entry{r, c2, kind, std::vector<double>(static_cast<std::size_t>(params), 0.0)};
    for (int i = 0; i < row.Count(); ++i) entry.gradient[static_cast<std::size_t>(row.Param(i))] = row.Gradient(i);
    rows.push_back(std::move(entry));
  }
};

// Emits all residuals of `model` at `x`. Hinges that do not bind emit nothing, unless
// `idle_hinges`: then they emit a zero row, so that the number of rows stays the same.
void Emit(const BodyModel& model, const Params& x, CostSink& sink);
void Emit(const BodyModel& model, const Params& x, NormalSink& sink);
void Emit(const BodyModel& model, const Params& x, DenseSink& sink, bool idle_hinges);

// Cost of one limb's joint limits and depth flags alone, for choosing signs of depth.
// `joints` as in Params; limb 0 left arm, 1 right arm, 2 left leg, 3 right leg.
[[nodiscard]] double LimbCost(const BodyModel& model, const Params& x, int limb);

}  // namespace armslength::body
