// Time of one head reading: pose and shape, tests, findings and guides.
#include <benchmark/benchmark.h>

#include "check/face/face_checks.h"
#include "check/face/head_guides.h"
#include "reading/head/head_reading.h"
#include "synth/head_figure.h"

using namespace armslength;

namespace {

std::vector<FigureMarks> Heads(SynthHeadMarks kind) {
  std::vector<FigureMarks> heads;
  for (unsigned i = 0; i < 32; ++i) {
    SynthHeadOptions o;
    o.seed = 950'000'000 + i;
    o.yaw_high_deg = 50;
    o.marks = kind;
    heads.push_back(MakeHead(o).marks);
  }
  return heads;
}

void ReadOne(benchmark::State& state) {
  const auto heads = Heads(static_cast<SynthHeadMarks>(state.range(0)));
  std::size_t i = 0;
  for (auto _ : state) benchmark::DoNotOptimize(ReadHead(heads[i++ % heads.size()]));
}
BENCHMARK(ReadOne)->Arg(0)->Arg(1)->Arg(2)->Unit(benchmark::kMillisecond);

void ReadCheckAndGuide(benchmark::State& state) {
  const auto heads = Heads(SynthHeadMarks::kFull);
  std::size_t i = 0;
  for (auto _ : state) {
    const FigureMarks& m = heads[i++ % heads.size()];
    const auto r = ReadHead(m);
    benchmark::DoNotOptimize(CheckHead(m, *r));
    benchmark::DoNotOptimize(HeadGuides(m, *r));
  }
}
BENCHMARK(ReadCheckAndGuide)->Unit(benchmark::kMillisecond);

void ReadCharacterOfFour(benchmark::State& state) {
  std::vector<FigureMarks> drawings;
  for (unsigned i = 0; i < 4; ++i) {
    SynthHeadOptions o;
    o.character = 950'100'000;
    o.seed = 950'200'000 + i;
    o.yaw_deg = 20.0 * i;
    drawings.push_back(MakeHead(o).marks);
  }
  for (auto _ : state) benchmark::DoNotOptimize(ReadCharacter(drawings));
}
BENCHMARK(ReadCharacterOfFour)->Unit(benchmark::kMillisecond);

}  // namespace

BENCHMARK_MAIN();
