// The stages of a conversion beside what libsmf and tinyxml2 need for the same bytes, in one process, so that
// they can be run in turn.
#include "bench/stages.hpp"

#include <benchmark/benchmark.h>

namespace fifthpeg::bench {
namespace {

constexpr std::size_t notes = 10'000;

const Material& material() {
  static const Material made(notes);
  return made;
}

void count_notes(benchmark::State& state) {
  state.SetItemsProcessed(state.iterations() * static_cast<std::int64_t>(notes));
}

void convert_midi_to_musicxml(benchmark::State& state) {
  const Material& given = material();
  for (auto _ : state) benchmark::DoNotOptimize(converted(given.midi));
  count_notes(state);
}

void parse_with_tinyxml2(benchmark::State& state) {
  const Material& given = material();
  for (auto _ : state) benchmark::DoNotOptimize(tinyxml2_parse(given.musicxml));
  count_notes(state);
}

void read(benchmark::State& state, const std::string& midi) {
  for (auto _ : state) benchmark::DoNotOptimize(read_midi(midi));
  count_notes(state);
}

void load(benchmark::State& state, const std::string& midi) {
  for (auto _ : state) {
    auto smf = libsmf_load(midi);
    state.PauseTiming();
    smf.reset();
    state.ResumeTiming();
  }
  count_notes(state);
}

void read_midi(benchmark::State& state) {
  read(state, material().midi);
}
void load_with_libsmf(benchmark::State& state) {
  load(state, material().midi);
}
void read_played_midi(benchmark::State& state) {
  read(state, material().played);
}
void load_played_with_libsmf(benchmark::State& state) {
  load(state, material().played);
}

void read_musicxml_both_staves(benchmark::State& state) {
  const Material& given = material();
  for (auto _ : state) benchmark::DoNotOptimize(read_musicxml(given.musicxml));
  count_notes(state);
}

// A fresh copy each time: the hands' work on a score that has placements already is another one.
void find_fingers(benchmark::State& state) {
  const Material& given = material();
  for (auto _ : state) {
    state.PauseTiming();
    Score score = given.read;
    state.ResumeTiming();
    finger(score);
    benchmark::DoNotOptimize(score);
  }
  count_notes(state);
}

void write_musicxml_both_staves(benchmark::State& state) {
  const Material& given = material();
  for (auto _ : state) benchmark::DoNotOptimize(written(given.fingered));
  count_notes(state);
}

// What others do who know no hands: MIDI to MusicXML, nothing put on a string.
void convert_without_hands(benchmark::State& state) {
  const std::string midi = piece(static_cast<std::size_t>(state.range(0)));
  for (auto _ : state) benchmark::DoNotOptimize(written(fifthpeg::read_midi(midi).score));
  state.SetItemsProcessed(state.iterations() * state.range(0));
}

BENCHMARK(convert_midi_to_musicxml)->Unit(benchmark::kMillisecond);
BENCHMARK(parse_with_tinyxml2)->Unit(benchmark::kMillisecond);
BENCHMARK(read_midi)->Unit(benchmark::kMillisecond);
BENCHMARK(load_with_libsmf)->Unit(benchmark::kMillisecond);
BENCHMARK(read_played_midi)->Unit(benchmark::kMillisecond);
BENCHMARK(load_played_with_libsmf)->Unit(benchmark::kMillisecond);
BENCHMARK(read_musicxml_both_staves)->Unit(benchmark::kMillisecond);
BENCHMARK(find_fingers)->Unit(benchmark::kMillisecond);
BENCHMARK(write_musicxml_both_staves)->Unit(benchmark::kMillisecond);
BENCHMARK(convert_without_hands)->Arg(lick_notes)->Arg(1000)->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace fifthpeg::bench

BENCHMARK_MAIN();
