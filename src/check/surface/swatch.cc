#include "check/surface/swatch.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <vector>

#include <Eigen/Eigenvalues>
#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>

#include "check/surface/families.h"
#include "check/surface/form.h"
#include "check/surface/patch.h"
#include "geometry/polygon.h"

namespace armslength {
namespace {

using namespace surface_check;

constexpr double kLongest = 2.0, kShortest = 0.18;  // repeats read, half-widths
constexpr double kSecond = 0.45;   // strength of a second family of lines against the first
constexpr double kApart = 20.0;    // degrees between families
constexpr double kFewest = 1.6;    // repeats under the outline
constexpr std::uint8_t kAlpha = 224;  // the drawing stays to be felt
constexpr double kDarkest = 0.35;    // contour lines over the print are not carried over

struct Texture {
  std::vector<Vec2> at;       // (along, across), px from the part's centre
  std::vector<double> value;  // zero mean
};

// Blurred over the inside only.
cv::Mat Smoothed(const cv::Mat& plane, const cv::Mat& inside, double sigma) {
  cv::Mat part, weight, sum;
  inside.convertTo(weight, CV_32F, 1.0 / 255);
  cv::multiply(plane, weight, part);
  cv::GaussianBlur(part, sum, cv::Size(0, 0), sigma);
  cv::GaussianBlur(weight, weight, cv::Size(0, 0), sigma);
  cv::divide(sum, cv::max(weight, 1e-3), sum);
  return sum;
}

// Lightness and colour less their slow change, along the direction of colour that varies most.
cv::Mat MainTexture(const Patch& patch, const cv::Mat& inside, double half_px) {
  std::array<cv::Mat, 3> planes{0.8 * patch.light, patch.ratio_a.clone(), 0.8 * patch.ratio_b};
  for (cv::Mat& plane : planes) plane -= Smoothed(plane, inside, 0.6 * half_px);
  Eigen::Matrix3d covariance = Eigen::Matrix3d::Zero();
  const auto at = [&](int y, int x) {
    return Eigen::Vector3d(planes[0].at<float>(y, x), planes[1].at<float>(y, x), planes[2].at<float>(y, x));
  };
  for (int y = 0; y < inside.rows; ++y)
    for (int x = 0; x < inside.cols; ++x)
      if (inside.at<std::uint8_t>(y, x)) covariance += at(y, x) * at(y, x).transpose();
  const Eigen::Vector3d main = Eigen::SelfAdjointEigenSolver<Eigen::Matrix3d>(covariance).eigenvectors().col(2);
  cv::Mat out = cv::Mat::zeros(inside.size(), CV_32F);
  for (int y = 0; y < inside.rows; ++y)
    for (int x = 0; x < inside.cols; ++x)
      if (inside.at<std::uint8_t>(y, x)) out.at<float>(y, x) = static_cast<float>(main.dot(at(y, x)));
  return out;
}

std::complex<double> Sum(const Texture& texture, const Vec2& wave) {
  std::complex<double> sum{};
  for (std::size_t i = 0; i < texture.at.size(); ++i) sum += texture.value[i] * std::polar(1.0, -wave.dot(texture.at[i]));
  return sum;
}

struct Found {
  Vec2 wave = Vec2::Zero();  // radians per px along and across
  double strength = 0.0;     // amplitude
};

// Climbs to the top of the spectrum near `from`.
Found Climb(const Texture& texture, Vec2 from, double step) {
  double best = std::norm(Sum(texture, from));
  for (; step > 1e-6 * from.norm() + 1e-7; step *= 0.5)
    for (bool moved = true; moved;) {
      moved = false;
      for (const Vec2& d : {Vec2(step, 0), Vec2(-step, 0), Vec2(0, step), Vec2(0, -step)}) {
        const double there = std::norm(Sum(texture, from + d));
        if (there <= best) continue;
        best = there;
        from += d;
        moved = true;
        break;
      }
    }
  return {from, 2.0 * std::sqrt(best) / static_cast<double>(std::max<std::size_t>(1, texture.at.size()))};
}

// The strongest repeat of a texture, those within kApart of `not_along` left out.
Found Strongest(const Texture& texture, double half_px, double extent_px, const std::optional<Vec2>& not_along) {
  const double most = 2 * M_PI / (kShortest * half_px), least = 2 * M_PI / (kLongest * half_px), step = 0.45 * 2 * M_PI / extent_px;
  Found best;
  // A grid of waves by direct sums over a thinned texture: enough to stand on the right hill.
  Texture thin;
  const std::size_t stride = std::max<std::size_t>(1, texture.at.size() / 2500);
  for (std::size_t i = 0; i < texture.at.size(); i += stride) {
    thin.at.push_back(texture.at[i]);
    thin.value.push_back(texture.value[i]);
  }
  const int n = static_cast<int>(most / step);
  std::vector<std::complex<double>> row(thin.at.size()), turn(thin.at.size());
  double top = 0.0;
  for (int i = 0; i <= n; ++i) {
    for (std::size_t k = 0; k < thin.at.size(); ++k) {
      row[k] = thin.value[k] * std::polar(1.0, -i * step * thin.at[k].x() + n * step * thin.at[k].y());
      turn[k] = std::polar(1.0, -step * thin.at[k].y());
    }
    for (int j = -n; j <= n; ++j) {
      double re = 0.0, im = 0.0;
      for (std::size_t k = 0; k < row.size(); ++k) {
        re += row[k].real();
        im += row[k].imag();
        row[k] = {row[k].real() * turn[k].real() - row[k].imag() * turn[k].imag(), row[k].real() * turn[k].imag() + row[k].imag() * turn[k].real()};
      }
      const Vec2 wave(i * step, j * step);
      if (wave.norm() > most || wave.norm() < least) continue;
      if (not_along) {
        const double cross = std::abs(wave.x() * not_along->y() - wave.y() * not_along->x()) / (wave.norm() * not_along->norm());
        if (cross < std::sin(kApart * M_PI / 180)) continue;
      }
      if (re * re + im * im <= top) continue;
      top = re * re + im * im;
      best.wave = wave;
    }
  }
  return top > 0.0 ? Climb(texture, best.wave, 0.5 * step) : best;
}

void TakeOut(Texture& texture, const Vec2& wave) {
  for (int overtone = 1; overtone <= 3; ++overtone) {
    const std::complex<double> amplitude = 2.0 * Sum(texture, overtone * wave) / static_cast<double>(texture.at.size());
    for (std::size_t i = 0; i < texture.at.size(); ++i)
      texture.value[i] -= (amplitude * std::polar(1.0, overtone * wave.dot(texture.at[i]))).real();
  }
}

// One repeat of the print, columns by the first phase, rows by the second (one row for stripes).
struct Tile {
  int columns = 0, rows = 1;
  std::vector<std::array<float, 3>> colour;
  [[nodiscard]] std::array<double, 3> At(double first, double second) const {  // phases in turns
    const double x = (first - std::floor(first)) * columns, y = (second - std::floor(second)) * rows;
    const int x0 = static_cast<int>(x) % columns, y0 = static_cast<int>(y) % rows, x1 = (x0 + 1) % columns, y1 = (y0 + 1) % rows;
    const double a = x - std::floor(x), b = rows > 1 ? y - std::floor(y) : 0.0;
    std::array<double, 3> out{};
    const auto at = [&](int yy, int xx, std::size_t c) { return colour[static_cast<std::size_t>(yy * columns + xx)][c]; };
    for (std::size_t c = 0; c < 3; ++c)
      out[c] = (1 - b) * ((1 - a) * at(y0, x0, c) + a * at(y0, x1, c)) + b * ((1 - a) * at(y1, x0, c) + a * at(y1, x1, c));
    return out;
  }
};

const Area* AreaOf(const FigureMarks& marks, const std::string& finding_id) {
  for (const Area& area : marks.areas)
    if (area.kind == "pattern" && area.outline.size() >= 3 && finding_id == "cloth.pattern." + IdPart(area.name)) return &area;
  return nullptr;
}

}  // namespace

std::optional<SwatchPreview> PreviewSwatch(const FigureMarks& marks, const BodyReading& reading, const std::string& finding_id,
                                           const ImageRgba8& picture) {
  const Area* area = AreaOf(marks, finding_id);
  if (!area || !reading.usable || picture.width <= 0) return std::nullopt;
  const body_check::BodyFacts facts(marks, reading);
  const auto form = FormUnder(facts, *area);
  if (!form || !form->shape) return std::nullopt;
  const Tubular& shape = *form->shape;
  const double half = shape.half_width_px;
  const auto patch = CutPatch(picture, area->outline, std::max(1.0, half / 40.0));
  if (!patch) return std::nullopt;
  const double half_patch = half / patch->px;
  cv::Mat inner;
  const int rim = std::max(1, static_cast<int>(std::lround(0.05 * half_patch)));
  cv::erode(patch->inside, inner, cv::getStructuringElement(cv::MORPH_ELLIPSE, {2 * rim + 1, 2 * rim + 1}), {-1, -1}, 1, cv::BORDER_CONSTANT, 0);
  const cv::Mat values = MainTexture(*patch, inner, half_patch);
  const auto local = [&](const Vec2& p) { return Vec2((p - shape.centre).dot(shape.dir), (p - shape.centre).dot(shape.across)); };
  Texture texture;
  std::vector<cv::Point> pixels;
  for (int y = 0; y < inner.rows; ++y)
    for (int x = 0; x < inner.cols; ++x)
      if (inner.at<std::uint8_t>(y, x)) {
        texture.at.push_back(local(patch->ToPicture(x, y)));
        texture.value.push_back(values.at<float>(y, x));
        pixels.emplace_back(x, y);
      }
  if (texture.at.size() < 200) return std::nullopt;

  const double extent = std::max(shape.high_px - shape.low_px, 2 * half);
  const Texture whole = texture;
  Found first = Strongest(texture, half, extent, std::nullopt);
  if (first.strength <= 0.0) return std::nullopt;
  // Every second line may differ from its neighbours.
  const Found slower = Climb(whole, 0.5 * first.wave, 0.05 * first.wave.norm());
  if (slower.strength > 0.5 * first.strength && (slower.wave - 0.5 * first.wave).norm() < 0.1 * first.wave.norm()) first = slower;
  TakeOut(texture, first.wave);
  const Found second = Strongest(texture, half, extent, first.wave);
  const bool crossed = second.strength > kSecond * first.strength;
  double low = 1e18, high = -1e18;
  for (const Vec2& p : whole.at) {
    low = std::min(low, first.wave.dot(p));
    high = std::max(high, first.wave.dot(p));
  }
  if ((high - low) / (2 * M_PI) < kFewest) return std::nullopt;

  Tile tile;
  tile.columns = crossed ? 24 : 48;
  tile.rows = crossed ? 24 : 1;
  const auto phases = [&](const Vec2& p) { return std::pair(first.wave.dot(p) / (2 * M_PI), second.wave.dot(p) / (2 * M_PI)); };
  // Every pixel's colour by its place in the repeat. The lit colour stands for all: light and shade come back below.
  using Bytes = std::array<std::uint8_t, 3>;
  const auto light_of = [](const Bytes& c) { return 2 * c[0] + 7 * c[1] + c[2]; };
  std::vector<Bytes> seen(pixels.size());
  std::vector<std::vector<Bytes>> bins(static_cast<std::size_t>(tile.columns * tile.rows));
  for (std::size_t i = 0; i < pixels.size(); ++i) {
    const Vec2 at = patch->ToPicture(pixels[i].x, pixels[i].y);
    std::copy_n(picture.At(std::clamp(static_cast<int>(at.x()), 0, picture.width - 1), std::clamp(static_cast<int>(at.y()), 0, picture.height - 1)), 3,
                seen[i].begin());
    const auto [a, b] = phases(whole.at[i]);
    const int x = std::min(tile.columns - 1, static_cast<int>((a - std::floor(a)) * tile.columns));
    const int y = crossed ? std::min(tile.rows - 1, static_cast<int>((b - std::floor(b)) * tile.rows)) : 0;
    bins[static_cast<std::size_t>(y * tile.columns + x)].push_back(seen[i]);
  }
  tile.colour.resize(bins.size());
  std::vector<std::size_t> empty;
  for (std::size_t i = 0; i < bins.size(); ++i) {
    if (bins[i].size() < 3) {
      empty.push_back(i);
      continue;
    }
    const auto lit = bins[i].begin() + static_cast<std::ptrdiff_t>(bins[i].size() * 8 / 10);
    std::nth_element(bins[i].begin(), lit, bins[i].end(), [&](const Bytes& one, const Bytes& other) { return light_of(one) < light_of(other); });
    for (std::size_t c = 0; c < 3; ++c) tile.colour[i][c] = (*lit)[c];
  }
  if (3 * empty.size() > bins.size()) return std::nullopt;
  for (const std::size_t i : empty)  // from the nearest before it in its row
    for (std::size_t back = 1; back < bins.size(); ++back) {
      const std::size_t j = (i + bins.size() - back) % bins.size();
      if (bins[j].size() < 3) continue;
      tile.colour[i] = tile.colour[j];
      break;
    }
  // What the painter laid over the print, as darkness against the lit print, and its hue on the whole.
  cv::Mat shade(inner.size(), CV_32F, cv::Scalar(1.0));
  std::array<double, 3> tint{};
  double dark = 1e-6;
  for (std::size_t i = 0; i < pixels.size(); ++i) {
    const auto [a, b] = phases(whole.at[i]);
    const auto print = tile.At(a, b);
    const double here = light_of(seen[i]), there = 2 * print[0] + 7 * print[1] + print[2];
    const double ratio = std::clamp((here + 80.0) / (there + 80.0), kDarkest, 1.0);
    shade.at<float>(pixels[i]) = static_cast<float>(ratio);
    if (ratio > 0.9) continue;
    dark += 1.0 - ratio;
    for (std::size_t c = 0; c < 3; ++c) tint[c] += 1.0 - std::clamp((seen[i][c] + 8.0) / (print[c] + 8.0), kDarkest, 1.0);
  }
  for (double& t : tint) t = std::clamp(t / dark, 0.5, 1.5);
  shade = Smoothed(shade, inner, std::max(1.0, 0.08 * half_patch));

  SwatchPreview out;
  Vec2 least = area->outline[0], most = least;
  for (const Vec2& p : area->outline) {
    least = least.cwiseMin(p);
    most = most.cwiseMax(p);
  }
  out.x = std::clamp(static_cast<int>(std::floor(least.x())), 0, picture.width - 1);
  out.y = std::clamp(static_cast<int>(std::floor(least.y())), 0, picture.height - 1);
  out.image.width = std::clamp(static_cast<int>(std::ceil(most.x())), 1, picture.width) - out.x;
  out.image.height = std::clamp(static_cast<int>(std::ceil(most.y())), 1, picture.height) - out.y;
  if (out.image.width <= 0 || out.image.height <= 0) return std::nullopt;
  out.image.pixels.assign(4 * static_cast<std::size_t>(out.image.width) * static_cast<std::size_t>(out.image.height), 0);
  cv::Mat mask = cv::Mat::zeros(out.image.height, out.image.width, CV_8U);
  std::vector<cv::Point> polygon;
  for (const Vec2& p : area->outline)  // sixteenths; pixel centres at whole numbers
    polygon.emplace_back(static_cast<int>(std::lround((p.x() - out.x - 0.5) * 16)), static_cast<int>(std::lround((p.y() - out.y - 0.5) * 16)));
  cv::fillPoly(mask, std::vector<std::vector<cv::Point>>{polygon}, cv::Scalar(255), cv::LINE_AA, 4);
  // Nearest shade for the rim that was left out above.
  for (int y = 0; y < out.image.height; ++y)
    for (int x = 0; x < out.image.width; ++x) {
      const int covered = mask.at<std::uint8_t>(y, x);
      if (covered == 0 || !Contains(area->outline, Vec2(out.x + x + 0.5, out.y + y + 0.5))) continue;
      std::array<double, 3> sum{};
      int hits = 0;
      for (const double dy : {0.25, 0.75})
        for (const double dx : {0.25, 0.75}) {
          const auto on = ToForm(shape, form->bow, Vec2(out.x + x + dx, out.y + y + dy));
          if (!on) continue;
          const auto [a, b] = phases(Vec2(on->along, on->round));
          const auto colour = tile.At(a, b);
          for (std::size_t c = 0; c < 3; ++c) sum[c] += colour[c];
          ++hits;
        }
      if (hits == 0) continue;  // a sliver beyond the smooth edge
      const Vec2 q = patch->FromPicture(Vec2(out.x + x + 0.5, out.y + y + 0.5));
      const cv::Point near(std::clamp(static_cast<int>(std::lround(q.x())), 0, inner.cols - 1),
                           std::clamp(static_cast<int>(std::lround(q.y())), 0, inner.rows - 1));
      std::uint8_t* to = out.image.At(x, y);
      for (std::size_t c = 0; c < 3; ++c)
        to[c] = static_cast<std::uint8_t>(std::clamp((1.0 - tint[c] * (1.0 - shade.at<float>(near))) * sum[c] / hits, 0.0, 255.0));
      to[3] = static_cast<std::uint8_t>(kAlpha * covered / 255);
    }
  return out;
}

}  // namespace armslength
