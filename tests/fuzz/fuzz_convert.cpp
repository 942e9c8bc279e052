// The whole way: read, finger, write everything, read back. The first byte chooses options.
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/read.hpp"
#include "fifthpeg/write.hpp"
#include "fuzz/must.hpp"

namespace {

using namespace fifthpeg;

void convert(std::string_view bytes, unsigned choice) {
  ReadOptions reading_options;
  reading_options.max_bytes = fuzz::max_bytes;
  Reading reading = read(bytes, reading_options);

  HandsOptions hands;
  hands.thin = (choice & 1U) != 0;
  if ((choice & 2U) != 0) hands.refinger = Refinger::all;
  const Score before = reading.score;
  try {
    finger(reading.score, hands);
  } catch (const UnplayableError&) {
    fuzz::must(reading.score == before, "an unplayable score is left as it was");
  }
  fuzz::must_be_sound(reading.score);

  StringSink musicxml;
  const Report report = write_musicxml(reading.score, {}, musicxml);
  ReadOptions again_options;  // what was written may be larger than what was read
  const Reading again = read(musicxml.str(), again_options);
  // What MusicXML cannot say (a pitch above its octaves, say) is told, and is the only thing that may differ.
  fuzz::must(report.has_losses() || again.score == reading.score,
             "MusicXML there and back is the same score");

  StringSink midi;
  MidiOptions midi_options;
  midi_options.channel_per_string = (choice & 4U) != 0;
  midi_options.unfold_repeats = (choice & 8U) != 0;
  write_midi(reading.score, midi_options, midi);
  try {
    fuzz::must_be_sound(read(midi.str(), again_options).score);
  } catch (const ReadError& error) {
    // A score of rests has no notes to read back.
    fuzz::must(std::string_view(error.what()).find("no notes") != std::string_view::npos, error.what());
  }

  StringSink text;
  TextTabOptions tab;
  tab.fingers = (choice & 16U) != 0;
  tab.width = 40 + static_cast<int>(choice >> 5U) * 20;
  write_text_tab(reading.score, tab, text);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  if (size == 0) return 0;
  try {
    convert(std::string_view(reinterpret_cast<const char*>(data) + 1, size - 1), data[0]);
  } catch (const ReadError& error) {
    fuzz::must(*error.what() != '\0', "an error that says what is wrong");
  }
  return 0;
}
