// What it costs to arrange a melody: a tune of 32 measures at each level, and pieces of growing length.
#include "fifthpeg/arrange.hpp"

#include <benchmark/benchmark.h>

#include "arrange/melodies.hpp"

namespace fifthpeg {
namespace {

constexpr int measures_of_a_tune = 32;

// A melody that moves in eighths, as fiddle tunes do, and never comes back: nothing is arranged twice.
Score busy_melody(int measures) {
  arranged::MelodyKind kind;
  kind.measures = measures;
  kind.busy = true;
  return arranged::random_melody(1, kind);
}

void arrange_tune(benchmark::State& state, Style style) {
  const Score melody = busy_melody(measures_of_a_tune);
  ArrangeOptions options;
  options.style = style;
  options.level = static_cast<int>(state.range(0));
  for (auto _ : state) benchmark::DoNotOptimize(arrange(melody, options).score.measures.size());
}

void arrange_longer(benchmark::State& state) {
  const Score melody = busy_melody(static_cast<int>(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(arrange(melody).score.measures.size());
  state.SetComplexityN(state.range(0));
}

BENCHMARK_CAPTURE(arrange_tune, roll, Style::roll)->DenseRange(1, 4)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(arrange_tune, clawhammer, Style::clawhammer)
    ->DenseRange(1, 4)
    ->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(arrange_tune, melodic, Style::melodic)->Arg(3)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(arrange_tune, single_string, Style::single_string)->Arg(3)->Unit(benchmark::kMillisecond);
BENCHMARK(arrange_longer)
    ->RangeMultiplier(10)
    ->Range(100, 10'000)
    ->Complexity(benchmark::oN)
    ->Iterations(1)
    ->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace fifthpeg

BENCHMARK_MAIN();
