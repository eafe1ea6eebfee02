#include "check/pixels/thinning.h"

#include <array>
#include <bit>
#include <cstring>

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

std::vector<std::uint32_t> Thin(PlaneU8& plane) {
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
  std::vector<std::uint32_t> front, next, gone, out;
  for (int y = 1; y < h - 1; ++y) {
    std::uint8_t* row = d + y * s;
    for (int x = 1; x < w - 1; ++x) {
      if (x + 8 < w - 1) {  // most of a picture holds no ink
        std::uint64_t eight;
        std::memcpy(&eight, row + x, 8);
        if (eight == 0) {
          x += 7;
          continue;
        }
      }
      std::uint8_t* p = row + x;
      if ((*p & kInk) == 0) continue;
      *p = kInk | kThin;
      if ((p[-s] & p[s] & p[-1] & p[1] & kInk) == 0) {
        *p |= kQueued;
        front.push_back(static_cast<std::uint32_t>(y * s + x));
      }
    }
  }
  std::vector<std::uint32_t> removed;
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
        if ((d[j] & (kThin | kQueued)) == kThin) {
          d[j] |= kQueued;
          next.push_back(j);
        }
      }
    front.swap(next);
  }
  for (int y = 1; y < h - 1; ++y) {
    const std::uint8_t* row = d + y * s;
    for (int x = 1; x < w - 1; ++x) {
      if (x + 8 < w - 1) {
        std::uint64_t eight;
        std::memcpy(&eight, row + x, 8);
        if ((eight & 0x0101010101010101ull) == 0) {
          x += 7;
          continue;
        }
      }
      if (row[x] & kThin) out.push_back(static_cast<std::uint32_t>(y * s + x));
    }
  }
  return out;
}

}  // namespace armslength
