// Which tuning and capo an arrangement is for: common practice.
#include <algorithm>
#include <gtest/gtest.h>
#include <string>

#include "fifthpeg/arrange.hpp"
#include "harmony/tunes.hpp"

namespace fifthpeg {
namespace {

// A slow song in A minor, five notes around its tonic.
Score song_in_a_minor() {
  Score song = testing::tune({{3}, 4}, {1, 4}, {0, Mode::minor},
                             "E4 | A4*2 C5 | D5*2 C5 | A4*2 G4 | E4*2 E4 | A4*2 C5 | D5*2 C5 | A4*3 | A4*2");
  set_chords(song, parse_chord_chart("Am | Dm | Am | E7 | Am | Dm | Am | Am"));
  return song;
}

std::string told_of_set_up(const Arrangement& made) {
  const auto& entries = made.report.entries();
  const auto told = std::find_if(entries.begin(), entries.end(),
                                 [](const Entry& entry) { return entry.slug == "set-up-for-key"; });
  return told == entries.end() ? "" : told->text;
}

Arrangement arranged(Style style, const Key& key) {
  ArrangeOptions options;
  options.style = style;
  options.key = key;
  return arrange(song_in_a_minor(), options);
}

// All strings of open G belong to E minor: nobody puts a capo on, or retunes.
TEST(SetUpOfArrangements, EMinorIsPlayedInOpenG) {
  for (const Style style : {Style::roll, Style::melodic, Style::single_string, Style::clawhammer}) {
    const Arrangement made = arranged(style, {1, Mode::minor});
    EXPECT_EQ(made.score.banjo, Banjo{}) << static_cast<int>(style);
    EXPECT_EQ(told_of_set_up(made), "");
  }
}

TEST(SetUpOfArrangements, IsToldWhereItIsAnother) {
  const Arrangement frailed = arranged(Style::clawhammer, {-1, Mode::minor});
  EXPECT_EQ(told_of_set_up(frailed), "set up for D minor: double C (gCGCD), capo 2, fifth string 7");
  EXPECT_EQ(frailed.score.banjo.capo, 2);
  EXPECT_EQ(told_of_set_up(arranged(Style::roll, {-1, Mode::minor})),
            "set up for D minor: open G (gDGBD), no capo, fifth string 7");
}

TEST(SetUpOfArrangements, OfTheFileIsKeptInSilence) {
  Score song = song_in_a_minor();
  song.banjo.capo = 2;
  song.banjo.fifth_capo = 7;
  ArrangeOptions options;
  options.keep_tuning = options.keep_capo = true;
  const Arrangement made = arrange(song, options);
  EXPECT_EQ(made.score.banjo, song.banjo);
  EXPECT_EQ(told_of_set_up(made), "");
}

}  // namespace
}  // namespace fifthpeg
