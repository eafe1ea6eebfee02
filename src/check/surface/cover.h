#pragma once
#include <array>
#include <cstddef>
#include <cstdint>
#include <span>

#include <opencv2/core.hpp>

#include "marks/figure.h"

// What a shape covers of a small canvas, one bit a place: shapes are laid and compared thousands of times in a fit. Private to check/surface.
namespace armslength::surface_check {

class Cover {
 public:
  static constexpr int kSize = 144;  // places each way

  Cover() = default;
  explicit Cover(const cv::Mat& mask);  // CV_8U, kSize each way; not 0 is covered

  // Adds the places whose middle lies in the convex hull of these, in places. Sorts them. 3 to 32; nothing when one lies a million
  // places off, or nowhere.
  void AddHull(std::span<Vec2> points);
  [[nodiscard]] int Count() const;
  // Places within `asked` that only one of the two covers.
  [[nodiscard]] int Differ(const Cover& other, const Cover& asked) const;
  [[nodiscard]] cv::Mat Mask() const;  // as the constructor takes it

 private:
  static constexpr std::size_t kWords = (kSize + 63) / 64;
  std::array<std::array<std::uint64_t, kWords>, kSize> rows_{};
};

}  // namespace armslength::surface_check
