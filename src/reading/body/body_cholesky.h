#pragma once
#include <array>
#include <cstdint>

#include "reading/body/body_residuals.h"

namespace armslength::body {

// Cholesky factor of a body's damped normal matrix, H + damping * diag(H) + ridge * I.
// A body is a tree with a camera: hands and feet meet only their own limb, so that most
// of a dense factor would be zeros. Unknowns are taken three at a time (a joint, the
// camera, three columns), outer joints first; blocks of unknowns that share no residual are
// left out. Own code because a factor costs a tenth of a dense or a general sparse one's
// and the scan makes thousands; tests compare it with Eigen's. About 27 kB, no allocation.
class BodyCholesky {
 public:
  // False when the matrix is not positive definite.
  [[nodiscard]] bool Factor(const NormalSink& normal, double damping, double ridge);

  // REQUIRES: Factor returned true, for all below.
  [[nodiscard]] NormalSink::Vector Solve(const NormalSink::Vector& right) const;
  [[nodiscard]] double LogDet() const;
  // One diagonal entry of the inverse.
  [[nodiscard]] double Variance(int param) const;
  [[nodiscard]] NormalSink::Matrix Inverse() const;

 private:
  static constexpr int kPanels = (kMaxParams + 2) / 3;
  // Three unknowns by three; a fourth row of zeros lets the processor take rows in pairs.
  using Block = Eigen::Matrix<double, 4, 3>;
  using Stacked = std::array<Eigen::Vector4d, kPanels>;  // three unknowns and a zero each

  static constexpr std::size_t Index(int row, int column) { return static_cast<std::size_t>(row * (row + 1) / 2 + column); }
  Block& At(int row, int column) { return blocks_[Index(row, column)]; }
  [[nodiscard]] const Block& At(int row, int column) const { return blocks_[Index(row, column)]; }

  void Gather(const NormalSink& normal, double damping, double ridge);
  [[nodiscard]] bool FactorPanel(int panel);
  void Forward(Stacked& v, int from) const;
  void Backward(Stacked& v) const;

  int params_ = 0, panels_ = 0;
  std::array<std::uint32_t, kPanels> filled_{};  // bit p: block (p, this panel) below the diagonal is not zero
  std::array<Block, static_cast<std::size_t>(kPanels * (kPanels + 1) / 2)> blocks_;  // lower triangle
};

}  // namespace armslength::body
