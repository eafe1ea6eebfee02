// Which sides of every drawn form lie in shadow.
#include "check/pixels/light_forms.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <optional>

#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>

#include "check/pixels/context.h"
#include "check/pixels/levels.h"
#include "check/pixels/paints.h"
#include "check/pixels/regions.h"
#include "check/pixels/shading.h"
#include "check/pixels/shadow_reach.h"
#include "support/job.h"

namespace armslength {
namespace {

constexpr std::size_t kSides = ShadowReach::kSides;     // directions an outline is sorted into
constexpr double kSpeaks = 0.60;                        // agreement with the light that suits a form best, for it to count
constexpr double kLeastSlope = 0.15;                    // share of light, one side of a form against the other, that says anything
constexpr double kTellsWell = 0.7, kMostWeight = 10.0;  // a large form is one witness, as a small one is
constexpr double kLeastTold = 0.30;                     // of a form's contour must say something
// Lit along its length a form is dark at one end only and plain all the rest: then the plain contour says something, too.
constexpr double kPlainRest = 0.8;      // of the contour must be plain or told
constexpr double kFarContour = 0.4;     // of what is told must be seen from contour to contour
constexpr double kTurn = 1.8;           // a rim is all dark or all light before it faces away or to the light fully
constexpr double kLeastContour = 25.0;  // small px of contour that say something; locks of hair have less
constexpr double kSameMaterial = 0.07;  // OKLab a, b over L between light and shadow of one material
constexpr double kLeak = 0.12;          // of a form's depth: what is joined through less is parted
constexpr double kPaintRim = 0.35;      // of a patch's rim along other paint: more is print
constexpr double kLeastTone = 1.2, kPlainTone = 4.0, kMostTone = 38.0;  // L* from shadow to light; more is paint. Defaults, editable

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

// Lightness at the two sides of a form, by paint, seen from one direction of its contour.
struct Across {
  std::vector<std::array<std::vector<float>, 2>> l;  // by paint: this side, the other
  double rays = 0;
};

// How much lighter this side is than the other, -1..1: rank by rank, paint by paint, so that a print cancels out.
// Nothing when the sides share no paint.
std::optional<double> Lighter(Across& across) {
  double sum = 0, all = 0, compared = 0;
  for (auto& [here, there] : across.l) {
    const auto n = static_cast<double>(here.size()), m = static_cast<double>(there.size());
    all += std::max(n, m);
    if (n < 6 || m < 6) continue;
    std::ranges::sort(here);
    std::ranges::sort(there);
    constexpr int kRanks = 16;
    double lighter = 0;
    int paint = 0;
    for (int k = 0; k < kRanks; ++k) {
      const double rank = (k + 0.5) / kRanks;
      const double step = static_cast<double>(here[static_cast<std::size_t>(rank * n)] - there[static_cast<std::size_t>(rank * m)]);
      paint += std::abs(step) > kMostTone;
      if (std::abs(step) > kLeastTone) lighter += std::clamp(step / kPlainTone, -1.0, 1.0);
    }
    if (paint > kRanks / 4) continue;
    const double weight = std::min(n, m);
    sum += weight * lighter / kRanks;
    compared += weight;
  }
  if (compared < 0.25 * all || compared < 12) return std::nullopt;
  return sum / compared;
}

// What the sides of a form tell: `across` by the direction they face, `asked` places of the contour.
using BySide = std::array<std::array<Across, 2>, kSides>;  // by whether the far side is contour, too
struct Sides {
  LightReading light;
  double told = 0.0, across = 0.0;  // as in LightForm
};
Sides ReadSides(BySide& across, double asked) {
  Sides read;
  LightReading& out = read.light;
  std::array<double, kSides> weight{}, lit{};
  double told_by = 0, told_across = 0, plain = 0;
  for (std::size_t k = 0; k < kSides; ++k)
    for (const bool far_contour : {true, false}) {
      Across& one = across[k][far_contour];
      const auto lighter = one.rays < 4 ? std::nullopt : Lighter(one);
      if (!lighter) continue;
      if (std::abs(*lighter) < kLeastSlope) {
        plain += one.rays;
        continue;
      }
      // Dark at the far side only counts in full where that side is contour too, not under something that lies over it.
      const double w = one.rays * (*lighter > 0 && !far_contour ? 0.3 : 1.0);
      told_by += w;
      if (far_contour) told_across += w;
      weight[k] += w;
      lit[k] += w * std::clamp(2.0 * *lighter, -1.0, 1.0);
    }
  read.told = told_by / std::max(1.0, asked), read.across = told_across / std::max(1.0, told_by);
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
  const bool along = told_across >= kFarContour * told_by && told_by + plain >= kPlainRest * asked;
  const double speaks = along ? told_by + plain : told_by;
  if (sum < 4 || told_by < kLeastContour || speaks < kLeastTold * asked) return read;
  // Where little of the contour says anything, a cast shadow or a fold is easily taken for the form's own shade.
  const double share = std::min(1.0, speaks / asked / kTellsWell);
  out.weight = std::min(kMostWeight, std::sqrt(told_by)) * share * share;
  out.best = -1;
  for (std::size_t j = 0; j < kLights; ++j) {
    double agree = 0, facing = 0;
    for (std::size_t k = 0; k < kSides; ++k) {
      const double e = std::clamp(kTurn * std::cos(Direction(k, kSides) - Direction(j, kLights)), -1.0, 1.0);
      agree += weight[k] * e * lit[k];
      facing += weight[k] * e * e;
    }
    out.suits[j] = agree / std::sqrt(std::max(1e-9, square) * std::max(0.05 * sum, facing));
    if (out.suits[j] > out.best) out.best = out.suits[j];
  }
  if (out.best < kSpeaks) out.weight = 0;
  out.azimuth = MiddleOf(out, 0.05);
  return read;
}

// `to_ground`: small px from each pixel of the figure to the ground behind it; empty when they were not told apart.
std::optional<LightForm> ReadForm(const PictureContext& c, const Segment& patch, const cv::Mat& to_ground) {
  const SmallField& s = c.small;
  const std::array<const Segment*, 1> patches{&patch};
  const auto form = DepthOf(s, patches);
  if (!form) return std::nullopt;
  const auto& [width, x0, y0, mask, depth, gx, gy, deepest] = *form;
  std::size_t paints = 0;
  std::vector<Oklab> tone;
  for (const std::uint32_t i : patch.pixels)
    tone.push_back({static_cast<double>(s.ok_l[i]), static_cast<double>(s.a[i]), static_cast<double>(s.b[i])});
  const std::vector<std::uint8_t> which = Paints(tone, paints);
  cv::Mat paint(mask.rows, mask.cols, CV_8U, cv::Scalar(0));
  for (std::size_t k = 0; k < which.size(); ++k) paint.at<std::uint8_t>(form->Place(patch.pixels[k])) = which[k];
  // Straight across the form from every place of its contour: is this side light and the other dark? A cast shadow
  // darkens both, and so does shading that follows the outline.
  const auto rim = std::max(1.5f, 0.05f * static_cast<float>(deepest));
  const auto line = static_cast<float>(1.5 + 1.6 * c.graph.width_px / s.factor);
  BySide across;
  for (auto& both : across)
    for (Across& one : both) one.l.resize(paints);
  double asked = 0;
  ShadowReach reach(paints, deepest);
  struct Way {  // straight across, from a place of the contour
    int x = 0, y = 0, n = 0;
    double ix = 0, iy = 0;
    std::size_t faces = 0;
  };
  std::vector<Way> ways;
  std::vector<float> l;  // of one way
  std::vector<std::uint8_t> own_paint;
  const auto walk = [&](const Way& way) {
    l.assign(static_cast<std::size_t>(way.n), 0.0f);
    own_paint.assign(static_cast<std::size_t>(way.n), 0);
    for (int k = 0; k < way.n; ++k) {
      const int i = static_cast<int>(std::lround(way.x + way.ix * k)), j = static_cast<int>(std::lround(way.y + way.iy * k));
      const std::uint8_t own = own_paint[static_cast<std::size_t>(k)] = paint.at<std::uint8_t>(j, i);
      if (own != 0) l[static_cast<std::size_t>(k)] = s.l[s.At(i + x0 - 1, j + y0 - 1)];
    }
  };
  for (int y = 1; y + 1 < mask.rows; ++y)
    for (int x = 1; x + 1 < mask.cols; ++x) {
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
      const bool far_contour = contour(static_cast<int>(std::lround(x + ix * (n - 1))), static_cast<int>(std::lround(y + iy * (n - 1))));
      const double turn = std::atan2(-iy, -ix) / (2 * std::numbers::pi) + 1.0;
      const std::size_t faces = static_cast<std::size_t>(std::lround(turn * kSides)) % kSides;
      Across& one = across[faces][far_contour];
      ways.push_back({x, y, n, ix, iy, faces});
      walk(ways.back());
      const auto add = [&](std::size_t side, int from, int to) {
        for (int k = from; k < to; ++k)
          if (const std::uint8_t own = own_paint[static_cast<std::size_t>(k)]; own != 0)
            one.l[own - 1u][side].push_back(l[static_cast<std::size_t>(k)]);
      };
      const int quarter = std::max(3, n / 4);
      add(0, 0, quarter);
      add(1, n - quarter, n);
      one.rays += 1, asked += 1;
      reach.Count(l, own_paint);
    }
  LightForm out;
  out.area = static_cast<double>(patch.pixels.size());
  cv::Point deep;
  cv::minMaxLoc(depth, nullptr, nullptr, nullptr, &deep);
  out.at = {(deep.x + x0 - 0.5) * s.factor, (deep.y + y0 - 0.5) * s.factor};
  out.hard = reach.Hard();
  if (out.hard) {
    for (const Way& way : ways) walk(way), reach.Add(way.faces, l, own_paint);
    const ShadowReach::Told by_reach = reach.Read();
    out.reach = by_reach.light, out.plain = by_reach.plain;
  }
  const Sides sides = ReadSides(across, asked);
  out.sides = sides.light, out.told = sides.told, out.across = sides.across;
  if (out.sides.weight <= 0 && !out.reach) return std::nullopt;
  return out;
}

// Does more of a patch's rim run along other paint than along line?
bool BordersOnPaint(const SmallField& s, const Segment& patch, const std::vector<const Segment*>& owner) {
  std::size_t line = 0, paint = 0;
  const int w = s.width;
  for (const std::uint32_t i : patch.pixels) {
    const int x = static_cast<int>(i % static_cast<std::uint32_t>(w)), y = static_cast<int>(i / static_cast<std::uint32_t>(w));
    for (const auto& [dx, dy] : {std::pair{1, 0}, {-1, 0}, {0, 1}, {0, -1}})
      for (int r = 1; r <= 3; ++r) {  // the rim between two paints is blended
        const int px = x + r * dx, py = y + r * dy;
        if (px < 0 || py < 0 || px >= w || py >= s.height) break;
        const std::size_t j = s.At(px, py);
        if (owner[j] == &patch) break;
        if (s.ink[j] >= 64 || (owner[j] == nullptr && r == 3)) {
          ++line;
          break;
        }
        if (owner[j] != nullptr) {
          ++paint;
          break;
        }
      }
  }
  return paint > kPaintRim * static_cast<double>(paint + line);
}

// What hangs together, over lines of one or two small px and through more than a leak in them, is one form.
std::vector<Segment> SplitForms(const SmallField& s, const std::vector<const Segment*>& patches, double least) {
  if (patches.empty()) return {};
  const auto form = DepthOf(s, patches);
  if (!form) return {};
  cv::Mat core, labels;
  cv::compare(form->depth, std::max(2.0, kLeak * form->deepest), core, cv::CMP_GT);
  const int parts = cv::connectedComponents(core, labels, 8);
  std::vector<Segment> out(static_cast<std::size_t>(parts));
  if (parts > 2) {
    // Each place goes to the nearest core.
    cv::Mat away, nearest;
    cv::distanceTransform(core == 0, away, nearest, cv::DIST_L2, 5, cv::DIST_LABEL_PIXEL);
    std::vector<int> of(static_cast<std::size_t>(core.total()) + 1, 0);
    for (int y = 0; y < core.rows; ++y)
      for (int x = 0; x < core.cols; ++x)
        if (core.at<std::uint8_t>(y, x) != 0) of[static_cast<std::size_t>(nearest.at<int>(y, x))] = labels.at<int>(y, x);
    for (int y = 0; y < core.rows; ++y)
      for (int x = 0; x < core.cols; ++x) labels.at<int>(y, x) = of[static_cast<std::size_t>(nearest.at<int>(y, x))];
  } else {
    labels.setTo(1);
  }
  for (const Segment* patch : patches)
    for (const std::uint32_t i : patch->pixels) out[static_cast<std::size_t>(labels.at<int>(form->Place(i)))].pixels.push_back(i);
  std::erase_if(out, [&](const Segment& one) { return static_cast<double>(one.pixels.size()) < least; });
  return out;
}

}  // namespace

double MiddleOf(const LightReading& reading, double nearly) {
  Vec2 sum = Vec2::Zero();
  for (std::size_t j = 0; j < kLights; ++j)
    if (reading.suits[j] > reading.best - nearly) sum += Vec2(std::cos(Direction(j, kLights)), std::sin(Direction(j, kLights)));
  return std::atan2(sum.y(), sum.x());
}

std::vector<LightForm> ReadLightForms(const PictureContext& c, const std::vector<Segment>& patches) {
  const SmallField& s = c.small;
  double figure = 0;
  for (const std::uint8_t v : c.split.mask) figure += v != 0;
  if (figure <= 0) figure = static_cast<double>(s.l.size());
  const double least = (c.line.line_art ? 0.01 : 0.02) * figure;
  std::vector<Segment> groups;
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
    // Line does not always close: what has one colour all over is a form of its own. Stripes and checks, which border
    // on each other rather than on line, go together.
    std::vector<const Segment*> owner(s.l.size(), nullptr);
    for (const Segment& p : patches)
      for (const std::uint32_t i : p.pixels) owner[i] = &p;
    std::vector<std::vector<Segment>> of_cell(inside.size());
    ParallelFor(static_cast<int>(inside.size()), c.options->threads, [&](int cell) {
      const std::vector<const Segment*>& own = inside[static_cast<std::size_t>(cell)];
      const auto add_forms = [&](const std::vector<const Segment*>& all) {
        for (Segment& form : SplitForms(s, all, least)) of_cell[static_cast<std::size_t>(cell)].push_back(std::move(form));
      };
      std::vector<const Segment*> print;
      for (const Material& m : ByMaterial(s, own)) {
        if (static_cast<double>(m.patches[0]->pixels.size()) >= std::max(least, 0.3 * m.n) && !BordersOnPaint(s, *m.patches[0], owner))
          add_forms(m.patches);
        else
          print.insert(print.end(), m.patches.begin(), m.patches.end());
      }
      add_forms(print);
    });
    for (std::vector<Segment>& forms : of_cell) std::ranges::move(forms, std::back_inserter(groups));
  } else {
    for (const Segment& p : patches)
      if (static_cast<double>(p.pixels.size()) >= least) groups.push_back(p);
  }
  const cv::Mat to_ground =
      c.to_ground.empty() ? cv::Mat() : cv::Mat(c.split.height, c.split.width, CV_32F, const_cast<float*>(c.to_ground.data()));
  std::vector<std::optional<LightForm>> read(groups.size());
  ParallelFor(static_cast<int>(groups.size()), c.options->threads,
              [&](int i) { read[static_cast<std::size_t>(i)] = ReadForm(c, groups[static_cast<std::size_t>(i)], to_ground); });
  std::vector<LightForm> forms;
  for (const auto& form : read)
    if (form) forms.push_back(*form);
  return forms;
}

}  // namespace armslength
