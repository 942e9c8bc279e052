// Reads the measures of a part into raw form. One file reads one kind of element.
#pragma once

#include <array>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "fifthpeg/errors.hpp"
#include "formats/musicxml/diagnostics.hpp"
#include "formats/musicxml/document.hpp"
#include "formats/musicxml/raw.hpp"
#include "formats/musicxml/values.hpp"

namespace fifthpeg::musicxml::reader {

// What `transpose` adds to a written pitch or key.
struct Transposition {
  int half_steps = 0;
  Move move;             // the same as a move, where the spelling moves too
  bool spelled = false;  // `move` was given by the file (diatonic); otherwise it follows from the key

  bool is_octaves() const { return half_steps % 12 == 0 && move.fifths == 0; }
  Move move_in(const Key& key) const { return spelled ? move : move_for(key, half_steps); }
};

// A duration in whole notes is `count / (4 * divisions)`.
struct PartState {
  PartState(Diagnostics& to, RawPart& raw) : diagnostics(to), part(raw) {}

  Diagnostics& diagnostics;
  RawPart& part;

  Meter meter;
  bool metered = false;
  Key written_key;
  Key key;  // as it sounds
  std::array<Transposition, most_staves + 1> transpositions;
  std::unordered_map<std::string, std::uint16_t> voices;
  std::uint16_t last_voice = 0;
  std::string last_voice_name;
  std::string instrument;  // of the first note that names one

  // Of the measure being read:
  RawMeasure* measure = nullptr;
  Fraction position;                // where the next note begins
  Fraction chord_onset;             // where the last note began
  bool any_note = false;            // a note that a `chord` could belong to
  bool after_rest = false;          // which is a rest
  bool after_grace = false;         // or a grace note, whose chord has grace notes alone
  bool key_read = false;            // a key stood at the start of this measure
  bool repeat_starts_next = false;  // a forward repeat at a right barline

  // Of `duration` elements in a row with the same text, which are many.
  std::string_view last_duration_text;
  Fraction last_duration;

  // Of the volta bracket that is open.
  std::optional<std::vector<int>> open_ending;

  // Why no score can be made of the part.
  std::optional<ReadError> fault;

  void refuse(const std::string& why, std::int64_t line);
  // The text of an element, which is kept as it is written too.
  std::string written_text(const Element& element);
  // A duration stands on this line.
  void expect_divisions(std::int64_t line);
};

// Reads measure after measure of a part.
class PartReader {
 public:
  PartReader(RawPart& part, Diagnostics& diagnostics) : state_(diagnostics, part) {}

  // The element with the notes, until the next call. Throws ReadError where its XML is broken.
  const Element& parse(const MeasureSource& source) { return parser_.parse(source.music); }
  // Adds the measure to those of the part.
  RawMeasure& read(const MeasureSource& source, const Element& music);
  const std::optional<ReadError>& fault() const { return state_.fault; }

 private:
  PartState state_;
  SliceParser parser_;
};

// All measures, without what a score does not keep. Throws ReadError for what no score can be made of.
RawPart read_part(const PartSource& source, Diagnostics& diagnostics);

// In its element's own file each:
void read_attributes(const Element& element, PartState& state);
void read_note(const Element& element, PartState& state);
void read_notations(const Element& element, RawNote& note, PartState& state);
void read_lyric(const Element& element, RawNote& note, PartState& state);
void read_direction(const Element& element, PartState& state);
void read_sound(const Element& element, PartState& state);
void read_harmony(const Element& element, PartState& state);
void read_barline(const Element& element, PartState& state);

// The duration in whole notes that a `duration` or `offset` element states; nothing if it is no number or
// longer than any music. Zero and less is for the caller to judge.
std::optional<Fraction> duration_of(const Element& element, PartState& state);
// The place `offset` after the position, kept inside the measure as far as it is known: not before its start.
Fraction place_at(Fraction offset, const Element& element, PartState& state);
// The name of a dynamics element's mark: "mf".
std::string dynamics_text(const Element& dynamics);

}  // namespace fifthpeg::musicxml::reader
