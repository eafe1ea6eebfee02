#include "colour/difference.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace armslength {

double DeltaE2000(const Lab& one, const Lab& other) {
  constexpr double kPi = std::numbers::pi, kDegree = kPi / 180.0;
  const auto seventh = [](double c) { return std::pow(c, 7.0); };
  constexpr double k25To7 = 6103515625.0;

  const double mean_chroma = 0.5 * (std::hypot(one.a, one.b) + std::hypot(other.a, other.b));
  const double g = 0.5 * (1.0 - std::sqrt(seventh(mean_chroma) / (seventh(mean_chroma) + k25To7)));
  const double a1 = (1.0 + g) * one.a, a2 = (1.0 + g) * other.a;
  const double c1 = std::hypot(a1, one.b), c2 = std::hypot(a2, other.b);
  const auto hue = [](double b, double a) {
    if (a == 0.0 && b == 0.0) return 0.0;
    const double h = std::atan2(b, a);
    return h < 0.0 ? h + 2.0 * kPi : h;
  };
  const double h1 = hue(one.b, a1), h2 = hue(other.b, a2);

  const double dl = other.L - one.L, dc = c2 - c1;
  double dh = 0.0, mean_hue = h1 + h2;
  if (c1 * c2 != 0.0) {
    dh = h2 - h1;
    if (dh > kPi) dh -= 2.0 * kPi;
    if (dh < -kPi) dh += 2.0 * kPi;
    mean_hue *= 0.5;
    if (std::abs(h1 - h2) > kPi) mean_hue += mean_hue < kPi ? kPi : -kPi;
  }
  const double d_hue = 2.0 * std::sqrt(c1 * c2) * std::sin(0.5 * dh);

  const double mean_l = 0.5 * (one.L + other.L), mean_c = 0.5 * (c1 + c2);
  const double t = 1.0 - 0.17 * std::cos(mean_hue - 30.0 * kDegree) + 0.24 * std::cos(2.0 * mean_hue) +
                   0.32 * std::cos(3.0 * mean_hue + 6.0 * kDegree) - 0.20 * std::cos(4.0 * mean_hue - 63.0 * kDegree);
  const double offset = (mean_hue / kDegree - 275.0) / 25.0;
  const double turn = 30.0 * kDegree * std::exp(-offset * offset);
  const double rc = 2.0 * std::sqrt(seventh(mean_c) / (seventh(mean_c) + k25To7));
  const double l50 = (mean_l - 50.0) * (mean_l - 50.0);
  const double sl = 1.0 + 0.015 * l50 / std::sqrt(20.0 + l50), sc = 1.0 + 0.045 * mean_c, sh = 1.0 + 0.015 * mean_c * t;
  const double l = dl / sl, c = dc / sc, h = d_hue / sh;
  return std::sqrt(std::max(0.0, l * l + c * c + h * h - std::sin(2.0 * turn) * rc * c * h));
}

double DeltaE76(const Lab& one, const Lab& other) { return std::hypot(one.L - other.L, one.a - other.a, one.b - other.b); }

double RelativeLuminance(Rgb8 colour) {
  const LinearRgb linear = ToLinear(colour);
  return 0.2126 * linear.r + 0.7152 * linear.g + 0.0722 * linear.b;
}

double ContrastRatio(Rgb8 one, Rgb8 other) {
  const double a = RelativeLuminance(one), b = RelativeLuminance(other);
  return (std::max(a, b) + 0.05) / (std::min(a, b) + 0.05);
}

}  // namespace armslength
