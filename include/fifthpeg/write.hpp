// Writing: a Score to bytes. Writers never change notes, decide nothing about strings, and give the same
// bytes for the same score and options. They take a sound score, see flaws(), and return what the format
// cannot carry. Throw WriteError for a score that the format cannot hold at all, UsageError for options that
// cannot be, and whatever the sink throws.
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "fifthpeg/hands.hpp"
#include "fifthpeg/performance.hpp"
#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg {

// Where bytes go. Implementations throw WriteError.
class Sink {
 public:
  Sink() = default;
  Sink(const Sink&) = delete;
  Sink& operator=(const Sink&) = delete;
  virtual ~Sink() = default;
  virtual void write(std::string_view bytes) = 0;
};

class StringSink : public Sink {
 public:
  void write(std::string_view bytes) override { text_.append(bytes); }
  const std::string& str() const { return text_; }

 private:
  std::string text_;
};

enum class Staves : std::int8_t { both, notation, tab };

// How frets on the fifth string are numbered in a file; see Placement for the first.
enum class FifthFrets : std::int8_t { from_long_nut, from_own_nut };

// How the picking fingers stand in a file: in their own element, or as lyrics too, for programs that leave
// that out.
enum class PickingFingers : std::int8_t { technical, lyrics };

struct MusicXmlOptions {
  Staves staves = Staves::both;
  FifthFrets fifth_frets = FifthFrets::from_long_nut;
  PickingFingers picking_fingers = PickingFingers::technical;
  std::string encoding_date;  // "2026-01-31"; empty writes none
};

// MusicXML 4.0, score-partwise, one part. Written in one pass, in memory that does not grow with the score.
Report write_musicxml(const Score& score, const MusicXmlOptions& options, Sink& sink);
// The same, compressed, with its META-INF/container.xml; the document stands in memory meanwhile.
Report write_mxl(const Score& score, const MusicXmlOptions& options, Sink& sink);

// With further parts that are played with the first, such as a second banjo's backup. They have as many
// measures as it, of the same lengths, meters, repeats and endings, and swing as it does: UsageError
// "parts-differ" where they do not. Title, people and rights are those of the first.
Report write_musicxml(const Score& score, std::span<const Score> further, const MusicXmlOptions& options,
                      Sink& sink);
Report write_mxl(const Score& score, std::span<const Score> further, const MusicXmlOptions& options,
                 Sink& sink);

struct MidiOptions {
  bool channel_per_string = false;  // string n on channel n, so that placements survive
  bool unfold_repeats = true;       // repeats written out in playing order
  int ticks_per_quarter = 0;        // 0: the smallest of 480, 960, ... that is exact for the score
  // What further parts are played on: General MIDI programs, counted from 0. Those not named are banjos.
  std::vector<int> further_programs{};
  std::vector<Click> clicks{};  // where there are any, they are a track of percussion
};

// A standard MIDI file, format 1: a conductor track and a banjo track. In linear time.
Report write_midi(const Score& score, const MidiOptions& options, Sink& sink);
// With further parts, as above: each has a track and a channel of its own, or a channel a string. Tempos,
// jumps, keys, chord symbols and words are the first's; what a further part has of these besides is lost.
// UsageError "too-many-parts" where there are not so many channels: 15 parts, or 2 with a channel a string.
Report write_midi(const Score& score, std::span<const Score> further, const MidiOptions& options, Sink& sink);

struct TextTabOptions {
  int width = 80;        // columns
  bool fingers = false;  // fret-hand fingers in a line of their own
  bool shapes = false;   // the shapes that they hold, by name: held_shapes()
  bool roles = false;    // what notes are for, in a line of letters
};

// Tab for a terminal or an e-mail: string 1 on top, UTF-8 outside of titles is not used.
Report write_text_tab(const Score& score, const TextTabOptions& options, Sink& sink);

// Takes out of a writer's report the losses of what the source did not give but was found or asked for; says
// where strings and frets that were found are not in the output ("places-not-written").
Report losses_of_source(Report written, const SourceFingering& source);

}  // namespace fifthpeg
