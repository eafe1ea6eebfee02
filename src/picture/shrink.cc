#include <algorithm>
#include <cmath>
#include <vector>

#include "picture/decode.h"

namespace armslength {
namespace {

// Weights of the source cells [first, first + weight.size()) under target cell i; they sum to 1.
struct Cover {
  int first = 0;
  std::vector<float> weight;
};

std::vector<Cover> Covers(int from, int to) {
  std::vector<Cover> covers(static_cast<std::size_t>(to));
  const double scale = static_cast<double>(from) / to;
  for (int i = 0; i < to; ++i) {
    const double begin = i * scale, end = std::min<double>(from, (i + 1) * scale);
    Cover& cover = covers[static_cast<std::size_t>(i)];
    cover.first = std::min(from - 1, static_cast<int>(begin));
    for (int k = cover.first; k < from && k < end; ++k) {
      const double part = std::min<double>(end, k + 1) - std::max<double>(begin, k);
      if (part > 1e-9 || cover.weight.empty()) cover.weight.push_back(static_cast<float>(part / scale));
    }
  }
  return covers;
}

// IEC 61966-2-1, from stored value to linear light.
struct LightTables {
  float to_linear[256];
  std::uint8_t to_stored[4096 + 1];
  LightTables() {
    for (int i = 0; i < 256; ++i) {
      const double s = i / 255.0;
      to_linear[i] = static_cast<float>(s <= 0.04045 ? s / 12.92 : std::pow((s + 0.055) / 1.055, 2.4));
    }
    // Indexed by the square root of the light, which spends the steps where the eye does.
    for (int i = 0; i <= 4096; ++i) {
      const double root = i / 4096.0, light = root * root;
      const double s = light <= 0.0031308 ? 12.92 * light : 1.055 * std::pow(light, 1.0 / 2.4) - 0.055;
      to_stored[i] = static_cast<std::uint8_t>(std::lround(std::clamp(s, 0.0, 1.0) * 255.0));
    }
  }
};

}  // namespace

ImageRgba8 ShrinkTo(const ImageRgba8& image, int long_side) {
  const int longest = std::max(image.width, image.height);
  if (longest <= long_side || long_side < 1 || longest < 1) return image;
  static const LightTables light;
  const double scale = static_cast<double>(long_side) / longest;
  ImageRgba8 small;
  AllocateImage(small, std::max(1, static_cast<int>(std::lround(image.width * scale))),
                std::max(1, static_cast<int>(std::lround(image.height * scale))));
  const auto across = Covers(image.width, small.width), down = Covers(image.height, small.height);
  ParallelFor(small.height, 0, [&](int y) {
    // Light and coverage are averaged, so thin dark lines keep their weight and transparent
    // pixels give no colour.
    std::vector<float> sum(static_cast<std::size_t>(4 * small.width), 0.0f);
    const Cover& rows = down[static_cast<std::size_t>(y)];
    for (std::size_t r = 0; r < rows.weight.size(); ++r) {
      const std::uint8_t* row = image.At(0, rows.first + static_cast<int>(r));
      for (int x = 0; x < small.width; ++x) {
        const Cover& columns = across[static_cast<std::size_t>(x)];
        const std::uint8_t* p = row + 4 * columns.first;
        float* s = &sum[static_cast<std::size_t>(4 * x)];
        for (const float column : columns.weight) {
          const float w = column * rows.weight[r] * static_cast<float>(p[3]) * (1.0f / 255.0f);
          s[0] += w * light.to_linear[p[0]];
          s[1] += w * light.to_linear[p[1]];
          s[2] += w * light.to_linear[p[2]];
          s[3] += w;
          p += 4;
        }
      }
    }
    std::uint8_t* to = small.At(0, y);
    for (int x = 0; x < small.width; ++x, to += 4) {
      const float* s = &sum[static_cast<std::size_t>(4 * x)];
      const float alpha = s[3];
      for (int c = 0; c < 3; ++c) {
        const float value = alpha > 0.0f ? std::min(1.0f, s[c] / alpha) : 0.0f;
        to[c] = light.to_stored[static_cast<int>(std::sqrt(value) * 4096.0f + 0.5f)];
      }
      to[3] = static_cast<std::uint8_t>(std::lround(std::min(1.0f, alpha) * 255.0f));
    }
  });
  return small;
}

}  // namespace armslength
