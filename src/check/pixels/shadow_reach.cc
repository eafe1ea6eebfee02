#include "check/pixels/shadow_reach.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace armslength {
namespace {

constexpr double kBin = 0.4;                  // L* of a histogram's bin
constexpr double kFewestPlaces = 60.0;        // of a paint
constexpr double kFlat = 3.0, kPaint = 38.0;  // L* from shadow to light: less is one tone, more two paints. Defaults
constexpr double kClean = 0.95;               // of the places clearly light or clearly dark; soft shading has three quarters
constexpr double kOnePaint = 0.85;            // of a form's places
constexpr double kDark = 0.9;                 // of the way across: nothing to tell, all in shade
constexpr std::size_t kRim = 2;               // places; dark at both ends is no light's doing
constexpr int kGap = 2;                       // light places inside a shadow, of a fold or grain
constexpr double kKnown = 0.4;                // of the way across
constexpr std::size_t kFewestRays = 4;        // of a side
constexpr double kMostReach = 2.0;            // of the form's depth
constexpr double kSideCounts = 12.0;          // rays: a long side is one witness, as a short end is
constexpr double kFewestTold = 25.0, kLeastTold = 0.30, kTellsWell = 0.7, kMostWeight = 10.0;  // as for the sides
constexpr double kSuits = 0.6;

}  // namespace

void ShadowReach::Count(std::span<const float> l, std::span<const std::uint8_t> paint) {
  for (std::size_t i = 0; i < l.size(); ++i)
    histogram_[paint[i]][static_cast<std::size_t>(std::clamp(static_cast<double>(l[i]) / kBin, 0.0, kBins - 1.0))] += 1;
  ++rays_;
}

std::vector<ShadowReach::Tones> ShadowReach::TonesOf() const {
  std::vector<Tones> out(histogram_.size());
  for (std::size_t p = 1; p < histogram_.size(); ++p) {
    const auto& h = histogram_[p];
    Tones& t = out[p];
    double sum = 0;
    for (std::size_t k = 0; k < kBins; ++k) t.places += h[k], sum += static_cast<double>(k) * h[k];
    if (t.places < kFewestPlaces) continue;
    // The cut with the most variance between its two sides.
    double below = 0, sum_below = 0, most = 0, step = 0;
    for (std::size_t k = 0; k + 1 < kBins; ++k) {
      below += h[k], sum_below += static_cast<double>(k) * h[k];
      const double above = t.places - below;
      if (below < 0.01 * t.places || above < 0.01 * t.places) continue;
      const double low = sum_below / below, high = (sum - sum_below) / above;
      if (const double between = below * above * (high - low) * (high - low); between > most)
        most = between, t.cut = kBin * 0.5 * (low + high), step = kBin * (high - low);
    }
    t.known = step < kPaint;
    t.flat = step < kFlat;
    for (std::size_t k = 0; k < kBins; ++k)
      if (std::abs(kBin * static_cast<double>(k) - t.cut) >= 0.25 * step) t.clean += h[k] / t.places;
  }
  return out;
}

bool ShadowReach::Hard() {
  tones_ = TonesOf();
  double clean = 0, shaded = 0;
  for (const Tones& t : tones_)
    if (t.known && !t.flat) clean += t.places * t.clean, shaded += t.places;
  return shaded > 0 && clean >= kClean * shaded;
}

void ShadowReach::Add(std::size_t side, std::span<const float> l, std::span<const std::uint8_t> paint) {
  const std::size_t n = l.size();
  double known = 0, dark = 0;
  // How far shadow runs in from one end, over small gaps.
  const auto from = [&](bool far) {
    std::size_t deep = 0;
    int gap = 0;
    for (std::size_t k = 0; k < n && gap <= kGap; ++k) {
      const std::size_t i = far ? n - 1 - k : k;
      const Tones& t = tones_[paint[i]];
      if (!t.known) continue;
      if (!t.flat && static_cast<double>(l[i]) < t.cut)
        deep = k + 1, gap = 0;
      else
        ++gap;
    }
    return deep;
  };
  for (std::size_t i = 0; i < n; ++i)
    if (const Tones& t = tones_[paint[i]]; t.known) known += 1, dark += !t.flat && static_cast<double>(l[i]) < t.cut;
  if (known < kKnown * static_cast<double>(n) || known < 4 || dark > kDark * known) return;
  const std::size_t here = from(false);
  if (here > kRim && from(true) > kRim) return;
  reach_[side].push_back(std::min(kMostReach, static_cast<double>(here) / deepest_));
}

ShadowReach::Told ShadowReach::Read() const {
  Told told;
  double all = 0, largest = 0;
  for (const Tones& t : tones_) all += t.places, largest = std::max(largest, t.places);
  std::array<double, kSides> mean{}, weight{};
  double sum = 0, square = 0, count = 0;
  for (std::size_t k = 0; k < kSides; ++k) {
    std::vector<double> r = reach_[k];
    if (r.size() < kFewestRays) continue;
    std::ranges::sort(r);
    const std::size_t cut = r.size() / 5;
    for (std::size_t i = cut; i < r.size() - cut; ++i) mean[k] += r[i] / static_cast<double>(r.size() - 2 * cut);
    weight[k] = std::sqrt(std::min(static_cast<double>(r.size()), kSideCounts));
    sum += weight[k];
    square += weight[k] * mean[k] * mean[k];
    count += static_cast<double>(r.size());
  }
  const auto asked = static_cast<double>(rays_);
  if (sum < 4 || count < kFewestTold || count < kLeastTold * asked || square < 0.001 * sum) return told;
  LightReading light;
  light.best = -1;
  for (std::size_t j = 0; j < kLights; ++j) {
    double agree = 0, away = 0;
    for (std::size_t k = 0; k < kSides; ++k) {
      const double e = std::max(0.0, -std::cos(Direction(k, kSides) - Direction(j, kLights)));
      agree += weight[k] * mean[k] * e;
      away += weight[k] * e * e;
    }
    // The likeness of the two runs from 0 to 1, like the sides' agreement from -1.
    light.suits[j] = 2.0 * agree / std::sqrt(square * std::max(0.02 * sum, away)) - 1.0;
    light.best = std::max(light.best, light.suits[j]);
  }
  light.azimuth = MiddleOf(light, 0.04);
  const double share = std::min(1.0, count / asked / kTellsWell);
  light.weight = std::min(kMostWeight, std::sqrt(count)) * share * share;
  told.plain = light.best > kSuits && largest > kOnePaint * all;
  told.light = light;
  return told;
}

}  // namespace armslength
