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

void Read(benchmark::State& state, bool scan, bool helpful, bool declared, int threads = 1) {
  const std::vector<FigureMarks> figures = Figures();
  const Canon canon = *FindCanon("adult-average");
  std::size_t i = 0;
  BodyReadingOptions options;
  options.scan_hypotheses = scan;
  options.find_helpful_mark = helpful;
  options.threads = threads;
  for (auto _ : state) {
    benchmark::DoNotOptimize(ReadBody(figures[i % figures.size()], declared ? &canon : nullptr, options));
    ++i;
  }
}
void PoseAlone(benchmark::State& state) { Read(state, false, false, true); }
// A wrist that is dragged by a tenth of the figure in twenty steps, each read from the last one's body.
void PoseWhileDragging(benchmark::State& state) {
  std::vector<FigureMarks> figures = Figures();
  const Canon canon = *FindCanon("adult-average");
  BodyReadingOptions options;
  options.scan_hypotheses = options.find_helpful_mark = false;
  BodyReading last;
  std::size_t i = 0;
  for (auto _ : state) {
    const std::size_t figure = i / 20 % figures.size(), step = i % 20;
    FigureMarks marks = figures[figure];
    const double height = (marks.points[PointId::kAnkleL] - marks.points[PointId::kCrown]).norm();
    marks.points[PointId::kWristL].x() += 0.005 * height * static_cast<double>(step);
    options.start = step == 0 ? nullptr : &last;
    last = *ReadBody(marks, &canon, options);
    ++i;
  }
}
void ScanAndHelpfulMarkTwoThreads(benchmark::State& state) { Read(state, true, true, true, 2); }
void WholeScan(benchmark::State& state) { Read(state, true, false, true); }
void ScanAndHelpfulMark(benchmark::State& state) { Read(state, true, true, true); }
void WholeScanFreeStyle(benchmark::State& state) { Read(state, true, false, false); }
BENCHMARK(PoseAlone)->Unit(benchmark::kMillisecond);
BENCHMARK(PoseWhileDragging)->Unit(benchmark::kMillisecond);
BENCHMARK(WholeScan)->Unit(benchmark::kMillisecond);
BENCHMARK(ScanAndHelpfulMark)->Unit(benchmark::kMillisecond);
BENCHMARK(WholeScanFreeStyle)->Unit(benchmark::kMillisecond);
BENCHMARK(ScanAndHelpfulMarkTwoThreads)->Unit(benchmark::kMillisecond)->UseRealTime();

}  // namespace
}  // namespace armslength

BENCHMARK_MAIN();
