// What it costs to sound: the lick and pieces of growing length, as samples and as files, in memory. The
// counter "times" says how much faster that is than it sounds.
#include <benchmark/benchmark.h>

#include "bench/pieces.hpp"
#include "fifthpeg/audio_file.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/harmony.hpp"
#include "fifthpeg/practice.hpp"
#include "fifthpeg/read.hpp"

namespace fifthpeg {
namespace {

constexpr std::size_t notes_a_measure = 8;

Sounding measures(std::size_t count, bool with_backing = false) {
  Score score = read_midi(bench::piece(count * notes_a_measure)).score;
  finger(score);
  if (with_backing) add_inferred_chords(score);
  PracticeOptions options;
  options.backing = options.click = with_backing;
  const Practice practiced = practice(score, options);
  return sounding(practiced.score, practiced.backing, practiced.clicks);
}

void count_times(benchmark::State& state, const Sounding& sounds) {
  state.counters["times"] = benchmark::Counter(sounds.seconds * static_cast<double>(state.iterations()),
                                               benchmark::Counter::kIsRate);
}

void samples_of_measures(benchmark::State& state) {
  const Sounding sounds = measures(static_cast<std::size_t>(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(render(sounds));
  count_times(state, sounds);
}

void write(benchmark::State& state, const Sounding& sounds, AudioFormat format) {
  for (auto _ : state) {
    StringSink sink;
    write_audio(sounds, format, sink);
    benchmark::DoNotOptimize(sink.str().size());
  }
  count_times(state, sounds);
}

void wav_of_measures(benchmark::State& state) {
  write(state, measures(static_cast<std::size_t>(state.range(0))), AudioFormat::wav);
}
void flac_of_measures(benchmark::State& state) {
  write(state, measures(static_cast<std::size_t>(state.range(0))), AudioFormat::flac);
}
void wav_with_backing(benchmark::State& state) {
  write(state, measures(static_cast<std::size_t>(state.range(0)), true), AudioFormat::wav);
}

BENCHMARK(samples_of_measures)->Unit(benchmark::kMillisecond)->Arg(8)->Arg(80)->Arg(800);
BENCHMARK(wav_of_measures)->Unit(benchmark::kMillisecond)->Arg(8)->Arg(80)->Arg(800);
BENCHMARK(flac_of_measures)->Unit(benchmark::kMillisecond)->Arg(8);
BENCHMARK(wav_with_backing)->Unit(benchmark::kMillisecond)->Arg(8);

}  // namespace
}  // namespace fifthpeg

BENCHMARK_MAIN();
