// The five-string banjo: tunings, capos, which pitch each string and fret gives, and setting up a score for
// another banjo than it was written for. Pitches are MIDI numbers, intervals half steps, lengths millimeters.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "fifthpeg/pitch.hpp"
#include "fifthpeg/report.hpp"

namespace fifthpeg {

struct Note;
struct Score;

inline constexpr int string_count = 5;
inline constexpr int fifth_string = 5;
// The fret, counted on the long strings, at which the fifth string's nut lies (common practice).
inline constexpr int fifth_nut_fret = 5;

// The open strings without capo. Strings are numbered as in MusicXML: 1 is the highest-pitched
// full-length string, 5 the short drone.
struct Tuning {
  std::array<Pitch, string_count> strings;  // strings[0] is string 1

  const Pitch& open(int string) const { return strings.at(static_cast<std::size_t>(string - 1)); }
  friend bool operator==(const Tuning&, const Tuning&) = default;
};

struct NamedTuning {
  std::string_view slug;      // "open-g": for programs and command lines
  std::string_view name;      // "open G": what people read
  std::string_view spelling;  // "gDGBD": fifth string first, the fifth string in lower case
  Tuning tuning;
  std::vector<std::string_view> other_names =
      {};  // "sawmill": what some players call it, the best known first
};

// The tunings that players know by name (common practice); the first is the default, open G.
const std::vector<NamedTuning>& named_tunings();
const Tuning& open_g();

// Reads a slug ("open-g"), a name ("open G", "sawmill"), or a spelling, fifth string first: "gDGBD",
// "f#DF#AD", or with octaves "g4 D3 G3 B3 D4". Without octaves each string takes the octave nearest to open
// G.
std::optional<Tuning> parse_tuning(std::string_view text);
// "gDGBD". With octaves where that would not read back as the same tuning: "g4 D2 G3 B3 D4".
std::string spelling(const Tuning& tuning);
// "open G (gDGBD)", or only the spelling where the tuning has no name.
std::string to_string(const Tuning& tuning);

// Where a note is stopped. Frets are counted from the capo if there is one, otherwise from the nut; on
// the fifth string too they are counted as on the long strings (common practice), so that there fret 0
// is the open string, 1 to 5 do not exist, and 7 sounds a tone above the open string.
struct Placement {
  std::int8_t string = 1;  // 1..5
  std::int8_t fret = 0;
  friend bool operator==(const Placement&, const Placement&) = default;
};

struct Banjo {
  Tuning tuning = open_g();
  int capo = 0;                     // fret of the capo on strings 1 to 4; 0 is none
  int fifth_capo = fifth_nut_fret;  // fret where the fifth string begins to sound; 5 is its own nut
  int frets = 22;                   // frets on the neck, counted from the nut

  // The MIDI number of the string as played open, capos included.
  int open_midi(int string) const;
  // The MIDI number at a string and fret, or nothing where that fret does not exist.
  std::optional<int> midi_at(Placement placement) const;
  // The fret on which a string gives a MIDI number, or nothing.
  std::optional<int> fret_for(int string, int midi) const;
  // The fret over which a string is touched for a chime (a natural harmonic) that sounds as this MIDI number:
  // the octave at the 12th fret, the twelfth at the 7th, two octaves at the 5th, counted from the string's
  // nut or capo. Nothing for any other pitch.
  std::optional<int> chime_fret_for(int string, int midi) const;
  // The highest fret number that can be written, counted from the capo.
  int last_fret() const { return frets - capo; }
  // Lowest and highest MIDI number on the instrument as it is set up.
  int lowest() const;
  int highest() const;

  friend bool operator==(const Banjo&, const Banjo&) = default;
};

// The fifth string's capo that goes with a capo at `capo` unless a player says otherwise (common
// practice): as many frets above its nut, so that the drone moves along.
constexpr int usual_fifth_capo(int capo) {
  return fifth_nut_fret + capo;
}

// ---- does this place give this note ------------------------------------------------------------------

// What a note asks of a string.
struct StringSound {
  int midi = 60;
  bool harmonic = false;  // a chime: sounds as `midi`, or is touched over the fret that would
  bool dead = false;      // any string and fret will do
  bool choked = false;    // no open string will do
};
// Of a note that is moved by half steps.
StringSound string_sound(const Note& note, int half_steps = 0);

// Whether a string and fret give the sound.
bool gives(const Banjo& banjo, Placement placement, const StringSound& sound);
bool gives(const Banjo& banjo, Placement placement, const Note& note);
// The fret on which a string gives it, or nothing. Of a chime that is where it is touched.
std::optional<int> fret_for(const Banjo& banjo, int string, const StringSound& sound);
// Whether any string gives it.
bool has_place(const Banjo& banjo, const StringSound& sound);

// The scale length of most five-string banjos, 26 1/4 in (common practice).
inline constexpr double usual_scale_length_mm = 667.0;
// How far fret `fret` lies from the nut, in millimeters: L * (1 - 2^(-fret/12)), equal temperament.
double fret_position_mm(int fret, double scale_length_mm = usual_scale_length_mm);

// ---- what the banjo has of the notes of a score ----------------------------------------------------

// From the lowest to the highest note of a score.
struct Span {
  Pitch lowest;
  Pitch highest;
  int half_steps() const { return highest.midi() - lowest.midi(); }
};
// Nothing where the score has no note that has a pitch.
std::optional<Span> span_of(const Score& score);

// How far a piece can be moved at all, up or down, in half steps.
inline constexpr int farthest_move = 60;

// Throws UnplayableError where a note has no place: in words of the note that the file has, with what was
// tried; code "note-out-of-range" with the smallest move that brings every note in, "notes-span-too-wide"
// where the banjo has fewer half steps than the score, or "no-move-fits". Not set: moved by as few octaves as
// leave the fewest notes out.
void require_places(const Score& score, std::optional<int> half_steps);

// ---- another banjo than the score's ------------------------------------------------------------------

// What is to be different; what is not set stays as the score has it.
struct SetUp {
  std::optional<Tuning> tuning;
  std::optional<int> capo;  // moves the fifth string's capo along, see usual_fifth_capo()
  std::optional<int> fifth_capo;
  std::optional<int> frets;
  // How far the piece will be moved after this: places that will then be right stay.
  std::optional<int> half_steps;
  // Where all strings are raised or lowered alike, as by a capo, the music goes with them: every shape stays.
  bool music_moves_along = false;
};

// Sets up the score's banjo and reports what that changes: music that moves along, or placements that do not
// give their pitch any more and are taken out, with all the others of their stroke and the fingers that hold
// them. Throws UsageError ("capo-off-neck", with the frets there are), the score then unchanged.
Report set_up(Score& score, const SetUp& wanted);

}  // namespace fifthpeg
