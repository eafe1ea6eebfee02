#include <algorithm>
#include <array>
#include <cmath>

#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>

#include "check/pixels/context.h"
#include "colour/planes.h"
#include "words/say.h"

namespace armslength {
namespace {

// Parts of the longer side: the widest rim of a cut-out, and how uneven it may be.
constexpr double kRim = 0.06, kUneven = 0.006;
constexpr float kBackgroundStep = 0.035f;  // OKLab distance still the same flat background; default, editable

double Share(const cv::Mat& mask) { return static_cast<double>(cv::countNonZero(mask)) / static_cast<double>(mask.total()); }

bool FromOutline(const PictureContext& c, cv::Mat& mask) {
  if (c.options->marks == nullptr) return false;
  std::vector<std::vector<cv::Point>> polygons;
  for (const FigureMarks& figure : c.options->marks->figures)
    for (const Area& area : figure.areas) {
      if (area.kind != "figure" || area.outline.size() < 3) continue;
      auto& p = polygons.emplace_back();
      for (const Vec2& v : area.outline)
        p.emplace_back(static_cast<int>(v.x() / c.small.factor), static_cast<int>(v.y() / c.small.factor));
    }
  if (polygons.empty()) return false;
  mask.setTo(0);
  cv::fillPoly(mask, polygons, cv::Scalar(255));
  return true;
}

bool FromAlpha(const PictureContext& c, cv::Mat& mask) {
  for (int y = 0; y < mask.rows; ++y)
    for (int x = 0; x < mask.cols; ++x) mask.at<std::uint8_t>(y, x) = c.small.seen[c.small.At(x, y)] ? 255 : 0;
  const double share = Share(mask);
  return share > 0.005 && share < 0.95;
}

bool FromLayers(const PictureContext& c, cv::Mat& mask) {
  const auto& layers = c.picture->layers;
  if (layers.size() < 2) return false;
  const auto paint = [&](const Layer& layer) {
    const double f = c.small.factor;
    for (int y = 0; y < mask.rows; ++y) {
      const int ly = static_cast<int>((y + 0.5) * f) - layer.y;
      if (ly < 0 || ly >= layer.image.height) continue;
      for (int x = 0; x < mask.cols; ++x) {
        const int lx = static_cast<int>((x + 0.5) * f) - layer.x;
        if (lx < 0 || lx >= layer.image.width) continue;
        if (layer.image.At(lx, ly)[3] * layer.opacity >= 128) mask.at<std::uint8_t>(y, x) = 255;
      }
    }
  };
  // The lowest visible layer that fills the picture is the ground; what lies on it is the figure.
  std::size_t ground = layers.size();
  for (std::size_t i = 0; i < layers.size(); ++i) {
    if (!layers[i].visible) continue;
    mask.setTo(0);
    paint(layers[i]);
    if (Share(mask) > 0.97) ground = i;
    break;
  }
  if (ground == layers.size()) return false;
  mask.setTo(0);
  for (std::size_t i = ground + 1; i < layers.size(); ++i)
    if (layers[i].visible) paint(layers[i]);
  return Share(mask) > 0.005 && Share(mask) < 0.9;
}

bool FromFlatBackground(const PictureContext& c, cv::Mat& mask) {
  const SmallField& s = c.small;
  std::vector<std::size_t> border;
  for (int x = 0; x < s.width; ++x) {
    border.push_back(s.At(x, 0));
    border.push_back(s.At(x, s.height - 1));
  }
  for (int y = 1; y + 1 < s.height; ++y) {
    border.push_back(s.At(0, y));
    border.push_back(s.At(s.width - 1, y));
  }
  // The border colour that most of the border shares.
  std::array<float, 3> best{};
  std::size_t most = 0;
  const std::size_t every = std::max<std::size_t>(1, border.size() / 64);
  const auto close = [&](std::size_t i, const std::array<float, 3>& m) {
    const float dl = s.ok_l[i] - m[0], da = s.a[i] - m[1], db = s.b[i] - m[2];
    return dl * dl + da * da + db * db < kBackgroundStep * kBackgroundStep;
  };
  for (std::size_t k = 0; k < border.size(); k += every) {
    const std::array<float, 3> m = {s.ok_l[border[k]], s.a[border[k]], s.b[border[k]]};
    std::size_t n = 0;
    for (const std::size_t i : border) n += close(i, m);
    if (n > most) {
      most = n;
      best = m;
    }
  }
  if (static_cast<double>(most) < 0.6 * static_cast<double>(border.size())) return false;
  cv::Mat same(s.height, s.width, CV_8U);
  for (int y = 0; y < s.height; ++y)
    for (int x = 0; x < s.width; ++x) same.at<std::uint8_t>(y, x) = close(s.At(x, y), best) ? 255 : 0;
  // Shrunk first, so that the ground does not seep through small gaps of the line.
  const int r = std::max(1, static_cast<int>(std::lround(0.0025 * std::max(s.width, s.height))));
  const cv::Mat disk = cv::getStructuringElement(cv::MORPH_ELLIPSE, {2 * r + 1, 2 * r + 1});
  cv::Mat shrunk;
  cv::copyMakeBorder(same, same, 1, 1, 1, 1, cv::BORDER_CONSTANT, cv::Scalar(255));  // round the picture is ground
  cv::erode(same, shrunk, disk, {-1, -1}, 1, cv::BORDER_CONSTANT, cv::Scalar(255));
  shrunk.row(0).setTo(255);
  shrunk.row(shrunk.rows - 1).setTo(255);
  shrunk.col(0).setTo(255);
  shrunk.col(shrunk.cols - 1).setTo(255);
  cv::floodFill(shrunk, cv::Point(0, 0), cv::Scalar(128), nullptr, cv::Scalar(0), cv::Scalar(0), 4);
  cv::Mat ground = shrunk == 128;
  // A coloured ground also shows through holes between arm and body; white inside may be a white shirt.
  const bool white = best[0] > 0.97f && std::hypot(best[1], best[2]) < 0.02f;
  if (!white) {
    cv::Mat labels, stats, centres;
    const cv::Mat inner = shrunk == 255;
    const int n = cv::connectedComponentsWithStats(inner, labels, stats, centres, 4);
    for (int i = 1; i < n; ++i) {
      if (stats.at<int>(i, cv::CC_STAT_AREA) < 0.002 * static_cast<double>(inner.total())) continue;
      // The very same colour, not one that is merely close.
      const cv::Rect box(stats.at<int>(i, 0), stats.at<int>(i, 1), stats.at<int>(i, 2), stats.at<int>(i, 3));
      std::array<double, 3> mean{};
      double count = 0;
      for (int y = box.y; y < box.y + box.height; ++y)
        for (int x = box.x; x < box.x + box.width; ++x) {
          if (labels.at<int>(y, x) != i || x < 1 || y < 1 || x > s.width || y > s.height) continue;
          const std::size_t k = s.At(x - 1, y - 1);
          mean[0] += static_cast<double>(s.ok_l[k]), mean[1] += static_cast<double>(s.a[k]), mean[2] += static_cast<double>(s.b[k]);
          count += 1;
        }
      if (count > 0 && std::hypot(mean[0] / count - static_cast<double>(best[0]), mean[1] / count - static_cast<double>(best[1]), mean[2] / count - static_cast<double>(best[2])) < 0.012)
        ground |= labels == i;
    }
  }
  cv::dilate(ground, ground, disk);
  ground &= same;
  mask = 255 - ground(cv::Rect(1, 1, s.width, s.height));
  const double share = Share(mask);
  return share > 0.005 && share < 0.97;
}

}  // namespace

std::string_view Name(SplitBy split) {
  constexpr std::array<std::string_view, 5> kNames = {Later("none"), Later("alpha"), Later("layers"), Later("flat background"),
                                                      Later("marked outline")};
  return kNames[static_cast<std::size_t>(split)];
}

SmallField MakeSmallField(const PixelPlanes& planes) {
  SmallField out;
  out.width = planes.small.width;
  out.height = planes.small.height;
  out.factor = planes.factor;
  const std::size_t n = static_cast<std::size_t>(out.width) * static_cast<std::size_t>(out.height);
  for (auto* v : {&out.l, &out.ok_l, &out.a, &out.b}) v->resize(n);
  out.ink.resize(n);
  out.seen.resize(n);
  ParallelFor(out.height, 0, [&](int y) {
    const std::size_t i = out.At(0, y);
    const auto w = static_cast<std::size_t>(out.width);
    LabRow(planes.small.At(0, y), w, out.l.data() + i, nullptr, nullptr);
    OklabRow(planes.small.At(0, y), w, out.ok_l.data() + i, out.a.data() + i, out.b.data() + i);
    for (std::size_t x = 0; x < w; ++x) out.seen[i + x] = planes.small.pixels[4 * (i + x) + 3] >= 128;
  });
  return out;
}

FigureSplit SplitFigure(const PictureContext& c) {
  FigureSplit out;
  cv::Mat mask(c.small.height, c.small.width, CV_8U, cv::Scalar(0));
  if (FromOutline(c, mask)) out.by = SplitBy::kOutline;
  else if (FromAlpha(c, mask)) out.by = SplitBy::kAlpha;
  else if (FromLayers(c, mask)) out.by = SplitBy::kLayers;
  else if (FromFlatBackground(c, mask)) out.by = SplitBy::kFlatBackground;
  out.width = mask.cols;
  out.height = mask.rows;
  out.scale = 1.0 / c.small.factor;
  if (out.by == SplitBy::kNone) return out;
  // The box holds the parts that matter, not specks.
  cv::Mat labels, stats, centres;
  const int n = cv::connectedComponentsWithStats(mask, labels, stats, centres, 8);
  int largest = 0;
  for (int i = 1; i < n; ++i) largest = std::max(largest, stats.at<int>(i, cv::CC_STAT_AREA));
  cv::Rect box;
  for (int i = 1; i < n; ++i) {
    if (stats.at<int>(i, cv::CC_STAT_AREA) < largest / 50) continue;
    const cv::Rect r(stats.at<int>(i, 0), stats.at<int>(i, 1), stats.at<int>(i, 2), stats.at<int>(i, 3));
    box = box.empty() ? r : (box | r);
  }
  const double f = c.small.factor;
  out.box_px = {box.x * f, box.y * f, box.width * f, box.height * f};
  out.area_share = Share(mask);
  out.mask.assign(mask.datastart, mask.dataend);
  return out;
}

bool CutOut(const PictureContext& c) {
  if (c.split.by == SplitBy::kNone) return false;
  const auto& [x, y, w, h] = c.split.box_px;
  std::array<double, 4> free = {x, y, c.Width() - x - w, c.Height() - y - h};
  std::ranges::sort(free);
  const double uneven = kUneven * c.LongSide() + c.small.factor;
  const auto even = [&](std::size_t sides) { return free[sides - 1] < kRim * c.LongSide() && free[sides - 1] - free[0] < uneven; };
  // One side may be further off: a thing beside the figure. A figure that runs out of the page on three sides is no cut-out.
  return even(4) || (free[0] >= c.FrameRim() && even(3));
}

}  // namespace armslength
