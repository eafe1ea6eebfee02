#include "picture/png_fast.h"

#include <cstdlib>
#include <cstring>
#include <memory>
#include <vector>

#include <libdeflate.h>
#include <png.h>
#if defined(__SSE2__)
#include <emmintrin.h>
#endif

#include "picture/huge_pages.h"

namespace armslength {
namespace {

std::uint32_t Big(const unsigned char* p) {
  return static_cast<std::uint32_t>(p[0]) << 24 | static_cast<std::uint32_t>(p[1]) << 16 | static_cast<std::uint32_t>(p[2]) << 8 | p[3];
}

// The joined IDAT data; false when a length or checksum is wrong or the end chunk is missing.
bool JoinPixelData(std::string_view png, std::vector<std::uint8_t>& data) {
  const auto* bytes = reinterpret_cast<const unsigned char*>(png.data());
  data.reserve(png.size());
  AdviseHugePages(data.data(), png.size());
  bool after = false;
  for (std::size_t at = 8; at + 12 <= png.size();) {
    const std::size_t length = Big(bytes + at);
    if (length > png.size() - at - 12) return false;
    const auto name = png.substr(at + 4, 4);
    if (name == "IDAT") {
      if (after || libdeflate_crc32(0, bytes + at + 4, length + 4) != Big(bytes + at + 8 + length)) return false;
      data.insert(data.end(), bytes + at + 8, bytes + at + 8 + length);
    } else {
      after = after || !data.empty();
      if (name == "IEND") return !data.empty();
    }
    at += 12 + length;
  }
  return false;
}

std::uint8_t Paeth(int left, int up, int corner) {
  const int a = std::abs(up - corner), b = std::abs(left - corner), c = std::abs(up + left - 2 * corner);
  return static_cast<std::uint8_t>(a <= b && a <= c ? left : b <= c ? up : corner);
}

// Undoes one row's filter, `bpp` bytes a pixel. `to` may lie before `from` and overlap it: every
// byte is read before a write can reach it. `up` is the finished row above, zeros for the first.
template <int bpp>
bool UnfilterPlain(int filter, const std::uint8_t* from, const std::uint8_t* up, std::uint8_t* to, std::size_t length) {
  std::uint8_t left[bpp] = {}, corner[bpp] = {};
  switch (filter) {
    case 0:
      std::memmove(to, from, length);
      return true;
    case 1:
      for (std::size_t i = 0; i < length; i += bpp)
        for (std::size_t k = 0; k < bpp; ++k) to[i + k] = left[k] = static_cast<std::uint8_t>(from[i + k] + left[k]);
      return true;
    case 2:
      for (std::size_t i = 0; i < length; ++i) to[i] = static_cast<std::uint8_t>(from[i] + up[i]);
      return true;
    case 3:
      for (std::size_t i = 0; i < length; i += bpp)
        for (std::size_t k = 0; k < bpp; ++k) to[i + k] = left[k] = static_cast<std::uint8_t>(from[i + k] + (left[k] + up[i + k]) / 2);
      return true;
    case 4:
      for (std::size_t i = 0; i < length; i += bpp)
        for (std::size_t k = 0; k < bpp; ++k) {
          const std::uint8_t above = up[i + k];
          to[i + k] = left[k] = static_cast<std::uint8_t>(from[i + k] + Paeth(left[k], above, corner[k]));
          corner[k] = above;
        }
      return true;
    default:
      return false;
  }
}

#if defined(__SSE2__)
__m128i Load4(const std::uint8_t* p) {
  int v;
  std::memcpy(&v, p, 4);
  return _mm_cvtsi32_si128(v);
}
// The last pixel of a 3-byte row has no fourth byte to read.
template <int bpp>
__m128i LoadPixel(const std::uint8_t* p) {
  if constexpr (bpp == 4) return Load4(p);
  int v = p[0] | p[1] << 8 | p[2] << 16;
  return _mm_cvtsi32_si128(v);
}
template <int bpp>
void StorePixel(std::uint8_t* p, __m128i v) {
  const int value = _mm_cvtsi128_si32(v);
  std::memcpy(p, &value, bpp);
}

__m128i Abs16(__m128i v) { return _mm_max_epi16(v, _mm_sub_epi16(_mm_setzero_si128(), v)); }
__m128i Choose(__m128i mask, __m128i yes, __m128i no) { return _mm_or_si128(_mm_and_si128(mask, yes), _mm_andnot_si128(mask, no)); }

template <int bpp>
bool Unfilter(int filter, const std::uint8_t* from, const std::uint8_t* up, std::uint8_t* to, std::size_t length) {
  const __m128i zero = _mm_setzero_si128();
  switch (filter) {
    case 1: {
      __m128i left = zero;
      for (std::size_t i = 0; i < length; i += bpp) {
        left = _mm_add_epi8(left, LoadPixel<bpp>(from + i));
        StorePixel<bpp>(to + i, left);
      }
      return true;
    }
    case 2: {
      std::size_t i = 0;
      for (; i + 16 <= length; i += 16) {
        const __m128i raw = _mm_loadu_si128(reinterpret_cast<const __m128i*>(from + i));
        const __m128i above = _mm_loadu_si128(reinterpret_cast<const __m128i*>(up + i));
        _mm_storeu_si128(reinterpret_cast<__m128i*>(to + i), _mm_add_epi8(raw, above));
      }
      for (; i < length; ++i) to[i] = static_cast<std::uint8_t>(from[i] + up[i]);
      return true;
    }
    case 3: {
      __m128i left = zero;
      const __m128i one = _mm_set1_epi8(1);
      for (std::size_t i = 0; i < length; i += bpp) {
        const __m128i above = LoadPixel<bpp>(up + i);
        // The instruction rounds up; the standard rounds down.
        const __m128i mean = _mm_sub_epi8(_mm_avg_epu8(left, above), _mm_and_si128(_mm_xor_si128(left, above), one));
        left = _mm_add_epi8(LoadPixel<bpp>(from + i), mean);
        StorePixel<bpp>(to + i, left);
      }
      return true;
    }
    case 4: {
      __m128i left = zero, corner = zero;  // 16-bit lanes
      for (std::size_t i = 0; i < length; i += bpp) {
        const __m128i above = _mm_unpacklo_epi8(LoadPixel<bpp>(up + i), zero);
        const __m128i raw = _mm_unpacklo_epi8(LoadPixel<bpp>(from + i), zero);
        const __m128i du = _mm_sub_epi16(above, corner), dl = _mm_sub_epi16(left, corner);
        const __m128i a = Abs16(du), b = Abs16(dl), c = Abs16(_mm_add_epi16(du, dl));
        const __m128i least = _mm_min_epi16(c, _mm_min_epi16(a, b));
        const __m128i guess = Choose(_mm_cmpeq_epi16(least, a), left, Choose(_mm_cmpeq_epi16(least, b), above, corner));
        left = _mm_and_si128(_mm_add_epi16(raw, guess), _mm_set1_epi16(0xff));
        StorePixel<bpp>(to + i, _mm_packus_epi16(left, zero));
        corner = above;
      }
      return true;
    }
    default:
      return UnfilterPlain<bpp>(filter, from, up, to, length);
  }
}
#else
template <int bpp>
bool Unfilter(int filter, const std::uint8_t* from, const std::uint8_t* up, std::uint8_t* to, std::size_t length) {
  return UnfilterPlain<bpp>(filter, from, up, to, length);
}
#endif

void Widen(const std::uint8_t* row, int channels, std::uint8_t* to, std::size_t width) {
  if (channels == 3) {
    for (std::size_t x = 0; x < width; ++x, row += 3, to += 4) {
      const std::uint32_t pixel = row[0] | static_cast<std::uint32_t>(row[1]) << 8 | static_cast<std::uint32_t>(row[2]) << 16 | 0xff000000u;
      to[0] = static_cast<std::uint8_t>(pixel), to[1] = static_cast<std::uint8_t>(pixel >> 8);
      to[2] = static_cast<std::uint8_t>(pixel >> 16), to[3] = 255;
    }
  } else {
    for (std::size_t x = 0; x < width; ++x, to += 4) {
      to[0] = to[1] = to[2] = row[x];
      to[3] = 255;
    }
  }
}

}  // namespace

bool FastPngFits(int bits, int colour_type, bool interlaced, bool transparent) {
  return bits == 8 && !interlaced && !transparent &&
         (colour_type == PNG_COLOR_TYPE_RGBA || colour_type == PNG_COLOR_TYPE_RGB || colour_type == PNG_COLOR_TYPE_GRAY);
}

bool FastPngRead(std::string_view png, int colour_type, ImageRgba8& image) {
  const int channels = colour_type == PNG_COLOR_TYPE_RGBA ? 4 : colour_type == PNG_COLOR_TYPE_RGB ? 3 : 1;
  const auto width = static_cast<std::size_t>(image.width), height = static_cast<std::size_t>(image.height);
  const std::size_t row = width * static_cast<std::size_t>(channels), raw = height * (row + 1), whole = 4 * width * height;
  std::vector<std::uint8_t> data;
  if (!JoinPixelData(png, data)) return false;
  // Finished rows are written from the start; the raw rows lie as far back as they can, so that
  // row y's 4 * width bytes end before the raw row y + 1 begins (with RGBA: y + 1 bytes before).
  ResizeHuge(image.pixels, std::max(whole, raw));
  std::uint8_t* base = image.pixels.data() + (std::max(whole, raw) - raw);
  {
    const std::unique_ptr<libdeflate_decompressor, decltype(&libdeflate_free_decompressor)> inflate(libdeflate_alloc_decompressor(), libdeflate_free_decompressor);
    std::size_t used = 0, made = 0;
    if (!inflate || libdeflate_zlib_decompress_ex(inflate.get(), data.data(), data.size(), base, raw, &used, &made) != LIBDEFLATE_SUCCESS || made != raw)
      return false;
  }
  data = {};
  std::vector<std::uint8_t> zeros(row + 16, 0), first(row + 16), second(row + 16);
  const std::uint8_t* up = zeros.data();
  for (std::size_t y = 0; y < height; ++y) {
    const std::uint8_t* from = base + y * (row + 1);
    std::uint8_t* to = image.pixels.data() + y * 4 * width;
    const int filter = *from++;
    bool good = false;
    if (channels == 4) {
      good = Unfilter<4>(filter, from, up, to, row);
      up = to;
    } else {
      std::uint8_t* line = y % 2 ? first.data() : second.data();
      good = channels == 3 ? Unfilter<3>(filter, from, up, line, row) : UnfilterPlain<1>(filter, from, up, line, row);
      Widen(line, channels, to, width);
      up = line;
    }
    if (!good) return false;
  }
  image.pixels.resize(whole);
  return true;
}

}  // namespace armslength
