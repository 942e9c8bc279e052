// Endings: a closing tag after the last note of a tune.
#include "arrange/ending.hpp"

#include <algorithm>
#include <gtest/gtest.h>
#include <string>
#include <vector>

#include "arrange/licks.hpp"
#include "arrange/whole_arrangements.hpp"
#include "fifthpeg/harmony.hpp"
#include "harmony/tunes.hpp"
#include "score/chord_tones.hpp"

namespace fifthpeg {
namespace {

using testing::is_told;
using testing::tune;
using testing::whole_arrangements;
using testing::WholeArrangement;

TEST(TagTable, EndsWithAPinchOnTheTonic) {
  const Banjo banjo;
  for (const arranging::TagRow& row : arranging::tag_table()) {
    const arranging::Candidate tag = arranging::parse_lick(row.words);
    const auto tones = chord_tones(parse_chord_symbol(row.tonic).value());
    ASSERT_TRUE(tones && tag.count >= 3) << row.words;
    const arranging::SlotPlay& last = tag.slots.at(static_cast<std::size_t>(tag.count - 1));
    EXPECT_GE(last.count, 2) << row.words;
    for (std::size_t n = 0; n < static_cast<std::size_t>(last.count); ++n)
      EXPECT_TRUE(tones->has(banjo.midi_at({last.notes[n].string, last.notes[n].fret}).value())) << row.words;
    for (std::size_t s = 0; s + 1 < static_cast<std::size_t>(tag.count); ++s) {
      EXPECT_EQ(tag.slots.at(s).count, 1) << row.words;
      if (s + 2 == static_cast<std::size_t>(tag.count)) break;  // the pinch takes all fingers
      EXPECT_NE(tag.slots.at(s).notes[0].finger, tag.slots.at(s + 1).notes[0].finger) << row.words;
    }
    EXPECT_EQ(tag.count % (row.in_threes ? 3 : 2), 1) << row.words;
  }
}

// What is not of the melody, from the last note that is.
std::vector<const Stroke*> after_melody(const Score& score) {
  std::vector<const Stroke*> after;
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      const bool melody = std::any_of(stroke.notes.begin(), stroke.notes.end(),
                                      [](const Note& note) { return note.role == Role::melody; });
      if (melody) after.clear();
      if (!melody && !stroke.is_rest()) after.push_back(&stroke);
    }
  }
  return after;
}

TEST(Ending, ClosesOnTheTonicAtTheEndOfAWholeMeasure) {
  for (const WholeArrangement& one : whole_arrangements()) {
    SCOPED_TRACE(one.name());
    EXPECT_FALSE(is_told(one.made.report, "no-ending"));
    const Measure& last = one.made.score.measures.back();
    EXPECT_EQ(last.length, last.meter.length());
    const Stroke& pinch = last.strokes.back();
    ASSERT_GE(pinch.notes.size(), 2U);
    EXPECT_EQ(pinch.onset + pinch.duration, last.length);
    const Key key = find_key(one.melody);
    for (const Note& note : pinch.notes) {
      EXPECT_EQ(note.role, Role::lick);
      const int above = pitch_class(note.pitch.midi() - 7 * tonic(key));
      EXPECT_TRUE(above == 0 || above == 7 || above == (is_minor(key.mode) ? 3 : 4)) << to_string(note.pitch);
    }
    const auto after = after_melody(one.made.score);
    const auto of_tag = std::count_if(after.begin(), after.end(), [](const Stroke* stroke) {
      return stroke->notes.front().role == Role::lick;
    });
    EXPECT_GE(of_tag, 3);
    // Both end together.
    const Stroke& other = one.made.backup->measures.back().strokes.back();
    EXPECT_EQ(other.onset, pinch.onset);
    EXPECT_EQ(other.notes.size(), pinch.notes.size());
    EXPECT_EQ(other.notes.front().role, Role::backup);
  }
}

Arrangement ended(const Score& melody, Style style = Style::roll) {
  ArrangeOptions options;
  options.ending = true;
  options.backup = true;
  options.style = style;
  return arrange(melody, options);
}

Score four_measures(const std::string& last = "G4*4") {
  return tune({}, {1, 4}, {1, Mode::major}, "G4 G4 A4 B4 | D5*2 B4*2 | A4 B4 A4 G4 | " + last);
}

TEST(Ending, StandsInTheLastMeasureWhereThereIsRoom) {
  EXPECT_EQ(ended(four_measures()).score.measures.size(), 4U);
  EXPECT_EQ(ended(four_measures("G4 - - -")).score.measures.size(), 4U);
  // A tune that plays to its end gets a measure more.
  const Score full = four_measures("B4 A4 B4 G4");
  const Arrangement made = ended(full);
  ASSERT_EQ(made.score.measures.size(), 5U);
  EXPECT_EQ(made.backup->measures.size(), 5U);
  EXPECT_EQ(made.score.measures[4].number, "5");
}

TEST(Ending, IsPlayedOnceWhereTheTuneIsRepeated) {
  Score melody = four_measures();
  melody.measures.back().repeat_times = 2;
  normalize(melody);
  const Arrangement made = ended(melody);
  ASSERT_EQ(made.score.measures.size(), 5U);
  const std::vector<std::size_t> expected{0, 1, 2, 3, 0, 1, 2, 3, 4};
  EXPECT_EQ(playing_order(made.score).measures, expected);
  EXPECT_EQ(playing_order(*made.backup).measures, expected);
}

TEST(Ending, IsNotThereWhereTheMusicEndsElsewhere) {
  Score melody = four_measures();
  melody.measures.back().directions.push_back({Fraction(1), Direction::Kind::da_capo, ""});
  melody.measures[1].directions.push_back({Fraction(1), Direction::Kind::fine, ""});
  normalize(melody);
  const Arrangement made = ended(melody);
  EXPECT_TRUE(is_told(made.report, "no-ending"));
  EXPECT_EQ(made.score.measures.size(), 4U);
  ArrangeOptions plain;
  plain.backup = true;
  EXPECT_EQ(made.score, arrange(melody, plain).score);
}

TEST(Ending, MovesTheLastBarLine) {
  Score melody = four_measures("B4 A4 B4 G4");
  melody.measures.back().right_bar = BarStyle::light_heavy;
  const Arrangement made = ended(melody);
  ASSERT_EQ(made.score.measures.size(), 5U);
  EXPECT_EQ(made.score.measures[4].right_bar, BarStyle::light_heavy);
  EXPECT_EQ(made.score.measures[3].right_bar, BarStyle::regular);
}

TEST(Ending, SaysWhichChordItIs) {
  Score melody = four_measures();
  for (const auto& [m, name] : {std::pair{0U, "G"}, {2U, "D"}})
    melody.measures[m].chords.push_back(parse_chord_symbol(name).value());
  const Arrangement made = ended(melody);
  ASSERT_EQ(made.score.measures[3].chords.size(), 1U);
  EXPECT_EQ(to_string(made.score.measures[3].chords[0]), "G");
  EXPECT_EQ(made.backup->measures[3].chords, made.score.measures[3].chords);
}

}  // namespace
}  // namespace fifthpeg
