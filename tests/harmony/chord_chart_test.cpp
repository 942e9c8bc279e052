// Chord charts: read, put to music, and taken from it.
#include <gtest/gtest.h>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "arrange/varied_melody.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/harmony.hpp"

namespace fifthpeg {
namespace {

// "G | C D | D": the chords of each measure, as a chart has them.
std::string text_of(const ChordChart& chart) {
  std::string text;
  for (const ChartMeasure& measure : chart) {
    if (!text.empty()) text += " | ";
    for (const ChartMeasure::Chord& one : measure.chords) {
      if (one.share > 0) text += " " + to_string(one.share) + ":";
      text += to_string(one.chord);
    }
  }
  return text;
}

// As many measures of one meter, each with one note.
Score measures(int count, std::vector<int> beats = {4}, int unit = 4) {
  Score score;
  for (int m = 0; m < count; ++m) {
    Measure& measure = score.measures.emplace_back();
    measure.number = std::to_string(m + 1);
    measure.meter.beats = beats;
    measure.meter.unit = unit;
    measure.length = measure.meter.length();
    Stroke& stroke = measure.strokes.emplace_back();
    stroke.duration = measure.length;
    stroke.notes.emplace_back().pitch = {Step::G, 0, 4};
  }
  return score;
}

// "G 1/2:C | D": where the chords of each measure stand.
std::string chords_in(const Score& score) {
  std::string text;
  for (const Measure& measure : score.measures) {
    if (&measure != &score.measures.front()) text += " | ";
    for (const ChordSymbol& chord : measure.chords) {
      if (&chord != &measure.chords.front()) text += ' ';
      if (chord.at > 0) text += to_string(chord.at) + ":";
      text += to_string(chord);
    }
  }
  return text;
}

std::string put(std::string_view chart, Score score) {
  set_chords(score, parse_chord_chart(chart));
  EXPECT_TRUE(flaws(score).empty());
  return chords_in(score);
}

TEST(ChordChart, IsReadAsPlayersWriteIt) {
  EXPECT_EQ(text_of(parse_chord_chart("| G | C D | % | Am7 |")), "G | C 1/2:D | C 1/2:D | Am7");
  EXPECT_EQ(text_of(parse_chord_chart("G|D7/F#|Em")), "G | D7/F# | Em");
  EXPECT_EQ(text_of(parse_chord_chart("G | . | / C | . D . .")), "G | G | G 1/2:C | C 1/4:D");
  EXPECT_EQ(text_of(parse_chord_chart("| N.C. | NC | Bb |")), "N.C. | N.C. | Bb");
}

TEST(ChordChart, LineEndsAreBarlinesAndCommentsAreLeftOut) {
  EXPECT_EQ(text_of(parse_chord_chart("# the A part\n| G | G |\n| F#m | D |  # home again\n\nG\r\nC")),
            "G | G | F#m | D | G | C");
  EXPECT_EQ(text_of(parse_chord_chart("\xEF\xBB\xBF|| G | C || D\t|| G")), "G | C | D | G");
}

struct Bad {
  std::string_view text;
  std::int64_t line;
  std::int64_t column;
  std::string_view says;
};

TEST(ChordChart, WhatCannotBeReadIsNamedWithLineAndColumn) {
  for (const Bad& bad :
       {Bad{"G | H7 | C", 1, 5, "'H7' is no chord"}, Bad{"G\n% | C %", 2, 7, "whole measure"},
        Bad{"% | G", 1, 1, "no measure before"}, Bad{"| . | G", 1, 3, "no chord yet"},
        Bad{"| G |  | C |", 1, 8, "a measure is empty"}, Bad{"|: G :|", 1, 2, "':' is no chord"},
        Bad{"D\xC3\xBC G | C", 1, 1, "is no chord"}, Bad{"G \xE2\x99\xAF C", 1, 3, "is no chord"},
        Bad{"  # nothing\n", 0, 0, "no chord in it"}}) {
    try {
      parse_chord_chart(bad.text);
      ADD_FAILURE() << bad.text;
    } catch (const ReadError& error) {
      EXPECT_EQ(error.code(), "bad-chart");
      EXPECT_EQ(error.place().line, bad.line) << bad.text;
      EXPECT_EQ(error.place().column, bad.column) << bad.text;
      EXPECT_NE(std::string(error.what()).find(bad.says), std::string::npos) << error.what();
    }
  }
}

TEST(ChordChart, ChordsShareAMeasureOnItsBeats) {
  EXPECT_EQ(put("G C", measures(1)), "G 1/2:C");
  EXPECT_EQ(put("G C D", measures(1)), "G 1/2:C 3/4:D");
  EXPECT_EQ(put("G . . D", measures(1)), "G 3/4:D");
  EXPECT_EQ(put("G C", measures(1, {3})), "G 1/2:C");
  EXPECT_EQ(put("G C D", measures(1, {3})), "G 1/4:C 1/2:D");
  EXPECT_EQ(put("G C", measures(1, {6}, 8)), "G 3/8:C");
  EXPECT_EQ(put("G . D", measures(1, {6}, 8)), "G 1/2:D");
  EXPECT_EQ(put("G C D G", measures(1, {2}, 2)), "G 1/4:C 1/2:D 3/4:G");
}

TEST(ChordChart, StandsWhereChordsChange) {
  EXPECT_EQ(put("G | G C | C | % | . D | G", measures(6)), "G | 1/2:C |  |  | 1/2:D | G");
  Score with_endings = measures(4);
  with_endings.measures[0].repeat_starts = true;
  with_endings.measures[2].ending = Ending{{1}, true, Ending::Stop::closed};
  with_endings.measures[2].repeat_times = 2;
  with_endings.measures[3].ending = Ending{{2}, true, Ending::Stop::open};
  EXPECT_EQ(put("G | D | G | G", with_endings), "G | D | G | G");
}

TEST(ChordChart, HasNoEntryForAPickupAndOneForASplitMeasure) {
  Score score = measures(4);
  score.measures[0].implicit = true;
  score.measures[0].length = score.measures[0].strokes[0].duration = {1, 4};
  score.measures[2].length = score.measures[2].strokes[0].duration = {3, 4};
  score.measures[3].implicit = true;
  score.measures[3].length = score.measures[3].strokes[0].duration = {1, 4};
  EXPECT_EQ(put("G | C . . D", score), " | G | C | D");
  EXPECT_EQ(put("G | C D", score), " | G | C 1/2:D | ");
}

TEST(ChordChart, OfAnotherLengthIsRefusedAndChangesNothing) {
  Score score = measures(3);
  score.measures[1].chords.push_back(parse_chord_symbol("C").value());
  const Score before = score;
  for (const std::string_view chart : {"G | C", "G | C | D | G"}) {
    try {
      set_chords(score, parse_chord_chart(chart));
      ADD_FAILURE() << chart;
    } catch (const UsageError& error) {
      EXPECT_EQ(error.code(), "chart-of-other-length");
      EXPECT_NE(std::string(error.what()).find(chart.size() < 8 ? "2 measures" : "4 measures"),
                std::string::npos);
      EXPECT_NE(std::string(error.what()).find("the music has 3"), std::string::npos);
    }
    EXPECT_EQ(score, before);
  }
}

TEST(ChordChart, TakesThePlaceOfTheFilesOwnChordsWhichIsTold) {
  Score score = measures(2);
  EXPECT_EQ(to_text(set_chords(score, parse_chord_chart("G | C"))),
            "decided: the chord symbols are those of the chart\n");
  EXPECT_EQ(to_text(set_chords(score, parse_chord_chart("D | A"))),
            "decided: the chord symbols are those of the chart, in place of the file's own\n");
  EXPECT_EQ(chords_in(score), "D | A");
}

TEST(ChordChart, OfAScoreIsThatScoresChords) {
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    testing::VariedMelodyOptions options;
    options.pickup = seed % 2 == 0;
    if (seed % 3 == 0) options.beats = {3};
    const Score score = testing::varied_melody(seed, options);
    Score other = score;
    set_chords(other, chart_of(score));
    Score once_more = other;
    set_chords(once_more, chart_of(other));
    EXPECT_EQ(once_more, other);
    // What sounds in each measure is the same.
    const ChordChart given = chart_of(score);
    EXPECT_EQ(text_of(chart_of(other)), text_of(given));
    EXPECT_FALSE(given.front().chords.empty());
  }
}

TEST(ChordChart, OfMusicInAnotherMeterIsToldAndPutOnBeats) {
  Score waltz = measures(2, {3});
  waltz.measures[0].chords = {parse_chord_symbol("G").value()};
  waltz.measures[1].chords = {parse_chord_symbol("C").value(), parse_chord_symbol("D").value()};
  waltz.measures[1].chords[1].at = {1, 2};
  const ChordChart chart = chart_of(waltz);
  Score same = measures(2, {3});
  EXPECT_EQ(set_chords(same, chart).entries().size(), 1U);
  EXPECT_EQ(same.measures[1].chords[1].at, Fraction(1, 2));
  Score other = measures(2);
  const Report report = set_chords(other, chart);
  ASSERT_EQ(report.entries().size(), 2U);
  EXPECT_EQ(report.entries()[0].slug, "chart-of-other-meter");
  EXPECT_EQ(report.entries()[0].text,
            "the chords are of music in 3/4, and this is in 4/4: they share its measures in the same order");
  EXPECT_EQ(other.measures[1].chords[1].at, Fraction(3, 4)) << "the third of three beats, put on the fourth";
}

}  // namespace
}  // namespace fifthpeg
