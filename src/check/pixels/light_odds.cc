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

bool Speaks(const LightForm& f) {
  return f.sides.weight > 0 || (f.reach && f.reach->best > kReachAloneSuits && f.reach->weight >= kReachAloneWeight);
}

double Wrong(const LightForm& f) {
  const double w = f.sides.weight;
  if (w <= 0) return kReachAloneWrong;
  double wrong = w > kHeavy ? kHeavyWrong : w > kMiddling ? kMiddlingWrong : w > kSmall ? kSmallWrong : kSlightWrong;
  if (f.across < kOneSided) wrong = std::max(wrong, kOneSidedWrong);
  if (f.told < kLittle) wrong = std::max(wrong, kLittleWrong);
  if (!f.hard) wrong = std::max(wrong, kSoftWrong);
  return wrong;
}

// How far each light lies from what the form shows: half the square of the distance in sd, bounded for the reach.
using Likely = std::array<double, kLights>;
Likely Off(const LightForm& f, bool soft) {
  Likely off{};
  const auto half_square = [](double short_of, double spread) { return 0.5 * short_of * short_of / (spread * spread); };
  if (f.sides.weight <= 0) {
    for (std::size_t j = 0; j < kLights; ++j)
      off[j] = std::min(kReachAloneFar, half_square(f.reach->best - f.reach->suits[j], kReachAloneSpread));
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

// Natural logarithm of how likely each light is, against all being alike.
Likely LikelyLights(const LightForm& f, bool soft) {
  Likely out = Off(f, soft);
  double sum = 0;
  for (double& p : out) sum += p = std::exp(-p);
  const double wrong = Wrong(f);
  for (double& p : out) p = std::log((1 - wrong) * p * static_cast<double>(kLights) / sum + wrong);
  return out;
}

}  // namespace

LightOdds AskLights(const std::vector<LightForm>& forms, double apart_deg, bool soft) {
  LightOdds out;
  std::vector<const LightForm*> asked;
  std::vector<Likely> likely;
  for (const LightForm& f : forms)
    if (Speaks(f)) asked.push_back(&f), likely.push_back(LikelyLights(f, soft));
  out.forms = asked.size();
  const auto all = [&](std::size_t i, std::size_t j) {
    double sum = 0;
    for (const Likely& l : likely) sum += std::max(l[i], l[j]);
    return sum;
  };
  double one = -1e9, two = -1e9;
  for (std::size_t i = 0; i < kLights; ++i) {
    if (const double own = all(i, i); own > one) one = own, out.one = i;
    for (std::size_t j = i + 1; j < kLights; ++j) {
      const std::size_t between = std::min(j - i, kLights - (j - i));
      if (360.0 * static_cast<double>(between) / static_cast<double>(kLights) < apart_deg) continue;
      if (const double both = all(i, j); both > two) two = both, out.first = i, out.second = j;
    }
  }
  out.odds = two - one;
  for (std::size_t k = 0; k < asked.size(); ++k) {
    const double d = likely[k][out.second] - likely[k][out.first];
    if (std::abs(d) > kFollows) out.group[d > 0].push_back(asked[k]);
  }
  return out;
}

}  // namespace armslength
