// Which sides of every drawn form lie in shadow.
#include "check/pixels/light_forms.h"

#include <algorithm>
#include <cmath>
#include <optional>

#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>

#include "check/pixels/context.h"
#include "check/pixels/levels.h"
#include "check/pixels/regions.h"
#include "check/pixels/shading.h"

namespace armslength {
namespace {

constexpr std::size_t kSides = 24;                    // directions an outline is sorted into
constexpr double kSpeaks = 0.60;                      // agreement with the light that suits a form best, for it to count
constexpr double kLeastSlope = 0.15;                  // share of light, one side of a form against the other, that says anything
constexpr double kLeastTold = 0.12;                   // of a form's contour must say something
constexpr double kLeastContour = 45.0;                // small px of contour that say something; hands and locks have less
constexpr double kSameMaterial = 0.07;                // OKLab a, b over L between light and shadow of one material
constexpr double kLeastTone = 5.0, kMostTone = 38.0;  // L* from shadow to light; more is paint. Defaults, editable

// Patches of one material, told by the proportions of red, green and blue.
struct Material {
  double u = 0, v = 0, n = 0;
  std::vector<const Segment*> patches;
};

std::vector<Material> ByMaterial(const SmallField& s, const std::vector<const Segment*>& patches) {
  std::vector<Material> out;
  for (const Segment* p : patches) {
    double u = 0, v = 0;
    for (const std::uint32_t i : p->pixels) {
      const double l = std::max(0.08, static_cast<double>(s.ok_l[i]));
      u += static_cast<double>(s.a[i]) / l, v += static_cast<double>(s.b[i]) / l;
    }
    const auto n = static_cast<double>(p->pixels.size());
    u /= n, v /= n;
    auto same = std::ranges::find_if(out, [&](const Material& m) { return std::hypot(m.u - u, m.v - v) < kSameMaterial; });
    if (same == out.end()) same = out.insert(out.end(), {u, v, 0, {}});
    same->u = (same->u * same->n + u * n) / (same->n + n);
    same->v = (same->v * same->n + v * n) / (same->n + n);
    same->n += n;
    same->patches.push_back(p);
  }
  return out;
}

// `to_ground`: small px from each pixel of the figure to the ground behind it; empty when they were not told apart.
std::optional<LightForm> ReadForm(const PictureContext& c, const std::vector<Material>& materials, const cv::Mat& to_ground) {
  const SmallField& s = c.small;
  std::vector<const Segment*> patches;
  for (const Material& m : materials) patches.insert(patches.end(), m.patches.begin(), m.patches.end());
  const auto form = DepthOf(s, patches);
  if (!form) return std::nullopt;
  const auto& [width, x0, y0, mask, depth, gx, gy, deepest] = *form;
  std::size_t all = 0;
  for (const Segment* p : patches) all += p->pixels.size();

  // Light and shadow of each.
  cv::Mat tone(mask.rows, mask.cols, CV_8U, cv::Scalar(0));  // 1 shadow, 2 light, 0 says nothing
  double told = 0;
  for (const Material& m : materials) {
    std::vector<double> histogram(256, 0.0);
    for (const Segment* p : m.patches)
      for (const std::uint32_t i : p->pixels)
        histogram[LevelBin(static_cast<double>(s.l[i]) / kLPerByte)] += 1;
    const LevelSplit split = SplitLevels(histogram, 2);
    const double step = (split.means[1] - split.means[0]) * kLPerByte;
    if (step < kLeastTone || step > kMostTone || split.shares[0] < 0.05 || split.shares[1] < 0.05) continue;
    const double cut = (split.cuts[0] - 0.5) * kLPerByte;
    for (const Segment* p : m.patches)
      for (const std::uint32_t i : p->pixels) tone.at<std::uint8_t>(form->Place(i)) = static_cast<double>(s.l[i]) >= cut ? 2 : 1;
    told += m.n;
  }
  if (told < 0.5 * static_cast<double>(all)) return std::nullopt;
  // A pattern falls apart into many pieces; light and shadow do not.
  for (const int light : {1, 2}) {
    cv::Mat one = tone == light, labels, stats, centres;
    cv::morphologyEx(one, one, cv::MORPH_CLOSE, cv::getStructuringElement(cv::MORPH_ELLIPSE, {5, 5}));
    const int parts = cv::connectedComponentsWithStats(one, labels, stats, centres, 8);
    std::vector<int> areas;
    double sum = 0;
    for (int i = 1; i < parts; ++i) areas.push_back(stats.at<int>(i, cv::CC_STAT_AREA)), sum += areas.back();
    std::sort(areas.rbegin(), areas.rend());
    const double few = (areas.empty() ? 0 : areas[0]) + (areas.size() < 2 ? 0 : areas[1]) + (areas.size() < 3 ? 0 : areas[2]);
    if (few < 0.7 * sum) return std::nullopt;
  }
  // Straight across the form from every place of its contour: is this side light and the other dark? A cast shadow
  // darkens both, and so does shading that follows the outline.
  const auto rim = std::max(1.5f, 0.05f * static_cast<float>(deepest));
  const auto line = static_cast<float>(1.5 + 1.6 * c.graph.width_px / s.factor);
  std::array<double, kSides> weight{}, lit{};
  double asked = 0, told_by = 0;
  for (int y = 1; y + 1 < tone.rows; ++y)
    for (int x = 1; x + 1 < tone.cols; ++x) {
      const float d = depth.at<float>(y, x);
      if (d < rim || d >= rim + 1.2f) continue;
      // The figure's own contour only: at a line inside it, fold or overlap, the form need not turn away.
      const auto contour = [&](int i, int j) {
        return to_ground.empty() || to_ground.at<float>(j + y0 - 1, i + x0 - 1) <= depth.at<float>(j, i) + line;
      };
      if (!contour(x, y)) continue;
      const double sx = static_cast<double>(gx.at<float>(y, x)), sy = static_cast<double>(gy.at<float>(y, x)), slope = std::hypot(sx, sy);
      if (slope < 0.3) continue;
      const double ix = sx / slope, iy = sy / slope;
      int n = 0;
      while (true) {
        const int i = static_cast<int>(std::lround(x + ix * (n + 1))), j = static_cast<int>(std::lround(y + iy * (n + 1)));
        if (i < 0 || j < 0 || i >= mask.cols || j >= mask.rows || mask.at<std::uint8_t>(j, i) == 0) break;
        ++n;
      }
      if (n < 6) continue;
      const auto share = [&](int begin, int end) {
        int known = 0, light = 0;
        for (int k = begin; k < end; ++k) {
          const std::uint8_t t =
              tone.at<std::uint8_t>(static_cast<int>(std::lround(y + iy * k)), static_cast<int>(std::lround(x + ix * k)));
          known += t != 0, light += t == 2;
        }
        return known >= 2 ? static_cast<double>(light) / known : -1.0;
      };
      const int quarter = std::max(3, n / 4);
      const double here = share(0, quarter), there = share(n - quarter, n);
      if (here < 0 || there < 0) continue;
      asked += 1;
      if (std::abs(here - there) < kLeastSlope) continue;
      // Dark at the far side only counts in full where that side is contour too, not under something that lies over it.
      const bool far_contour = contour(static_cast<int>(std::lround(x + ix * (n - 1))), static_cast<int>(std::lround(y + iy * (n - 1))));
      const double w1 = here > there && !far_contour ? 0.3 : 1.0;
      const double turn = std::atan2(-iy, -ix) / (2 * std::numbers::pi) + 1.0;
      const auto k = static_cast<std::size_t>(std::lround(turn * kSides)) % kSides;
      told_by += w1;
      weight[k] += w1;
      lit[k] += w1 * std::clamp(2.0 * (here - there), -1.0, 1.0);
    }
  double sum = 0, square = 0;
  for (std::size_t k = 0; k < kSides; ++k) {
    if (weight[k] < 4) {
      weight[k] = 0;
      continue;
    }
    lit[k] /= weight[k];
    weight[k] = std::sqrt(std::min(weight[k], 12.0));  // the ends of a limb are short but tell as much
    sum += weight[k];
    square += weight[k] * lit[k] * lit[k];
  }
  if (sum < 4 || told_by < kLeastContour || told_by < kLeastTold * asked) return std::nullopt;
  LightForm out;
  out.area = static_cast<double>(all);
  out.weight = std::sqrt(told_by);
  cv::Point deep;
  cv::minMaxLoc(depth, nullptr, nullptr, nullptr, &deep);
  out.at = {(deep.x + x0 - 0.5) * s.factor, (deep.y + y0 - 0.5) * s.factor};
  out.best = -1;
  for (std::size_t j = 0; j < kLights; ++j) {
    double agree = 0, facing = 0;
    for (std::size_t k = 0; k < kSides; ++k) {
      const double e = std::cos(Direction(k, kSides) - Direction(j, kLights));
      agree += weight[k] * e * lit[k];
      facing += weight[k] * e * e;
    }
    out.suits[j] = agree / std::sqrt(std::max(1e-9, square) * std::max(0.05 * sum, facing));
    if (out.suits[j] > out.best) out.best = out.suits[j];
  }
  // The middle of all directions that suit nearly as well.
  double cx = 0, cy = 0;
  for (std::size_t j = 0; j < kLights; ++j)
    if (out.suits[j] > out.best - 0.05) cx += std::cos(Direction(j, kLights)), cy += std::sin(Direction(j, kLights));
  out.azimuth = std::atan2(cy, cx);
  return out;
}

}  // namespace

std::vector<LightForm> ReadLightForms(const PictureContext& c, const std::vector<Segment>& patches) {
  const SmallField& s = c.small;
  double figure = 0;
  for (const std::uint8_t v : c.split.mask) figure += v != 0;
  if (figure <= 0) figure = static_cast<double>(s.l.size());
  const double least = (c.line.line_art ? 0.01 : 0.02) * figure;
  std::vector<std::vector<Material>> groups;
  if (c.line.line_art) {
    const Parts cells = FindParts(s.height, false, [&](int y, const auto& add) {
      const auto open = [&](int x) {
        const std::size_t i = s.At(x, y);
        return s.seen[i] && s.ink[i] < 64 && (c.split.by == SplitBy::kNone || c.split.mask[i] != 0);
      };
      int x = 0;
      while (x < s.width) {
        while (x < s.width && !open(x)) ++x;
        const int from = x;
        while (x < s.width && open(x)) ++x;
        if (x > from) add(from, x);
      }
    });
    std::vector<std::vector<const Segment*>> inside(cells.parts.size());
    for (const Segment& p : patches) {
      const int cell = cells.At(static_cast<int>(p.pixels[0] % static_cast<std::uint32_t>(s.width)),
                                static_cast<int>(p.pixels[0] / static_cast<std::uint32_t>(s.width)));
      if (cell >= 0 && static_cast<double>(cells.parts[static_cast<std::size_t>(cell)].area) >= least)
        inside[static_cast<std::size_t>(cell)].push_back(&p);
    }
    // Line does not always close: what has one colour all over is a form of its own. Stripes and checks,
    // whose pieces are small, go together.
    for (const auto& own : inside) {
      std::vector<Material> print;
      double n = 0;
      for (Material& m : ByMaterial(s, own)) {
        if (m.n >= least && static_cast<double>(m.patches[0]->pixels.size()) >= 0.3 * m.n) {
          groups.push_back({std::move(m)});
        } else {
          n += m.n;
          print.push_back(std::move(m));
        }
      }
      if (n >= least) groups.push_back(std::move(print));
    }
  } else {
    for (const Segment& p : patches)
      if (static_cast<double>(p.pixels.size()) >= least) groups.push_back(ByMaterial(s, {&p}));
  }
  const cv::Mat to_ground =
      c.to_ground.empty() ? cv::Mat() : cv::Mat(c.split.height, c.split.width, CV_32F, const_cast<float*>(c.to_ground.data()));
  std::vector<LightForm> forms;
  for (const auto& group : groups)
    if (auto form = ReadForm(c, group, to_ground)) {
      if (form->best >= kSpeaks) forms.push_back(*form);
    }
  return forms;
}

}  // namespace armslength
