// growth FILE...: converts, checks and fixes each MusicXML file, and under callgrind
//   valgrind --tool=callgrind --collect-atstart=no --callgrind-out-file=COUNTS growth FILE...
// leaves one COUNTS.n a file and stage with the instructions that it took: a measure that no load on the
// machine changes. Without callgrind it does the same and counts nothing.
#include <cstdio>
#include <fstream>
#include <iterator>
#include <string>
#include <valgrind/callgrind.h>

#include "fifthpeg/fifthpeg.hpp"

namespace {

using namespace fifthpeg;

// What is wrong with a file is of no interest here, only how long it takes to say so.
template <typename Work>
void tolerate(const Work& work) {
  try {
    work();
  } catch (const Error&) {
  }
}

void convert(const std::string& bytes) {
  const Reading reading = read(bytes);
  StringSink written;
  write_musicxml(reading.score, {}, written);
  write_midi(reading.score, {}, written);
  write_text_tab(reading.score, {}, written);
}

template <typename Work>
void count(const std::string& name, const Work& work) {
  CALLGRIND_ZERO_STATS;
  CALLGRIND_TOGGLE_COLLECT;
  tolerate(work);
  CALLGRIND_TOGGLE_COLLECT;
  CALLGRIND_DUMP_STATS_AT(name.c_str());
}

}  // namespace

int main(int argc, char** argv) {
  for (int at = 1; at < argc; ++at) {
    std::ifstream file(argv[at], std::ios::binary);
    const std::string bytes{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
    if (at == 1) tolerate([&] { check_file(bytes); });  // what is set up once, the grammar above all
    const std::string name = argv[at];
    count(name + " convert", [&] { convert(bytes); });
    count(name + " check", [&] { check_file(bytes); });
    count(name + " fix", [&] { fix(bytes); });
  }
}
