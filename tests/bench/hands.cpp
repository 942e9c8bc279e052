// What it costs to finger a note, in each style and for pieces of growing length; a lick; advice on a tune.
#include "fifthpeg/hands.hpp"

#include <benchmark/benchmark.h>

#include "bench/pieces.hpp"
#include "fifthpeg/read.hpp"

namespace fifthpeg {
namespace {

Score rolls(std::size_t notes) {
  return read_midi(bench::piece(notes)).score;
}

// Eight measures with a chord on every other beat.
Score lick_with_chords() {
  Score score = read_midi(bench::lick()).score;
  for (Measure& measure : score.measures) {
    for (std::size_t s = 0; s < measure.strokes.size(); s += 4) {
      std::vector<Note>& notes = measure.strokes[s].notes;
      if (notes.empty()) continue;
      for (const int above : {4, 7}) {
        Note note;
        note.pitch = spell(notes.front().pitch.midi() + above, measure.key);
        notes.insert(notes.begin(), note);
      }
    }
  }
  normalize(score);
  return score;
}

// A whole piece in one style. The items are notes; time over notes stays the same as pieces grow.
void finger_in_style(benchmark::State& state, Style style) {
  const Score given = rolls(static_cast<std::size_t>(state.range(0)));
  HandsOptions options;
  options.style = style;
  options.thin = true;
  for (auto _ : state) {
    state.PauseTiming();
    Score score = given;
    state.ResumeTiming();
    benchmark::DoNotOptimize(finger(score, options).cost);
  }
  state.SetItemsProcessed(state.iterations() * state.range(0));
  state.SetComplexityN(state.range(0));
}

void finger_lick_with_chords(benchmark::State& state) {
  const Score given = lick_with_chords();
  HandsOptions options;
  options.thin = true;
  for (auto _ : state) {
    Score score = given;
    benchmark::DoNotOptimize(finger(score, options).cost);
  }
}

void explain_lick(benchmark::State& state) {
  const Score given = rolls(bench::lick_notes);
  HandsOptions options;
  options.explain = true;
  for (auto _ : state) {
    Score score = given;
    benchmark::DoNotOptimize(finger(score, options).explanation.size());
  }
}

void advise_on_tune_of_64_measures(benchmark::State& state) {
  const Score tune = rolls(512);
  for (auto _ : state) benchmark::DoNotOptimize(advise(tune).size());
}

void lengths(benchmark::internal::Benchmark* benchmark) {
  benchmark->Unit(benchmark::kMillisecond)
      ->RangeMultiplier(10)
      ->Range(1'000, 1'000'000)
      ->Complexity(benchmark::oN)
      ->Iterations(1);
}

BENCHMARK_CAPTURE(finger_in_style, roll, Style::roll)->Apply(lengths);
BENCHMARK_CAPTURE(finger_in_style, melodic, Style::melodic)->Apply(lengths);
BENCHMARK_CAPTURE(finger_in_style, single_string, Style::single_string)->Apply(lengths);
BENCHMARK_CAPTURE(finger_in_style, clawhammer, Style::clawhammer)->Apply(lengths);
BENCHMARK(finger_lick_with_chords)->Unit(benchmark::kMillisecond);
BENCHMARK(explain_lick)->Unit(benchmark::kMillisecond);
BENCHMARK(advise_on_tune_of_64_measures)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace fifthpeg

BENCHMARK_MAIN();
