#pragma once
#include <cstddef>
#include <cstdint>
#include <span>

namespace armslength {

// Whole pictures of 8-bit sRGB pixels, fast. Input everywhere: RGBA8, 4 bytes a pixel, straight
// alpha, rows without padding (ImageRgba8::pixels). Rows are pure functions and thread-safe;
// planes spread rows over all cores.

enum class AlphaRule : std::uint8_t {
  kIgnore,    // the colour as stored, whatever its alpha
  kOverWhite  // seen on white paper; stored values are mixed, as screens and painting programs do
};

// L* (D65) of each pixel as 0..255 for L* 0..100. Largest error 0.75 of a level, 0.29 L*, half a
// level of it rounding (test LightnessIsWithinItsBound, over a grid of 185 000 colours and all greys).
void LightnessRow(const std::uint8_t* rgba, std::size_t count, std::uint8_t* lightness, AlphaRule rule = AlphaRule::kOverWhite);
void LightnessPlane(std::span<const std::uint8_t> rgba, int width, int height, std::span<std::uint8_t> lightness,
                    AlphaRule rule = AlphaRule::kOverWhite);
[[nodiscard]] inline double LstarFromLevel(double level) { return level * (100.0 / 255.0); }

// L*, a*, b* relative to D65 as floats; each output may be null when not wanted. Largest error
// 2e-3 per coordinate against ToLab (test FastLabAgrees).
void LabRow(const std::uint8_t* rgba, std::size_t count, float* L, float* a, float* b, AlphaRule rule = AlphaRule::kOverWhite);
// OKLab, largest error 2e-5 per coordinate against ToOklab (test FastOklabAgrees).
void OklabRow(const std::uint8_t* rgba, std::size_t count, float* L, float* a, float* b, AlphaRule rule = AlphaRule::kOverWhite);

}  // namespace armslength
