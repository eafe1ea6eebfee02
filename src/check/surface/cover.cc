#include "check/surface/cover.h"

#include <algorithm>
#include <bit>
#include <cmath>

#include "geometry/line.h"

namespace armslength::surface_check {

Cover::Cover(const cv::Mat& mask) {
  for (int y = 0; y < kSize; ++y)
    for (int x = 0; x < kSize; ++x)
      if (mask.at<std::uint8_t>(y, x)) rows_[static_cast<std::size_t>(y)][static_cast<std::size_t>(x) / 64] |= std::uint64_t{1} << (x % 64);
}

void Cover::AddHull(std::span<Vec2> points) {
  // Beside the camera's own plane a place can lie anywhere, or nowhere.
  const auto near = [](const Vec2& p) { return std::abs(p.x()) < 1e6 && std::abs(p.y()) < 1e6; };
  if (points.size() < 3 || points.size() > 32 || !std::all_of(points.begin(), points.end(), near)) return;
  std::sort(points.begin(), points.end(), [](const Vec2& a, const Vec2& b) { return a.y() != b.y() ? a.y() < b.y() : a.x() < b.x(); });
  // The hull's two sides, from the top down; not ConvexHull, whose list would be made a hundred thousand times a figure.
  std::array<Vec2, 32> left, right;
  const auto side = [&](std::array<Vec2, 32>& chain, double sign) {
    std::size_t n = 0;
    for (const Vec2& p : points) {
      while (n >= 2) {
        if (sign * Cross2(chain[n - 1] - chain[n - 2], p - chain[n - 2]) > 0.0) break;
        --n;
      }
      chain[n++] = p;
    }
    return n;
  };
  const std::size_t left_count = side(left, -1.0), right_count = side(right, 1.0);
  const int top = std::max(0, static_cast<int>(std::ceil(points.front().y() - 0.5)));
  const int bottom = std::min(kSize - 1, static_cast<int>(std::floor(points.back().y() - 0.5)));
  // A side's place on each row in turn, by its slope.
  struct Walk {
    const std::array<Vec2, 32>& chain;
    std::size_t last, i = 0;
    double x = 0.0, slope = 0.0, until = -1e9;
    double At(double y) {
      if (y > until) {
        while (i < last && chain[i + 1].y() < y) ++i;
        const Vec2 &a = chain[std::min(i, last - 1)], &b = chain[std::min(i, last - 1) + 1];
        slope = b.y() > a.y() ? (b.x() - a.x()) / (b.y() - a.y()) : 0.0;
        x = b.x() + slope * (y - b.y());
        until = b.y();
      } else {
        x += slope;
      }
      return std::clamp(x, -1000.0, 1000.0);
    }
  } lefts{left, left_count - 1}, rights{right, right_count - 1};
  for (int y = top; y <= bottom; ++y) {
    // Rounded by cutting off numbers made positive, for the same reason.
    const int first = std::max(0, static_cast<int>(lefts.At(y + 0.5) + 1024.5) - 1024);
    const int last = std::min(kSize - 1, static_cast<int>(rights.At(y + 0.5) + 1023.5) - 1024);
    if (first > last) continue;
    for (std::size_t w = static_cast<std::size_t>(first) / 64; w <= static_cast<std::size_t>(last) / 64; ++w) {
      const int low = std::max(0, first - 64 * static_cast<int>(w)), high = std::min(63, last - 64 * static_cast<int>(w));
      rows_[static_cast<std::size_t>(y)][w] |= (~std::uint64_t{0} >> (63 - (high - low))) << low;
    }
  }
}

int Cover::Count() const {
  int n = 0;
  for (const auto& row : rows_)
    for (const std::uint64_t word : row) n += std::popcount(word);
  return n;
}

int Cover::Differ(const Cover& other, const Cover& asked) const {
  int n = 0;
  for (std::size_t y = 0; y < rows_.size(); ++y)
    for (std::size_t w = 0; w < kWords; ++w) n += std::popcount((rows_[y][w] ^ other.rows_[y][w]) & asked.rows_[y][w]);
  return n;
}

cv::Mat Cover::Mask() const {
  cv::Mat mask = cv::Mat::zeros(kSize, kSize, CV_8U);
  for (int y = 0; y < kSize; ++y)
    for (int x = 0; x < kSize; ++x)
      if (rows_[static_cast<std::size_t>(y)][static_cast<std::size_t>(x) / 64] >> (x % 64) & 1) mask.at<std::uint8_t>(y, x) = 255;
  return mask;
}

}  // namespace armslength::surface_check
