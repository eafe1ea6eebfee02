#include "picture/composite.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>

#include <fmt/format.h>

#include "picture/decode.h"

namespace armslength {
namespace {

using Rgb = std::array<float, 3>;

enum class Blend : std::uint8_t {
  kOver, kMultiply, kScreen, kOverlay, kDarken, kLighten, kDodge, kBurn, kHardLight, kSoftLight, kDifference,
  kColour, kLuminosity, kHue, kSaturation, kPlus, kDstIn, kDstOut, kSrcAtop, kDstAtop
};

struct Name {
  std::string_view name;
  Blend blend;
};
constexpr Name kNames[] = {
    {"svg:src-over", Blend::kOver},         {"svg:multiply", Blend::kMultiply},     {"svg:screen", Blend::kScreen},
    {"svg:overlay", Blend::kOverlay},       {"svg:darken", Blend::kDarken},         {"svg:lighten", Blend::kLighten},
    {"svg:color-dodge", Blend::kDodge},     {"svg:color-burn", Blend::kBurn},       {"svg:hard-light", Blend::kHardLight},
    {"svg:soft-light", Blend::kSoftLight},  {"svg:difference", Blend::kDifference}, {"svg:color", Blend::kColour},
    {"svg:luminosity", Blend::kLuminosity}, {"svg:hue", Blend::kHue},               {"svg:saturation", Blend::kSaturation},
    {"svg:plus", Blend::kPlus},             {"svg:dst-in", Blend::kDstIn},          {"svg:dst-out", Blend::kDstOut},
    {"svg:src-atop", Blend::kSrcAtop},      {"svg:dst-atop", Blend::kDstAtop}};

Blend BlendOf(std::string_view name) {
  for (const auto& known : kNames)
    if (known.name == name) return known.blend;
  return Blend::kOver;
}

float HardLight(float backdrop, float source) {
  return source <= 0.5f ? backdrop * 2.0f * source : backdrop + (2.0f * source - 1.0f) - backdrop * (2.0f * source - 1.0f);
}

float SoftLight(float b, float s) {
  if (s <= 0.5f) return b - (1.0f - 2.0f * s) * b * (1.0f - b);
  const float d = b <= 0.25f ? ((16.0f * b - 12.0f) * b + 4.0f) * b : std::sqrt(b);
  return b + (2.0f * s - 1.0f) * (d - b);
}

float Separable(Blend blend, float b, float s) {
  switch (blend) {
    case Blend::kMultiply:
      return b * s;
    case Blend::kScreen:
      return b + s - b * s;
    case Blend::kOverlay:
      return HardLight(s, b);
    case Blend::kDarken:
      return std::min(b, s);
    case Blend::kLighten:
      return std::max(b, s);
    case Blend::kDodge:
      return b <= 0.0f ? 0.0f : s >= 1.0f ? 1.0f : std::min(1.0f, b / (1.0f - s));
    case Blend::kBurn:
      return b >= 1.0f ? 1.0f : s <= 0.0f ? 0.0f : 1.0f - std::min(1.0f, (1.0f - b) / s);
    case Blend::kHardLight:
      return HardLight(b, s);
    case Blend::kSoftLight:
      return SoftLight(b, s);
    case Blend::kDifference:
      return std::abs(b - s);
    default:
      return s;
  }
}

float Lum(const Rgb& c) { return 0.3f * c[0] + 0.59f * c[1] + 0.11f * c[2]; }
float Sat(const Rgb& c) { return std::max({c[0], c[1], c[2]}) - std::min({c[0], c[1], c[2]}); }

Rgb SetLum(Rgb c, float lum) {
  const float d = lum - Lum(c);
  for (auto& v : c) v += d;
  const float l = Lum(c), low = std::min({c[0], c[1], c[2]}), high = std::max({c[0], c[1], c[2]});
  if (low < 0.0f)
    for (auto& v : c) v = l + (v - l) * l / (l - low);
  if (high > 1.0f)
    for (auto& v : c) v = l + (v - l) * (1.0f - l) / (high - l);
  return c;
}

Rgb SetSat(const Rgb& c, float sat) {
  const float low = std::min({c[0], c[1], c[2]}), range = Sat(c);
  if (range <= 0.0f) return {0.0f, 0.0f, 0.0f};
  Rgb out;
  for (std::size_t k = 0; k < 3; ++k) out[k] = (c[k] - low) * sat / range;
  return out;
}

Rgb Mix(Blend blend, const Rgb& b, const Rgb& s) {
  switch (blend) {
    case Blend::kColour:
      return SetLum(s, Lum(b));
    case Blend::kLuminosity:
      return SetLum(b, Lum(s));
    case Blend::kHue:
      return SetLum(SetSat(s, Sat(b)), Lum(b));
    case Blend::kSaturation:
      return SetLum(SetSat(b, Sat(s)), Lum(b));
    default:
      return {Separable(blend, b[0], s[0]), Separable(blend, b[1], s[1]), Separable(blend, b[2], s[2])};
  }
}

// One pixel, premultiplied RGBA. The source is straight colour with its own alpha.
void Apply(Blend blend, float* backdrop, const Rgb& source, float as) {
  const float ab = backdrop[3];
  float fa = 1.0f, fb = 1.0f - as;
  Rgb colour = source;
  switch (blend) {
    case Blend::kPlus:
      fb = 1.0f;
      break;
    case Blend::kDstIn:
      fa = 0.0f, fb = as;
      break;
    case Blend::kDstOut:
      fa = 0.0f;
      break;
    case Blend::kSrcAtop:
      fa = ab;
      break;
    case Blend::kDstAtop:
      fa = 1.0f - ab, fb = as;
      break;
    case Blend::kOver:
      break;
    default:
      if (as > 0.0f && ab > 0.0f) {
        const Rgb under{backdrop[0] / ab, backdrop[1] / ab, backdrop[2] / ab};
        const Rgb mixed = Mix(blend, under, source);
        for (std::size_t k = 0; k < 3; ++k) colour[k] = (1.0f - ab) * source[k] + ab * mixed[k];
      }
  }
  for (std::size_t k = 0; k < 3; ++k) backdrop[k] = std::min(1.0f, as * fa * colour[k] + fb * backdrop[k]);
  backdrop[3] = std::min(1.0f, as * fa + fb * ab);
}

// Where a source that is nowhere still acts.
bool ActsOutside(Blend blend) { return blend == Blend::kDstIn || blend == Blend::kDstAtop; }

struct Strip {
  int y0 = 0, rows = 0, width = 0;
  std::vector<float> rgba;  // premultiplied
  Strip(int first, int count, int columns)
      : y0(first), rows(count), width(columns), rgba(std::size_t{4} * static_cast<std::size_t>(count) * static_cast<std::size_t>(columns), 0.0f) {}
  float* At(int x, int y) { return &rgba[4 * (static_cast<std::size_t>(y - y0) * static_cast<std::size_t>(width) + static_cast<std::size_t>(x))]; }
};

void DrawLayer(const StackNode& node, Strip& strip) {
  if (!node.image || node.image->pixels.empty()) return;
  const Blend blend = BlendOf(node.blend);
  const auto opacity = static_cast<float>(node.opacity);
  // Far offsets are legal; stay inside int.
  const auto left = std::clamp<std::int64_t>(node.x, 0, strip.width);
  const auto right = std::clamp<std::int64_t>(std::int64_t{node.x} + node.image->width, 0, strip.width);
  for (int y = strip.y0; y < strip.y0 + strip.rows; ++y) {
    const std::int64_t row = std::int64_t{y} - node.y;
    const bool covered = row >= 0 && row < node.image->height;
    if (!covered && !ActsOutside(blend)) continue;
    for (int x = 0; x < strip.width; ++x) {
      if (covered && x >= left && x < right) {
        const std::uint8_t* p = node.image->At(static_cast<int>(x - node.x), static_cast<int>(row));
        if (p[3] == 0 && !ActsOutside(blend)) continue;
        Apply(blend, strip.At(x, y), {p[0] / 255.0f, p[1] / 255.0f, p[2] / 255.0f}, opacity * static_cast<float>(p[3]) / 255.0f);
      } else if (ActsOutside(blend)) {
        Apply(blend, strip.At(x, y), {}, 0.0f);
      } else if (x >= right) {
        break;
      } else {
        x = static_cast<int>(left) - 1;
        if (left >= right) break;
      }
    }
  }
}

void DrawGroup(const StackNode& group, Strip& strip) {
  for (const auto& child : group.children) {
    if (!child.visible) continue;
    if (!child.group) {
      DrawLayer(child, strip);
    } else if (!child.isolate && child.opacity >= 1.0 && BlendOf(child.blend) == Blend::kOver) {
      DrawGroup(child, strip);
    } else {
      Strip own(strip.y0, strip.rows, strip.width);
      DrawGroup(child, own);
      const Blend blend = BlendOf(child.blend);
      for (std::size_t i = 0; i < own.rgba.size(); i += 4) {
        const float alpha = own.rgba[i + 3];
        const Rgb straight = alpha > 0.0f ? Rgb{own.rgba[i] / alpha, own.rgba[i + 1] / alpha, own.rgba[i + 2] / alpha} : Rgb{};
        Apply(blend, &strip.rgba[i], straight, alpha * static_cast<float>(child.opacity));
      }
    }
  }
}

void NameUnknown(const StackNode& node, std::vector<std::string>& notes) {
  if (!KnownBlend(node.blend)) {
    auto note = fmt::format("composite-op '{:.60}' is not known here and was drawn as svg:src-over", node.blend);
    if (std::find(notes.begin(), notes.end(), note) == notes.end()) notes.push_back(std::move(note));
  }
  for (const auto& child : node.children) NameUnknown(child, notes);
}

}  // namespace

bool KnownBlend(std::string_view composite_op) {
  return std::any_of(std::begin(kNames), std::end(kNames), [&](const Name& known) { return known.name == composite_op; });
}

ImageRgba8 CompositeStack(int width, int height, const StackNode& root, std::vector<std::string>* notes) {
  if (notes) NameUnknown(root, *notes);
  ImageRgba8 merged;
  AllocateImage(merged, width, height);
  constexpr int kRows = 16;
  ParallelFor((height + kRows - 1) / kRows, 0, [&](int index) {
    Strip strip(index * kRows, std::min(kRows, height - index * kRows), width);
    if (root.visible) DrawGroup(root, strip);
    std::uint8_t* to = merged.At(0, strip.y0);
    for (std::size_t i = 0; i < strip.rgba.size(); i += 4, to += 4) {
      const float alpha = strip.rgba[i + 3];
      for (std::size_t k = 0; k < 3; ++k)
        to[k] = alpha > 0.0f ? static_cast<std::uint8_t>(std::lround(255.0f * std::clamp(strip.rgba[i + k] / alpha, 0.0f, 1.0f))) : std::uint8_t{0};
      to[3] = static_cast<std::uint8_t>(std::lround(255.0f * alpha));
    }
  });
  return merged;
}

ImageRgba8 CompositeLayers(int width, int height, const std::vector<Layer>& layers, std::vector<std::string>* notes) {
  StackNode root;
  root.group = true;
  for (const auto& layer : layers) {
    StackNode node;
    node.name = layer.name;
    node.x = layer.x;
    node.y = layer.y;
    node.opacity = layer.opacity;
    node.visible = layer.visible;
    if (!layer.blend.empty()) node.blend = layer.blend;
    node.image = &layer.image;
    root.children.push_back(std::move(node));
  }
  return CompositeStack(width, height, root, notes);
}

double ShareThatDiffers(const ImageRgba8& one, const ImageRgba8& other, int levels) {
  if (one.height == 0 || one.width == 0) return 0.0;
  std::vector<std::int64_t> counts(static_cast<std::size_t>(one.height), 0);
  ParallelFor(one.height, 0, [&](int y) {
    const std::uint8_t *p = one.At(0, y), *q = other.At(0, y);
    std::int64_t count = 0;
    for (int x = 0; x < one.width; ++x, p += 4, q += 4) {
      bool differs = false;
      for (int c = 0; c < 3; ++c) {
        const int a = p[c] * p[3] + 255 * (255 - p[3]), b = q[c] * q[3] + 255 * (255 - q[3]);
        differs = differs || std::abs(a - b) > 255 * levels;
      }
      count += differs;
    }
    counts[static_cast<std::size_t>(y)] = count;
  });
  return static_cast<double>(std::accumulate(counts.begin(), counts.end(), std::int64_t{0})) /
         (static_cast<double>(one.width) * one.height);
}

}  // namespace armslength
