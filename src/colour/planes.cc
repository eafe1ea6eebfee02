#include "colour/planes.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstring>

#include "colour/spaces.h"
#include "support/job.h"

namespace armslength {
namespace {

// Luminance in 1/2^14 with 10 more bits inside the sums; L* of it as a level. 16 KiB, in the first cache.
constexpr int kSteps = 1 << 14, kFraction = 10;

struct LightnessTables {
  std::array<std::uint32_t, 256> red{}, green{}, blue{};
  std::array<std::uint8_t, kSteps + 1> level{};

  LightnessTables() {
    const double scale = static_cast<double>(kSteps) * (1 << kFraction);
    for (std::size_t i = 0; i < 256; ++i) {
      const double light = LinearFromStored(static_cast<double>(i) / 255.0);
      red[i] = static_cast<std::uint32_t>(std::lround(scale * light * ToXyz(LinearRgb{1, 0, 0}).y));
      green[i] = static_cast<std::uint32_t>(std::lround(scale * light * ToXyz(LinearRgb{0, 1, 0}).y));
      blue[i] = static_cast<std::uint32_t>(std::lround(scale * light * ToXyz(LinearRgb{0, 0, 1}).y));
    }
    for (int i = 0; i <= kSteps; ++i) {
      const double y = static_cast<double>(i) / kSteps;
      const double L = ToLab(Xyz{0.0, y, 0.0}, White::kD65).L;
      level[static_cast<std::size_t>(i)] = static_cast<std::uint8_t>(std::lround(std::clamp(L * 2.55, 0.0, 255.0)));
    }
  }
  [[nodiscard]] std::uint8_t At(unsigned r, unsigned g, unsigned b) const {
    return level[std::min<std::uint32_t>((red[r] + green[g] + blue[b] + (1u << (kFraction - 1))) >> kFraction, kSteps)];
  }
};

const LightnessTables& Lightness() {
  static const LightnessTables tables;
  return tables;
}

// (colour * alpha + 255 * (255 - alpha)) / 255, rounded.
unsigned OnWhite(unsigned colour, unsigned alpha) {
  const unsigned v = colour * alpha + 255u * (255u - alpha) + 128u;
  return (v + (v >> 8)) >> 8;
}

// Cube root for t >= 0, relative error below 2e-6: an exponent guess and two Halley steps. Written
// so that compilers vectorise the loop around it.
float CubeRoot(float t) {
  std::uint32_t bits;
  std::memcpy(&bits, &t, sizeof bits);
  bits = bits / 3 + 709921077u;
  float y;
  std::memcpy(&y, &bits, sizeof y);
  for (int i = 0; i < 2; ++i) {
    const float cube = y * y * y;
    y = y * (cube + 2.0f * t) / (2.0f * cube + t + 1e-30f);
  }
  return y;
}

constexpr std::size_t kBlock = 256;

// Linear light of up to kBlock pixels.
void LinearBlock(const std::uint8_t* rgba, std::size_t count, AlphaRule rule, float* r, float* g, float* b) {
  const auto& linear = LinearTable();
  for (std::size_t i = 0; i < count; ++i, rgba += 4) {
    const unsigned alpha = rgba[3];
    if (rule == AlphaRule::kOverWhite && alpha != 255) {
      r[i] = linear[OnWhite(rgba[0], alpha)];
      g[i] = linear[OnWhite(rgba[1], alpha)];
      b[i] = linear[OnWhite(rgba[2], alpha)];
    } else {
      r[i] = linear[rgba[0]];
      g[i] = linear[rgba[1]];
      b[i] = linear[rgba[2]];
    }
  }
}

struct Rows3 {
  float m[3][3];
  void Apply(std::size_t count, const float* r, const float* g, const float* b, float (*out)[kBlock]) const {
    for (int k = 0; k < 3; ++k)
      for (std::size_t i = 0; i < count; ++i) out[k][i] = m[k][0] * r[i] + m[k][1] * g[i] + m[k][2] * b[i];
  }
};

// Columns of a linear map from its values at pure red, green and blue.
template <typename Map>
Rows3 MatrixOf(const Map& map) {
  Rows3 rows{};
  const LinearRgb units[3] = {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}};
  for (int column = 0; column < 3; ++column) {
    const std::array<double, 3> v = map(units[column]);
    for (int row = 0; row < 3; ++row) rows.m[row][column] = static_cast<float>(v[static_cast<std::size_t>(row)]);
  }
  return rows;
}

}  // namespace

void LightnessRow(const std::uint8_t* rgba, std::size_t count, std::uint8_t* lightness, AlphaRule rule) {
  const LightnessTables& tables = Lightness();
  if (rule == AlphaRule::kIgnore) {
    for (std::size_t i = 0; i < count; ++i, rgba += 4) lightness[i] = tables.At(rgba[0], rgba[1], rgba[2]);
    return;
  }
  for (std::size_t i = 0; i < count; ++i, rgba += 4) {
    const unsigned alpha = rgba[3];
    lightness[i] = alpha == 255 ? tables.At(rgba[0], rgba[1], rgba[2])
                                : tables.At(OnWhite(rgba[0], alpha), OnWhite(rgba[1], alpha), OnWhite(rgba[2], alpha));
  }
}

void LightnessPlane(std::span<const std::uint8_t> rgba, int width, int height, std::span<std::uint8_t> lightness, AlphaRule rule) {
  constexpr int kRows = 32;
  const auto columns = static_cast<std::size_t>(width);
  ParallelFor((height + kRows - 1) / kRows, 0, [&](int strip) {
    const auto first = static_cast<std::size_t>(strip * kRows);
    const auto rows = static_cast<std::size_t>(std::min(kRows, height - strip * kRows));
    LightnessRow(rgba.data() + 4 * first * columns, rows * columns, lightness.data() + first * columns, rule);
  });
}

void LabRow(const std::uint8_t* rgba, std::size_t count, float* L, float* a, float* b, AlphaRule rule) {
  // XYZ divided by the white, so that the curve's argument comes straight out.
  static const Rows3 relative = MatrixOf([](const LinearRgb& unit) {
    const Xyz v = ToXyz(unit), w = WhiteXyz(White::kD65);
    return std::array{v.x / w.x, v.y / w.y, v.z / w.z};
  });
  constexpr float kBreak = 216.0f / 24389.0f, kSlope = 24389.0f / 27.0f / 116.0f;
  float red[kBlock], green[kBlock], blue[kBlock], f[3][kBlock];
  for (std::size_t done = 0; done < count; done += kBlock) {
    const std::size_t n = std::min(kBlock, count - done);
    LinearBlock(rgba + 4 * done, n, rule, red, green, blue);
    relative.Apply(n, red, green, blue, f);
    for (auto& row : f)
      for (std::size_t i = 0; i < n; ++i) row[i] = row[i] > kBreak ? CubeRoot(row[i]) : kSlope * row[i] + 16.0f / 116.0f;
    if (L)
      for (std::size_t i = 0; i < n; ++i) L[done + i] = 116.0f * f[1][i] - 16.0f;
    if (a)
      for (std::size_t i = 0; i < n; ++i) a[done + i] = 500.0f * (f[0][i] - f[1][i]);
    if (b)
      for (std::size_t i = 0; i < n; ++i) b[done + i] = 200.0f * (f[1][i] - f[2][i]);
  }
}

void OklabRow(const std::uint8_t* rgba, std::size_t count, float* L, float* a, float* b, AlphaRule rule) {
  // The cone responses are the cubes of the inverse map, which is linear in linear light.
  static const Rows3 cones = MatrixOf([](const LinearRgb& unit) {
    const Xyz v = ToXyz(unit);
    return std::array{0.8189330101 * v.x + 0.3618667424 * v.y - 0.1288597137 * v.z,
                      0.0329845436 * v.x + 0.9293118715 * v.y + 0.0361456387 * v.z,
                      0.0482003018 * v.x + 0.2643662691 * v.y + 0.6338517070 * v.z};
  });
  float red[kBlock], green[kBlock], blue[kBlock], f[3][kBlock];
  for (std::size_t done = 0; done < count; done += kBlock) {
    const std::size_t n = std::min(kBlock, count - done);
    LinearBlock(rgba + 4 * done, n, rule, red, green, blue);
    cones.Apply(n, red, green, blue, f);
    for (auto& row : f)
      for (std::size_t i = 0; i < n; ++i) row[i] = CubeRoot(std::max(0.0f, row[i]));
    if (L)
      for (std::size_t i = 0; i < n; ++i)
        L[done + i] = 0.2104542553f * f[0][i] + 0.7936177850f * f[1][i] - 0.0040720468f * f[2][i];
    if (a)
      for (std::size_t i = 0; i < n; ++i)
        a[done + i] = 1.9779984951f * f[0][i] - 2.4285922050f * f[1][i] + 0.4505937099f * f[2][i];
    if (b)
      for (std::size_t i = 0; i < n; ++i)
        b[done + i] = 0.0259040371f * f[0][i] + 0.7827717662f * f[1][i] - 0.8086757660f * f[2][i];
  }
}

}  // namespace armslength
