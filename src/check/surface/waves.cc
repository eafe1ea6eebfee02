#include "check/surface/waves.h"

#include <algorithm>
#include <cmath>
#include <complex>

#include <Eigen/Dense>

#include "geometry/polygon.h"

namespace armslength::surface_check {
namespace {

using Complex = std::complex<double>;

constexpr int kColumns = 37;          // on a part of 60 px half-width or less; up to twice as many on wider ones
constexpr double kWidest = 0.90;      // nearer the edge, lines and shadow of the contour rule
constexpr double kRowsPerWidth = 18;  // rows per half-width
constexpr double kWindow = 2.2;       // length of a window, half-widths
constexpr int kFamilies = 2;          // of lines, per window
constexpr int kOvertones = 3;
constexpr double kFinest = 0.22;      // shortest spacing read, half-widths, with kColumns
constexpr double kPeriods = 1.4;      // of a wave in its window at least, one way or the other: fewer are a shadow
constexpr double kAlongPart = 1.2, kOneRepeat = 0.50;  // radians off across; share of the texture in one wave
constexpr double kCrossing = 0.9, kCrossed = 0.15, kBothRepeat = 0.45;  // radians; shares of the texture
constexpr int kBins = 32, kCrossBins = 16;  // of a repeat, one way; each way where lines cross
constexpr double kNoise = 0.03;       // share of the texture that no reading explains (noise, folds): bounds the ratio
constexpr double kTexture = 0.30;     // share that one reading must explain for a window to count

std::array<double, 3> Parabola(const std::vector<double>& t, const std::vector<double>& v, bool straight) {
  Eigen::MatrixXd a(static_cast<Eigen::Index>(t.size()), straight ? 2 : 3);
  Eigen::VectorXd b(static_cast<Eigen::Index>(t.size()));
  for (std::size_t i = 0; i < t.size(); ++i) {
    const auto r = static_cast<Eigen::Index>(i);
    a(r, 0) = 1.0;
    a(r, 1) = t[i];
    if (!straight) a(r, 2) = t[i] * t[i];
    b[r] = v[i];
  }
  const Eigen::VectorXd x = a.colPivHouseholderQr().solve(b);
  return {x[0], x[1], straight ? 0.0 : x[2]};
}

// A window's texture on a grid: rows along the part, columns across.
struct Grid {
  int rows = 0;
  double row_px = 1.0;
  std::vector<double> column;          // place of each column: across px (flat), angle times half-width (wrapped)
  std::vector<double> u;               // -1 .. 1 from edge to edge
  std::vector<double> bulge;           // of a ring there, over its bow: half-width times cosine; 0 when flat
  std::vector<double> value, weight;   // rows x columns
  double total_weight = 0.0;
  // Of the slow surface's five slopes, the texture and one, by weight.
  using Moments = Eigen::Matrix<double, 8, 1>;
  std::vector<Moments> cell;
  Eigen::Matrix<double, 6, 6> second_moment = Eigen::Matrix<double, 6, 6>::Zero();
  [[nodiscard]] std::size_t At(int r, int c) const { return static_cast<std::size_t>(r) * column.size() + static_cast<std::size_t>(c); }
  [[nodiscard]] double Energy() const {
    double sum = 0.0;
    for (std::size_t i = 0; i < value.size(); ++i) sum += weight[i] * value[i] * value[i];
    return sum;
  }
};

double Bilinear(const cv::Mat& m, double x, double y) {
  x = std::clamp(x, 0.0, m.cols - 1.001);
  y = std::clamp(y, 0.0, m.rows - 1.001);
  const int ix = static_cast<int>(x), iy = static_cast<int>(y);
  const double u = x - ix, v = y - iy;
  const auto at = [&](int yy, int xx) { return static_cast<double>(m.at<float>(yy, xx)); };
  return (1 - v) * ((1 - u) * at(iy, ix) + u * at(iy, ix + 1)) + v * ((1 - u) * at(iy + 1, ix) + u * at(iy + 1, ix + 1));
}

// A slow surface over the window. What does not change along the part must stay: it may be stripes along it, told
// by their squeeze towards the edges. The edge of a shadow stays too and disturbs both readings alike.
void LevelSlowly(const Grid& g, std::vector<double>& channel) {
  using Vector = Eigen::Matrix<double, 6, 1>;
  Eigen::Matrix<double, 6, 6> normal = 1e-9 * Eigen::Matrix<double, 6, 6>::Identity();
  Vector right = Vector::Zero();
  const auto basis = [&](int r, int c) {
    const double t = 2.0 * r / (g.rows - 1) - 1.0, u = g.u[static_cast<std::size_t>(c)];
    return Vector(1.0, t, u, u * u, t * u, t * t);
  };
  for (int r = 0; r < g.rows; ++r)
    for (int c = 0; c < static_cast<int>(g.column.size()); ++c) {
      const double w = g.weight[g.At(r, c)];
      if (w <= 0) continue;
      const Vector b = basis(r, c);
      normal += w * b * b.transpose();
      right += w * channel[g.At(r, c)] * b;
    }
  const Vector k = normal.ldlt().solve(right);
  for (int r = 0; r < g.rows; ++r)
    for (int c = 0; c < static_cast<int>(g.column.size()); ++c) channel[g.At(r, c)] -= k.dot(basis(r, c));
}

// Takes away slow change in all three channels, then keeps the direction of colour in which the rest varies most.
void Texture(Grid& g, std::array<std::vector<double>, 3>& channels) {
  Eigen::Matrix3d covariance = Eigen::Matrix3d::Zero();
  for (auto& channel : channels) LevelSlowly(g, channel);
  for (std::size_t i = 0; i < g.weight.size(); ++i) {
    const Eigen::Vector3d v(channels[0][i], channels[1][i], channels[2][i]);
    covariance += g.weight[i] * v * v.transpose();
  }
  const Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d> axes(covariance);
  const Eigen::Vector3d main = axes.eigenvectors().col(2);
  g.value.resize(g.weight.size());
  g.total_weight = 0.0;
  double square = 0.0;
  for (std::size_t i = 0; i < g.weight.size(); ++i) {
    g.value[i] = main.dot(Eigen::Vector3d(channels[0][i], channels[1][i], channels[2][i]));
    g.total_weight += g.weight[i];
    square += g.weight[i] * g.value[i] * g.value[i];
  }
  const double limit = 2.2 * std::sqrt(square / std::max(g.total_weight, 1e-9));
  for (double& v : g.value) v = std::clamp(v, -limit, limit);
  g.cell.assign(g.weight.size(), Grid::Moments::Zero());
  for (int r = 0; r < g.rows; ++r)
    for (int c = 0; c < static_cast<int>(g.column.size()); ++c) {
      const double w = g.weight[g.At(r, c)], t = 2.0 * r / (g.rows - 1) - 1.0, u = g.u[static_cast<std::size_t>(c)];
      if (w <= 0.0) continue;
      Grid::Moments& x = g.cell[g.At(r, c)];
      x << t, u, u * u, t * u, t * t, g.value[g.At(r, c)], 1.0, 0.0;
      g.second_moment += w * x.head<6>() * x.head<6>().transpose();
      x *= w;
    }
}

// Sums along every column for one frequency along the part.
void Columns(const Grid& g, double along, std::vector<Complex>& out) {
  const int columns = static_cast<int>(g.column.size());
  out.assign(g.column.size(), {});
  Complex turn = std::polar(1.0, along * g.row_px * 0.5 * (g.rows - 1));
  const Complex step = std::polar(1.0, -along * g.row_px);
  for (int r = 0; r < g.rows; ++r, turn *= step)
    for (int c = 0; c < columns; ++c) out[static_cast<std::size_t>(c)] += turn * (g.weight[g.At(r, c)] * g.value[g.At(r, c)]);
}

Complex Sum(const Grid& g, const std::vector<Complex>& columns, double along, double across, double bow) {
  Complex sum{};
  for (std::size_t c = 0; c < columns.size(); ++c)
    sum += columns[c] * std::polar(1.0, along * bow * g.bulge[c] - across * g.column[c]);
  return sum;
}

struct Peak {
  double along = 0.0, across = 0.0, power = -1.0;
  Complex sum{};
};

class Search {
 public:
  Search(const Grid& g, double half_width, double finest_px) {
    const double length = g.rows * g.row_px;
    most_ = 2 * M_PI / finest_px;
    least_along_ = kPeriods * 2 * M_PI / length;
    least_across_ = kPeriods * 2 * M_PI / (2 * kWidest * half_width);
    step_ = 0.3 * 2 * M_PI / length;
    for (double f = 0.0; f < most_; f += step_) along_.push_back(f);
    across_step_ = 0.3 * 2 * M_PI / (2.0 * half_width);
    rows_.resize(static_cast<Eigen::Index>(along_.size()), g.rows);
    for (Eigen::Index i = 0; i < rows_.rows(); ++i)
      for (int r = 0; r < g.rows; ++r)
        rows_(i, r) = std::polar(1.0F, static_cast<float>(-along_[static_cast<std::size_t>(i)] * g.row_px * (r - 0.5 * (g.rows - 1))));
  }

  // The grid's columns against the waves across; for Best.
  [[nodiscard]] Eigen::MatrixXcf Across(const Grid& g) const {
    const int n = Count();
    Eigen::MatrixXcf out(static_cast<Eigen::Index>(g.column.size()), 2 * n + 1);
    for (Eigen::Index c = 0; c < out.rows(); ++c)
      for (int k = -n; k <= n; ++k)
        out(c, k + n) = std::polar(1.0F, static_cast<float>(-k * across_step_ * g.column[static_cast<std::size_t>(c)]));
    return out;
  }

  [[nodiscard]] Peak Best(const Grid& g, const Eigen::MatrixXcf& across_waves, double bow) const {
    Peak best;
    std::vector<Complex> columns;
    const int n = Count();
    Eigen::MatrixXcf cells(g.rows, static_cast<Eigen::Index>(g.column.size()));
    for (int r = 0; r < g.rows; ++r)
      for (Eigen::Index c = 0; c < cells.cols(); ++c)
        cells(r, c) = static_cast<float>(g.weight[g.At(r, static_cast<int>(c))] * g.value[g.At(r, static_cast<int>(c))]);
    Eigen::MatrixXcf sums = rows_ * cells;
    if (bow != 0.0)
      for (Eigen::Index i = 0; i < sums.rows(); ++i)
        for (Eigen::Index c = 0; c < sums.cols(); ++c)
          sums(i, c) *= std::polar(1.0F, static_cast<float>(along_[static_cast<std::size_t>(i)] * bow * g.bulge[static_cast<std::size_t>(c)]));
    const Eigen::MatrixXcf spectrum = sums * across_waves;
    for (Eigen::Index i = 0; i < spectrum.rows(); ++i)
      for (Eigen::Index k = 0; k < spectrum.cols(); ++k) {
        const double power = std::norm(spectrum(i, k));
        if (power <= best.power) continue;
        const double along = along_[static_cast<std::size_t>(i)], across = (static_cast<int>(k) - n) * across_step_;
        if (std::hypot(along, across) > most_ || TooFew(along, across)) continue;
        best = {along, across, power, {}};
      }
    if (best.power < 0.0) return best;
    Columns(g, best.along, columns);
    best.sum = Sum(g, columns, best.along, best.across, bow);
    best.power = std::norm(best.sum);
    // Finer round the peak.
    for (double s = 0.5; s > 0.05; s *= 0.5) {
      const Peak at = best;
      for (int i = -1; i <= 1; ++i) {
        const double along = at.along + i * s * step_;
        Columns(g, along, columns);
        for (int k = -1; k <= 1; ++k) {
          const double across = at.across + k * s * across_step_;
          if (TooFew(along, across)) continue;
          const Complex sum = Sum(g, columns, along, across, bow);
          if (std::norm(sum) > best.power) best = {along, across, std::norm(sum), sum};
        }
      }
    }
    return best;
  }

  [[nodiscard]] double Step() const { return step_; }
  [[nodiscard]] double AcrossStep() const { return across_step_; }
  [[nodiscard]] bool TooFew(double along, double across) const {
    return along < least_along_ && std::abs(across) < least_across_;
  }

 private:
  [[nodiscard]] int Count() const { return static_cast<int>(most_ / across_step_); }

  double step_ = 0.0, across_step_ = 0.0, most_ = 0.0, least_along_ = 0.0, least_across_ = 0.0;
  std::vector<double> along_;
  Eigen::MatrixXcf rows_;  // waves along, one a row
};

struct Explained {
  double rest = 1.0;
  Wave strongest, second;
  // Lines of two directions that hold the texture together: checks.
  [[nodiscard]] bool Crossed() const {
    const double apart = std::abs(std::remainder(strongest.LineAngle() - second.LineAngle(), M_PI));
    return apart > kCrossing && second.share > kCrossed && strongest.share + second.share > kBothRepeat;
  }
};

// Takes one wave out of the grid.
void TakeOut(Grid& g, double along, double across, double bow) {
  std::vector<Complex> sums;
  Columns(g, along, sums);
  const Complex amplitude = 2.0 * Sum(g, sums, along, across, bow) / g.total_weight;
  const int columns = static_cast<int>(g.column.size());
  for (int c = 0; c < columns; ++c) {
    const auto n = static_cast<std::size_t>(c);
    const double shift = across * g.column[n] - along * bow * g.bulge[n];
    Complex turn = amplitude * std::polar(1.0, along * g.row_px * (-0.5 * (g.rows - 1)) + shift);
    const Complex step = std::polar(1.0, along * g.row_px);
    for (int r = 0; r < g.rows; ++r) {
      g.value[g.At(r, c)] -= turn.real();
      turn = {turn.real() * step.real() - turn.imag() * step.imag(), turn.real() * step.imag() + turn.imag() * step.real()};
    }
  }
}

// Takes out up to two families of lines, each with its overtones; what is left, of all. Overtones have no freedom of
// their own: free waves would fit one reading's lines with the other's.
Explained Explain(Grid g, const Search& search, double bow) {
  Explained out;
  const double all = g.Energy();
  if (all <= 0.0) return out;
  const Eigen::MatrixXcf across_waves = search.Across(g);
  double least = all;
  std::vector<Peak> peaks;
  for (int family = 0; family < kFamilies; ++family) {
    const Peak peak = search.Best(g, across_waves, bow);
    if (peak.power <= 0.0) break;
    const double before = g.Energy();
    TakeOut(g, peak.along, peak.across, bow);
    (family == 0 ? out.strongest : out.second) = {peak.along, peak.across, (before - g.Energy()) / all};
    for (int overtone = 2; overtone <= kOvertones; ++overtone) TakeOut(g, overtone * peak.along, overtone * peak.across, bow);
    // Where two families cross they make sums and differences.
    for (const Peak& other : peaks)
      for (const double sign : {-1.0, 1.0}) TakeOut(g, other.along + sign * peak.along, other.across + sign * peak.across, bow);
    peaks.push_back(peak);
    const double after = g.Energy();
    if (after > least) break;
    least = after;
  }
  out.rest = least / all;
  return out;
}

// Lines of one or two directions whose profile across may be anything that repeats.
struct Repeat {
  int families = 1;
  std::array<Wave, 2> wave{};
};

// What is left of the texture when every cell is told by its place in the repeat and a slow surface over the window, both
// fitted at once: a few repeats levelled first keep a slope that no repeat has.
double FoldedRest(const Grid& g, const Repeat& repeat, double bow) {
  const int bins = repeat.families == 1 ? kBins : kCrossBins;
  const int columns = static_cast<int>(g.column.size());
  std::array<Grid::Moments, kCrossBins * kCrossBins> sum;
  std::fill(sum.begin(), sum.begin() + (repeat.families == 1 ? bins : bins * bins), Grid::Moments::Zero());
  std::array<double, 2> row_turns{};
  std::vector<std::array<double, 2>> column_turns(g.column.size());
  for (std::size_t f = 0; f < 2; ++f) {
    const Wave& w = repeat.wave[f];
    row_turns[f] = w.along * g.row_px / (2 * M_PI);
    for (std::size_t c = 0; c < g.column.size(); ++c)
      column_turns[c][f] = (w.across * g.column[c] - w.along * bow * g.bulge[c]) / (2 * M_PI);
  }
  // Never negative: a cast is far cheaper than a floor.
  constexpr double kAhead = 4096.0;
  const auto bin = [&](double turns) {
    const double t = turns + kAhead;
    return std::min(bins - 1, static_cast<int>(bins * (t - static_cast<int>(t))));
  };
  for (int r = 0; r < g.rows; ++r) {
    const double at = r - 0.5 * (g.rows - 1);
    for (int c = 0; c < columns; ++c) {
      const Grid::Moments& cell = g.cell[g.At(r, c)];
      if (cell[6] <= 0.0) continue;
      const auto n = static_cast<std::size_t>(c);
      int b = bin(at * row_turns[0] + column_turns[n][0]);
      if (repeat.families == 2) b = b * bins + bin(at * row_turns[1] + column_turns[n][1]);
      sum[static_cast<std::size_t>(b)] += cell;
    }
  }
  Eigen::Matrix<double, 6, 6> within = g.second_moment;
  for (int b = 0; b < (repeat.families == 1 ? bins : bins * bins); ++b) {
    const Grid::Moments& s = sum[static_cast<std::size_t>(b)];
    if (s[6] > 0.0) within.noalias() -= s.head<6>() * (s.head<6>() / s[6]).transpose();
  }
  // Of the texture's variance within the bins, what the surface does not tell.
  const Eigen::Matrix<double, 5, 5> surface = within.topLeftCorner<5, 5>() + 1e-9 * Eigen::Matrix<double, 5, 5>::Identity();
  const Eigen::Matrix<double, 5, 1> with = within.topRightCorner<5, 1>();
  const double all = g.second_moment(5, 5), rest = within(5, 5) - with.dot(surface.ldlt().solve(with));
  return all > 0.0 ? std::clamp(rest / all, 0.0, 1.0) : 1.0;
}

// Finer about a start; lines that leave less.
double Settle(const Grid& g, const Search& search, double bow, Repeat& repeat, double widest = 0.8) {
  double least = FoldedRest(g, repeat, bow);
  for (double step = widest; step > 0.04; step *= 0.5)
    for (int f = 0; f < repeat.families; ++f)
      for (const bool along : {true, false})
        for (const double sign : {-1.0, 1.0}) {
          Repeat tried = repeat;
          Wave& w = tried.wave[static_cast<std::size_t>(f)];
          (along ? w.along : w.across) += sign * step * (along ? search.Step() : search.AcrossStep());
          if (search.TooFew(std::abs(w.along), w.across)) continue;
          const double rest = FoldedRest(g, tried, bow);
          if (rest >= least) continue;
          least = rest;
          repeat = tried;
        }
  return least;
}

struct Folded {
  Repeat flat, form;
  double flat_rest = 1.0, form_rest = 1.0;
};

// Both readings from both readings' lines, so that neither loses by a poorer start.
Folded Fold(const Grid& flat, const Grid& wrapped, const Search& search, const Explained& plane, const Explained& form, double bow) {
  const int families = (plane.rest < form.rest ? plane : form).Crossed() ? 2 : 1;
  Folded best;
  for (const Explained* start : {&plane, &form}) {
    if (families == 2 && !start->Crossed()) continue;
    for (const bool round : {false, true}) {
      Repeat repeat{families, {start->strongest, start->second}};
      const double rest = Settle(round ? wrapped : flat, search, round ? bow : 0.0, repeat);
      double& least = round ? best.form_rest : best.flat_rest;
      if (rest > least) continue;
      least = rest;
      (round ? best.form : best.flat) = repeat;
    }
  }
  return best;
}

}  // namespace

double Wave::LineAngle() const {
  // Lines of equal phase: along * d_along + across * d_across = 0.
  return std::remainder(std::atan2(-across, along), M_PI);
}

std::optional<Tubular> TubularOf(std::span<const Vec2> outline, const Vec2& towards) {
  if (outline.size() < 4) return std::nullopt;
  Tubular part;
  part.centre = Centroid(outline);
  part.dir = towards.normalized();
  for (int round = 0; round < 2; ++round) {
    part.across = Vec2(-part.dir.y(), part.dir.x());
    part.low_px = 1e18;
    part.high_px = -1e18;
    for (const Vec2& p : outline) {
      part.low_px = std::min(part.low_px, (p - part.centre).dot(part.dir));
      part.high_px = std::max(part.high_px, (p - part.centre).dot(part.dir));
    }
    std::vector<double> t, left, right;
    for (int level = 0; level < 64; ++level) {
      const double at = part.low_px + (part.high_px - part.low_px) * (level + 0.5) / 64;
      double a = 1e18, b = -1e18;
      for (std::size_t i = 0, j = outline.size() - 1; i < outline.size(); j = i++) {
        const double ta = (outline[j] - part.centre).dot(part.dir) - at, tb = (outline[i] - part.centre).dot(part.dir) - at;
        if ((ta < 0) == (tb < 0)) continue;
        const double x = (outline[j] + (outline[i] - outline[j]) * (ta / (ta - tb)) - part.centre).dot(part.across);
        a = std::min(a, x);
        b = std::max(b, x);
      }
      if (b <= a) continue;
      t.push_back(at);
      left.push_back(a);
      right.push_back(b);
    }
    if (t.size() < 16) return std::nullopt;
    // Slanting ends of the outline cut the width short there.
    std::vector<double> width;
    for (std::size_t i = 0; i < t.size(); ++i) width.push_back(right[i] - left[i]);
    std::vector<double> sorted = width;
    std::sort(sorted.begin(), sorted.end());
    const double usual = sorted[sorted.size() * 6 / 10];
    std::vector<double> tt, ll, rr;
    for (std::size_t i = 0; i < t.size(); ++i)
      if (width[i] > 0.75 * usual && i > t.size() / 20 && i + t.size() / 20 < t.size()) {
        tt.push_back(t[i]);
        ll.push_back(left[i]);
        rr.push_back(right[i]);
      }
    if (tt.size() < 8) return std::nullopt;
    part.left = Parabola(tt, ll, false);
    part.right = Parabola(tt, rr, false);
    part.half_width_px = 0.5 * (part.Right(0.0) - part.Left(0.0));
    if (part.half_width_px < 8.0) return std::nullopt;
    if (round > 0 || part.high_px - part.low_px < 1.3 * 2 * part.half_width_px) break;
    const auto a = Parabola(tt, ll, true), b = Parabola(tt, rr, true);
    const double turn = std::atan(0.5 * (a[1] + b[1]));
    if (std::abs(turn) > 0.35) break;
    part.dir = (part.dir + std::tan(turn) * part.across).normalized();
  }
  return part;
}

std::optional<WaveReading> ReadWaves(const ImageRgba8& image, std::span<const Vec2> outline, const Tubular& part,
                                     double bow_low, double bow_high) {
  const double half = part.half_width_px, finer = std::clamp(half / 60.0, 1.0, 1.9);
  const int grid_columns = 2 * static_cast<int>(0.5 * kColumns * finer) + 1;
  const auto patch = CutPatch(image, outline, std::max(1.0, half / (36.0 * finer)));
  if (!patch) return std::nullopt;
  const double length = part.high_px - part.low_px, window = std::min(kWindow * half, 0.96 * length);
  if (window < 0.5 * half) return std::nullopt;
  const int count = std::clamp(1 + static_cast<int>(std::floor((length - window) / (0.7 * window) + 0.5)), 1, 6);
  const std::array<const cv::Mat*, 3> planes{&patch->light, &patch->ratio_a, &patch->ratio_b};
  constexpr std::array<double, 3> kScale{0.8, 1.0, 0.8};

  const auto cut = [&](double from, bool flat) {
    Grid g;
    g.row_px = half / (kRowsPerWidth * finer);
    g.rows = std::max(12, static_cast<int>(window / g.row_px));
    const double middle = from + 0.5 * window;
    const double centre = 0.5 * (part.Left(middle) + part.Right(middle)), own = 0.5 * (part.Right(middle) - part.Left(middle));
    std::array<std::vector<double>, 3> channels;
    for (int c = 0; c < grid_columns; ++c) {
      // Even steps of angle on the form, of px on the picture.
      const double share = 2.0 * c / (grid_columns - 1) - 1.0, angle = share * std::asin(kWidest);
      g.column.push_back(flat ? own * kWidest * share : own * angle);
      g.u.push_back(flat ? share * kWidest : std::sin(angle));
      g.bulge.push_back(flat ? 0.0 : own * std::cos(angle));
    }
    g.weight.assign(static_cast<std::size_t>(g.rows) * g.column.size(), 0.0);
    for (auto& channel : channels) channel.assign(g.weight.size(), 0.0);
    for (int r = 0; r < g.rows; ++r) {
      const double t = middle + (r - 0.5 * (g.rows - 1)) * g.row_px;
      const double left = part.Left(t), right = part.Right(t);
      if (right - left < 0.6 * own) continue;
      const double hann = std::sin(M_PI * (r + 0.5) / g.rows);
      for (int c = 0; c < grid_columns; ++c) {
        const auto n = static_cast<std::size_t>(c);
        double u = flat ? 0.0 : std::sin(g.column[n] / own);
        const double x = flat ? centre + g.column[n] : 0.5 * (left + right) + u * 0.5 * (right - left);
        if (flat) u = (x - 0.5 * (left + right)) / (0.5 * (right - left));
        if (std::abs(u) > kWidest) continue;
        const Vec2 q = patch->FromPicture(part.centre + part.dir * t + part.across * x);
        const int ix = static_cast<int>(std::lround(q.x())), iy = static_cast<int>(std::lround(q.y()));
        if (ix < 0 || iy < 0 || ix >= patch->inside.cols || iy >= patch->inside.rows || !patch->inside.at<std::uint8_t>(iy, ix)) continue;
        // The same picture area counts the same in both grids.
        g.weight[g.At(r, c)] = hann * (flat ? 1.0 : std::sqrt(1.0 - u * u));
        for (std::size_t k = 0; k < 3; ++k) channels[k][g.At(r, c)] = kScale[k] * Bilinear(*planes[k], q.x(), q.y());
      }
    }
    Texture(g, channels);
    return g;
  };

  struct Piece {
    Grid flat, wrapped;
    Explained plane;
  };
  std::vector<Piece> pieces;
  const Search search(cut(part.low_px + 0.5 * (length - window), true), half, kFinest * half / finer);
  for (int i = 0; i < count; ++i) {
    const double from = count == 1 ? part.low_px + 0.5 * (length - window) : part.low_px + (length - window) * i / (count - 1);
    Piece p{cut(from, true), cut(from, false), {}};
    // Less than a hundredth of lightness or colour is no pattern.
    if (p.flat.total_weight <= 0 || std::sqrt(p.flat.Energy() / p.flat.total_weight) < 0.02) continue;
    p.plane = Explain(p.flat, search, 0.0);
    pieces.push_back(std::move(p));
  }
  if (pieces.empty()) return std::nullopt;

  // One bow for all windows: the part has one tilt.
  WaveReading best;
  std::vector<std::size_t> best_pieces;
  double least = 1e18;
  const int steps = std::clamp(static_cast<int>(std::ceil((bow_high - bow_low) / 0.08)), 1, 9);
  for (int i = 0; i <= steps; ++i) {
    const double bow = bow_low + (bow_high - bow_low) * i / steps;
    WaveReading r;
    r.bow = bow;
    double wrapped = 0.0;
    std::vector<std::size_t> used;
    for (const Piece& p : pieces) {
      const Explained form = Explain(p.wrapped, search, bow);
      if (std::min(form.rest, p.plane.rest) > 1.0 - kTexture) continue;
      // Lines along the part must be one clear repeat: the edge of a shadow is a little of many.
      // Crossed by others they are checks.
      const Explained& clearer = p.plane.rest < form.rest ? p.plane : form;
      if (std::abs(clearer.strongest.LineAngle()) > kAlongPart && clearer.strongest.share < kOneRepeat && !clearer.Crossed()) continue;
      ++r.windows;
      used.push_back(static_cast<std::size_t>(&p - pieces.data()));
      wrapped += std::log(form.rest + kNoise);
    }
    if (r.windows == 0) continue;
    const double n = r.windows;
    // Windows that one bow fails to explain must not make it the best.
    const double cost = wrapped / n - 0.02 * n;
    if (cost < least) {
      least = cost;
      best = std::move(r);
      best_pieces = std::move(used);
    }
  }
  if (best.windows == 0) return std::nullopt;
  std::vector<Folded> folded;
  for (const std::size_t n : best_pieces) {
    const Piece& p = pieces[n];
    folded.push_back(Fold(p.flat, p.wrapped, search, p.plane, Explain(p.wrapped, search, best.bow), best.bow));
  }
  // The bow that the whole repeat fits best, in steps from the lines' own.
  const auto left = [](const std::vector<Folded>& of) {
    double sum = 0.0;
    for (const Folded& f : of) sum += std::log(f.form_rest + kNoise);
    return sum;
  };
  for (double step = 0.08; step > 0.02; step *= 0.5)
    for (const double sign : {-1.0, 1.0})
      for (int k = 0; k < 3; ++k) {
        const double bow = best.bow + sign * step;
        if (bow < bow_low || bow > bow_high) break;
        std::vector<Folded> tried = folded;
        for (std::size_t i = 0; i < tried.size(); ++i)
          tried[i].form_rest = Settle(pieces[best_pieces[i]].wrapped, search, bow, tried[i].form, 0.2);
        if (left(tried) >= left(folded)) break;
        folded = std::move(tried);
        best.bow = bow;
      }
  double flat = 0.0, square = 0.0;
  best.flat.clear();
  best.wrapped.clear();
  for (const Folded& f : folded) {
    const double a = std::log(f.flat_rest + kNoise), b = std::log(f.form_rest + kNoise);
    flat += a;
    square += (a - b) * (a - b);
    best.flat.push_back(f.flat.wave[0]);
    best.wrapped.push_back(f.form.wave[0]);
  }
  if (folded.front().flat.families == 2) best.crossing = folded.front().flat.wave[1];
  const double n = best.windows, wrapped = left(folded);
  best.flat_rest = std::exp(flat / n);
  best.wrapped_rest = std::exp(wrapped / n);
  best.log_ratio = (flat - wrapped) / n;
  best.agreement = best.log_ratio / std::sqrt(std::max(square / n - best.log_ratio * best.log_ratio, 0.0) + 0.01);
  return best;
}

}  // namespace armslength::surface_check
