#include "check/pixels/light_odds.h"

#include <algorithm>
#include <cmath>

namespace armslength {
namespace {

// Set on drawn figures with one light and two (seeds from 811001, 812001, 813001, 814001; with lights from all over 817001)
// and on rounded forms (from 915001).
constexpr double kSpread = 0.20;                              // by how much the true light suits a form less than its best one, one sd
constexpr double kSuitsWell = 0.97, kSuitsFairly = 0.90;      // the best light of a form
constexpr double kFairly = 1.2, kBadly = 1.5;                 // wider where it suits less
constexpr double kByLittle = 1.5, kPlain = 1.3, kSoft = 0.6;  // where little is told, of hard plain forms, in soft pictures
constexpr double kLittle = 0.4;                               // of the contour says something; the rest is plain
// Shares of forms that were misread, by weight; and at least so many where the far side lies under something (locks of hair,
// a leg behind the other: what is dark there is a cast shadow), where little is told, and among soft ones (hands).
constexpr double kHeavy = 9.0, kMiddling = 6.0, kSmall = 3.0;
constexpr double kHeavyWrong = 0.012, kMiddlingWrong = 0.02, kSmallWrong = 0.04, kSlightWrong = 0.15;
constexpr double kOneSided = 0.2, kOneSidedWrong = 0.30, kLittleWrong = 0.07, kSoftWrong = 0.15;
// What the reach of a hard shadow adds, on costumes: hems and boots mislead it by as much as they like.
constexpr double kReachSuits = 0.90, kReachSpread = 0.3, kReachMost = 1.0;
// Forms whose sides say nothing are heard by their reach alone, where that suits one light well (also from 815001, 816001, 821001,
// 822001 and 827001).
constexpr double kReachAloneSuits = 0.95, kReachAloneSpread = 0.3, kReachAloneFar = 6.0, kReachAloneWeight = 2.0, kReachAloneWrong = 0.30;
constexpr double kFollows = 1.0;  // likelier by so much (natural logarithm)

constexpr double kLimbWeight = 6.0;                // of a limb that no form lies on; a form's runs up to ten
constexpr double kOnLimb = 1.15, kPastEnd = 0.05;  // of half its width, of its length

// A form and the reading of it that is asked.
struct Voice {
  const LightForm* form = nullptr;
  const LightReading* says = nullptr;
};

// What is asked of a form; null where neither speaks.
const LightReading* Says(const LightForm& f) {
  if (f.sides.weight > 0) return &f.sides;
  return f.reach && f.reach->best > kReachAloneSuits && f.reach->weight >= kReachAloneWeight ? &*f.reach : nullptr;
}

bool BySides(const Voice& v) { return v.says == &v.form->sides; }

double Wrong(const Voice& v) {
  if (!BySides(v)) return kReachAloneWrong;
  const LightForm& f = *v.form;
  const double w = f.sides.weight;
  double wrong = w > kHeavy ? kHeavyWrong : w > kMiddling ? kMiddlingWrong : w > kSmall ? kSmallWrong : kSlightWrong;
  if (f.across < kOneSided) wrong = std::max(wrong, kOneSidedWrong);
  if (f.told < kLittle) wrong = std::max(wrong, kLittleWrong);
  if (!f.hard) wrong = std::max(wrong, kSoftWrong);
  return wrong;
}

// How far each light lies from what the form shows: half the square of the distance in sd, bounded for the reach.
LikelyLights Off(const Voice& v, bool soft) {
  const LightForm& f = *v.form;
  LikelyLights off{};
  const auto half_square = [](double short_of, double spread) { return 0.5 * short_of * short_of / (spread * spread); };
  if (!BySides(v)) {
    for (std::size_t j = 0; j < kLights; ++j)
      off[j] = std::min(kReachAloneFar, half_square(v.says->best - v.says->suits[j], kReachAloneSpread));
    return off;
  }
  const double best = f.sides.best;
  double spread = kSpread * (best > kSuitsWell ? 1.0 : best > kSuitsFairly ? kFairly : kBadly);
  if (f.told < kLittle) spread *= kByLittle;
  if (f.plain) spread *= kPlain;
  if (soft && !f.hard) spread *= kSoft;
  for (std::size_t j = 0; j < kLights; ++j) {
    off[j] = half_square(best - f.sides.suits[j], spread);
    if (f.reach && f.reach->best > kReachSuits) off[j] += std::min(kReachMost, (f.reach->best - f.reach->suits[j]) / kReachSpread);
  }
  return off;
}

LikelyLights LikelyFor(const Voice& v, bool soft) {
  LikelyLights out = Off(v, soft);
  double sum = 0;
  for (double& p : out) sum += p = std::exp(-p);
  const double wrong = Wrong(v);
  for (double& p : out) p = std::log((1 - wrong) * p * static_cast<double>(kLights) / sum + wrong);
  return out;
}

double ApartDeg(std::size_t i, std::size_t j) {
  const std::size_t between = i > j ? i - j : j - i;
  return 360.0 * static_cast<double>(std::min(between, kLights - between)) / static_cast<double>(kLights);
}

// The middle of the likeliest lights.
double AzimuthOf(const LikelyLights& likely) {
  const double best = *std::ranges::max_element(likely);
  Vec2 sum = Vec2::Zero();
  for (std::size_t j = 0; j < kLights; ++j)
    if (likely[j] > best - 1.0) sum += std::exp(likely[j] - best) * Vec2(std::cos(Direction(j, kLights)), std::sin(Direction(j, kLights)));
  return std::atan2(sum.y(), sum.x());
}

}  // namespace

bool LitLimb::Holds(const Vec2& at) const {
  const Vec2 along = to - from;
  const double t = (at - from).dot(along) / std::max(1.0, along.squaredNorm());
  return t > -kPastEnd && t < 1.0 + kPastEnd && (at - from - t * along).norm() < kOnLimb * half_px;
}

std::vector<Witness> Hear(const std::vector<LightForm>& forms, bool soft, std::span<const LitLimb> limbs) {
  std::vector<Witness> out;
  std::vector<char> shared(limbs.size(), 0);  // with a form
  for (const LightForm& f : forms) {
    const LightReading* says = Says(f);
    if (!says) continue;
    Witness heard{f.at, says->azimuth, says->weight, LikelyFor({&f, says}, soft), false};
    const LitLimb* on = nullptr;
    for (std::size_t k = 0; k < limbs.size(); ++k) {
      if (!limbs[k].Holds(f.at)) continue;
      shared[k] = 1;
      if (!on) on = &limbs[k];
    }
    if (on) {
      for (std::size_t j = 0; j < kLights; ++j) heard.likely[j] = 0.5 * (heard.likely[j] + on->likely[j]);
      heard.azimuth = AzimuthOf(heard.likely);
      heard.arm = on->arm;
    }
    out.push_back(std::move(heard));
  }
  for (std::size_t k = 0; k < limbs.size(); ++k)
    if (!shared[k]) {
      const LitLimb& limb = limbs[k];
      out.push_back({0.5 * (limb.from + limb.to), AzimuthOf(limb.likely), kLimbWeight, limb.likely, limb.arm});
    }
  return out;
}

LightOdds AskLights(const std::vector<Witness>& heard, double apart_deg) {
  LightOdds out;
  const auto all = [&](std::size_t i, std::size_t j) {
    double sum = 0;
    for (const Witness& w : heard) sum += std::max(w.likely[i], w.likely[j]);
    return sum;
  };
  double one = -1e9, two = -1e9;
  for (std::size_t i = 0; i < kLights; ++i) {
    if (const double own = all(i, i); own > one) one = own, out.one = i;
    for (std::size_t j = i + 1; j < kLights; ++j) {
      if (ApartDeg(i, j) < apart_deg) continue;
      if (const double both = all(i, j); both > two) two = both, out.first = i, out.second = j;
    }
  }
  out.odds = two - one;
  for (const Witness& w : heard) {
    const double d = w.likely[out.second] - w.likely[out.first];
    if (std::abs(d) > kFollows) out.group[d > 0].push_back(w);
  }
  return out;
}

LightOdds AskArms(const std::vector<Witness>& heard, double apart_deg) {
  LightOdds out;
  std::array<LikelyLights, 2> likely{};  // of the rest, of the arms
  std::array<bool, 2> any{};
  for (const Witness& w : heard) {
    any[w.arm] = true;
    for (std::size_t j = 0; j < kLights; ++j) likely[w.arm][j] += w.likely[j];
  }
  if (!any[0] || !any[1]) return out;
  double one = -1e9, two = -1e9;
  for (std::size_t i = 0; i < kLights; ++i) {
    if (const double own = likely[0][i] + likely[1][i]; own > one) one = own, out.one = i;
    for (std::size_t j = 0; j < kLights; ++j) {
      if (ApartDeg(i, j) < apart_deg) continue;
      if (const double both = likely[0][i] + likely[1][j]; both > two) two = both, out.first = i, out.second = j;
    }
  }
  out.odds = two - one;
  for (const Witness& w : heard) {
    const double d = w.likely[out.second] - w.likely[out.first];
    if (std::abs(d) > kFollows && (d > 0) == w.arm) out.group[w.arm].push_back(w);
  }
  return out;
}

}  // namespace armslength
