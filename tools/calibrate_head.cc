// Makes data/thresholds/head_calibration.json: what fault-free heads do to the tests of the head
// reading, by turn, number of marks and marking error. Its seeds are its own: benches and tests
// use others.  Usage: calibrate_head OUT.json [heads per kind of marks, default 9000]
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <mutex>
#include <vector>

#include <fmt/format.h>

#include "reading/head/head_reading.h"
#include "reading/head/head_thresholds.h"
#include "support/job.h"
#include "synth/head_figure.h"

using namespace armslength;

namespace {

constexpr unsigned kFirstSeed = 50'000'000;
constexpr double kFamilyWise = 0.05;
constexpr double kLowestThreshold = 4.0;  // 2 sd: less would be no finding whatever the view
// The bow of the cross lines rests on small depths and on style: held to a stricter mark.
constexpr double kLowestBowThreshold = 25.0;
// Share of the family-wise rate each fault may use: those that artists meet most get most, and
// among them those that the turn at hand hides best.
using Shares = std::array<double, kHeadFaultCount>;
constexpr Shares kFaceOn = {1, .6, 1.6, .05, .1, .6, 1.8, .1, .9, .1, .02, .05};
constexpr Shares kSlightlyTurned = {.3, .5, 2.6, .05, .1, .5, 2.1, .1, .5, .1, .02, .05};
constexpr Shares kTurned = {.35, .75, 3.0, .05, .1, 1.0, 2.2, .1, .8, .1, .02, .05};
constexpr std::array<Shares, kYawBandCount> kShare = {kFaceOn, kSlightlyTurned, kTurned, kTurned, kTurned};

struct Sample {
  std::array<double, kHeadFaultCount> evidence{}, z{}, amount{};
  std::array<bool, kHeadFaultCount> tested{};
};

double Quantile(std::vector<double> v, double q) {
  if (v.empty()) return 0.0;
  const auto k = static_cast<std::size_t>(std::clamp(q * static_cast<double>(v.size()), 0.0, static_cast<double>(v.size() - 1)));
  std::nth_element(v.begin(), v.begin() + static_cast<std::ptrdiff_t>(k), v.end());
  return v[k];
}

}  // namespace

int main(int argc, char** argv) {
  if (argc < 2) {
    std::fprintf(stderr, "usage: calibrate_head OUT.json [heads]\n");
    return 2;
  }
  const int heads = argc > 2 ? std::atoi(argv[2]) : 9000;
  constexpr std::array<double, kSigmaClassCount> kSigmas = {0.005, 0.01, 0.02};
  constexpr std::array<SynthHeadMarks, kMarkClassCount> kMarks = {SynthHeadMarks::kSix, SynthHeadMarks::kTwelve, SynthHeadMarks::kFull};
  std::string rows;
  for (int m = 0; m < kMarkClassCount; ++m) {
    for (int s = 0; s < kSigmaClassCount; ++s) {
      std::array<std::vector<Sample>, kYawBandCount> samples;
      std::mutex lock;
      // Full marks matter most and get the closest look.
      ParallelFor(m == kMarkClassCount - 1 ? heads : heads / 2, 0, [&](int i) {
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
          sample.evidence[k] = f.evidence;
          sample.amount[k] = f.amount;
          sample.z[k] = f.tested ? f.amount / f.sd : 0.0;
        }
        const std::lock_guard<std::mutex> hold(lock);
        samples[static_cast<std::size_t>(YawBand(r->pose.yaw_rad))].push_back(sample);
      });
      for (int b = 0; b < kYawBandCount; ++b) {
        const auto& group = samples[static_cast<std::size_t>(b)];
        std::array<std::vector<double>, kHeadFaultCount> evidence, z;
        for (const Sample& x : group)
          for (std::size_t k = 0; k < kHeadFaultCount; ++k)
            if (x.tested[k]) {
              evidence[k].push_back(x.evidence[k]);
              z[k].push_back(std::abs(x.z[k]));
            }
        std::array<double, kHeadFaultCount> threshold{};
        const auto rate = [&](double alpha) {
          for (std::size_t k = 0; k < kHeadFaultCount; ++k)
            threshold[k] = std::max(k == static_cast<std::size_t>(HeadFaultKind::kFeaturesTilt) ? kLowestBowThreshold : kLowestThreshold, evidence[k].size() < 100 ? 16.0 : Quantile(evidence[k], 1.0 - alpha * kShare[static_cast<std::size_t>(b)][k]));
          int any = 0;
          for (const Sample& x : group) {
            bool hit = false;
            for (std::size_t k = 0; k < kHeadFaultCount; ++k)
              hit = hit || (x.tested[k] && x.evidence[k] > threshold[k] && std::abs(x.amount[k]) >= ToleranceOf(static_cast<HeadFaultKind>(k)).value);
            any += hit;
          }
          return static_cast<double>(any) / std::max<double>(1.0, static_cast<double>(group.size()));
        };
        double low = 1e-4, high = 0.2;
        for (int step = 0; step < 24; ++step) {
          const double mid = std::sqrt(low * high);
          (rate(mid) > kFamilyWise ? high : low) = mid;
        }
        const double reached = rate(low);
        std::string faults;
        for (std::size_t k = 0; k < kHeadFaultCount; ++k) {
          const double factor = z[k].size() < 100 ? 1.3 : std::clamp(Quantile(z[k], .95) / 1.96, 0.8, 3.0);
          faults += fmt::format("{}\"{}\": [{:.2f}, {:.2f}]", k ? ", " : "", FindingId(static_cast<HeadFaultKind>(k)), threshold[k], factor);
        }
        rows += fmt::format("{}    {{\"yaw_band\": {}, \"mark_class\": {}, \"sigma_class\": {}, \"heads\": {}, \"reached\": {:.3f},\n     \"faults\": {{{}}}}}",
                            rows.empty() ? "" : ",\n", b, m, s, group.size(), reached, faults);
        std::fprintf(stderr, "marks %d sigma %d band %d: %zu heads, reached %.3f\n", m, s, b, group.size(), reached);
      }
    }
  }
  std::ofstream out(argv[1]);
  out << fmt::format(
      "{{\n  \"format\": \"armslength-head-calibration\",\n  \"version\": 1,\n  \"made_by\": \"calibrate_head OUT.json {}\",\n"
      "  \"first_seed\": {},\n  \"family_wise\": {},\n  \"columns\": \"per fault: threshold of the evidence, spread of the amount / computed sd\",\n  \"strata\": [\n{}\n  ]\n}}\n",
      heads, kFirstSeed, kFamilyWise, rows);
  return out ? 0 : 5;
}
