// Kick-offs: a few notes that lead into a tune which begins on its first beat.
#include "arrange/kick_off.hpp"

#include <algorithm>
#include <cstdlib>
#include <gtest/gtest.h>
#include <string>
#include <vector>

#include "arrange/licks.hpp"
#include "arrange/whole_arrangements.hpp"
#include "fifthpeg/harmony.hpp"
#include "harmony/tunes.hpp"

namespace fifthpeg {
namespace {

using testing::is_told;
using testing::tune;
using testing::whole_arrangements;
using testing::WholeArrangement;

bool is_kick_off(const Measure& measure) {
  return !measure.strokes.empty() &&
         std::all_of(measure.strokes.begin(), measure.strokes.end(), [](const Stroke& stroke) {
           return stroke.notes.size() == 1 && stroke.notes.front().role == Role::kick_off;
         });
}

TEST(KickOffTable, LeadsByEighthsToAnotherPlace) {
  const Banjo banjo;
  for (const arranging::KickOffRow& row : arranging::kick_off_table()) {
    const arranging::Candidate led = arranging::parse_lick(row.words);
    const arranging::Candidate to = arranging::parse_lick(row.to);
    const auto pitch = [&](const arranging::SlotPlay& slot) {
      return banjo.midi_at({slot.notes[0].string, slot.notes[0].fret}).value();
    };
    EXPECT_GE(led.count, 2) << row.to;
    EXPECT_LE(led.count, 3) << row.to;
    int last = 0;
    for (std::size_t s = 0; s < static_cast<std::size_t>(led.count); ++s) {
      ASSERT_EQ(led.slots.at(s).count, 1) << row.words;
      last = pitch(led.slots.at(s));
      EXPECT_NE(last, pitch(to.slots[0])) << row.to << " from " << row.words;
    }
    EXPECT_LE(std::abs(pitch(to.slots[0]) - last), 4) << row.to << " from " << row.words;
  }
}

TEST(KickOff, StandsBeforeTunesWithoutAPickupAndIsToldOtherwise) {
  for (const WholeArrangement& one : whole_arrangements()) {
    SCOPED_TRACE(one.name());
    const Measure& first = one.made.score.measures.front();
    EXPECT_EQ(is_told(one.made.report, "no-kick-off"), one.has_pickup());
    EXPECT_EQ(is_kick_off(first), !one.has_pickup());
    EXPECT_EQ(one.has_kick_off(), !one.has_pickup());
    if (one.has_pickup()) continue;
    EXPECT_TRUE(first.implicit);
    EXPECT_EQ(first.number, "0");
    EXPECT_TRUE(first.strokes.size() == 2 || first.strokes.size() == 3);
    EXPECT_EQ(first.length, Fraction(1, 8) * Fraction(static_cast<std::int64_t>(first.strokes.size())));
    const Measure& second = one.made.score.measures[1];
    EXPECT_FALSE(second.implicit);
    EXPECT_EQ(one.made.melody.front().at, first.length);
    // By notes of the key or, where the table has none, of the first chord: near the tune, and not on it.
    const int to = one.made.melody.front().midi;
    EXPECT_NE(first.strokes.back().notes[0].pitch.midi(), to);
    EXPECT_LE(std::abs(first.strokes.back().notes[0].pitch.midi() - to), 12);
    // The time of the tune begins with it, and nobody accompanies.
    EXPECT_FALSE(first.tempos.empty());
    EXPECT_TRUE(second.tempos.empty());
    for (const Stroke& stroke : one.made.backup->measures.front().strokes) EXPECT_TRUE(stroke.is_rest());
    for (std::size_t m = 1; m < one.made.score.measures.size(); ++m)
      EXPECT_FALSE(is_kick_off(one.made.score.measures[m])) << m;
  }
}

Arrangement kicked_off(const Score& melody, Style style = Style::roll) {
  ArrangeOptions options;
  options.kick_off = true;
  options.style = style;
  return arrange(melody, options);
}

TEST(KickOff, LeadsFromBelowAsPlayersDo) {
  const Score melody = tune({}, {1, 4}, {1, Mode::major}, "G4 G4 A4 B4 | D5*2 B4*2 | A4 B4 A4 G4 | G4*4");
  const Arrangement made = kicked_off(melody);
  std::string pitches;
  for (const Stroke& stroke : made.score.measures.front().strokes)
    pitches += to_string(stroke.notes[0].pitch) + ' ';
  EXPECT_EQ(pitches, "D3 E3 F#3 ");
}

TEST(KickOff, HasNoNoteBesideTheKey) {
  for (const char* const name : {"G", "A", "C", "D", "Em", "Am", "Bb", "F"}) {
    const Key key = parse_key(name).value();
    ArrangeOptions options;
    options.kick_off = true;
    options.key = key;
    options.source_key = Key{static_cast<std::int8_t>(is_minor(key.mode) ? -2 : 1), key.mode};
    const Score melody = is_minor(key.mode)
                             ? tune({}, {1, 4}, {-2, Mode::minor}, "G4 A4 Bb4 D5 | G4*4 | D4 G4 A4*2 | G4*4")
                             : tune({}, {1, 4}, {1, Mode::major}, "G4 A4 B4 D5 | G4*4 | D4 G4 A4*2 | G4*4");
    const Arrangement made = arrange(melody, options);
    constexpr int major[] = {0, 2, 4, 5, 7, 9, 11};
    constexpr int minor[] = {0, 2, 3, 5, 7, 8, 9, 10, 11};
    for (const Stroke& stroke : made.score.measures.front().strokes) {
      const int above = pitch_class(stroke.notes[0].pitch.midi() - 7 * tonic(key));
      const bool in_key = is_minor(key.mode) ? std::count(std::begin(minor), std::end(minor), above) > 0
                                             : std::count(std::begin(major), std::end(major), above) > 0;
      EXPECT_TRUE(in_key) << name << ' ' << to_string(stroke.notes[0].pitch);
    }
  }
}

TEST(KickOff, IsNotThereBeforeARest) {
  const Score melody = tune({}, {1, 4}, {1, Mode::major}, "- G4 A4 B4 | D5*2 B4*2 | A4 B4 A4 G4 | G4*4");
  for (const Style style : {Style::melodic, Style::clawhammer}) {
    const Arrangement made = kicked_off(melody, style);
    EXPECT_EQ(is_told(made.report, "no-kick-off"), !has_role(made.score, Role::kick_off));
  }
  // A line has nothing there to lead to.
  EXPECT_TRUE(is_told(kicked_off(melody, Style::single_string).report, "no-kick-off"));
}

TEST(KickOff, IsNotPlayedAgain) {
  Score melody = tune({}, {1, 4}, {1, Mode::major}, "G4 G4 A4 B4 | D5*2 B4*2 | A4 B4 A4 G4 | G4*4");
  melody.measures.back().repeat_times = 2;
  normalize(melody);
  const Arrangement made = kicked_off(melody);
  const std::vector<std::size_t> expected{0, 1, 2, 3, 4, 1, 2, 3, 4};
  EXPECT_EQ(playing_order(made.score).measures, expected);
}

}  // namespace
}  // namespace fifthpeg
