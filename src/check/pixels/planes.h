#pragma once
#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "picture/picture.h"
#include "support/job.h"

namespace armslength {

// Bytes on huge pages where the system gives them; zeroed. Page faults of 4 KiB each cost more
// than the work itself on a 35-megapixel plane.
class PlaneU8 {
 public:
  PlaneU8() = default;
  PlaneU8(int width, int height);
  PlaneU8(PlaneU8&& other) noexcept;
  PlaneU8& operator=(PlaneU8&& other) noexcept;
  PlaneU8(const PlaneU8&) = delete;
  PlaneU8& operator=(const PlaneU8&) = delete;
  ~PlaneU8();

  [[nodiscard]] int width() const { return width_; }
  [[nodiscard]] int height() const { return height_; }
  [[nodiscard]] std::uint8_t* Row(int y) { return data_ + static_cast<std::ptrdiff_t>(y) * width_; }
  [[nodiscard]] const std::uint8_t* Row(int y) const { return data_ + static_cast<std::ptrdiff_t>(y) * width_; }
  [[nodiscard]] std::uint8_t* data() { return data_; }
  [[nodiscard]] const std::uint8_t* data() const { return data_; }

 private:
  std::uint8_t* data_ = nullptr;
  std::size_t bytes_ = 0;  // mapped
  int width_ = 0, height_ = 0;
};

// One cell of the colour histogram: exact sums, so that a cell's colour is its pixels' mean.
struct ColourCell {
  std::uint32_t count = 0;
  std::uint32_t r = 0, g = 0, b = 0;  // sums of sRGB bytes
};

// What one pass over the full picture leaves behind.
struct PixelPlanes {
  PlaneU8 l;                                // CIE L* (D65) over white paper, times 2.55; full size
  ImageRgba8 small;                         // area average, straight alpha
  int factor = 1;                           // full px per small px
  std::array<std::uint64_t, 256> l_hist{};  // of pixels with alpha >= 128
  std::uint64_t visible = 0;                // pixels in it
  std::uint64_t opaque = 0;                 // pixels with alpha 255
  std::vector<ColourCell> cells;            // 32^3, from an even grid of at most 2 million visible pixels
};

inline constexpr double kLPerByte = 100.0 / 255.0;

// Reduced so that the long side comes to about 1000 to 2000 px (whole factors only).
[[nodiscard]] int SmallFactor(int width, int height);

// `threads` 0: all cores. About 3 ns per pixel and core.
[[nodiscard]] PixelPlanes ReadPlanes(const ImageRgba8& image, int threads);

}  // namespace armslength
