#include "check/pixels/thinning.h"

#include <algorithm>
#include <array>
#include <bit>
#include <cstring>
#include <utility>

#include "support/job.h"

namespace armslength {
namespace {

// 8-connected components of the set neighbours (diagonals adjoin through the ring order and
// across corners), and whether a 4-neighbour is empty.
bool Simple(unsigned m) {
  const auto bit = [m](int i) { return (m >> (i & 7) & 1u) != 0; };
  // Number of 8-connected pieces of foreground round the pixel: Yokoi's crossing number for
  // 8-connectivity, sum over 4-neighbours of (1-x_k) - (1-x_k)(1-x_k+1)(1-x_k+2).
  int crossings = 0;
  for (int k = 0; k < 8; k += 2) crossings += !bit(k) && (bit(k + 1) || bit(k + 2));
  return crossings == 1;
}

struct Table {
  std::array<bool, 256> simple{}, removable{};
  Table() {
    for (unsigned m = 0; m < 256; ++m) {
      simple[m] = Simple(m);
      removable[m] = simple[m] && std::popcount(m) >= 2;
    }
  }
};
const Table& T() {
  static const Table table;
  return table;
}

}  // namespace

bool IsSimple(std::uint8_t neighbours) { return T().simple[neighbours]; }

std::vector<std::uint32_t> Thin(PlaneU8& plane, int threads) {
  const int w = plane.width(), h = plane.height();
  std::uint8_t* d = plane.data();
  const std::ptrdiff_t s = w;
  const std::array<std::ptrdiff_t, 8> off = {-s, -s + 1, 1, s + 1, s, s - 1, -1, -s - 1};
  const Table& table = T();
  const auto neighbours = [&](std::uint32_t i) {
    const std::uint8_t* p = d + i;
    return static_cast<unsigned>((p[-s] & 1) | (p[-s + 1] & 1) << 1 | (p[1] & 1) << 2 | (p[s + 1] & 1) << 3 |
                                 (p[s] & 1) << 4 | (p[s - 1] & 1) << 5 | (p[-1] & 1) << 6 | (p[-s - 1] & 1) << 7);
  };
  // Peels the pixels of `front` and what comes free, inside rows [low, high).
  const auto peel = [&](std::vector<std::uint32_t> front, int low, int high) {
    const auto first = static_cast<std::uint32_t>(low * s), last = static_cast<std::uint32_t>(high * s);
    std::vector<std::uint32_t> next, gone, removed;
    while (!front.empty()) {
      removed.clear();
      for (const int side : {0, 4, 2, 6}) {  // north, south, east, west borders in turn
        gone.clear();
        for (const std::uint32_t i : front) {
          if ((d[i] & kThin) == 0) continue;
          const unsigned m = neighbours(i);
          if ((m >> side & 1u) == 0 && table.removable[m]) gone.push_back(i);
        }
        for (const std::uint32_t i : gone) {
          if (!table.removable[neighbours(i)]) continue;
          d[i] = static_cast<std::uint8_t>(d[i] & ~kThin);
          removed.push_back(i);
        }
      }
      for (const std::uint32_t i : front) d[i] = static_cast<std::uint8_t>(d[i] & ~kQueued);
      next.clear();
      for (const std::uint32_t i : removed)
        for (const std::ptrdiff_t o : off) {
          const auto j = static_cast<std::uint32_t>(i + o);
          if (j < first || j >= last || (d[j] & (kThin | kQueued)) != kThin) continue;
          d[j] |= kQueued;
          next.push_back(j);
        }
      front.swap(next);
    }
  };
  const auto each_ink_byte = [&](int y, std::uint64_t mask, const auto& visit) {
    std::uint8_t* row = d + y * s;
    for (int x = 1; x < w - 1; ++x) {
      if (x + 8 < w - 1) {  // most of a picture holds no ink
        std::uint64_t eight;
        std::memcpy(&eight, row + x, 8);
        if ((eight & mask) == 0) {
          x += 7;
          continue;
        }
      }
      if (row[x] & static_cast<std::uint8_t>(mask)) visit(row + x, static_cast<std::uint32_t>(y * s + x));
    }
  };
  constexpr std::uint64_t kAllInk = 0x8080808080808080ull, kAllThin = 0x0101010101010101ull;
  constexpr int kBand = 512;
  const int inner = h - 2, bands = std::max(1, (inner + kBand - 1) / kBand);
  ParallelFor(bands, threads, [&](int b) {
    for (int y = 1 + b * kBand; y < std::min(h - 1, 1 + (b + 1) * kBand); ++y)
      each_ink_byte(y, kAllInk, [](std::uint8_t* p, std::uint32_t) { *p = kInk | kThin; });
  });
  const auto border = [&](const std::uint8_t* p) { return (p[-s] & p[s] & p[-1] & p[1] & kThin) == 0; };
  ParallelFor(bands, threads, [&](int b) {
    // A row at each seam belongs to no band, so that no two bands touch the same pixel's neighbours.
    const int low = 1 + b * kBand + (b > 0 ? 1 : 0), high = std::min(h - 1, 1 + (b + 1) * kBand) - (b + 1 < bands ? 1 : 0);
    std::vector<std::uint32_t> front;
    for (int y = low; y < high; ++y)
      each_ink_byte(y, kAllInk, [&](std::uint8_t* p, std::uint32_t i) {
        if (!border(p)) return;
        *p |= kQueued;
        front.push_back(i);
      });
    peel(std::move(front), low, high);
  });
  // The seams: everything next to them may have come free.
  std::vector<std::uint32_t> front;
  for (int b = 1; b < bands; ++b)
    for (int y = std::max(1, b * kBand - 1); y < std::min(h - 1, b * kBand + 4); ++y)
      each_ink_byte(y, kAllThin, [&](std::uint8_t* p, std::uint32_t i) {
        if (!border(p)) return;
        *p |= kQueued;
        front.push_back(i);
      });
  peel(std::move(front), 1, h - 1);
  std::vector<std::vector<std::uint32_t>> found(static_cast<std::size_t>(bands));
  ParallelFor(bands, threads, [&](int b) {
    for (int y = 1 + b * kBand; y < std::min(h - 1, 1 + (b + 1) * kBand); ++y)
      each_ink_byte(y, kAllThin, [&](std::uint8_t*, std::uint32_t i) { found[static_cast<std::size_t>(b)].push_back(i); });
  });
  std::vector<std::uint32_t> out;
  for (const auto& part : found) out.insert(out.end(), part.begin(), part.end());
  return out;
}

}  // namespace armslength
