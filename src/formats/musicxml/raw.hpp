// A part as it stands in the file, before voices, staves and copies become one line of strokes. The reader
// makes a score of it; the check looks at it measure by measure.
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "engraving/note_value.hpp"
#include "fifthpeg/score.hpp"
#include "formats/musicxml/part_list.hpp"
#include "formats/musicxml/values.hpp"

namespace fifthpeg::musicxml::reader {

// A score's own articulations and those of a copy.
inline void add(Articulations& marks, const Articulations& more) {
  marks.accent |= more.accent;
  marks.strong_accent |= more.strong_accent;
  marks.staccato |= more.staccato;
  marks.tenuto |= more.tenuto;
  marks.fermata |= more.fermata;
}

// One end of something that has two.
struct Mark {
  enum class Kind : std::int8_t { tie, tied, slur, slide, hammer_on, pull_off, tuplet };
  Kind kind = Kind::tie;
  bool start = false;
  int number = 1;  // which one, where several are open
  std::int16_t actual = 0,
               normal = 0;  // ratio of a tuplet; 0 where the file leaves it to the time-modification
  std::int64_t line = 0;
};

struct RawNote {
  enum class Kind : std::int8_t { pitched, rest, unpitched };

  Fraction onset;
  Fraction duration;  // zero for grace notes
  Fraction printed;   // value of type and dots; zero where the file has no type
  engraving::NoteValue
      type;  // as printed, without its dots; none where the file has none that MusicXML knows
  std::int64_t line = 0;
  std::int32_t actual = 1;  // time-modification
  std::int32_t normal = 1;
  std::uint16_t voice = 0;  // index, counted over the part
  std::uint8_t staff = 1;
  std::uint8_t dots = 0;
  Kind kind = Kind::rest;
  Grace grace = Grace::none;
  Brush brush = Brush::none;
  bool chord = false;  // struck with the note before it
  bool measure_rest = false;
  bool typed = false;  // there is a type, known or not
  bool cue = false;
  bool tremolo = false;   // one of a pair whose printed values are each the whole pair's
  bool left_out = false;  // of no use to a score: a cue note, or a grace or chord note without a pitch
  std::optional<std::int16_t> string, fret;  // as the file numbers them
  Note note;                                 // without placement; pitch moved by `transpose`
  Pitch written;                             // that pitch as it stands in the file
  Articulations articulations;
  std::vector<Mark> marks;
  std::vector<Lyric> lyrics;
  std::vector<std::string> plucks;

  Fraction end() const { return onset + duration; }
  std::optional<int> midi() const {
    return kind == Kind::pitched ? std::optional<int>(note.pitch.midi()) : std::nullopt;
  }
  bool has_marks(Mark::Kind of) const {
    return std::any_of(marks.begin(), marks.end(), [of](const Mark& mark) { return mark.kind == of; });
  }
};

// A direction and the staff it stands at, so that a copy of a staff does not double it.
// A direction that stops the strings.
struct RawDamp {
  Fraction at;
  std::int64_t line = 0;
};

struct RawDirection {
  Direction direction;
  int staff = 1;
  std::int64_t line = 0;
};

struct RawBarline {
  std::int64_t line = 0;
  bool repeat_forward = false;
  bool repeat_backward = false;
  bool ending_starts = false;
  bool ending_stops = false;
};

using TextLine = std::pair<std::int64_t, std::string>;  // a text of the file, with its line

// What of a measure a score does not keep, and the check looks at.
struct Written {
  std::vector<RawBarline> barlines;
  std::vector<TextLine> texts;  // words and lyrics
  struct Backup {
    std::int64_t line = 0;
    Fraction beyond;  // how much farther it leads than to the beginning of the measure
  };
  std::vector<Backup> backups_too_far;
  std::vector<std::int64_t> chords_alone;  // a chord's further note with no note before it
  std::int64_t without_divisions = 0;      // line of the first duration that has no divisions
};

struct RawMeasure {
  Measure measure;  // everything but strokes; as long as `extent` once it is read
  Fraction extent;  // how far notes, rests and forwards reach
  std::vector<RawNote> notes;
  std::vector<RawDirection> directions;
  std::vector<RawDamp> damps;
  std::unique_ptr<Written> written;  // while the measure is the last one read
  std::int64_t line = 0;
  std::size_t index = 0;  // in its part
  bool metered = false;   // a meter is stated, and the music is not free of it
  bool timed = true;      // false: its times could not be reckoned
  bool dropped = false;   // empty stand-in for no measure at all

  const Meter* meter() const { return metered ? &measure.meter : nullptr; }
};

inline constexpr int most_staves = 32;  // of one part; more are taken as the last

struct RawStaff {
  using LineTuning = std::array<std::optional<Pitch>, 12>;  // by line from the bottom, index 0 is line 1
  std::optional<int> lines;
  LineTuning tuning;             // the first that is stated
  LineTuning tuning_now;         // in force
  std::optional<int> capo;       // in force
  int tuned_lines = 0;           // highest line with a tuning
  std::int64_t clef_line = 0;    // in the file, of the first clef; 0 where there is none
  std::int64_t tuning_line = 0;  // in the file
  bool tab = false;              // TAB clef, or a tuning, anywhere
  bool tab_clef = false;         // in force
  bool percussion = false;
  std::uint64_t notes = 0;
  std::uint64_t placed = 0;

  // How many lines have a tuning now.
  int tuned_now() const {
    return static_cast<int>(std::count_if(tuning_now.begin(), tuning_now.end(),
                                          [](const auto& pitch) { return pitch.has_value(); }));
  }
};

struct RawPart {
  PartDescription description;
  std::vector<RawMeasure> measures;  // those that are kept
  std::size_t measures_read = 0;
  std::array<RawStaff, most_staves + 1> staves;  // by number, from 1
  std::optional<int> capo;
  bool transposes = false;  // a `transpose` was there
  bool has_key = false;
  bool key_seen = false;  // even one that is left out
  bool meter_seen = false;
  std::optional<Fraction> divisions;  // in force while its measures go by
  bool divisions_stated = false;      // and not found from a note's value
  std::vector<std::string> voice_names;
  std::size_t voices = 0;
  // The name of a voice; notes that name none are in the first.
  std::string voice_name(std::size_t voice) const {
    return voice < voice_names.size() ? voice_names[voice] : "1";
  }
  std::optional<Swing> swing;
};

}  // namespace fifthpeg::musicxml::reader
