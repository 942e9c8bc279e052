// Hands: where each note is played, and with which finger of either hand. A search over the whole piece for
// the cheapest playable way under a documented cost table (src/hands/costs.hpp); src/hands/search.hpp says
// what of it is proven.
//
// Stretch limits are given for a usual adult hand and can be scaled with HandsOptions::reach. Where a
// stretch hurts, stop: what a teacher or a hand therapist says outranks a program.
//
// Lengths are millimeters, intervals half steps, costs whole numbers in the unit of the cost table. Threads:
// as in fifthpeg.hpp. Throws UnplayableError, UsageError and TimeError.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg {

// ---- what can be asked for ---------------------------------------------------------------------

// How the piece is to be played.
enum class Style : std::int8_t {
  roll,           // three-finger rolls: following notes on different strings, everything rings
  melodic,        // scales laid across the strings, open strings inside the line
  single_string,  // closed positions, thumb and index in turn
  clawhammer,     // a fingernail strikes down, the thumb catches the drone and drops to other strings
  automatic,      // the style of these four with the smallest cost; the first of them on a tie
};
// "roll", "melodic", "single-string", "clawhammer", "auto": for programs and command lines.
std::string_view slug(Style style);
// Or what players call a style as well: "frailing", "three-finger".
std::optional<Style> parse_style(std::string_view name);

// What happens to placements and fingers that the score already has.
enum class Refinger : std::int8_t {
  missing,     // keep them all; find what is missing
  all,         // find everything anew
  frets_only,  // find strings, frets and fret-hand fingers anew; keep the picking fingers
};

// The part of the neck in which strings are stopped. Open strings are always allowed, and what has no
// place in that part is played where it can be, and reported.
enum class NeckPart : std::int8_t {
  any,
  low,   // frets 1 to 5
  high,  // fret 7 and up
};
struct FretRange {  // both ends belong to it
  int low = 1;
  int high = 22;
  friend bool operator==(const FretRange&, const FretRange&) = default;
};

// What is wanted of one note, whatever else the search would choose.
struct FixedPoint {
  std::string measure;         // its printed number; the first that has it
  Fraction beat{1};            // counted from 1, see beat_at()
  std::optional<Pitch> pitch;  // which of the notes struck there, as the score has it before it is moved
  std::optional<int> string;   // 1 to 5
  std::optional<int> fret;     // as Placement counts it
  std::optional<FretFinger> finger;
  std::optional<PickingFinger> picking_finger;
};

struct HandsOptions {
  // Half steps to move the whole piece by. Not set: a piece without places moves to the octave in which it
  // costs the hands least, of those that have every note, if that is a fifth less than in the nearest of
  // them; one with places, and any where easiest_octave is off, by as few octaves as bring every note into
  // range.
  std::optional<int> transpose;
  bool easiest_octave = true;
  // Where transpose is not set: an octave will do, too, in which up to 3 % of the notes have no place; these
  // are played an octave or two from there, each reported ("note-folded").
  bool fold = false;
  // Let inner notes go from strokes that no hand can hold, the melody note last. Off: UnplayableError.
  bool thin = false;
  Refinger refinger = Refinger::missing;
  Style style = Style::roll;
  NeckPart neck = NeckPart::any;
  std::optional<FretRange> position;  // narrower than `neck`, and instead of it
  // The chordy manner: stopped strings rather than open ones where notes are struck together, damped or slid
  // into.
  bool closed = false;
  // Slurs that the source does not ask for. They change how a lick sounds; so not set, they are added only
  // where they belong to the style: in clawhammer, hammer-ons, pull-offs and slides give notes off the beat,
  // between two strokes of the nail, which is reported. True: also where a line is faster than the picking
  // hand likes, in any style. False: nowhere.
  std::optional<bool> suggest_slurs;
  double scale_length_mm = usual_scale_length_mm;
  double reach = 1.0;  // scales every stretch limit: 0.9 for a smaller hand
  // Stronger than what the score has, and kept with any Refinger. UnplayableError where no note stands there,
  // where several do and none is named ("which-note"), or where the string and fret do not give it
  // ("no-such-place").
  std::vector<FixedPoint> fixed_points;
  bool explain = false;  // fill FingeringResult::explanation
};

// ---- what comes back ---------------------------------------------------------------------------

// What a cost is for.
enum class CostKind : std::int8_t {
  fretting,     // stopping strings at all, up the neck, on the fifth string
  stretch,      // beyond what is comfortable, or cramped
  fingers,      // fingers put down, weak fingers, bars, the same finger leaping
  shift,        // the hand changing its place, by distance and by the time there is
  ring,         // ringing notes cut short
  picking,      // which picking finger on which string
  repeats,      // the same picking finger or string twice in a row, by the time between
  technique,    // slurs played, and slurs lost
  confinement,  // outside the part of the neck that was asked for
};
inline constexpr std::size_t cost_kinds = 9;
// "fretting", "stretch", "fingers" ...
std::string_view to_string(CostKind kind);

struct RunnerUp {
  // The best other string for the note. 0: there is none, or nobody plays it there: a hand does not do it, or
  // a measure that comes back would not be played as it is elsewhere.
  std::int8_t string = 0;
  // What the whole way would cost more with the note there, as far as is searched; less than 0 where the
  // margins of the search had left a cheaper way out (src/hands/search.hpp). What is charged for a measure
  // that comes back and is played otherwise counts here, and not in a way's cost.
  std::int64_t more = 0;
  friend bool operator==(const RunnerUp&, const RunnerUp&) = default;
};

// Why one stroke is as it is.
struct Explained {
  std::size_t measure = 0;                      // index into Score::measures
  std::size_t stroke = 0;                       // index into Measure::strokes
  std::array<std::int64_t, cost_kinds> cost{};  // by CostKind
  std::vector<RunnerUp> notes;                  // in the order of Stroke::notes
};

// What a score gives of strings, frets and fingers before anything is found. Only what was given can be lost:
// an output that does not carry what was found for a tune has lost nothing of the tune.
struct SourceFingering {
  bool placements = false;
  bool fingers = false;
  bool picking_fingers = false;
  bool neck = true;  // the length of the neck, unless it was asked for
};

struct FingeringResult {
  int half_steps = 0;         // how far the piece was moved
  std::int64_t cost = 0;      // of the whole way, in units of the cost table
  Style style = Style::roll;  // never automatic
  SourceFingering source;     // what the score had of it before
  Report report;
  std::vector<Explained> explanation;  // only if asked for; takes a few kB a stroke while it is made
};

// Gives every note of the score a placement on score.banjo, a finger of the fret hand and, where it is
// picked, a finger of the picking hand; makes slurs into hammer-ons, pull-offs and slides. Throws
// UnplayableError, naming measure, beat and pitch, where that cannot be: "note-out-of-range" or
// "stroke-cannot-be-held", which thinning would help. The score is then unchanged.
// UsageError: options that cannot be, such as an empty position or a reach of 0.
FingeringResult finger(Score& score, const HandsOptions& options = {});

// ---- shapes ------------------------------------------------------------------------------------

// A shape of the fret hand that players know by name (src/hands/shapes.cpp).
struct HeldShape {
  std::size_t measure = 0;  // index into Score::measures
  std::size_t stroke = 0;   // index into Measure::strokes: the first that is of it
  std::string text;         // "G (D shape, 7)": the chord, the shape and the index finger's fret
};
// The shapes that the fingers of a score hold, in order; each runs to the next or to what it does not have.
std::vector<HeldShape> held_shapes(const Score& score);

// ---- how hard it is ----------------------------------------------------------------------------

inline constexpr int easiest_difficulty = 1;
inline constexpr int greatest_difficulty = 5;

// How hard a piece is for a learner, by the model of both hands (src/hands/difficulty.hpp says how it is
// counted, and why). Tempos are beats of its meter a minute.
struct Difficulty {
  int level = easiest_difficulty;  // 1 to 5
  double effort = 0;               // what the level is cut from: never less where more is asked of the hands
  std::vector<std::string> reasons;  // in words, the weightiest first: "a shift of 5 frets"
  int start = 60;                    // the tempo to start at
  int goal = 100;                    // and the one to aim for
  std::vector<int> ladder;           // from one to the other, both among them
  std::string caution;               // where a stretch is great: one sentence, or empty
};

// Of a score with places and fingers for both hands; what is missing is found. Throws as finger() does.
Difficulty difficulty(const Score& score);

// ---- which key, octave, tuning and capo ----------------------------------------------------------

struct AdviseOptions {
  Style style = Style::roll;
  // Consider other sounding keys too. Off: the piece sounds as it is written, or an octave from there.
  bool other_keys = false;
  std::size_t most = 6;  // how many to return
  double scale_length_mm = usual_scale_length_mm;
  double reach = 1.0;
};

// One way to set up the banjo for the piece.
struct Advice {
  Banjo banjo;
  int half_steps = 0;           // how far the piece moves
  Key key;                      // in which it then sounds, at its start
  Key shapes;                   // the key whose shapes the fret hand plays, as if there were no capo
  std::int64_t cost = 0;        // of the hands, for the whole piece
  std::int64_t setup_cost = 0;  // what the ranking goes by: more than `cost` where players try others first
  std::uint64_t notes = 0;
  std::uint64_t open = 0;            // notes on open strings
  bool playable = true;              // no stroke that has to be thinned
  std::uint64_t folded = 0;          // notes that fold by an octave, see HandsOptions::fold
  std::vector<std::string> reasons;  // in words, the weightiest first
};

// Ranks the tunings, capos and fifth-string capos that players use for the style and the key, the best first:
// what they try first comes first, unless another asks much less of the hands for the whole piece. Each is in
// the octave in which finger() plays it there if nothing else is asked for. Where no usual set-up has a place
// for every note, any named tuning that has comes instead; empty where there is none.
std::vector<Advice> advise(const Score& score, const AdviseOptions& options = {});

// The best way with a few notes folded by an octave, where that is clearly easier than the best of advise(),
// or there is none. In the key of the score, whatever the options say.
std::optional<Advice> advise_folding(const Score& score, const AdviseOptions& options,
                                     const std::vector<Advice>& without);

// For a score that advise() finds nothing for: how far it spans, and what the banjo has. Codes: "no-pitches",
// "tune-too-wide", "no-octave-fits" and, with other keys considered, "no-key-fits".
UnplayableError why_nothing_fits(const Score& score, const AdviseOptions& options = {});

}  // namespace fifthpeg
