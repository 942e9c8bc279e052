#include <gtest/gtest.h>
#include <string>
#include <vector>

#include "fifthpeg/errors.hpp"
#include "formats/midi/writer/lick.hpp"
#include "formats/midi/writer/parse.hpp"
#include "property/random_score.hpp"

namespace fifthpeg::testing {
namespace {

const Fraction quarter{1, 4};

Score four_quarters() {
  return score_of({measure({stroke(quarter, {on(3, 0)}), stroke(quarter, {on(2, 0)}),
                            stroke(quarter, {on(5, 0)}), stroke(quarter, {on(1, 0)})})});
}

// The first bytes as Standard MIDI Files 1.0 lays them out.
TEST(MidiWrite, BeginsWithAHeaderOfFormatOne) {
  const Written written = write_and_parse(four_quarters());
  EXPECT_EQ(written.bytes.substr(0, 14), std::string("MThd\0\0\0\6\0\1\0\2\1\xe0", 14));
  EXPECT_EQ(written.bytes.substr(14, 4), "MTrk");
  EXPECT_EQ(written.file.format, 1);
  EXPECT_EQ(written.file.division, 480);
  ASSERT_EQ(written.file.tracks.size(), 2U);
  EXPECT_TRUE(written.conductor().back().is_meta(0x2f));
  EXPECT_TRUE(written.banjo().back().is_meta(0x2f));
  EXPECT_EQ(written.banjo().back().tick, 4 * 480);
}

TEST(MidiWrite, AVeryLongRestIsBrokenIntoDeltasThatFit) {
  // Variable lengths have four bytes at most, 0FFFFFFF (Standard MIDI Files 1.0).
  std::vector<Measure> measures;
  measures.push_back(measure({rest(Fraction(300'000))}));
  measures.push_back(measure({stroke(1, {on(3, 0)})}));
  const Written written = write_and_parse(score_of(measures));
  const auto notes = notes_of(written.banjo());
  ASSERT_EQ(notes.size(), 1U);
  EXPECT_EQ(notes[0].on, 300'000LL * 1920);
}

// General MIDI 1: program 106 is the banjo, 105 on the wire. Open G sounds 55 59 67 62.
TEST(MidiWrite, PlaysOpenStringsOnABanjo) {
  const Written written = write_and_parse(four_quarters());
  std::vector<int> programs;
  for (const MidiEvent& event : written.banjo()) {
    if (event.status != 0xff && event.kind() == 0xc0) programs.push_back(event.type);
  }
  EXPECT_EQ(programs, std::vector<int>{105});
  const auto notes = notes_of(written.banjo());
  const std::vector<HeardNote> expected{
      {0, 480, 55, 0, 80}, {480, 960, 59, 0, 80}, {960, 1440, 67, 0, 80}, {1440, 1920, 62, 0, 80}};
  EXPECT_EQ(notes, expected);
}

TEST(MidiWrite, SaysWhatThePieceIsCalledAndHowTheBanjoIsTuned) {
  Score score = four_quarters();
  score.work = {"Tuesday Lick", "A. Handout", "B. Handout", "C. Handout", "For the class", "a notebook"};
  score.part_name = "Banjo 2";
  score.banjo.capo = 2;
  score.banjo.fifth_capo = 7;
  const Written written = write_and_parse(score);
  EXPECT_EQ(metas_of(written.conductor(), 3), std::vector<std::string>{"Tuesday Lick"});
  EXPECT_EQ(metas_of(written.conductor(), 2), std::vector<std::string>{"For the class"});
  EXPECT_EQ(metas_of(written.conductor(), 1),
            (std::vector<std::string>{"composer: A. Handout", "arranger: B. Handout", "lyricist: C. Handout",
                                      "source: a notebook"}));
  EXPECT_EQ(metas_of(written.banjo(), 3), std::vector<std::string>{"Banjo 2"});
  EXPECT_EQ(metas_of(written.banjo(), 1),
            std::vector<std::string>{"fifthpeg: tuning gDGBD capo 2 fifth-capo 7"});
  score.banjo.tuning = *parse_tuning("g4 D2 G3 B3 D4");
  EXPECT_EQ(
      metas_of(write_and_parse(score, {.channel_per_string = true}).banjo(), 1),
      std::vector<std::string>{"fifthpeg: tuning \"g4 D2 G3 B3 D4\" capo 2 fifth-capo 7 channel-per-string"});
}

// FF 51: microseconds a quarter note; FF 58: numerator, power of two, clocks a click, 32nds a quarter;
// FF 59: sharps or flats, minor (Standard MIDI Files 1.0).
TEST(MidiWrite, StatesTempoMeterAndKeyInBytes) {
  Meter six_eight;
  six_eight.beats = {6};
  six_eight.unit = 8;
  Score score =
      score_of({measure({stroke({3, 4}, {on(4, 2)})}, six_eight), measure({stroke(1, {on(4, 2)})})});
  score.measures[0].key = {-3, Mode::minor};
  Tempo tempo;
  tempo.quarters_per_minute = 90;
  tempo.beat_unit = {3, 8};
  score.measures[0].tempos = {tempo};
  const Written written = write_and_parse(score);
  EXPECT_EQ(metas_of(written.conductor(), 0x51), std::vector<std::string>{std::string("\x0a\x2c\x2b", 3)});
  EXPECT_EQ(metas_of(written.conductor(), 0x58),
            (std::vector<std::string>{std::string("\6\3\x24\x08", 4), std::string("\4\2\x18\x08", 4)}));
  EXPECT_EQ(metas_of(written.conductor(), 0x59),
            (std::vector<std::string>{std::string("\xfd\1", 2), std::string("\1\0", 2)}));
}

TEST(MidiWrite, ChordSymbolsAndRehearsalMarksAreMarkers) {
  Score score = four_quarters();
  ChordSymbol chord = *parse_chord_symbol("D7/F#");
  chord.at = {1, 2};
  score.measures[0].chords = {chord};
  score.measures[0].directions = {{0, Direction::Kind::rehearsal, "Verse"},
                                  {0, Direction::Kind::rehearsal, "A"},
                                  {{1, 4}, Direction::Kind::words, "softly"}};
  const Written written = write_and_parse(score);
  // "A" alone would read as the chord of A major.
  EXPECT_EQ(metas_of(written.conductor(), 6), (std::vector<std::string>{"Verse", "Rehearsal A", "D7/F#"}));
  EXPECT_EQ(metas_of(written.conductor(), 1), std::vector<std::string>{"softly"});
}

// ---- resolution -----------------------------------------------------------------------------------

TEST(MidiWrite, TakesTheSmallestResolutionThatIsExact) {
  EXPECT_EQ(write_and_parse(four_quarters()).file.division, 480);
  // Eleven in the time of a quarter: 480 is no multiple of 11, 5280 is.
  std::vector<Stroke> eleven;
  for (int i = 0; i < 11; ++i) eleven.push_back(stroke({1, 44}, {on(3, 0)}));
  eleven.push_back(stroke({3, 4}, {on(3, 0)}));
  const Written written = write_and_parse(score_of({measure(eleven)}));
  EXPECT_EQ(written.file.division, 5280);
  EXPECT_EQ(written.told("midi-rounded-time"), 0U);
  const auto notes = notes_of(written.banjo());
  for (std::size_t i = 0; i < 11; ++i) EXPECT_EQ(notes[i].on, static_cast<std::int64_t>(i) * 480);
}

TEST(MidiWrite, TellsWhereNoResolutionIsExact) {
  // 7 and 11 and 13 together are out of the reach of 15 bits.
  std::vector<Stroke> odd;
  for (const int parts : {7, 11, 13, 4}) {
    for (int i = 0; i < parts; ++i) odd.push_back(stroke(quarter / parts, {on(3, 0)}));
  }
  const Written written = write_and_parse(score_of({measure(odd)}));
  EXPECT_LE(written.file.division, 32767);
  EXPECT_GT(written.told("midi-rounded-time"), 0U);
  const auto notes = notes_of(written.banjo());
  Fraction exact;
  for (std::size_t i = 0; i < notes.size(); ++i) {
    EXPECT_NEAR(static_cast<double>(notes[i].on), exact.to_double() * 4 * written.file.division, 0.51);
    exact += odd[i].duration;
  }
}

TEST(MidiWrite, ResolutionCanBeAskedFor) {
  EXPECT_EQ(write_and_parse(four_quarters(), {.ticks_per_quarter = 96}).file.division, 96);
  StringSink sink;
  EXPECT_THROW(write_midi(four_quarters(), {.ticks_per_quarter = 32768}, sink), UsageError);
  EXPECT_THROW(write_midi(four_quarters(), {.ticks_per_quarter = -1}, sink), UsageError);
  EXPECT_TRUE(sink.str().empty());
}

// ---- playing order --------------------------------------------------------------------------------

Score with_endings() {
  std::vector<Measure> measures;
  for (int fret = 0; fret < 3; ++fret) measures.push_back(measure({stroke(1, {on(1, fret)})}));
  Score score = score_of(measures);
  score.measures[0].repeat_starts = true;
  score.measures[1].repeat_times = 2;
  score.measures[1].ending = Ending{{1}, true, Ending::Stop::closed};
  score.measures[2].ending = Ending{{2}, true, Ending::Stop::open};
  return score;
}

std::vector<int> keys_of(const std::vector<HeardNote>& notes) {
  std::vector<int> keys;
  for (const HeardNote& note : notes) keys.push_back(note.key);
  return keys;
}

TEST(MidiWrite, WritesRepeatsOutInPlayingOrder) {
  const Written unfolded = write_and_parse(with_endings());
  EXPECT_EQ(keys_of(notes_of(unfolded.banjo())), (std::vector<int>{62, 63, 62, 64}));
  EXPECT_EQ(unfolded.told("midi-unfolded"), 1U);
  EXPECT_EQ(unfolded.told("midi-repeat"), 0U);
  const Written folded = write_and_parse(with_endings(), {.unfold_repeats = false});
  EXPECT_EQ(keys_of(notes_of(folded.banjo())), (std::vector<int>{62, 63, 64}));
  EXPECT_EQ(folded.told("midi-repeat"), 3U);
}

TEST(MidiWrite, TempoOfTheRepeatedPlaceComesBack) {
  Score score = with_endings();
  Tempo fast;
  fast.quarters_per_minute = 150;
  Tempo slow;
  slow.quarters_per_minute = 60;
  score.measures[0].tempos = {fast};
  score.measures[1].tempos = {slow};
  const Written written = write_and_parse(score);
  std::vector<std::int64_t> ticks;
  for (const MidiEvent& event : written.conductor()) {
    if (event.is_meta(0x51)) ticks.push_back(event.tick);
  }
  // Fast, slow in the first ending, fast again; the second ending follows the first in print: slow.
  EXPECT_EQ(ticks, (std::vector<std::int64_t>{0, 1920, 3840, 5760}));
}

TEST(MidiWrite, BoundsRepeatsGoneWild) {
  Score score = four_quarters();
  score.measures[0].repeat_times = 1'000'000'000;
  const Written written = write_and_parse(score);
  EXPECT_EQ(notes_of(written.banjo()).size(), 4U);
  EXPECT_EQ(written.told("midi-endless-repeats"), 1U);
}

TEST(MidiWrite, APickupHasAShortMeasureOfItsOwn) {
  const Written written =
      write_and_parse(score_of({measure({stroke(quarter, {on(3, 0)})}), measure({stroke(1, {on(1, 0)})})}));
  // measure() takes the meter 4/4; the pickup's length is a quarter.
  EXPECT_EQ(metas_of(written.conductor(), 0x58),
            (std::vector<std::string>{std::string("\1\2\x18\x08", 4), std::string("\4\2\x18\x08", 4)}));
  EXPECT_EQ(notes_of(written.banjo()).front().on, 0);
  EXPECT_EQ(metas_of(written.banjo(), 1),
            std::vector<std::string>{"fifthpeg: tuning gDGBD capo 0 fifth-capo 5 pickup 1/4"});
}

TEST(MidiWrite, HalvesOfASplitMeasureStayUnderTheirMeter) {
  // A repeat ends after three quarters and starts again with the pickup's quarter: no meter changes inside.
  Score score = score_of({measure({stroke(1, {on(3, 0)})}), measure({stroke({3, 4}, {on(2, 0)})}),
                          measure({stroke(quarter, {on(1, 0)})}), measure({stroke(1, {on(3, 0)})})});
  score.measures[2].implicit = true;
  const Written written = write_and_parse(score);
  EXPECT_EQ(metas_of(written.conductor(), 0x58).size(), 1U);
  EXPECT_EQ(written.told("midi-irregular-measure"), 0U);
  EXPECT_EQ(notes_of(written.banjo()).back().on, 2 * 1920);
}

TEST(MidiWrite, AnIrregularMeasureHasItsOwnTimeSignature) {
  const Written written =
      write_and_parse(score_of({measure({stroke(1, {on(3, 0)})}), measure({stroke({5, 8}, {on(2, 0)})}),
                                measure({stroke(1, {on(3, 0)})})}));
  const auto meters = metas_of(written.conductor(), 0x58);
  ASSERT_EQ(meters.size(), 3U);
  EXPECT_EQ(meters[1].substr(0, 2), std::string("\5\3", 2));
  EXPECT_EQ(written.told("midi-irregular-measure"), 1U);
}

// ---- words under the notes ------------------------------------------------------------------------

TEST(MidiWrite, SingsTheVerseOfEachPass) {
  Score score = with_endings();
  score.measures[0].strokes[0].lyrics = {{"1", Syllabic::begin, "ban"}, {"2", Syllabic::single, "string"}};
  score.measures[1].strokes[0].lyrics = {{"1", Syllabic::end, "jo"}, {"3", Syllabic::single, "never"}};
  const Written written = write_and_parse(score);
  EXPECT_EQ(metas_of(written.banjo(), 5), (std::vector<std::string>{"ban-", "jo", "string"}));
  EXPECT_EQ(written.told("midi-lyric"), 1U);
}

// ---- what is lost ---------------------------------------------------------------------------------

TEST(MidiWrite, TellsWhatMidiCannotHold) {
  Score score = four_quarters();
  Note& note = score.measures[0].strokes[0].notes[0];
  note.finger = FretFinger::open;
  note.picking_finger = PickingFinger::thumb;
  note.harmonic = true;
  note.dead = true;
  note.ring = Ring::damp;
  score.measures[0].strokes[1].notes[0].into = Technique::pull_off;
  score.measures[0].strokes[2].articulations.fermata = true;
  const Written written = write_and_parse(score);
  for (const char* slug : {"midi-finger", "midi-picking-finger", "midi-harmonic", "midi-dead-note",
                           "midi-damp", "midi-technique", "midi-fermata"}) {
    EXPECT_EQ(written.told(slug), 1U) << slug;
  }
  EXPECT_EQ(written.told("midi-placement"), 4U);
  EXPECT_TRUE(written.report.has_losses());
  const Written by_string = write_and_parse(score, {.channel_per_string = true});
  EXPECT_EQ(by_string.told("midi-placement"), 0U);
}

TEST(MidiWrite, LosesNothingThatMidiHolds) {
  Score score = four_quarters();
  for (Stroke& one : score.measures[0].strokes) {
    one.notes[0].placement.reset();
    one.notes[0].finger.reset();
  }
  EXPECT_FALSE(write_and_parse(score).report.has_losses());
}

TEST(MidiWrite, AnEmptyScoreIsAValidFile) {
  const Written written = write_and_parse(Score{});
  EXPECT_EQ(written.file.tracks.size(), 2U);
}

// ---- any score ------------------------------------------------------------------------------------

TEST(MidiWrite, AnyScoreGivesAValidFileWithEveryNoteEnded) {
  for (std::uint64_t seed = 1; seed <= 300; ++seed) {
    RandomScoreOptions options;
    options.nested_tuplets = seed % 3 == 0;
    options.placed = seed % 4 != 0;
    const Score score = random_score(seed, options);
    for (const bool by_string : {false, true}) {
      const Written written = write_and_parse(score, {.channel_per_string = by_string});
      ASSERT_FALSE(HasFailure()) << "seed " << seed;
      const auto notes = notes_of(written.banjo());
      std::size_t struck = 0;
      for (const Measure& one : unfolded(score).measures) {
        for (const Stroke& s : one.strokes) {
          for (const Note& note : s.notes) struck += note.tied_from_previous ? 0 : 1;
        }
      }
      EXPECT_EQ(notes.size(), struck) << "seed " << seed;
      EXPECT_EQ(written.told("midi-rounded-time"), 0U) << "seed " << seed;
      for (const HeardNote& note : notes) EXPECT_LE(note.off, written.banjo().back().tick);
      // The same score gives the same bytes.
      EXPECT_EQ(write_and_parse(score, {.channel_per_string = by_string}).bytes, written.bytes);
    }
  }
}

}  // namespace
}  // namespace fifthpeg::testing
