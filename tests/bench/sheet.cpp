// What it costs to draw: a lick, a tune of 32 measures, and pieces of growing length, in memory.
#include "fifthpeg/sheet.hpp"

#include <benchmark/benchmark.h>
#include <fstream>

#include "bench/pieces.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/read.hpp"

namespace fifthpeg {
namespace {

Score lick() {
  Score score = read_midi(bench::lick()).score;
  finger(score);
  return score;
}

// The eight measures of the lick again and again.
Score measures(std::size_t count) {
  Score score = lick();
  const std::vector<Measure> once = score.measures;
  while (score.measures.size() < count) {
    score.measures.insert(score.measures.end(), once.begin(), once.end());
  }
  score.measures.resize(count);
  for (std::size_t i = 0; i < count; ++i) score.measures[i].number = std::to_string(i + 1);
  normalize(score);
  return score;
}

std::size_t write_all(const Sheet& sheet, bool pdf) {
  StringSink sink;
  if (pdf) {
    sheet.write_pdf(sink);
  } else {
    for (std::size_t page = 0; page < sheet.pages(); ++page) sheet.write_svg(page, sink);
  }
  return sink.str().size();
}

void draw(benchmark::State& state, const Score& score, bool pdf) {
  write_all(Sheet({score}, {}), pdf);  // what is loaded once is not counted
  for (auto _ : state) benchmark::DoNotOptimize(write_all(Sheet({score}, {}), pdf));
}

void svg_of_a_lick(benchmark::State& state) {
  draw(state, lick(), false);
}
void pdf_of_a_lick(benchmark::State& state) {
  draw(state, lick(), true);
}
void svg_of_a_tune(benchmark::State& state) {
  draw(state, measures(32), false);
}
void pdf_of_a_tune(benchmark::State& state) {
  draw(state, measures(32), true);
}
void svg_of_measures(benchmark::State& state) {
  draw(state, measures(static_cast<std::size_t>(state.range(0))), false);
}

// What another engraver is given: the tune as MusicXML.
void write_tune() {
  StringSink sink;
  write_musicxml(measures(32), {}, sink);
  std::ofstream(std::string(std::getenv("BENCH_PIECES")) + "/tune.musicxml") << sink.str();
  StringSink small;
  write_musicxml(lick(), {}, small);
  std::ofstream(std::string(std::getenv("BENCH_PIECES")) + "/lick.musicxml") << small.str();
}

BENCHMARK(svg_of_a_lick)->Unit(benchmark::kMillisecond);
BENCHMARK(pdf_of_a_lick)->Unit(benchmark::kMillisecond);
BENCHMARK(svg_of_a_tune)->Unit(benchmark::kMillisecond);
BENCHMARK(pdf_of_a_tune)->Unit(benchmark::kMillisecond);
BENCHMARK(svg_of_measures)->Unit(benchmark::kMillisecond)->Arg(100)->Arg(1000)->Arg(10000);

}  // namespace
}  // namespace fifthpeg

int main(int count, char** words) {
  fifthpeg::write_tune();
  benchmark::Initialize(&count, words);
  benchmark::RunSpecifiedBenchmarks();
  return 0;
}
