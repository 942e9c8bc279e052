// What text tab looks like: its signs, what its legend says about them, the names of its strings and its
// barlines.
#pragma once

#include <array>
#include <bitset>
#include <string>
#include <string_view>

#include "fifthpeg/banjo.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::text_tab {

// In the order of the legend.
enum class Sign : std::size_t {
  hammer_on,
  pull_off,
  slide_up,
  slide_down,
  slur,
  grace,
  choke,
  choked_before,
  choke_release,
  let_ring,
  damp,
  tie,
  harmonic,
  dead,
  rest,
  brush,
  brush_up,
  brush_down,
  accent,
  strong_accent,
  staccato,
  tenuto,
  fermata,
  ring_finger,
  little_finger,
  nail,
  no_finger,
  roles,
  unplaced,
  continues,
  count
};

struct SignText {
  std::string_view sign;
  std::string_view meaning;
};

// Letters and strokes as tab in letters and news postings has them (common practice); the others are
// explained wherever they are used.
inline constexpr std::array<SignText, static_cast<std::size_t>(Sign::count)> sign_texts{{
    {"h", "hammer-on"},
    {"p", "pull-off"},
    {"/", "slide up"},
    {"\\", "slide down"},
    {"^", "slurred"},
    {"g", "grace note"},
    {"b", "choke (to the fret named)"},
    {"B", "choked before it is struck"},
    {"r", "choke released"},
    {"~", "let ring"},
    {"x", "after a fret: stopped"},
    {"( )", "tied, not struck again"},
    {"< >", "harmonic"},
    {"X", "dead note"},
    {"r", "under the tab: rest"},
    {"*", "brush"},
    {"^", "under the tab: brush towards string 1"},
    {"v", "under the tab: brush towards string 5"},
    {">", "accent"},
    {"^", "over the tab: strong accent"},
    {".", "over the tab: staccato"},
    {"_", "over the tab: tenuto"},
    {"U", "over the tab: hold"},
    {"R", "ring finger"},
    {"L", "little finger"},
    {"N", "nail of the frailing finger"},
    {".", "under the tab: for a note of the chord whose finger is left open"},
    {"=", "under the tab: m melody, f fill, d drone, l lick, k kick-off, b backup"},
    {"names of pitches", "under the tab: notes without a string"},
    {">", "at the end of a line: the measure goes on"},
}};

inline constexpr std::string_view text_of(Sign sign) {
  return sign_texts[static_cast<std::size_t>(sign)].sign;
}

// What explains the letter of a picking finger; count: everybody knows T, I and M.
Sign explanation_of(PickingFinger finger);

// What begins the line that says what notes are for, and what stands there for each note.
inline constexpr char roles_label = '=';
inline constexpr std::string_view role_letters = ".mfdlkb";  // by Role

inline constexpr int first_dash = 1;  // columns between a barline and the first frets
inline constexpr int right_bar = 2;   // the most columns of a right barline

// Whether a first line is a title as it stands, and neither an entry nor a sentence of a letter.
bool is_plain_title(std::string_view text);

// Over a measure whose length neither its meter nor its count tells: "lasts 7/8".
inline constexpr std::string_view lasts_text = "lasts ";

// In the heading of a tab for a banjo with a capo, since players take chord names there for shapes.
inline constexpr std::string_view chords_sound_text = "Chord names: as they sound";

// Between texts over different places of one line, where two blanks part those over one place.
inline constexpr int text_gap = 3;

// The dots of a repeat sign stand on strings 2 and 4, as in notation between the lines next to the middle.
constexpr bool has_repeat_dot(int string) {
  return string == 2 || string == 4;
}

using SignsUsed = std::bitset<static_cast<std::size_t>(Sign::count)>;

}  // namespace fifthpeg::text_tab
