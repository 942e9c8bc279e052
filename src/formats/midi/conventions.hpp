// How what MIDI has no event for stands in the files that the writer writes, and how the reader reads it
// back.
//
//   work.title            the name of the first track
//   work.rights           copyright
//   work.composer ...     text "composer: NAME" in the first track; so arranger, lyricist and source
//   part_name             the name of the banjo's track
//   swing                 text "fifthpeg: swing 1/8 2 1" in the first track: the unit, and how two of them
//                         share their time
//   banjo                 text "fifthpeg: tuning gDGBD capo 0 fifth-capo 5" in the banjo's track; a tuning of
//                         several words stands in quotation marks. Then, where they apply,
//                         channel-per-string    string n has channel n, notes without a string channel 6
//                         first-channel 7       it is channel 7 and those behind it but for 10, percussion's
//                         pickup 1/4            how long the first measure is, where silence stands before it
//   chord symbols         markers
//   rehearsal marks       markers; one that would read as a chord symbol ("A") is "Rehearsal A"
//   words                 texts in the first track, at their place
//   lyrics                lyrics; a hyphen after a syllable that is not the last of its word (common practice
//                         of karaoke files)
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>

#include "fifthpeg/banjo.hpp"
#include "fifthpeg/fraction.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::midi {

inline constexpr int banjo_program = 105;                  // of General MIDI 1, counted from 0
inline constexpr int percussion_channel = 9;               // of General MIDI 1, counted from 0
inline constexpr int most_channels = 15;                   // without it
inline constexpr int channels_a_banjo = string_count + 1;  // with one for notes without a string
// What General MIDI calls a program, counted from 0: "Banjo" is 105. Empty outside of 0 to 127.
// Source: General MIDI System Level 1 (RP-003, MIDI Manufacturers Association), the sound set, from memory.
std::string_view program_name(int program);

struct WorkLabel {
  std::string_view label;
  std::string Work::*field;
};
inline constexpr std::array<WorkLabel, 4> work_labels{{{"composer: ", &Work::composer},
                                                       {"arranger: ", &Work::arranger},
                                                       {"lyricist: ", &Work::lyricist},
                                                       {"source: ", &Work::source}}};

inline constexpr std::string_view rehearsal_label = "Rehearsal ";

// The channel of the n-th string, n from 0, where the first has channel `first`; of notes without a string, n
// is string_count.
constexpr int channel_behind(int first, int n) {
  const int channel = first + n;
  return first < percussion_channel && channel >= percussion_channel ? channel + 1 : channel;
}

struct BanjoText {
  Banjo banjo;
  bool channel_per_string = false;
  int first_channel = 0;  // counted from 0
  Fraction pickup;        // how long it is; 0: the file begins with a whole measure
};
std::string to_text(const BanjoText& banjo);
std::optional<BanjoText> parse_banjo_text(std::string_view text);

std::string to_text(const Swing& swing);
std::optional<Swing> parse_swing_text(std::string_view text);

}  // namespace fifthpeg::midi
