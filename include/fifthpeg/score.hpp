// The banjo score: what every reader makes and every writer takes. It knows no file format.
//
// Times are exact fractions of a whole note, counted from the start of their measure. All types are plain
// values with deep equality.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "fifthpeg/banjo.hpp"
#include "fifthpeg/fraction.hpp"
#include "fifthpeg/pitch.hpp"

namespace fifthpeg {

// ---- notes and strokes -------------------------------------------------------------------------

// The finger of the fret hand that holds a note: open, 1 index to 4 little finger, T thumb over the neck.
enum class FretFinger : std::int8_t { open, index, middle, ring, little, thumb };

// A finger of the picking hand. `nail` is the frailing finger that strikes downwards.
enum class PickingFinger : std::int8_t { thumb, index, middle, ring, little, nail };

// How a note is reached from the note before it, or leads to the one after it, on the same string.
// `slur` is a source's legato between two neighboring notes that no string technique has been found for.
enum class Technique : std::int8_t { none, hammer_on, pull_off, slide, slur };

// natural: sounds for its written length. let_ring: sounds until its string is needed again.
// damp: stopped short by the hand.
enum class Ring : std::int8_t { natural, let_ring, damp };

// A string pushed sideways to raise its pitch.
struct Choke {
  std::int16_t cents = 200;  // how far the pitch is raised
  bool before = false;       // already choked when it is struck
  bool release = false;      // let down again while it sounds
  friend bool operator==(const Choke&, const Choke&) = default;
};

// What a note is for in banjo music that was made of a tune (common practice).
enum class Role : std::int8_t {
  none,      // not said
  melody,    // a note of the tune itself; all of them together are the tune again
  fill,      // of a roll or strum between the melody notes, out of the chord
  drone,     // the fifth string, or another open one, that sounds on under the tune
  lick,      // of a set figure that stands in place of the tune, as where a phrase ends
  kick_off,  // of the notes that lead into the first measure of the tune
  backup     // of what is played while something else has the tune
};

// "melody", "fill", "drone", "lick", "kick-off", "backup"; of none, empty.
std::string_view to_string(Role role);
// Reads what to_string writes of a role.
std::optional<Role> parse_role(std::string_view text);

struct Note {
  Pitch pitch;  // as it sounds
  std::optional<Placement> placement;
  std::optional<FretFinger> finger;
  std::optional<PickingFinger> picking_finger;
  Technique into = Technique::none;    // from the note before it
  Technique out_of = Technique::none;  // to the note after it
  Ring ring = Ring::natural;
  bool tied_from_previous = false;  // goes on from the stroke before it; not struck again
  bool tied_to_next = false;        // goes on into the next stroke
  bool harmonic = false;            // a chime: touched, not pressed
  bool dead = false;                // struck muffled, without definite pitch
  std::optional<Choke> choke;
  Role role = Role::none;
  friend bool operator==(const Note&, const Note&) = default;
};

// Whether a note's finger is only what its place says already: none, on an open string.
inline bool finger_is_plain(const Note& note) {
  return note.placement && note.placement->fret == 0 && !note.dead && note.finger == FretFinger::open;
}

// One level of "actual notes in the time of normal ones", as on one stroke of the group.
struct Tuplet {
  std::int16_t actual = 3;
  std::int16_t normal = 2;
  bool starts = false;
  bool stops = false;
  friend bool operator==(const Tuplet&, const Tuplet&) = default;
};

enum class Grace : std::int8_t { none, plain, slashed };

// A brush: a chord drawn across the strings. Up is from low pitch to high, as in MusicXML.
enum class Brush : std::int8_t { none, plain, up, down };

enum class Syllabic : std::int8_t { single, begin, middle, end };

struct Lyric {
  std::string verse = "1";
  Syllabic syllabic = Syllabic::single;
  std::string text;
  friend bool operator==(const Lyric&, const Lyric&) = default;
};

struct Articulations {
  bool accent = false;
  bool strong_accent = false;
  bool staccato = false;
  bool tenuto = false;
  bool fermata = false;
  friend bool operator==(const Articulations&, const Articulations&) = default;
};

// What the picking hand does at one instant: one note, a pinch or brush of several, or (no notes) a rest.
struct Stroke {
  Fraction onset;  // from the start of the measure
  Fraction
      duration;  // as it sounds, tuplets applied. A grace stroke's is its printed value; it takes no time
  Grace grace = Grace::none;  // stands before the stroke with the same onset that follows it
  Brush brush = Brush::none;
  Articulations articulations;
  std::vector<Tuplet> tuplets;  // outermost first; printed value = duration * actual/normal of each
  std::vector<Note> notes;      // highest pitch first; a pitch may stand twice, on two strings
  std::vector<Lyric> lyrics;
  // Printed as the single note value that it lasts, where the meter would rather have it in several, tied:
  // its source printed it so. Not set where that makes no difference, as in tuplets.
  bool unparted = false;

  bool is_rest() const { return notes.empty(); }
  friend bool operator==(const Stroke&, const Stroke&) = default;
};

// ---- measures ----------------------------------------------------------------------------------

struct Meter {
  enum class Symbol : std::int8_t { numbers, common, cut };
  std::vector<int> beats{4};  // more than one for an additive meter such as 3+2
  int unit = 4;               // 4 is a quarter note
  Symbol symbol = Symbol::numbers;

  Fraction length() const;
  // 6/8, 9/8, 12/8 and the like, whose beat is a dotted value.
  bool is_compound() const;
  // What is counted: 1/4 in 4/4, 3/8 in 6/8, 1/2 in 2/2.
  Fraction beat() const;
  friend bool operator==(const Meter&, const Meter&) = default;
};

std::string to_string(const Meter& meter);  // "6/8", "3+2/8"
// Counted from 1 in the meter's beats: offset 1/4 in 4/4 is beat 2.
Fraction beat_at(const Meter& meter, Fraction offset);

struct Tempo {
  Fraction at;
  Fraction quarters_per_minute{120};
  Fraction beat_unit{1, 4};  // the note value shown: 3/8 is a dotted quarter
  std::string words;         // "Lively", or empty
  bool shown = true;         // false: heard only
  friend bool operator==(const Tempo&, const Tempo&) = default;
};

struct KeyChange {  // inside a measure; the key at its start is Measure::key
  Fraction at;
  Key key;
  friend bool operator==(const KeyChange&, const KeyChange&) = default;
};

// A root or bass note of a chord symbol.
struct ChordTone {
  Step step = Step::C;
  std::int8_t alter = 0;
  friend bool operator==(const ChordTone&, const ChordTone&) = default;
};

struct ChordDegree {
  enum class Kind : std::int8_t { add, alter, subtract };
  Kind kind = Kind::add;
  std::int8_t value = 9;
  std::int8_t alter = 0;
  friend bool operator==(const ChordDegree&, const ChordDegree&) = default;
};

struct ChordSymbol {
  Fraction at;
  ChordTone root;
  std::string kind = "major";  // a MusicXML kind-value: major, minor, dominant, major-seventh, none ...
  std::string text;            // what the source printed for the kind ("7", "m"), or empty
  std::vector<ChordDegree> degrees;
  std::optional<ChordTone> bass;
  friend bool operator==(const ChordSymbol&, const ChordSymbol&) = default;
};

// Whether it is one of the kind-values of MusicXML 4.0.
bool is_chord_kind(std::string_view kind);
// "G", "Am7", "D7/F#", "N.C.".
std::string to_string(const ChordSymbol& chord);
// Reads what to_string writes; `at` is 0.
std::optional<ChordSymbol> parse_chord_symbol(std::string_view text);

struct Direction {
  enum class Kind : std::int8_t {
    words,
    rehearsal,
    dynamics,
    segno,
    coda,
    to_coda,
    da_capo,
    dal_segno,
    fine
  };
  Fraction at;
  Kind kind = Kind::words;
  std::string text;  // the words, the rehearsal letter, "mf"; of a jump, its printed words or empty
  friend bool operator==(const Direction&, const Direction&) = default;
};

enum class BarStyle : std::int8_t { regular, light_light, light_heavy, heavy, dashed, dotted, none };

// A volta bracket, or the part of it that stands over this measure. One that does not start goes on from the
// measure before, and one that does not stop goes on, unless another one starts there or the piece ends.
struct Ending {
  std::vector<int> numbers{1};
  bool starts = false;
  enum class Stop : std::int8_t { none, closed, open } stop = Stop::none;
  friend bool operator==(const Ending&, const Ending&) = default;
};

struct Measure {
  std::string number;     // as printed
  bool implicit = false;  // not counted: a pickup or the second half of a split measure
  Meter meter;
  Key key;
  Fraction length;  // the real length; differs from meter.length() in pickups and irregular measures
  bool repeat_starts = false;
  int repeat_times = 0;  // 0: no repeat ends here; 2: played twice (the usual sign); 3 ...
  std::optional<Ending> ending;
  BarStyle right_bar = BarStyle::regular;  // of a measure whose repeat ends, regular
  std::vector<Tempo> tempos;
  std::vector<KeyChange> key_changes;
  std::vector<ChordSymbol> chords;
  std::vector<Direction> directions;
  std::vector<Stroke> strokes;  // in order of onset; those that are not grace fill the measure exactly
  friend bool operator==(const Measure&, const Measure&) = default;
};

// ---- the whole ---------------------------------------------------------------------------------

struct Work {
  std::string title;
  std::string composer;
  std::string arranger;
  std::string lyricist;
  std::string rights;
  std::string source;
  friend bool operator==(const Work&, const Work&) = default;
};

// Pairs of `unit` that are written even and played long-short, `first` to `second`: {1/8, 2, 1}.
struct Swing {
  Fraction unit{1, 8};
  int first = 2;
  int second = 1;
  friend bool operator==(const Swing&, const Swing&) = default;
};

struct Score {
  Work work;
  std::string part_name = "Banjo";
  Banjo banjo;
  std::optional<Swing> swing;
  bool key_estimated = false;  // the source had no key; see find_key()
  std::vector<Measure> measures;
  friend bool operator==(const Score&, const Score&) = default;
};

// Whether any note of it says what it is for; or is for just that.
bool has_roles(const Score& score);
bool has_role(const Score& score, Role role);

// How much of its meter passes before a measure: what a pickup, or another measure that is not counted, lacks
// of it. 0 of any other.
Fraction counted_before(const Measure& measure);
// Counted from 1 in the beats of a whole measure: the last eighth of a pickup in 4/4 is beat 4.5.
Fraction beat_at(const Measure& measure, Fraction offset);

// Brings a score into the one form in which equal music is equal data; every reader ends with it.
// Sorts notes and positioned things; joins, inside a measure, a stroke that is tied in all its notes to
// the next one into one stroke, and neighboring plain rests into one; starts and stops endings where they
// go on from or to nowhere; drops ties without their other end, and gives what a tie leads to the role of the
// note that goes on; drops tempo changes that repeat what is already in force, and bar styles where a repeat
// ends; gives a note that is placed on an open string the finger that says so, if it has none.
void normalize(Score& score);

// Where a score breaks the rules stated above: one line each, empty if it is sound. For tests and for
// callers that build scores; writers assume a sound score.
std::vector<std::string> flaws(const Score& score);

// The order in which measures are played, as indices into Score::measures: repeats, endings, D.C., D.S.,
// Fine and coda carried out. Bounded: a score whose jumps would never end, or would play more than
// `limit` measures, plays straight through and `bounded` is set.
struct PlayingOrder {
  std::vector<std::size_t> measures;
  bool bounded = false;
};
PlayingOrder playing_order(const Score& score, std::size_t limit = 1'000'000);

// The score with its repeats written out: no repeat signs, endings or jumps, measures renumbered.
Score unfolded(const Score& score);

// Moves everything by half steps: notes, keys and chord symbols. Placements and fingers are dropped.
void transpose(Score& score, int half_steps);

}  // namespace fifthpeg
