#include "check/pixels/ink.h"

#include <algorithm>
#include <array>
#include <atomic>
#include <cmath>

#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>

#include "check/pixels/thinning.h"
#include "support/job.h"

namespace armslength {

InkMask FindInk(const PlaneU8& l, const InkOptions& options, int threads) {
  const int w = l.width(), h = l.height();
  InkMask out;
  out.width_limit_px = std::max(10, static_cast<int>(std::lround(options.width_limit_share * std::max(w, h))));
  const int q = out.cell = std::clamp(out.width_limit_px / 10, 1, 4);
  const int cw = out.cells_x = (w + q - 1) / q, ch = out.cells_y = (h + q - 1) / q;
  cv::Mat low(ch, cw, CV_8U), mean(ch, cw, CV_8U);
  constexpr int kRows = 64;
  ParallelFor((ch + kRows - 1) / kRows, threads, [&](int strip) {
    std::vector<std::uint8_t> least(static_cast<std::size_t>(w));
    std::vector<std::uint16_t> sum(static_cast<std::size_t>(w));
    for (int cy = strip * kRows; cy < std::min(ch, (strip + 1) * kRows); ++cy) {
      const int y0 = cy * q, y1 = std::min(h, y0 + q);
      std::fill(least.begin(), least.end(), std::uint8_t{255});
      std::fill(sum.begin(), sum.end(), std::uint16_t{0});
      for (int y = y0; y < y1; ++y) {
        const std::uint8_t* p = l.Row(y);
        for (int x = 0; x < w; ++x) {
          const auto i = static_cast<std::size_t>(x);
          least[i] = std::min(least[i], p[x]);
          sum[i] = static_cast<std::uint16_t>(sum[i] + p[x]);
        }
      }
      std::uint8_t* lo = low.ptr(cy);
      std::uint8_t* me = mean.ptr(cy);
      for (int cx = 0; cx < cw; ++cx) {
        const int x0 = cx * q, x1 = std::min(w, x0 + q);
        std::uint8_t m = 255;
        unsigned s = 0;
        for (int x = x0; x < x1; ++x) {
          m = std::min(m, least[static_cast<std::size_t>(x)]);
          s += sum[static_cast<std::size_t>(x)];
        }
        lo[cx] = m;
        me[cx] = static_cast<std::uint8_t>(s / static_cast<unsigned>((x1 - x0) * (y1 - y0)));
      }
    }
  });
  const int reach = (out.width_limit_px + q - 1) / q + 2;
  cv::Mat ground, near;
  cv::morphologyEx(mean, ground, cv::MORPH_CLOSE, cv::getStructuringElement(cv::MORPH_RECT, {reach, reach}),
                   {-1, -1}, 1, cv::BORDER_REPLICATE);
  cv::erode(low, near, cv::getStructuringElement(cv::MORPH_CROSS, {3, 3}), {-1, -1}, 1, cv::BORDER_REPLICATE);
  out.threshold.resize(static_cast<std::size_t>(cw) * static_cast<std::size_t>(ch));
  out.ground.resize(out.threshold.size());
  const int least_contrast = static_cast<int>(std::lround(options.min_contrast_l / kLPerByte));
  const int full_contrast = static_cast<int>(std::lround(options.full_contrast_l / kLPerByte));
  const auto contrast = [&](int cy, int cx) { return ground.at<std::uint8_t>(cy, cx) - near.at<std::uint8_t>(cy, cx); };
  std::array<std::size_t, 256> dark{};
  std::size_t line_cells = 0;
  for (int cy = 0; cy < ch; ++cy)
    for (int cx = 0; cx < cw; ++cx)
      if (contrast(cy, cx) >= least_contrast) {
        ++dark[low.at<std::uint8_t>(cy, cx)];
        ++line_cells;
      }
  const auto quantile = [&](double share) {
    std::size_t below = 0;
    for (std::size_t i = 0; i < 256 && line_cells > 0; ++i) {
      below += dark[i];
      if (static_cast<double>(below) >= share * static_cast<double>(line_cells)) return static_cast<int>(i);
    }
    return 0;
  };
  // Where the lines are dark, an even patch that is plainly lighter than they are is a narrow
  // fill (a stripe, a strap), not a line; its rim goes with it.
  const int ink_low = quantile(0.25);
  out.ink_l = quantile(0.5) * kLPerByte;
  cv::Mat fill = cv::Mat::zeros(ch, cw, CV_8U);
  const int lighter = ink_low + static_cast<int>(std::lround(18.0 / kLPerByte));
  if (ink_low * kLPerByte < 35.0) {
    cv::Mat top, bottom;
    const int even = std::max(2, (5 + q - 1) / q);  // about 5 px across: anti-aliased rims are not even that far
    const cv::Mat patch = cv::getStructuringElement(cv::MORPH_RECT, {even, even});
    cv::dilate(mean, top, patch);
    cv::erode(low, bottom, patch);
    for (int cy = 0; cy < ch; ++cy)
      for (int cx = 0; cx < cw; ++cx)
        if (contrast(cy, cx) >= least_contrast && bottom.at<std::uint8_t>(cy, cx) > lighter &&
            top.at<std::uint8_t>(cy, cx) - bottom.at<std::uint8_t>(cy, cx) <= 6)
          fill.at<std::uint8_t>(cy, cx) = 255;
    cv::dilate(fill, fill, cv::getStructuringElement(cv::MORPH_RECT, {even + 3, even + 3}));
  }
  for (int cy = 0; cy < ch; ++cy)
    for (int cx = 0; cx < cw; ++cx) {
      const int b = ground.at<std::uint8_t>(cy, cx), d = near.at<std::uint8_t>(cy, cx);
      const auto i = static_cast<std::size_t>(cy) * static_cast<std::size_t>(cw) + static_cast<std::size_t>(cx);
      out.ground[i] = static_cast<std::uint8_t>(b);
      if (b - d < least_contrast) continue;
      // Beside such a patch only real ink counts.
      if (fill.at<std::uint8_t>(cy, cx) != 0) {
        if (d <= lighter) out.threshold[i] = static_cast<std::uint8_t>(std::min((b + d) / 2, lighter));
        continue;
      }
      int t = std::max((b + d) / 2, b - full_contrast);
      // Dark line: what lies nearer to the ground than to the ink is tone, not line.
      if (ink_low * kLPerByte < 35.0 && b > ink_low) t = std::min(t, ink_low + (11 * (b - ink_low)) / 20);
      out.threshold[i] = static_cast<std::uint8_t>(t);
    }
  out.plane = PlaneU8(w + 2, h + 2);
  std::atomic<std::uint64_t> count = 0;
  ParallelFor((ch + kRows - 1) / kRows, threads, [&](int strip) {
    std::uint64_t n = 0;
    for (int cy = strip * kRows; cy < std::min(ch, (strip + 1) * kRows); ++cy) {
      const std::uint8_t* t = out.threshold.data() + static_cast<std::size_t>(cy) * static_cast<std::size_t>(cw);
      for (int y = cy * q; y < std::min(h, (cy + 1) * q); ++y) {
        const std::uint8_t* p = l.Row(y);
        std::uint8_t* o = out.plane.Row(y + 1) + 1;
        for (int cx = 0; cx < cw; ++cx) {
          if (t[cx] == 0) continue;
          for (int x = cx * q; x < std::min(w, (cx + 1) * q); ++x)
            if (p[x] < t[cx]) {
              o[x] = kInk;
              ++n;
            }
        }
      }
    }
    count += n;
  });
  out.share = static_cast<double>(count) / (static_cast<double>(w) * h);
  return out;
}

}  // namespace armslength
