// What no arranger likes: the best that can be done, told, or one clear error.
#include <algorithm>
#include <gtest/gtest.h>
#include <string>
#include <string_view>

#include "arrange/melodies.hpp"
#include "fifthpeg/arrange.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::arranged {
namespace {

bool tells(const Report& report, std::string_view slug) {
  return std::any_of(report.entries().begin(), report.entries().end(),
                     [&](const Entry& entry) { return entry.slug == slug; });
}

std::string refusal(const Score& score) {
  try {
    arrange(score);
  } catch (const UnplayableError& error) {
    return error.code();
  }
  return "";
}

// Arranged at all levels in all styles, and sound.
void expect_arranged(const Score& score, std::string_view told = {}) {
  for (int level = lowest_level; level <= highest_level; ++level) {
    for (const Style style : {Style::roll, Style::clawhammer, Style::melodic, Style::single_string}) {
      ArrangeOptions options;
      options.level = level;
      options.style = style;
      const Arrangement made = arrange(score, options);
      EXPECT_EQ(flaws(made.score), std::vector<std::string>{}) << slug(style) << level;
      EXPECT_TRUE(std::any_of(made.melody.begin(), made.melody.end(),
                              [](const MelodyNote& note) { return note.kept; }))
          << slug(style) << level;
      if (!told.empty()) {
        EXPECT_TRUE(tells(made.report, told)) << slug(style) << level << '\n' << to_text(made.report);
      }
    }
  }
}

TEST(HardInputs, NoMelody) {
  Score empty;
  EXPECT_EQ(refusal(empty), "no-melody");
  Score chords = random_melody(1, {});
  for (Measure& measure : chords.measures) {
    measure.strokes.clear();
    measure.strokes.push_back({});
    measure.strokes.back().duration = measure.length;
    measure.chords.push_back(*parse_chord_symbol("G"));
  }
  EXPECT_EQ(refusal(chords), "no-melody");
}

TEST(HardInputs, NoChordsAndNoKey) {
  Score melody = random_melody(2, {});
  melody.key_estimated = true;
  for (Measure& measure : melody.measures) measure.key = {};
  expect_arranged(melody, "chords-inferred");
}

TEST(HardInputs, NoChordAtAll) {
  Score melody = random_melody(3, {});
  melody.measures.front().chords.push_back(*parse_chord_symbol("N.C."));
  expect_arranged(melody);
}

TEST(HardInputs, FarTooLowAndFarTooHigh) {
  for (const int tonic : {31, 103}) {
    MelodyKind kind;
    kind.tonic = tonic;
    expect_arranged(random_melody(4, kind));
  }
}

TEST(HardInputs, WiderThanTheBanjo) {
  Score melody = random_melody(5, {});
  for (std::size_t m = 0; m < melody.measures.size(); m += 4) {
    for (Stroke& stroke : melody.measures[m].strokes) {
      for (Note& note : stroke.notes) note.pitch.octave = static_cast<std::int8_t>(note.pitch.octave + 3);
    }
  }
  for (const Style style : {Style::roll, Style::clawhammer}) {
    ArrangeOptions options;
    options.style = style;
    const Arrangement made = arrange(melody, options);
    EXPECT_EQ(flaws(made.score), std::vector<std::string>{});
    EXPECT_TRUE(tells(made.report, "phrase-folded") || tells(made.report, "melody-note-folded"));
  }
}

TEST(HardInputs, Polyphony) {
  Score melody = random_melody(6, {});
  for (Measure& measure : melody.measures) {
    for (Stroke& stroke : measure.strokes) {
      if (stroke.is_rest()) continue;
      Note below = stroke.notes.front();
      below.pitch.octave = static_cast<std::int8_t>(below.pitch.octave - 1);
      stroke.notes.push_back(below);
    }
  }
  ASSERT_EQ(flaws(melody), std::vector<std::string>{});
  const Arrangement made = arrange(melody);
  EXPECT_TRUE(tells(made.report, "top-line-taken"));
  expect_arranged(melody, "top-line-taken");
}

TEST(HardInputs, OddMeters) {
  for (const auto& [beats, unit] : std::vector<std::pair<std::vector<int>, int>>{{{5}, 4},
                                                                                 {{7}, 8},
                                                                                 {{3, 2}, 8},
                                                                                 {{9}, 8},
                                                                                 {{12}, 8},
                                                                                 {{1}, 4},
                                                                                 {{3}, 2},
                                                                                 {{2}, 2},
                                                                                 {{3}, 8},
                                                                                 {{13}, 16}}) {
    MelodyKind kind;
    kind.beats = beats;
    kind.unit = unit;
    kind.measures = 6;
    SCOPED_TRACE(to_string(Meter{beats, unit, Meter::Symbol::numbers}));
    expect_arranged(random_melody(7, kind));
  }
}

// A measure as long as a free introduction, and one of a single sixteenth.
TEST(HardInputs, FreeTime) {
  Score melody = random_melody(8, {});
  Measure& free = melody.measures[3];
  Stroke last = free.strokes.back();
  last.onset = free.length;
  last.duration = Fraction(23, 16);
  free.strokes.push_back(last);
  free.length += last.duration;
  Measure& tiny = melody.measures[5];
  tiny.length = Fraction(1, 16);
  tiny.strokes.resize(1);
  tiny.strokes.front().duration = tiny.length;
  ASSERT_EQ(flaws(melody), std::vector<std::string>{});
  expect_arranged(melody);
}

TEST(HardInputs, OneNote) {
  MelodyKind kind;
  kind.measures = 1;
  expect_arranged(random_melody(9, kind));
}

TEST(HardInputs, NoSuchLevel) {
  ArrangeOptions options;
  options.level = 5;
  EXPECT_THROW(arrange(random_melody(10, {}), options), UsageError);
}

}  // namespace
}  // namespace fifthpeg::arranged
