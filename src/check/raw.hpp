// Measures, notes and signs exactly as the file has them, in the order in which it has them. Times are
// fractions of a whole note from the start of the measure, from durations and divisions alone.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "check/document.hpp"
#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::check {

// One end of something that has two.
struct Mark {
  enum class Kind : std::int8_t { tie, tied, slur, slide, hammer_on, pull_off, tuplet };
  enum class End : std::int8_t { start, stop };
  Kind kind = Kind::tie;
  End end = End::start;
  int number = 1;
  std::int64_t line = 0;
};

struct RawNote {
  Fraction onset;
  Fraction duration;
  std::int64_t line = 0;
  std::size_t element = 0;  // index into the measure's tree
  std::size_t begin = 0;    // byte of its element in the document
  bool grace = false;
  bool cue = false;
  bool chord = false;
  bool rest = false;
  bool measure_rest = false;
  bool unpitched = false;
  bool tremolo = false;  // one of a pair whose printed values are each the whole pair's
  bool bend = false;
  bool harmonic = false;
  bool dead = false;
  std::optional<Pitch> written;
  std::optional<int> midi;  // as it sounds, `transpose` applied
  std::string type;
  int dots = 0;
  int actual = 1;
  int normal = 1;
  std::string voice;
  int staff = 1;
  std::optional<int> string, fret;
  std::vector<std::string> plucks;
  std::vector<Mark> marks;

  Fraction end() const { return onset + duration; }
  bool pitched() const { return !rest && !unpitched; }
};

struct RawBarline {
  std::int64_t line = 0;
  bool right = true;
  bool repeat_forward = false;
  bool repeat_backward = false;
  std::string ending_number;
  std::string ending_type;  // start, stop, discontinue; empty where there is no ending
};

struct RawJumps {  // what a measure says about the order of playing, with the line
  std::int64_t segno = 0, coda = 0, to_coda = 0, da_capo = 0, dal_segno = 0, fine = 0;
};

struct RawMeasure {
  std::string number;
  std::size_t index = 0;  // in its part
  std::int64_t line = 0;
  bool implicit = false;
  std::optional<Meter> meter;  // in force; nothing before the first, or where the music is free
  std::vector<RawNote> notes;
  Fraction extent;
  bool timed = true;  // false: its times could not be reckoned
  std::vector<std::int64_t> backups_too_far;
  std::vector<std::int64_t> chords_alone;  // a chord's further note with no note before it
  std::int64_t without_divisions = 0;      // line of the first duration that has no divisions
  std::vector<RawBarline> barlines;
  RawJumps jumps;
  bool repeat_backward = false;
  bool has_tempo = false;
  bool has_harmony = false;
  std::vector<std::pair<std::int64_t, std::string>> texts;  // words and lyrics, with their lines
};

struct RawStaff {
  bool tab = false;
  bool clef = false;
  std::int64_t clef_line = 0;  // in the file
  std::optional<int> lines;
  std::array<std::optional<int>, 12> tuning{};  // MIDI numbers by line from the bottom, index 0 is line 1
  int tuned = 0;
  std::int64_t tuning_line = 0;
  std::optional<int> capo;
  int transpose = 0;
};

struct RawPart {
  std::string id;
  std::string name;
  std::string instruments;  // names and sounds, in lower case, for what it is
  bool described = false;   // in the part list
  bool percussion = false;

  // In force while its measures go by.
  std::optional<std::int64_t> divisions;
  std::optional<Meter> meter;
  bool meter_seen = false;
  bool key_seen = false;
  int transpose = 0;  // of all staves
  std::map<int, RawStaff> staves;
  std::size_t measures = 0;

  std::string label() const { return name.empty() ? id : name; }
};

// What the head says.
struct RawHead {
  bool title = false;
  bool credit = false;  // somebody is named: a creator, or credit words of such a kind
  bool rights = false;
  bool own_nut = false;  // it says itself that frets of string 5 are counted from there
  std::optional<int> fifth_capo;
  int frets = 22;
  std::vector<RawPart> parts;
  std::vector<std::pair<std::int64_t, std::string>> texts;
};

RawHead read_head(const Tree& tree);
// Reads one measure, and carries the state of its part on.
RawMeasure read_measure(RawPart& part, const Element& label, const Tree& tree);

// The place of something in a measure.
Place place_in(const RawPart& part, const RawMeasure& measure, std::int64_t line);
Place place_at(const RawPart& part, const RawMeasure& measure, const RawNote& note);

// The note value, with at most one dot, that is as long as the note in its tuplet; nothing where there is
// none.
struct PrintedValue {
  std::string_view type;
  int dots = 0;
};
std::optional<PrintedValue> plain_value(const RawNote& note);

// "F#4": for people.
std::string words_of_pitch(int midi);

}  // namespace fifthpeg::check
