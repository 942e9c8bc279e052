// The signs that a tab uses, and the line that explains those that occurred.
#pragma once

#include <array>
#include <bitset>
#include <string_view>

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
  unplaced,
  goes_on,
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
    {"names of pitches", "under the tab: notes without a string"},
    {">", "at the end of a line: the measure goes on"},
}};

inline constexpr std::string_view text_of(Sign sign) {
  return sign_texts[static_cast<std::size_t>(sign)].sign;
}

using SignsUsed = std::bitset<static_cast<std::size_t>(Sign::count)>;

}  // namespace fifthpeg::text_tab
