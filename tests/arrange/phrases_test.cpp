// In which octave phrases are played, and that no measure of a tune falls silent.
#include "arrange/phrases.hpp"

#include <gtest/gtest.h>
#include <string>
#include <utility>
#include <vector>

#include "fifthpeg/arrange.hpp"
#include "fifthpeg/harmony.hpp"

namespace fifthpeg::arranging {
namespace {

struct TuneMeasure {
  const char* chord;                       // or nullptr, as before
  std::vector<std::pair<int, int>> notes;  // MIDI number, eighths
};

Score tune_of(const std::vector<TuneMeasure>& measures, int beats) {
  Score score;
  for (const TuneMeasure& one : measures) {
    Measure measure;
    measure.number = std::to_string(score.measures.size() + 1);
    measure.meter = Meter{{beats}, 4, Meter::Symbol::numbers};
    for (const auto& [midi, eighths] : one.notes) {
      Stroke stroke;
      stroke.onset = measure.length;
      stroke.duration = Fraction(eighths, 8);
      stroke.notes.emplace_back().pitch = spell(midi, {});
      measure.length += stroke.duration;
      measure.strokes.push_back(std::move(stroke));
    }
    if (one.chord != nullptr) measure.chords.push_back(*parse_chord_symbol(one.chord));
    score.measures.push_back(std::move(measure));
  }
  normalize(score);
  return score;
}

std::vector<Tone> tones(const std::vector<int>& midi) {
  std::vector<Tone> melody(midi.size());
  for (std::size_t i = 0; i < midi.size(); ++i) melody[i].midi = midi[i];
  return melody;
}

std::vector<int> moved(const std::vector<int>& midi, const std::vector<bool>& ends, MelodyRange range) {
  std::vector<int> half_steps;
  for (const OctaveMove& move : octave_moves(tones(midi), ends, range)) half_steps.push_back(move.half_steps);
  return half_steps;
}

constexpr MelodyRange first_frets{50, 67};

TEST(OctaveMoves, APhraseThatLiesTooHighMovesAsAWhole) {
  EXPECT_EQ(moved({55, 59, 62, 55, 71, 74, 72, 67}, {false, false, false, true, false, false, false, true},
                  first_frets),
            (std::vector<int>{0, 0, 0, 0, -12, -12, -12, -12}));
}

TEST(OctaveMoves, ANoteThatAPhraseOnlyTouchesMovesAlone) {
  const std::vector<bool> ends{false, false, false, false, false, false, false, true};
  const auto moves = octave_moves(tones({55, 59, 62, 71, 62, 59, 55, 55}), ends, first_frets);
  ASSERT_EQ(moves.size(), ends.size());
  for (std::size_t i = 0; i < moves.size(); ++i) {
    EXPECT_EQ(moves[i].half_steps, i == 3 ? -12 : 0);
    EXPECT_EQ(moves[i].alone, i == 3);
  }
}

TEST(OctaveMoves, WhatWasMovedBeforeCounts) {
  const auto moves = octave_moves(tones({67, 71, 74}), {false, false, true}, first_frets, -12);
  for (const OctaveMove& move : moves) EXPECT_EQ(move.half_steps, 0);
}

TEST(PhraseEnds, ComeBeforeARepeatSign) {
  Score score = tune_of({{"G", {{55, 2}, {59, 2}, {62, 2}, {59, 2}}},
                         {nullptr, {{55, 2}, {59, 2}, {62, 2}, {59, 2}}},
                         {nullptr, {{55, 2}, {59, 2}, {62, 2}, {59, 2}}}},
                        4);
  Report report;
  const std::vector<Tone> melody = melody_of(score, report);
  std::vector<bool> ends(12, false);
  ends.back() = true;
  EXPECT_EQ(phrase_ends(score, melody, Fraction(1, 8)), ends);
  score.measures[1].repeat_times = 2;
  ends[7] = true;
  EXPECT_EQ(phrase_ends(score, melody, Fraction(1, 8)), ends);
}

// The third line of a hymn of 1779 in the public domain, whose low close began with the finger and string
// that the measure before ends with.
TEST(Phrases, NoMeasureOfAHymnIsSilent) {
  const Score hymn = tune_of({{nullptr, {{62, 2}}},
                              {"G", {{67, 4}, {71, 1}, {67, 1}}},
                              {"G7", {{71, 4}, {69, 2}}},
                              {"C", {{67, 4}, {64, 2}}},
                              {"G", {{62, 4}, {62, 2}}},
                              {nullptr, {{67, 4}, {71, 1}, {67, 1}}},
                              {nullptr, {{71, 4}, {69, 2}}},
                              {"D", {{74, 6}}},
                              {nullptr, {{74, 4}, {71, 2}}},
                              {"G", {{74, 3}, {71, 1}, {74, 1}, {71, 1}}},
                              {nullptr, {{67, 4}, {62, 2}}},
                              {"C", {{64, 3}, {67, 1}, {67, 1}, {64, 1}}},
                              {"G", {{62, 4}, {62, 2}}},
                              {nullptr, {{67, 4}, {71, 1}, {67, 1}}},
                              {"D7", {{71, 4}, {69, 2}}},
                              {"G", {{67, 6}}},
                              {nullptr, {{67, 4}}}},
                             3);
  for (int level = lowest_level; level <= highest_level; ++level) {
    for (const Style style : {Style::roll, Style::clawhammer}) {
      ArrangeOptions options;
      options.level = level;
      options.style = style;
      const Arrangement made = arrange(hymn, options);
      for (const MelodyNote& note : made.melody) {
        EXPECT_TRUE(note.kept || !note.on_beat) << "level " << level << ", " << to_string(note.at);
      }
    }
  }
}

}  // namespace
}  // namespace fifthpeg::arranging
