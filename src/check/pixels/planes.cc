#include "check/pixels/planes.h"

#include <sys/mman.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <mutex>
#include <new>
#include <utility>

#include "colour/planes.h"

namespace armslength {
PlaneU8::PlaneU8(int width, int height) : width_(width), height_(height) {
  constexpr std::size_t kHuge = std::size_t{2} << 20;
  bytes_ = (static_cast<std::size_t>(width) * static_cast<std::size_t>(height) + kHuge) / kHuge * kHuge;
  void* p = mmap(nullptr, bytes_, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
  if (p == MAP_FAILED) throw std::bad_alloc();
  if (bytes_ >= 4 * kHuge) madvise(p, bytes_, MADV_HUGEPAGE);
  data_ = static_cast<std::uint8_t*>(p);
}
PlaneU8::PlaneU8(PlaneU8&& other) noexcept { *this = std::move(other); }
PlaneU8& PlaneU8::operator=(PlaneU8&& other) noexcept {
  std::swap(data_, other.data_);
  std::swap(bytes_, other.bytes_);
  std::swap(width_, other.width_);
  std::swap(height_, other.height_);
  return *this;
}
PlaneU8::~PlaneU8() {
  if (data_ != nullptr) munmap(data_, bytes_);
}

int SmallFactor(int width, int height) {
  return std::max(1, static_cast<int>(std::lround(std::max(width, height) / 1400.0)));
}

PixelPlanes ReadPlanes(const ImageRgba8& image, int threads) {
  const int w = image.width, h = image.height, q = SmallFactor(w, h);
  PixelPlanes out;
  out.l = PlaneU8(w, h);
  out.factor = q;
  out.small.width = (w + q - 1) / q;
  out.small.height = (h + q - 1) / q;
  out.small.pixels.resize(4 * static_cast<std::size_t>(out.small.width) * static_cast<std::size_t>(out.small.height));
  out.cells.resize(32768);
  const double pixels = static_cast<double>(w) * h;
  const int step = std::max(1, static_cast<int>(std::ceil(std::sqrt(pixels / 2e6))));
  std::mutex lock;
  constexpr int kRows = 32;  // small rows per strip
  const int strips = (out.small.height + kRows - 1) / kRows;
  ParallelFor(strips, threads, [&](int strip) {
    std::array<std::array<std::uint32_t, 256>, 4> hist{};
    std::uint64_t visible = 0, opaque = 0;
    std::vector<std::uint16_t> rows(4 * static_cast<std::size_t>(w));  // column sums of q rows (q < 257), for the plain case
    std::vector<ColourCell> seen;
    for (int sy = strip * kRows; sy < std::min(out.small.height, (strip + 1) * kRows); ++sy) {
      const int y0 = sy * q, y1 = std::min(h, y0 + q);
      bool plain = true;
      for (int y = y0; y < y1; ++y) {
        const std::uint8_t* p = image.At(0, y);
        std::uint8_t* l = out.l.Row(y);
        LightnessRow(p, static_cast<std::size_t>(w), l);
        std::uint64_t row_opaque = 0;
        for (int x = 0; x < w; ++x) row_opaque += p[4 * x + 3] == 255;
        opaque += row_opaque;
        if (row_opaque == static_cast<std::uint64_t>(w)) {
          int x = 0;
          for (; x + 4 <= w; x += 4) {  // four tables: equal neighbours would wait for each other
            ++hist[0][l[x]];
            ++hist[1][l[x + 1]];
            ++hist[2][l[x + 2]];
            ++hist[3][l[x + 3]];
          }
          for (; x < w; ++x) ++hist[0][l[x]];
          visible += row_opaque;
        } else {
          plain = false;
          for (int x = 0; x < w; ++x)
            if (p[4 * x + 3] >= 128) {
              ++hist[0][l[x]];
              ++visible;
            }
        }
        if (y % step == step / 2) {
          if (seen.empty()) seen.resize(32768);
          for (int x = step / 2; x < w; x += step) {
            const std::uint8_t* c = p + 4 * x;
            if (c[3] < 128) continue;
            ColourCell& cell = seen[static_cast<std::size_t>((c[0] >> 3) << 10 | (c[1] >> 3) << 5 | c[2] >> 3)];
            ++cell.count;
            cell.r += c[0];
            cell.g += c[1];
            cell.b += c[2];
          }
        }
      }
      // The reduced row. Colour is weighted by alpha where there is any transparency.
      std::uint8_t* d = out.small.At(0, sy);
      const int rows_here = y1 - y0;
      if (plain) {
        std::uint16_t* acc = rows.data();
        const std::uint8_t* first = image.At(0, y0);
        for (int i = 0; i < 4 * w; ++i) acc[i] = first[i];
        for (int y = y0 + 1; y < y1; ++y) {
          const std::uint8_t* p = image.At(0, y);
          for (int i = 0; i < 4 * w; ++i) acc[i] = static_cast<std::uint16_t>(acc[i] + p[i]);
        }
        for (int sx = 0; sx < out.small.width; ++sx) {
          const int x0 = sx * q, x1 = std::min(w, x0 + q);
          std::uint32_t r = 0, g = 0, b = 0;
          for (int x = x0; x < x1; ++x) {
            r += acc[4 * x];
            g += acc[4 * x + 1];
            b += acc[4 * x + 2];
          }
          const auto n = static_cast<std::uint32_t>(rows_here * (x1 - x0));
          d[4 * sx] = static_cast<std::uint8_t>((r + n / 2) / n);
          d[4 * sx + 1] = static_cast<std::uint8_t>((g + n / 2) / n);
          d[4 * sx + 2] = static_cast<std::uint8_t>((b + n / 2) / n);
          d[4 * sx + 3] = 255;
        }
      } else {
        for (int sx = 0; sx < out.small.width; ++sx) {
          const int x0 = sx * q, x1 = std::min(w, x0 + q);
          std::uint32_t r = 0, g = 0, b = 0, a = 0;
          for (int y = y0; y < y1; ++y)
            for (int x = x0; x < x1; ++x) {
              const std::uint8_t* p = image.At(x, y);
              r += static_cast<std::uint32_t>(p[0]) * p[3];
              g += static_cast<std::uint32_t>(p[1]) * p[3];
              b += static_cast<std::uint32_t>(p[2]) * p[3];
              a += p[3];
            }
          const auto n = static_cast<std::uint32_t>(rows_here * (x1 - x0));
          for (int c = 0; c < 3; ++c) {
            const std::uint32_t sum = c == 0 ? r : c == 1 ? g : b;
            d[4 * sx + c] = a == 0 ? 255 : static_cast<std::uint8_t>((sum + a / 2) / a);
          }
          d[4 * sx + 3] = static_cast<std::uint8_t>((a + n / 2) / n);
        }
      }
    }
    const std::scoped_lock hold(lock);
    for (std::size_t i = 0; i < 256; ++i) out.l_hist[i] += std::uint64_t{hist[0][i]} + hist[1][i] + hist[2][i] + hist[3][i];
    out.visible += visible;
    out.opaque += opaque;
    for (std::size_t i = 0; i < seen.size(); ++i) {
      out.cells[i].count += seen[i].count;
      out.cells[i].r += seen[i].r;
      out.cells[i].g += seen[i].g;
      out.cells[i].b += seen[i].b;
    }
  });
  return out;
}

}  // namespace armslength
