// bench_count [NOTES]: goes once through each stage, and under callgrind
//   valgrind --tool=callgrind --collect-atstart=no --callgrind-out-file=FILE bench_count
// leaves one FILE.n a stage with the instructions that it took: a measure that no load on the machine
// changes.
#include <cstdio>
#include <cstdlib>
#include <valgrind/callgrind.h>

#include "bench/stages.hpp"

namespace {

template <typename Stage>
void count(const char* name, const Stage& stage) {
  CALLGRIND_ZERO_STATS;
  CALLGRIND_TOGGLE_COLLECT;
  stage();
  CALLGRIND_TOGGLE_COLLECT;
  CALLGRIND_DUMP_STATS_AT(name);
}

}  // namespace

int main(int argc, char** argv) {
  using namespace fifthpeg;
  const std::size_t notes = argc > 1 ? std::strtoul(argv[1], nullptr, 10) : 2000;
  const bench::Material given(notes);  // everything has run once: nothing is set up any more
  Score score = given.read;
  testing::LoadedSmf smf;
  std::size_t length = 0;
  bool parsed = false;
  count("convert_midi_to_musicxml", [&] { length = bench::converted(given.midi).size(); });
  count("parse_with_tinyxml2", [&] { parsed = bench::tinyxml2_parse(given.musicxml); });
  count("read_midi", [&] { read_midi(given.midi); });
  count("load_with_libsmf", [&] { smf = bench::libsmf_load(given.midi); });
  count("read_played_midi", [&] { read_midi(given.played); });
  testing::LoadedSmf played;
  count("load_played_with_libsmf", [&] { played = bench::libsmf_load(given.played); });
  count("read_musicxml_both_staves", [&] { read_musicxml(given.musicxml); });
  count("find_fingers", [&] { finger(score); });
  count("write_musicxml_both_staves", [&] { bench::written(given.fingered); });
  std::printf("%zu notes, %zu bytes of MIDI, %zu bytes of MusicXML\n", notes, given.midi.size(), length);
  return smf && played && parsed && length == given.musicxml.size() ? 0 : 1;
}
