#include "reading/body/body_cholesky.h"

#include <algorithm>
#include <bit>
#include <cmath>

namespace armslength::body {
namespace {

using P = PointId;

// Joints from the outermost inwards, left and right beside each other (equal lengths tie
// them), then the trunk; the camera and the columns, which meet everything, come last.
constexpr std::array<P, kBodyPointCount> kOrder = {
    P::kHandTipL, P::kHandTipR, P::kWristL, P::kWristR, P::kElbowL,    P::kElbowR,    P::kToeL,    P::kToeR, P::kAnkleL, P::kAnkleR,
    P::kKneeL,    P::kKneeR,    P::kCrown,  P::kChin,   P::kShoulderL, P::kShoulderR, P::kNeckPit, P::kHipL, P::kHipR};

// First unknown of each panel; camera and columns keep their places.
constexpr int FirstParam(int panel) {
  return panel < kBodyPointCount ? 3 * static_cast<int>(kOrder[static_cast<std::size_t>(panel)]) : 3 * panel;
}

constexpr std::array<int, kMaxParams> kPlaceOf = [] {
  std::array<int, kMaxParams> place{};
  for (int panel = 0; 3 * panel < kMaxParams; ++panel)
    for (int axis = 0; axis < 3; ++axis)
      if (const int param = FirstParam(panel) + axis; param < kMaxParams) place[static_cast<std::size_t>(param)] = 3 * panel + axis;
  return place;
}();

static_assert(kJointParams == 3 * kBodyPointCount && kLogScale == kJointParams && kFixedParams == kJointParams + 3);

// Calls body(panel) for every bit set in `filled`.
template <typename Body>
void ForEach(std::uint32_t filled, const Body& body) {
  for (; filled != 0; filled &= filled - 1) body(std::countr_zero(filled));
}

}  // namespace

void BodyCholesky::Gather(const NormalSink& normal, double damping, double ridge) {
  const NormalSink::Matrix& hessian = normal.hessian;
  params_ = static_cast<int>(hessian.rows());
  panels_ = (params_ + 2) / 3;
  const int whole = params_ / 3;  // panels with three unknowns; a last one may have fewer
  std::array<std::uint32_t, kPanels> met{};
  for (int p = 0; p < panels_; ++p) {
    std::uint32_t& panels = met[static_cast<std::size_t>(p)];
    ForEach(normal.meets[static_cast<std::size_t>(FirstParam(p) / 3)],
            [&](int other) { panels |= 1u << kPlaceOf[static_cast<std::size_t>(3 * other)] / 3; });
    filled_[static_cast<std::size_t>(p)] = panels & (~1u << p);
  }
  // What a panel meets, its next one meets too once it is eliminated.
  for (int p = 0; p < panels_; ++p)
    if (const std::uint32_t filled = filled_[static_cast<std::size_t>(p)]; filled != 0) {
      const int next = std::countr_zero(filled);
      filled_[static_cast<std::size_t>(next)] |= filled & ~(1u << next);
    }
  for (int p = 0; p < panels_; ++p) {
    const int column = FirstParam(p);
    const std::uint32_t own = met[static_cast<std::size_t>(p)];
    ForEach(filled_[static_cast<std::size_t>(p)] | 1u << p, [&](int q) {
      Block& to = At(q, p);
      const int row = FirstParam(q);
      to.setZero();
      if ((own >> q & 1u) == 0) return;
      if (q < whole) {
        to.topRows<3>() = hessian.block<3, 3>(row, column);
      } else {
        const int rows = params_ - row, columns = std::min(3, params_ - column);
        to.topLeftCorner(rows, columns) = hessian.block(row, column, rows, columns);
      }
    });
    Block& diagonal = At(p, p);
    for (int i = 0; i < 3; ++i) diagonal(i, i) = column + i < params_ ? diagonal(i, i) * (1.0 + damping) + ridge : 1.0;
  }
}

bool BodyCholesky::FactorPanel(int panel) {
  const std::uint32_t from_here = ~0u << panel;
  for (int k = 0; k < panel; ++k) {
    const std::uint32_t filled = filled_[static_cast<std::size_t>(k)];
    if ((filled >> panel & 1u) == 0) continue;
    const Eigen::Matrix3d across = At(panel, k).topRows<3>().transpose();
    ForEach(filled & from_here, [&](int q) { At(q, panel).noalias() -= At(q, k).lazyProduct(across); });
  }
  Block& d = At(panel, panel);
  if (!(d(0, 0) > 0.0)) return false;
  const double l00 = std::sqrt(d(0, 0)), l10 = d(1, 0) / l00, l20 = d(2, 0) / l00;
  const double d1 = d(1, 1) - l10 * l10;
  if (!(d1 > 0.0)) return false;
  const double l11 = std::sqrt(d1), l21 = (d(2, 1) - l20 * l10) / l11;
  const double d2 = d(2, 2) - l20 * l20 - l21 * l21;
  if (!(d2 > 0.0)) return false;
  const double l22 = std::sqrt(d2);
  d << l00, 0.0, 0.0, l10, l11, 0.0, l20, l21, l22, 0.0, 0.0, 0.0;
  const double i0 = 1.0 / l00, i1 = 1.0 / l11, i2 = 1.0 / l22;
  ForEach(filled_[static_cast<std::size_t>(panel)], [&](int q) {
    Block& x = At(q, panel);
    x.col(0) *= i0;
    x.col(1) = (x.col(1) - l10 * x.col(0)) * i1;
    x.col(2) = (x.col(2) - l20 * x.col(0) - l21 * x.col(1)) * i2;
  });
  return true;
}

bool BodyCholesky::Factor(const NormalSink& normal, double damping, double ridge) {
  Gather(normal, damping, ridge);
  for (int panel = 0; panel < panels_; ++panel)
    if (!FactorPanel(panel)) return false;
  return true;
}

void BodyCholesky::Forward(Stacked& v, int from) const {
  for (int p = from; p < panels_; ++p) {
    const Block& d = At(p, p);
    Eigen::Vector4d& x = v[static_cast<std::size_t>(p)];
    x[0] /= d(0, 0);
    x[1] = (x[1] - d(1, 0) * x[0]) / d(1, 1);
    x[2] = (x[2] - d(2, 0) * x[0] - d(2, 1) * x[1]) / d(2, 2);
    const Vec3 known = x.head<3>();
    ForEach(filled_[static_cast<std::size_t>(p)],
            [&](int q) { v[static_cast<std::size_t>(q)].noalias() -= At(q, p).lazyProduct(known); });
  }
}

void BodyCholesky::Backward(Stacked& v) const {
  for (int p = panels_ - 1; p >= 0; --p) {
    const Block& d = At(p, p);
    Eigen::Vector4d& x = v[static_cast<std::size_t>(p)];
    ForEach(filled_[static_cast<std::size_t>(p)], [&](int q) {
      x.head<3>().noalias() -= At(q, p).transpose().lazyProduct(v[static_cast<std::size_t>(q)]);
    });
    x[2] /= d(2, 2);
    x[1] = (x[1] - d(2, 1) * x[2]) / d(1, 1);
    x[0] = (x[0] - d(1, 0) * x[1] - d(2, 0) * x[2]) / d(0, 0);
  }
}

NormalSink::Vector BodyCholesky::Solve(const NormalSink::Vector& right) const {
  Stacked v;
  v.fill(Eigen::Vector4d::Zero());
  for (int i = 0; i < params_; ++i) {
    const int place = kPlaceOf[static_cast<std::size_t>(i)];
    v[static_cast<std::size_t>(place / 3)][place % 3] = right[i];
  }
  Forward(v, 0);
  Backward(v);
  NormalSink::Vector out(params_);
  for (int i = 0; i < params_; ++i) {
    const int place = kPlaceOf[static_cast<std::size_t>(i)];
    out[i] = v[static_cast<std::size_t>(place / 3)][place % 3];
  }
  return out;
}

double BodyCholesky::LogDet() const {
  double sum = 0.0;
  for (int p = 0; p < panels_; ++p)
    for (int i = 0; i < 3; ++i) sum += std::log(At(p, p)(i, i));
  return 2.0 * sum;
}

double BodyCholesky::Variance(int param) const {
  const int place = kPlaceOf[static_cast<std::size_t>(param)];
  Stacked v;
  v.fill(Eigen::Vector4d::Zero());
  v[static_cast<std::size_t>(place / 3)][place % 3] = 1.0;
  Forward(v, place / 3);
  double sum = 0.0;
  for (int p = place / 3; p < panels_; ++p) sum += v[static_cast<std::size_t>(p)].squaredNorm();
  return sum;
}

NormalSink::Matrix BodyCholesky::Inverse() const {
  NormalSink::Matrix inverse(params_, params_);
  for (int i = 0; i < params_; ++i) inverse.col(i) = Solve(NormalSink::Vector::Unit(params_, i));
  return inverse;
}

}  // namespace armslength::body
