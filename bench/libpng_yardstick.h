#pragma once
// What the benches of pictures measure against: libpng's own decoding, wall and processor time.
#include <png.h>
#include <time.h>

#include <chrono>
#include <csetjmp>
#include <cstdint>
#include <cstring>
#include <functional>
#include <string>
#include <vector>

namespace armslength {

// libpng as its manual shows it, rows into one block, no colour or size handling.
inline bool PlainLibpng(const std::string& bytes, std::vector<std::uint8_t>& pixels) {
  struct Source {
    const std::string* bytes;
    std::size_t at;
  } source{&bytes, 0};
  png_structp png = png_create_read_struct(PNG_LIBPNG_VER_STRING, nullptr, nullptr, nullptr);
  png_infop info = png_create_info_struct(png);
  if (setjmp(png_jmpbuf(png))) return false;
  png_set_read_fn(png, &source, [](png_structp p, png_bytep to, std::size_t n) {
    auto* from = static_cast<Source*>(png_get_io_ptr(p));
    if (n > from->bytes->size() - from->at) png_error(p, "end");
    std::memcpy(to, from->bytes->data() + from->at, n);
    from->at += n;
  });
  png_read_info(png, info);
  const std::size_t row = png_get_rowbytes(png, info), height = png_get_image_height(png, info);
  pixels.resize(row * height);
  for (std::size_t y = 0; y < height; ++y) png_read_row(png, pixels.data() + y * row, nullptr);
  png_read_end(png, nullptr);
  png_destroy_read_struct(&png, &info, nullptr);
  return true;
}

// Wall time, and processor time of all threads, s: on a busy machine only the second is steady.
struct Cost {
  double wall = 0.0, cpu = 0.0;
};

inline double CpuSeconds() {
  timespec now{};
  ::clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
  return static_cast<double>(now.tv_sec) + 1e-9 * static_cast<double>(now.tv_nsec);
}

inline Cost Measure(const std::function<void()>& work) {
  const auto start = std::chrono::steady_clock::now();
  const double cpu = CpuSeconds();
  work();
  return {std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count(), CpuSeconds() - cpu};
}

}  // namespace armslength
