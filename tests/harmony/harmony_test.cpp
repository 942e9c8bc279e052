// What players would put to a tune, and what holds of any.
#include "fifthpeg/harmony.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <ctime>
#include <gtest/gtest.h>
#include <random>
#include <string>
#include <string_view>
#include <vector>

#include "harmony/tunes.hpp"
#include "harmony/units.hpp"
#include "property/random_score.hpp"

namespace fifthpeg {
namespace {

using testing::chords_of;
using testing::tune;

const Meter four_four{{4}, 4};
const Meter three_four{{3}, 4};
const Meter six_eight{{6}, 8};
const Key g_major{1, Mode::major};
const Key c_major{0, Mode::major};
constexpr Fraction quarter{1, 4};
constexpr Fraction eighth{1, 8};

// ---- the trade: common practice ----------------------------------------------------------------

TEST(Chords, ThreeChordsForACountrySong) {
  EXPECT_EQ(chords_of(tune(
                four_four, quarter, g_major,
                "B4 B4 G4 G4 | B4*2 D5*2 | C5 C5 E5 C5 | E5*4 | D5 B4 G4 B4 | D5*2 B4*2 | F#4 A4 D4 F#4 | "
                "G4*4")),
            "G | G | C | C | G | G | D | G");
}

TEST(Chords, ACadenceGoesFromTheDominantHome) {
  const std::string chords =
      chords_of(tune(four_four, eighth, c_major,
                     "E4 G4 C5 G4 E4 G4 C5 G4 | F4 A4 C5 A4 F4 A4 C5 A4 | G4 E4 C4 E4 B4 G4 D4 F4 | C4*8"));
  EXPECT_EQ(chords, "C | F | C G7 | C");
}

TEST(Chords, ADominantHasItsSeventhWhereTheMelodyHas) {
  EXPECT_EQ(chords_of(tune(four_four, quarter, c_major, "C4 E4 G4 E4 | F4 D4 B3 G3 | C4 E4 C4*2")),
            "C | G7 | C");
  EXPECT_EQ(chords_of(tune(four_four, quarter, c_major, "C4 E4 G4 E4 | G4 D4 B3 G3 | C4 E4 C4*2")),
            "C | G | C");
}

TEST(Chords, MixolydianTunesGoToTheFlatSeventh) {
  // A with two sharps.
  const Score score = tune(four_four, eighth, {2, Mode::major},
                           "A4 C#5 E5 C#5 A4 C#5 E5*2 | E5 C#5 A4 C#5 E5*4 | G4 B4 D5 B4 G4 B4 D5*2 | "
                           "B4 D5 B4 G4 D5*4 | A4 C#5 E5 C#5 A4 C#5 E5*2 | E5 F#5 E5 C#5 A4*4 | "
                           "G4 B4 D5 B4 G4 B4 D5 B4 | A4*4 A4*4");
  EXPECT_EQ(find_key(score), (Key{2, Mode::mixolydian}));
  EXPECT_EQ(chords_of(score), "A | A | G | G | A | A | G | A");
}

TEST(Chords, AMinorTuneUnderTheSignatureOfItsMajor) {
  const Score score = tune(three_four, quarter, c_major,
                           "A4 C5 E5 | A5*2 E5 | D5 F5 D5 | A4*3 | E5 G#4 B4 | E5*2 B4 | A4 C5 B4 | A4*3");
  EXPECT_EQ(find_key(score), (Key{0, Mode::minor}));
  EXPECT_EQ(chords_of(score), "Am | Am | Dm | Am | E | E | Am | Am");
}

TEST(Chords, ADorianJigAlternatesWithTheChordBelow) {
  const Score score = tune(six_eight, eighth, {2, Mode::major},
                           "G4 E4 E4 B4 E4 E4 | G4 E4 E4 B4 A4 G4 | F#4 D4 D4 A4 D4 D4 | D5*2 D5 A4 G4 F#4 | "
                           "G4 E4 E4 B4 E4 E4 | G4 E4 E4 B4*2 C#5 | D5 C#5 B4 A4 G4 F#4 | G4 E4 E4 E4*3");
  EXPECT_EQ(find_key(score), (Key{2, Mode::dorian}));
  EXPECT_EQ(chords_of(score), "Em | Em | D | D | Em | Em | D | Em");
}

TEST(Chords, AModeThatIsNamedIsBelieved) {
  EXPECT_EQ(find_key(tune(four_four, quarter, {2, Mode::mixolydian}, "D4 F#4 A4 D5 | D4*4")).mode,
            Mode::mixolydian);
}

Score without_key(std::string_view notes) {
  Score score = tune(four_four, quarter, {}, notes);
  score.key_estimated = true;
  return score;
}

TEST(Keys, ScalesThatStayOnTheirTonic) {
  for (int half_steps = -5; half_steps <= 6; ++half_steps) {
    Score major = without_key("C4*2 E4 G4 | C5 B4 A4 G4 | F4 E4 D4*2 | C4*4");
    transpose(major, half_steps);
    EXPECT_EQ(pitch_class(7 * tonic(find_key(major))), pitch_class(half_steps));
    EXPECT_EQ(find_key(major).mode, Mode::major);
  }
  EXPECT_EQ(find_key(without_key("A4*2 C5 E5 | A5 G#5 F5 E5 | D5 C5 B4*2 | A4*4")), (Key{0, Mode::minor}));
}

// The subject of Bach's C minor fugue in the second book of the Well-Tempered Clavier (from memory).
TEST(Keys, AMinorTriadAndWhatPasses) {
  EXPECT_EQ(find_key(without_key("- G4 Eb4 F4 | G4 C4 F4 Eb4 | D4*2 C4*2")), (Key{-3, Mode::minor}));
}

// A fifth and the notes around the third, no seventh: nothing says major but where it begins and ends.
TEST(Keys, ATuneOfFourNotes) {
  EXPECT_EQ(find_key(without_key("B4 A4 G4 A4 | B4 B4 B4*2 | A4 A4 A4*2 | B4 D5 D5*2 | B4 A4 G4 A4 | "
                                 "B4 B4 B4 B4 | A4 A4 B4 A4 | G4*4")),
            g_major);
}

// A teacher's sheet: the first measures of a song everybody knows, which end in the middle.
TEST(Keys, ChordSymbolsSayMoreThanAFewNotes) {
  Score score = without_key("G3 G3 D4 D4 | E3 E3*2 D4");
  EXPECT_NE(find_key(score), g_major);
  set_chords(score, parse_chord_chart("G | C G"));
  EXPECT_EQ(find_key(score), g_major);
  for (int half_steps = -5; half_steps <= 6; ++half_steps) {
    Score moved = score;
    transpose(moved, half_steps);
    EXPECT_EQ(pitch_class(7 * tonic(find_key(moved))), pitch_class(7 + half_steps));
  }
  Score waltz = tune(three_four, quarter, {}, "B3 B3 B3 | C4*2 C4 | B3*3");
  waltz.key_estimated = true;
  set_chords(waltz, parse_chord_chart("G | C | G"));
  EXPECT_EQ(find_key(waltz), g_major);
  set_chords(waltz, parse_chord_chart("Em | Am | Em"));
  EXPECT_EQ(find_key(waltz).mode, Mode::minor);
  EXPECT_EQ(tonic(find_key(waltz)), tonic(Key{1, Mode::minor}));
}

TEST(Keys, TheLastChordIsHome) {
  const std::string_view notes = "D4 E4 G4 E4 | D4 E4 G4*2 | D4 E4 G4 E4 | D4*4";
  Score in_g = without_key(notes);
  set_chords(in_g, parse_chord_chart("G | D | D | G"));
  EXPECT_EQ(find_key(in_g), g_major);
  Score in_d = without_key(notes);
  set_chords(in_d, parse_chord_chart("D | G | G | D"));
  EXPECT_EQ(tonic(find_key(in_d)), tonic(Key{2, Mode::major}));
}

TEST(Keys, WhereNoChordIsPlayedTheNotesDecide) {
  const Score plain = without_key("C4*2 E4 G4 | C5 B4 A4 G4 | F4 E4 D4*2 | C4*4");
  Score silent = plain;
  set_chords(silent, parse_chord_chart("N.C. | % | % | %"));
  EXPECT_EQ(find_key(silent), find_key(plain));
}

// Chords are inferred from notes alone, also where there are others to compare them with.
TEST(Chords, GivenOnesPlayNoPart) {
  Score score = without_key("C4*2 E4 G4 | C5 B4 A4 G4 | F4 E4 D4*2 | C4*4");
  const std::string chords = chords_of(score);
  set_chords(score, parse_chord_chart("Ab | Db | Eb | Ab"));
  EXPECT_EQ(chords_of(score), chords);
}

TEST(Keys, APickupSounds) {
  EXPECT_EQ(find_key(without_key("D4 G4*2 | B4 D4")), g_major);
}

// ---- where chords can change ---------------------------------------------------------------------

TEST(Chords, UnitsOfMeters) {
  using harmony::chord_spans;
  EXPECT_EQ(chord_spans({{4}, 4}), (std::vector<int>{2, 2}));
  EXPECT_EQ(chord_spans({{2}, 4}), (std::vector<int>{1, 1}));
  EXPECT_EQ(chord_spans({{3}, 4}), (std::vector<int>{3}));
  EXPECT_EQ(chord_spans({{6}, 8}), (std::vector<int>{3, 3}));
  EXPECT_EQ(chord_spans({{9}, 8}), (std::vector<int>{3, 3, 3}));
  EXPECT_EQ(chord_spans({{12}, 8}), (std::vector<int>{6, 6}));
  EXPECT_EQ(chord_spans({{5}, 4}), (std::vector<int>{3, 2}));
  EXPECT_EQ(chord_spans({{7}, 8}), (std::vector<int>{4, 3}));
  EXPECT_EQ(chord_spans({{2, 3}, 8}), (std::vector<int>{2, 3}));
  EXPECT_EQ(chord_spans({{1}, 4}), (std::vector<int>{1}));
}

TEST(Chords, APickupHasNone) {
  Score score = tune(four_four, quarter, g_major, "D4 E4 | G4 B4 D5 B4 | G4 A4 B4 G4 | D4 F#4 A4 F#4 | G4*2");
  add_inferred_chords(score);
  EXPECT_TRUE(score.measures[0].chords.empty());
  ASSERT_EQ(score.measures[1].chords.size(), 1U);
  EXPECT_EQ(to_string(score.measures[1].chords[0]), "G");
  EXPECT_TRUE(score.measures[2].chords.empty());  // it goes on
  EXPECT_EQ(to_string(score.measures[3].chords.at(0)), "D");
  EXPECT_EQ(to_string(score.measures[4].chords.at(0)), "G");
  EXPECT_TRUE(flaws(score).empty());
}

// Three quarters, a repeat sign, and the fourth are one measure, inside which a change is dear.
TEST(Chords, AMeasureThatARepeatSplitsIsOne) {
  Score score = tune(four_four, quarter, g_major, "G4 B4 D5 B4 | G4 B4 D5*1 | B4 | G4 B4 D5 B4 | G4*4");
  const auto units = harmony::units_of(score, 0, score.measures.size());
  ASSERT_EQ(units.size(), 9U);
  EXPECT_EQ(units[3].bar, units[4].bar);
  EXPECT_EQ(units[3].length, quarter);
  EXPECT_EQ(units[4].in_bar, Fraction(3, 4));
  EXPECT_NE(units[4].bar, units[5].bar);
}

TEST(Chords, MetersChange) {
  Score score = tune(four_four, quarter, g_major, "G4 B4 D5 B4 | C5 E5 C5 | D5 F#5 A5 F#5 | G5*4");
  score.measures[1].meter = three_four;
  EXPECT_EQ(chords_of(score), "G | C | D | G");
  EXPECT_EQ(infer_chords(score).size(), 7U);
}

TEST(Chords, EachStretchOfASignatureEndsAtHome) {
  const std::string_view part = "G4 B4 D5 B4 | C5 E5 C5 E5 | D5 F#5 A4 D5 | G4*4";
  Score score = tune(four_four, quarter, g_major, part);
  Score second = score;
  transpose(second, 5);
  score.measures.insert(score.measures.end(), second.measures.begin(), second.measures.end());
  EXPECT_EQ(chords_of(score), "G | C | D | G | C | F | G | C");
  const Report report = add_inferred_chords(score);
  EXPECT_EQ(to_text(report.entries().at(0)),
            "decided: the chord symbols were inferred from the notes, in G major, then C major");
}

// ---- what else there is ----------------------------------------------------------------------

TEST(Chords, GivenOnesAreKept) {
  Score score = tune(four_four, quarter, g_major, "G4 B4 D5 B4 | G4*4");
  score.measures[1].chords.push_back(parse_chord_symbol("Em").value());
  const Score before = score;
  const Report report = add_inferred_chords(score);
  EXPECT_EQ(score, before);
  EXPECT_EQ(report.entries().at(0).slug, "chords-kept");
}

TEST(Chords, NothingToGoBy) {
  Score empty;
  EXPECT_TRUE(infer_chords(empty).empty());
  EXPECT_EQ(add_inferred_chords(empty).entries().at(0).slug, "no-notes-for-chords");
  EXPECT_EQ(find_key(empty), Key{});
  EXPECT_TRUE(infer_chords(tune(four_four, quarter, g_major, "- - - - | -*4")).empty());
  EXPECT_EQ(find_key(tune(four_four, quarter, g_major, "- - - -")), g_major);
}

TEST(Chords, MusicInNoKeyHasSomeAndIsNotSure) {
  const Score score = tune(four_four, quarter, {0, Mode::none},
                           "C4 C#4 D4 D#4 | E4 F4 F#4 G4 | G#4 A4 A#4 B4 | C5 F#4 C#5 G4");
  const auto chords = infer_chords(score);
  ASSERT_EQ(chords.size(), 8U);
  EXPECT_TRUE(
      std::any_of(chords.begin(), chords.end(), [](const InferredChord& one) { return one.sure < 0.7; }));
}

// The open fifth string sounds through everything.
TEST(Chords, TheDroneSaysNothing) {
  Score score = tune(four_four, eighth, g_major,
                     "G4 B4 D5 G4 G4 B4 D5 G4 | D5 G4 A4 G4 F#4 G4 A4 G4 | G4 G4 B4 G4 D4 G4 B4 G4 | G4*8");
  const auto place_drone = [](Measure& measure) {
    for (std::size_t i = 1; i < measure.strokes.size(); i += 2)
      measure.strokes[i].notes[0].placement = Placement{5, 0};
  };
  place_drone(score.measures[1]);
  EXPECT_EQ(chords_of(score), "G | D | G | G");
}

// ---- what holds of any tune ----------------------------------------------------------------------

Score random_tune(std::mt19937& random) {
  const auto below = [&](int count) { return static_cast<int>(random() % static_cast<unsigned>(count)); };
  constexpr std::array<std::string_view, 8> scale{"D4", "E4", "F#4", "G4", "A4", "B4", "C5", "D5"};
  std::string words;
  const bool waltz = below(2) == 0;
  for (int measure = 0; measure < 16; ++measure) {
    for (int beat = 0; beat < (waltz ? 3 : 4); ++beat)
      words += std::string(scale.at(static_cast<std::size_t>(below(8)))) + " ";
    if (measure < 15) words += "| ";
  }
  return tune(waltz ? three_four : four_four, quarter, {static_cast<std::int8_t>(below(3)), Mode::major},
              words);
}

// Place, sounding root and kind of every chord symbol.
std::string symbols_of(const Score& score) {
  std::string text;
  for (std::size_t m = 0; m < score.measures.size(); ++m) {
    for (const ChordSymbol& chord : score.measures[m].chords) {
      const int root = Pitch{chord.root.step, chord.root.alter, 4}.midi() % 12;
      text += std::to_string(m) + ":" + to_string(chord.at) + " " + std::to_string(root) + " " + chord.kind +
              "\n";
    }
  }
  return text;
}

TEST(Chords, AreTheSameInEveryKeyAndAtEveryTempo) {
  std::mt19937 random(7);
  for (int trial = 0; trial < 200; ++trial) {
    Score score = random_tune(random);
    Score with_chords = score;
    add_inferred_chords(with_chords);
    ASSERT_TRUE(flaws(with_chords).empty());
    const int half_steps = static_cast<int>(random() % 13) - 6;
    transpose(with_chords, half_steps);
    transpose(score, half_steps);
    score.measures[0].tempos = {{0, 240, quarter, "", true}};
    add_inferred_chords(score);
    EXPECT_EQ(symbols_of(score), symbols_of(with_chords)) << "moved by " << half_steps;
  }
}

TEST(Chords, OfAnySoundScoreLieInsideItsMeasures) {
  for (std::uint64_t seed = 0; seed < 300; ++seed) {
    Score score = testing::random_score(seed);
    for (Measure& measure : score.measures) measure.chords.clear();
    const auto chords = infer_chords(score);
    EXPECT_EQ(chords.size(), infer_chords(score).size());
    for (std::size_t i = 0; i < chords.size(); ++i) {
      const InferredChord& one = chords[i];
      const Measure& measure = score.measures.at(one.measure);
      EXPECT_GE(one.at, 0);
      EXPECT_LE(one.at + one.length, measure.length);
      EXPECT_GT(one.length, 0);
      EXPECT_TRUE(one.sure > 0 && one.sure <= 1);
      EXPECT_NE(to_string(one.chord), to_string(one.second));
    }
    add_inferred_chords(score);
    EXPECT_TRUE(flaws(score).empty());
  }
}

TEST(Chords, TakeTimeInStepWithTheLength) {
  std::mt19937 random(3);
  const Score part = random_tune(random);
  const auto seconds_for = [&](int parts) {
    Score score;
    for (int i = 0; i < parts; ++i)
      score.measures.insert(score.measures.end(), part.measures.begin(), part.measures.end());
    double least = 1e9;
    for (int trial = 0; trial < 5; ++trial) {
      const std::clock_t start = std::clock();  // of the processor, whatever else it does
      EXPECT_FALSE(infer_chords(score).empty());
      least = std::min(least, static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC);
    }
    return least;
  };
  const double tune_of_32 = seconds_for(2);
  const double of_400 = seconds_for(25);
  EXPECT_LT(tune_of_32, 0.005);
  EXPECT_LT(of_400, 40 * tune_of_32);  // 12.5 times as long; quadratic would be 156
}

}  // namespace
}  // namespace fifthpeg
