// Rules that look at one part of a MusicXML document, measure by measure. One object a part and family.
#pragma once

#include <array>
#include <cstddef>
#include <map>
#include <memory>
#include <set>
#include <string>
#include <tuple>
#include <vector>

#include "check/findings.hpp"
#include "formats/musicxml/head.hpp"
#include "formats/musicxml/raw.hpp"

namespace fifthpeg::check {

using musicxml::reader::Head;
using musicxml::reader::Mark;
using musicxml::reader::RawBarline;
using musicxml::reader::RawMeasure;
using musicxml::reader::RawNote;
using musicxml::reader::RawPart;
using musicxml::reader::RawStaff;

class PartRules {
 public:
  PartRules() = default;
  PartRules(const PartRules&) = delete;
  PartRules& operator=(const PartRules&) = delete;
  virtual ~PartRules() = default;

  virtual void measure(const RawPart& part, const RawMeasure& measure) = 0;
  // Behind the last measure. `complete` is false where the file broke off, so that what is open may well
  // have been closed.
  virtual void finish(const RawPart& part, bool complete) = 0;
};

std::unique_ptr<PartRules> time_rules(Findings& findings);

// Which note of a document, for fix().
struct NoteIndex {
  std::string part;         // its id
  std::size_t measure = 0;  // in its part
  std::size_t note = 0;     // in its measure
  friend bool operator<(const NoteIndex& a, const NoteIndex& b) {
    return std::tie(a.part, a.measure, a.note) < std::tie(b.part, b.measure, b.note);
  }
};
NoteIndex index_of(const RawPart& part, const RawMeasure& measure, const RawNote& note);

// What of the pairs has exactly one right answer: ends with no other end.
struct PairFixes {
  std::set<NoteIndex> tie_starts, tie_stops, tuplet_starts;
};
std::unique_ptr<PartRules> pair_rules(Findings& findings, PairFixes& fixes);

// What of the tab has exactly one right answer.
struct TabFixes {
  struct Fret {
    int fret = 0;        // what must stand there
    bool mixed = false;  // the part has both numberings
  };
  std::map<NoteIndex, Fret> frets;
  // Of a part by its id: the tuning of strings 1 to 5 that the pitches prove, as MIDI numbers without capo.
  std::map<std::string, std::array<int, 5>> tunings;
};
std::unique_ptr<PartRules> tab_rules(Findings& findings, const Head& head, TabFixes& fixes);

// What of a note the end of a mark on another one is held against.
struct MarkedNote {
  explicit MarkedNote(const RawNote& note)
      : string(note.string), fret(note.fret), midi(note.midi()), staff(note.staff), voice(note.voice) {}

  std::optional<int> string, fret, midi;
  int staff;
  int voice;
};

// Technique that no banjo plays: on one note, and from one to another that a mark joins.
void technique_rules(const RawPart& part, const RawMeasure& measure, const RawNote& note, Findings& findings);
void technique_rules(Mark::Kind kind, const MarkedNote& from, const MarkedNote& to, const Place& place,
                     Findings& findings);

// The ties that a note has for the ear, and as they are drawn.
struct Ties {
  bool start = false, stop = false, drawn_start = false, drawn_stop = false;

  bool all_drawn() const { return (!start || drawn_start) && (!stop || drawn_stop); }
  bool all_heard() const { return (!drawn_start || start) && (!drawn_stop || stop); }
};
Ties ties_of(const RawNote& note);

// Whether a part is for the five-string banjo, or says nothing that speaks against it.
bool may_be_banjo(const RawPart& part);
bool is_percussion(const RawPart& part);

// The place of something in a measure.
Place place_in(const RawPart& part, const RawMeasure& measure, std::int64_t line);
Place place_at(const RawPart& part, const RawMeasure& measure, const RawNote& note);

// How long the note would be outside of its tuplet.
inline Fraction printed_length(const RawNote& note) {
  return note.duration * Fraction(note.actual) / Fraction(note.normal);
}

// The value between a breve and a 128th, with at most one dot, that prints the note as long as it lasts; none
// where there is none.
engraving::NoteValue plain_value(const RawNote& note);

// "F#4": for people.
std::string words_of_pitch(int midi);

}  // namespace fifthpeg::check
