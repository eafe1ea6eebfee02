// Makes data/thresholds/head_calibration.json: what fault-free heads do to the tests of the head
// reading, by turn, number of marks and marking error. Its seeds are its own: benches and tests
// use others.  Usage: calibrate_head OUT.json [heads per kind of marks, default 10000]
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <mutex>
#include <vector>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "reading/head/head_reading.h"
#include "reading/head/head_thresholds.h"
#include "support/job.h"
#include "synth/head_figure.h"

using namespace armslength;

namespace {

constexpr unsigned kFirstSeed = 50'000'000;
// Of fault-free heads by turn: less where nearly every fault is found anyway.
constexpr std::array<double, kYawBandCount> kFamilyWise = {.045, .053, .055, .05, .05};
constexpr double kMost = 40.0;  // a log Bayes factor that nothing but plain evidence passes
// Share of the family-wise rate each fault may use: those that artists meet most get most, and
// among them those that the turn at hand hides best.
using Shares = std::array<double, kHeadFaultCount>;
constexpr Shares kFaceOn = {1, .5, 1.4, .03, .07, .5, 1.7, .07, .9, .07, .02, .04};
constexpr Shares kSlightlyTurned = {.2, .4, 1.5, .03, .06, .2, 2.1, .06, .25, .06, .02, .03};
constexpr Shares kTurned = {.25, .36, 1.7, .03, .06, .38, 1.6, .06, .75, .06, .02, .03};
constexpr std::array<Shares, kYawBandCount> kShare = {kFaceOn, kSlightlyTurned, kTurned, kTurned, kTurned};

struct Sample {
  std::array<double, kHeadFaultCount> evidence{}, amount{}, sd{};
  std::array<bool, kHeadFaultCount> tested{};

  [[nodiscard]] double Tolerated(std::size_t k) const { return ToleranceOf(static_cast<HeadFaultKind>(k)).value; }
  [[nodiscard]] bool Called(std::size_t k, double log_factor) const {
    return tested[k] && std::abs(amount[k]) >= Tolerated(k) &&
           evidence[k] > EvidenceNeeded(static_cast<HeadFaultKind>(k), log_factor, sd[k]);
  }
};

double Quantile(std::vector<double> v, double q) {
  if (v.empty()) return 0.0;
  const auto k = static_cast<std::size_t>(std::clamp(q * static_cast<double>(v.size()), 0.0, static_cast<double>(v.size() - 1)));
  std::nth_element(v.begin(), v.begin() + static_cast<std::ptrdiff_t>(k), v.end());
  return v[k];
}

// The log Bayes factor that a share `rate` of these heads passes by chance. Amounts spread normally about
// nothing, `factor` times as widely as computed (their quantiles from 80 to 99.5 % agree to 3 %), so every
// head tells of the tail, not only the few that lie in it.
double LeastFactor(const std::vector<Sample>& group, std::size_t k, double factor, double rate) {
  double low = -kMost, high = kMost;
  for (int step = 0; step < 20; ++step) {
    const double mid = 0.5 * (low + high);
    double sum = 0.0;
    for (const Sample& x : group)
      if (x.tested[k])
        sum += std::erfc(std::max(std::sqrt(EvidenceNeeded(static_cast<HeadFaultKind>(k), mid, x.sd[k])), x.Tolerated(k) / x.sd[k]) /
                         (factor * std::sqrt(2.0)));
    (sum > rate * static_cast<double>(group.size()) ? low : high) = mid;
  }
  return high;
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 2) {
    std::fprintf(stderr, "usage: calibrate_head OUT.json [heads]\n");
    return 2;
  }
  const int heads = argc > 2 ? std::atoi(argv[2]) : 10000;
  constexpr std::array<double, kSigmaClassCount> kSigmas = {0.005, 0.01, 0.02};
  constexpr std::array<SynthHeadMarks, kMarkClassCount> kMarks = {SynthHeadMarks::kSix, SynthHeadMarks::kTwelve, SynthHeadMarks::kFull};
  std::string rows;
  for (int m = 0; m < kMarkClassCount; ++m) {
    for (int s = 0; s < kSigmaClassCount; ++s) {
      std::array<std::vector<Sample>, kYawBandCount> samples;
      std::mutex lock;
      // Full marks matter most and get the closest look.
      ParallelFor(m == kMarkClassCount - 1 ? heads : heads / 3, 0, [&](int i) {
        SynthHeadOptions o;
        o.seed = kFirstSeed + static_cast<unsigned>(i + heads * (s + kSigmaClassCount * m));
        o.yaw_high_deg = 68;
        o.sigma = kSigmas[static_cast<std::size_t>(s)];
        o.marks = kMarks[static_cast<std::size_t>(m)];
        o.ears = i % 2 == 0;
        const SynthHead head = MakeHead(o);
        const auto r = ReadHead(head.marks);
        if (!r || !r->usable) return;
        // The raw test, whatever thresholds are built in now: the one-step statistic of each fault.
        Sample sample;
        for (std::size_t k = 0; k < kHeadFaultCount; ++k) {
          const HeadFault& f = r->raw[k];
          sample.tested[k] = f.tested;
          if (!f.tested) continue;
          sample.evidence[k] = f.evidence;
          sample.amount[k] = f.amount;
          sample.sd[k] = f.sd;
        }
        const std::lock_guard<std::mutex> hold(lock);
        samples[static_cast<std::size_t>(YawBand(r->pose.yaw_rad))].push_back(sample);
      });
      for (int b = 0; b < kYawBandCount; ++b) {
        const auto& group = samples[static_cast<std::size_t>(b)];
        std::array<std::vector<double>, kHeadFaultCount> z;
        for (const Sample& x : group)
          for (std::size_t k = 0; k < kHeadFaultCount; ++k)
            if (x.tested[k]) z[k].push_back(std::abs(x.amount[k] / x.sd[k]));
        std::array<double, kHeadFaultCount> least{};
        const auto rate = [&](double alpha) {
          for (std::size_t k = 0; k < kHeadFaultCount; ++k)
            least[k] = z[k].size() < 100
                           ? kMost
                           : LeastFactor(group, k, Quantile(z[k], .98) / 2.326, alpha * kShare[static_cast<std::size_t>(b)][k]);
          int any = 0;
          for (const Sample& x : group) {
            bool hit = false;
            for (std::size_t k = 0; k < kHeadFaultCount; ++k) hit = hit || x.Called(k, least[k]);
            any += hit;
          }
          return static_cast<double>(any) / std::max<double>(1.0, static_cast<double>(group.size()));
        };
        double low = 1e-3, high = 0.1;
        for (int step = 0; step < 14; ++step) {
          const double mid = std::sqrt(low * high);
          (rate(mid) > kFamilyWise[static_cast<std::size_t>(b)] ? high : low) = mid;
        }
        const double reached = rate(low);
        std::string faults;
        for (std::size_t k = 0; k < kHeadFaultCount; ++k) {
          const double factor = z[k].size() < 100 ? 1.3 : std::clamp(Quantile(z[k], .95) / 1.96, 0.8, 3.0);
          faults += fmt::format("{}\"{}\": [{:.2f}, {:.2f}]", k ? ", " : "", FindingId(static_cast<HeadFaultKind>(k)), least[k], factor);
        }
        rows += fmt::format("{}    {{\"yaw_band\": {}, \"mark_class\": {}, \"sigma_class\": {}, \"heads\": {}, \"reached\": {:.3f},\n     \"faults\": {{{}}}}}",
                            rows.empty() ? "" : ",\n", b, m, s, group.size(), reached, faults);
        std::fprintf(stderr, "marks %d sigma %d band %d: %zu heads, reached %.3f\n", m, s, b, group.size(), reached);
      }
    }
  }
  std::ofstream out(argv[1]);
  out << fmt::format(
      "{{\n  \"format\": \"armslength-head-calibration\",\n  \"version\": 2,\n  \"made_by\": \"calibrate_head OUT.json {}\",\n"
      "  \"first_seed\": {},\n  \"family_wise\": [{}],\n  \"columns\": \"per fault: least log Bayes factor, spread of the amount / "
      "computed sd\",\n  \"strata\": [\n{}\n  ]\n}}\n",
      heads, kFirstSeed, fmt::join(kFamilyWise, ", "), rows);
  return out ? 0 : 5;
}
