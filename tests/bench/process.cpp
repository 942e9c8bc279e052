// What whole processes cost: the start of one, the growth with the length of a piece, a batch on two cores,
// and a look through many licks.
//
//   FIFTHPEG=.../fifthpeg BENCH_NOTHING=.../bench_nothing BENCH_PIECES=FOLDER bench_process
//
// FOLDER holds what bench_write_pieces wrote, with the batch in FOLDER/batch, and what many-licks made in
// FOLDER/licks; outputs go to FOLDER/out, of the batch to FOLDER/out/batch. Times of processes are the
// system's account of processor time (wait4), which other programs on the machine change less than they
// change the time that passes.
#include <algorithm>
#include <benchmark/benchmark.h>
#include <cstdio>
#include <cstdlib>
#include <fcntl.h>
#include <filesystem>
#include <limits>
#include <spawn.h>
#include <string>
#include <sys/resource.h>
#include <sys/wait.h>
#include <vector>

namespace {

constexpr std::size_t batch_files = 1000;

std::string given(const char* name) {
  const char* const value = std::getenv(name);  // NOLINT: one thread
  if (value == nullptr) {
    std::fprintf(stderr, "%s is not set\n", name);
    std::exit(2);  // NOLINT
  }
  return value;
}

struct Cost {
  double passed = 0;     // seconds
  double processor = 0;  // seconds, user and system
  double peak = 0;       // bytes; never below what this program itself has at the time
  bool done = false;     // exit status 0
};

double seconds(const timeval& time) {
  return static_cast<double>(time.tv_sec) + static_cast<double>(time.tv_usec) * 1e-6;
}

Cost run(const std::vector<std::string>& words) {
  std::vector<char*> arguments;
  for (const std::string& word : words) arguments.push_back(const_cast<char*>(word.c_str()));  // NOLINT
  arguments.push_back(nullptr);
  posix_spawn_file_actions_t files{};
  posix_spawn_file_actions_init(&files);
  posix_spawn_file_actions_addopen(&files, 1, "/dev/null", O_WRONLY, 0);
  posix_spawn_file_actions_addopen(&files, 2, "/dev/null", O_WRONLY, 0);

  Cost cost;
  timespec from{};
  timespec to{};
  clock_gettime(CLOCK_MONOTONIC, &from);
  pid_t child = 0;
  const int error = posix_spawn(&child, arguments[0], &files, nullptr, arguments.data(), environ);
  posix_spawn_file_actions_destroy(&files);
  if (error != 0) return cost;
  int status = 0;
  rusage used{};
  if (wait4(child, &status, 0, &used) != child) return cost;
  clock_gettime(CLOCK_MONOTONIC, &to);
  cost.passed =
      static_cast<double>(to.tv_sec - from.tv_sec) + static_cast<double>(to.tv_nsec - from.tv_nsec) * 1e-9;
  cost.processor = seconds(used.ru_utime) + seconds(used.ru_stime);
  cost.peak = static_cast<double>(used.ru_maxrss) * 1024;
  cost.done = WIFEXITED(status) && WEXITSTATUS(status) == 0;
  return cost;
}

// What is named by `output` is removed before each run, so that it is a new file that is written.
void measure(benchmark::State& state, const std::vector<std::string>& words, const std::string& output = {}) {
  double passed = 0;
  double least = std::numeric_limits<double>::infinity();
  double peak = 0;
  for (auto _ : state) {
    if (!output.empty()) std::filesystem::remove_all(output);
    const Cost cost = run(words);
    if (!cost.done) {
      state.SkipWithError("the program did not end with exit status 0");
      return;
    }
    state.SetIterationTime(cost.processor);
    passed += cost.passed;
    least = std::min(least, cost.passed);
    peak = cost.peak > peak ? cost.peak : peak;
  }
  state.counters["passed"] = benchmark::Counter(passed, benchmark::Counter::kAvgIterations);
  state.counters["least"] = least;
  state.counters["peak"] = peak;
}

std::string pieces() {
  static const std::string folder = given("BENCH_PIECES");
  return folder;
}

void start_of_nothing(benchmark::State& state) {
  measure(state, {given("BENCH_NOTHING")});
}

void start_of_fifthpeg(benchmark::State& state) {
  measure(state, {given("FIFTHPEG"), "--version"});
}

// The disk is waited for, here as where an older file is replaced.
void convert_a_lick(benchmark::State& state) {
  const std::string output = pieces() + "/out/lick.musicxml";
  measure(state, {given("FIFTHPEG"), "convert", pieces() + "/lick.mid", "-o", output}, output);
}

void convert_a_lick_again(benchmark::State& state) {
  measure(state, {given("FIFTHPEG"), "convert", "--force", pieces() + "/lick.mid", "-o",
                  pieces() + "/out/lick-again.musicxml"});
}

void convert_a_piece(benchmark::State& state) {
  const std::string notes = std::to_string(state.range(0));
  measure(state, {given("FIFTHPEG"), "convert", "--force", "--max-bytes", "1000000000",
                  pieces() + "/piece-" + notes + ".mid", "-o", pieces() + "/out/piece.musicxml"});
}

void convert_a_batch(benchmark::State& state) {
  const std::string jobs = std::to_string(state.range(0));
  std::vector<std::string> words{given("FIFTHPEG"), "convert", "--force",
                                 "--jobs",          jobs,      "--to",
                                 "musicxml",        "-d",      pieces() + "/out/batch/jobs-" + jobs};
  for (std::size_t at = 1; at <= batch_files; ++at) {
    words.push_back(pieces() + "/batch/" + std::to_string(10000 + at).substr(1) + ".mid");
  }
  measure(state, words, pieces() + "/out/batch/jobs-" + jobs);
}

// Those that lead from one chord to another, among some 2,000.
void find_among_many(benchmark::State& state) {
  measure(state, {given("FIFTHPEG"), "find", pieces() + "/licks", "--jobs", std::to_string(state.range(0)),
                  "--from", "G", "--to", "C"});
}
void find_alike_among_many(benchmark::State& state) {
  measure(state, {given("FIFTHPEG"), "find", pieces() + "/licks", "--jobs", std::to_string(state.range(0)),
                  "--like", pieces() + "/licks/capo-2/musicxml/segue-g-c.musicxml"});
}

BENCHMARK(start_of_nothing)->UseManualTime()->Unit(benchmark::kMillisecond);
BENCHMARK(start_of_fifthpeg)->UseManualTime()->Unit(benchmark::kMillisecond);
BENCHMARK(convert_a_lick_again)->UseManualTime()->Unit(benchmark::kMillisecond);
BENCHMARK(convert_a_lick)->UseManualTime()->Unit(benchmark::kMillisecond);
BENCHMARK(convert_a_piece)
    ->RangeMultiplier(10)
    ->Range(1'000, 1'000'000)
    ->UseManualTime()
    ->Iterations(1)
    ->Unit(benchmark::kMillisecond);
BENCHMARK(find_among_many)->Arg(1)->Arg(2)->UseManualTime()->Iterations(1)->Unit(benchmark::kMillisecond);
BENCHMARK(find_alike_among_many)
    ->Arg(1)
    ->Arg(2)
    ->UseManualTime()
    ->Iterations(1)
    ->Unit(benchmark::kMillisecond);
BENCHMARK(convert_a_batch)->Arg(1)->Arg(2)->UseManualTime()->Iterations(1)->Unit(benchmark::kMillisecond);

}  // namespace

BENCHMARK_MAIN();
