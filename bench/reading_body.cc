// Speed of the body reading on one core: the pose alone (a mark is being moved) and the
// whole scan of explanations.
#include <benchmark/benchmark.h>

#include "reading/body/body_reading.h"
#include "synth/figure.h"

namespace armslength {
namespace {

std::vector<FigureMarks> Figures() {
  std::vector<FigureMarks> figures;
  for (unsigned seed = 1; seed <= 30; ++seed) {
    SynthFigureOptions options;
    options.seed = seed;
    figures.push_back(MakeFigure(options).marks);
  }
  return figures;
}

void Read(benchmark::State& state, bool scan, bool helpful, bool declared) {
  const std::vector<FigureMarks> figures = Figures();
  const Canon canon = *FindCanon("adult-average");
  std::size_t i = 0;
  BodyReadingOptions options;
  options.scan_hypotheses = scan;
  options.find_helpful_mark = helpful;
  for (auto _ : state) {
    benchmark::DoNotOptimize(ReadBody(figures[i % figures.size()], declared ? &canon : nullptr, options));
    ++i;
  }
}
void PoseAlone(benchmark::State& state) { Read(state, false, false, true); }
void WholeScan(benchmark::State& state) { Read(state, true, false, true); }
void ScanAndHelpfulMark(benchmark::State& state) { Read(state, true, true, true); }
void WholeScanFreeStyle(benchmark::State& state) { Read(state, true, false, false); }
BENCHMARK(PoseAlone)->Unit(benchmark::kMillisecond);
BENCHMARK(WholeScan)->Unit(benchmark::kMillisecond);
BENCHMARK(ScanAndHelpfulMark)->Unit(benchmark::kMillisecond);
BENCHMARK(WholeScanFreeStyle)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace armslength

BENCHMARK_MAIN();
