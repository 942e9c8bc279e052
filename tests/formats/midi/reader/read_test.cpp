// The MIDI reader as a whole: formats, maps, names and texts.
#include <cmath>
#include <gtest/gtest.h>
#include <string>

#include "fifthpeg/errors.hpp"
#include "formats/midi/reader/support.hpp"
#include "formats/midi/reader/tempo_map.hpp"

namespace {

using fifthpeg::Direction;
using fifthpeg::Fraction;
using fifthpeg::Key;
using fifthpeg::Mode;
using fifthpeg::ReadError;
using fifthpeg::Reading;
using fifthpeg::ReadOptions;
using fifthpeg::UsageError;
using namespace smf_bytes;

// ---- the worked example of Standard MIDI Files 1.0 (appendix 4; bytes from memory) ---------------
// Four bars of nothing but: channel 1 plays E5 for two beats from the third on, channel 2 G4 for three beats
// from the second on, channel 3 C3 and C4 for four beats; programs 5, 46, 70 counted from 0.

const std::string example_format_0 =
    bytes({'M', 'T', 'h', 'd', 0, 0, 0, 6, 0, 0, 0, 1, 0, 0x60, 'M', 'T', 'r', 'k', 0, 0, 0, 0x3B}) +
    bytes({0x00, 0xFF, 0x58, 0x04, 0x04, 0x02, 0x18, 0x08}) +
    bytes({0x00, 0xFF, 0x51, 0x03, 0x07, 0xA1, 0x20}) + bytes({0x00, 0xC0, 0x05}) +
    bytes({0x00, 0xC1, 0x2E}) + bytes({0x00, 0xC2, 0x46}) + bytes({0x00, 0x92, 0x30, 0x60}) +
    bytes({0x00, 0x3C, 0x60}) + bytes({0x60, 0x91, 0x43, 0x40}) + bytes({0x60, 0x90, 0x4C, 0x20}) +
    bytes({0x81, 0x40, 0x82, 0x30, 0x40}) + bytes({0x00, 0x3C, 0x40}) + bytes({0x00, 0x81, 0x43, 0x40}) +
    bytes({0x00, 0x80, 0x4C, 0x40}) + bytes({0x00, 0xFF, 0x2F, 0x00});

const std::string example_format_1 =
    bytes({'M', 'T', 'h', 'd', 0, 0, 0, 6, 0, 1, 0, 4, 0, 0x60}) +
    bytes({'M', 'T', 'r', 'k', 0, 0, 0, 0x14}) + bytes({0x00, 0xFF, 0x58, 0x04, 0x04, 0x02, 0x18, 0x08}) +
    bytes({0x00, 0xFF, 0x51, 0x03, 0x07, 0xA1, 0x20}) + bytes({0x83, 0x00, 0xFF, 0x2F, 0x00}) +
    bytes({'M', 'T', 'r', 'k', 0, 0, 0, 0x10}) + bytes({0x00, 0xC0, 0x05}) +
    bytes({0x81, 0x40, 0x90, 0x4C, 0x20}) + bytes({0x81, 0x40, 0x4C, 0x00}) +
    bytes({0x00, 0xFF, 0x2F, 0x00}) + bytes({'M', 'T', 'r', 'k', 0, 0, 0, 0x0F}) + bytes({0x00, 0xC1, 0x2E}) +
    bytes({0x60, 0x91, 0x43, 0x40}) + bytes({0x82, 0x20, 0x43, 0x00}) + bytes({0x00, 0xFF, 0x2F, 0x00}) +
    bytes({'M', 'T', 'r', 'k', 0, 0, 0, 0x15}) + bytes({0x00, 0xC2, 0x46}) + bytes({0x00, 0x92, 0x30, 0x60}) +
    bytes({0x00, 0x3C, 0x60}) + bytes({0x83, 0x00, 0x30, 0x00}) + bytes({0x00, 0x3C, 0x00}) +
    bytes({0x00, 0xFF, 0x2F, 0x00});

void expect_example(const std::string& file, bool one_track) {
  ReadOptions options;
  for (const auto& [part, expected] :
       {std::pair{"1", "0 1/2 r, 1/2 1/2 E5"}, {"2", "0 1/4 r, 1/4 3/4 G4"}, {"3", "0 1 C4+C3"}}) {
    // Three parts, one for each channel; none of them begins the measure but the third.
    options.part = part;
    const Reading reading = read_sound(file, options);
    ASSERT_EQ(reading.inventory.parts.size(), 3U);
    ASSERT_EQ(reading.score.measures.size(), 1U);
    EXPECT_EQ(text(reading.score.measures.front()), expected);
    EXPECT_EQ(reading.score.measures.front().tempos.front().quarters_per_minute, Fraction(120));
    EXPECT_EQ(reading.inventory.residual, 0.0);
    EXPECT_EQ(reading.inventory.resolution, "96 ticks a quarter note");
  }
  const Reading reading = read_sound(file, options);
  const auto& parts = reading.inventory.parts;
  EXPECT_EQ(parts[0].program, 6);
  EXPECT_EQ(parts[1].program, 47);
  EXPECT_EQ(parts[2].program, 71);
  EXPECT_EQ(parts[0].id, one_track ? "track 1, channel 1" : "track 2, channel 1");
  EXPECT_EQ(parts[2].channel, 3);
  EXPECT_EQ(parts[2].lowest, 48);
  EXPECT_EQ(parts[2].highest, 60);
  EXPECT_FALSE(parts[2].percussion);
}

TEST(MidiRead, WorkedExampleOfTheStandardFormat0) {
  expect_example(example_format_0, true);
  EXPECT_EQ(read_sound(example_format_0).inventory.format, "MIDI format 0");
}

TEST(MidiRead, WorkedExampleOfTheStandardFormat1) {
  expect_example(example_format_1, false);
  EXPECT_EQ(read_sound(example_format_1).inventory.format, "MIDI format 1");
}

// ---- formats and divisions ------------------------------------------------------------------------

Track quarters(std::initializer_list<int> keys, int ticks = 480) {
  Track track;
  std::int64_t now = 0;
  for (const int key : keys) {
    track.note(now, ticks, key);
    now += ticks;
  }
  return track;
}

TEST(MidiRead, Format2PatternsFollowOneAnother) {
  const std::string file =
      smf_bytes::file(2, 480, {quarters({60, 62, 64, 65}).tempo(0, 500'000), quarters({67, 69})});
  const Reading reading = read_sound(file);
  ASSERT_EQ(reading.score.measures.size(), 2U);
  EXPECT_EQ(text(reading.score.measures[0]), "0 1/4 C4, 1/4 1/4 D4, 1/2 1/4 E4, 3/4 1/4 F4");
  EXPECT_EQ(text(reading.score.measures[1]), "0 1/4 G4, 1/4 1/4 A4, 1/2 1/2 r");
  EXPECT_EQ(told(reading.report, "midi-format-2"), 1U);
  EXPECT_EQ(reading.inventory.parts.size(), 1U);
}

TEST(MidiRead, TimeCodeDivisionCountsRealTime) {
  // 25 frames of 40 ticks are milliseconds: quarters at 120 a minute last 500.
  const Reading reading = read_sound(file(0, 0xE728, {quarters({60, 62, 64, 65}, 500)}));
  EXPECT_EQ(text(reading.score.measures[0]), "0 1/4 C4, 1/4 1/4 D4, 1/2 1/4 E4, 3/4 1/4 F4");
  EXPECT_EQ(reading.inventory.residual, 0.0);
  EXPECT_EQ(reading.inventory.resolution, "25 frames a second, 40 ticks a frame");
  EXPECT_EQ(told(reading.report, "midi-real-time"), 1U);
  // At 100 a minute they last 600.
  const Reading slower = read_sound(file(0, 0xE728, {quarters({60, 62, 64, 65}, 600).tempo(0, 600'000)}));
  EXPECT_EQ(text(slower.score.measures[0]), "0 1/4 C4, 1/4 1/4 D4, 1/2 1/4 E4, 3/4 1/4 F4");
}

TEST(MidiRead, TimeCodeDivisionsOfFilmAndTelevision) {
  // 24, 29 (30000/1001 a second) and 30 frames, 80 ticks each: 0.5 s in the nearest ticks.
  for (const auto& [division, per_second] :
       {std::pair{0xE850, 24 * 80.0}, {0xE350, 80 * 30000.0 / 1001}, {0xE250, 2400.0}}) {
    Track track;
    for (int i = 0; i < 16; ++i) {
      const auto at = std::llround(i * 0.25 * per_second);
      track.note(at, std::llround((i + 1) * 0.25 * per_second) - at, 60 + i % 5);
    }
    const Reading reading = read_sound(file(0, division, {track}));
    ASSERT_EQ(reading.score.measures.size(), 2U);
    for (const auto& measure : reading.score.measures) {
      ASSERT_EQ(measure.strokes.size(), 8U);
      for (std::size_t i = 0; i < 8; ++i) {
        EXPECT_EQ(measure.strokes[i].onset, Fraction(static_cast<std::int64_t>(i), 8));
        EXPECT_EQ(measure.strokes[i].duration, Fraction(1, 8));
      }
    }
    EXPECT_EQ(reading.inventory.residual, 0.0);
  }
}

// ---- tempo, meter, key ------------------------------------------------------------------------------

TEST(MidiRead, TempoIsTheRoundValueThatGivesTheMicroseconds) {
  const auto tempo = fifthpeg::midi::reader::quarters_per_minute;
  EXPECT_EQ(tempo(500'000), Fraction(120));
  EXPECT_EQ(tempo(461'538), Fraction(130));     // 461538.46
  EXPECT_EQ(tempo(606'061), Fraction(99));      // 606060.6, rounded
  EXPECT_EQ(tempo(606'060), Fraction(99));      // cut off
  EXPECT_EQ(tempo(491'803), Fraction(122));     // 491803.28
  EXPECT_EQ(tempo(481'928), Fraction(249, 2));  // 124.5: 481927.7
  EXPECT_EQ(tempo(333'333), Fraction(180));
  EXPECT_EQ(tempo(500'017), Fraction(60'000'000, 500'017));
  for (std::int64_t bpm = 20; bpm <= 400; ++bpm) {
    EXPECT_EQ(tempo(static_cast<std::uint32_t>(60'000'000 / bpm)), Fraction(bpm)) << bpm;
  }
}

TEST(MidiRead, TempoChangesStandWhereTheyAre) {
  Track track = quarters({60, 62, 64, 65, 67, 69, 71, 72});
  track.tempo(0, 500'000).tempo(960, 600'000).tempo(1920, 400'000);
  const Reading reading = read_sound(file(0, 480, {track}));
  ASSERT_EQ(reading.score.measures[0].tempos.size(), 2U);
  EXPECT_EQ(reading.score.measures[0].tempos[1].at, Fraction(1, 2));
  EXPECT_EQ(reading.score.measures[0].tempos[1].quarters_per_minute, Fraction(100));
  ASSERT_EQ(reading.score.measures[1].tempos.size(), 1U);
  EXPECT_EQ(reading.score.measures[1].tempos[0].quarters_per_minute, Fraction(150));
}

TEST(MidiRead, WithoutTempoNoneIsWritten) {
  EXPECT_TRUE(read_sound(file(0, 480, {quarters({60, 62, 64, 65})})).score.measures[0].tempos.empty());
}

TEST(MidiRead, MeterChanges) {
  Track track = quarters({60, 62, 64, 65, 67, 69, 71, 72, 60, 60});
  track.meter(0, 4, 2).meter(1920, 3, 2).meter(1920 + 1440, 6, 3);
  const Reading reading = read_sound(file(0, 480, {track}));
  ASSERT_EQ(reading.score.measures.size(), 3U);
  EXPECT_EQ(to_string(reading.score.measures[0].meter), "4/4");
  EXPECT_EQ(to_string(reading.score.measures[1].meter), "3/4");
  EXPECT_EQ(to_string(reading.score.measures[2].meter), "6/8");
  EXPECT_EQ(reading.score.measures[2].length, Fraction(3, 4));
  EXPECT_EQ(told(reading.report, "midi-meter-inside-measure"), 0U);
}

TEST(MidiRead, MeterChangeInsideAMeasureEndsIt) {
  Track track = quarters({60, 62, 64, 65, 67, 69, 71, 72, 74, 76, 77});
  track.meter(0, 4, 2).meter(1920 + 960, 3, 2);
  const Reading reading = read_sound(file(0, 480, {track}));
  ASSERT_EQ(reading.score.measures.size(), 4U);
  EXPECT_EQ(reading.score.measures[1].length, Fraction(1, 2));
  EXPECT_EQ(to_string(reading.score.measures[1].meter), "4/4");
  EXPECT_EQ(reading.score.measures[2].length, Fraction(3, 4));
  EXPECT_EQ(told(reading.report, "midi-meter-inside-measure"), 1U);
}

TEST(MidiRead, KeysGovernSpelling) {
  Track track = quarters({66, 66, 66, 66, 70, 70, 70, 70});
  track.key(0, 2).key(1920, -1).key(1920 + 960, 2, 1);
  const Reading reading = read_sound(file(0, 480, {track}));
  EXPECT_EQ(reading.score.measures[0].key, (Key{2, Mode::major}));
  EXPECT_EQ(text(reading.score.measures[0]), "0 1/4 F#4, 1/4 1/4 F#4, 1/2 1/4 F#4, 3/4 1/4 F#4");
  EXPECT_EQ(reading.score.measures[1].key, (Key{-1, Mode::major}));
  ASSERT_EQ(reading.score.measures[1].key_changes.size(), 1U);
  EXPECT_EQ(reading.score.measures[1].key_changes[0].at, Fraction(1, 2));
  EXPECT_EQ(reading.score.measures[1].key_changes[0].key, (Key{2, Mode::minor}));
  // B flat in F major; A sharp, the raised seventh, in B minor (common practice).
  EXPECT_EQ(text(reading.score.measures[1]), "0 1/4 Bb4, 1/4 1/4 Bb4, 1/2 1/4 A#4, 3/4 1/4 A#4");
  EXPECT_FALSE(reading.score.key_estimated);
}

TEST(MidiRead, KeyIsEstimatedWhereNoneIsStated) {
  // A scale of G major that stays on its tonic.
  Track track = quarters({67, 69, 71, 72, 74, 76, 78, 79, 74, 71, 67, 67});
  const Reading reading = read_sound(file(0, 480, {track}));
  EXPECT_TRUE(reading.score.key_estimated);
  EXPECT_EQ(reading.score.measures[0].key, (Key{1, Mode::major}));
  EXPECT_EQ(told(reading.report, "midi-key-estimated"), 1U);
}

// Mary Had a Little Lamb: not B minor, though B sounds longest.
TEST(MidiRead, TheKeyIsThatOfTheTune) {
  const Reading reading =
      read_sound(file(0, 480, {quarters({71, 69, 67, 69, 71, 71, 71, 71, 69, 69, 69, 69, 71, 74, 74, 74,
                                         71, 69, 67, 69, 71, 71, 71, 71, 69, 69, 71, 69, 67, 67, 67, 67})}));
  EXPECT_EQ(reading.score.measures[0].key, (Key{1, Mode::major}));
  EXPECT_TRUE(reading.score.key_estimated);
}

TEST(MidiRead, ImpossibleMapsArePassedOver) {
  Track track = quarters({60, 62, 64, 65});
  track.tempo(0, 0)
      .meter(0, 0, 2)
      .meter(0, 4, 60)
      .key(0, 9)
      .meta(0, 0x51, "")
      .meta(0, 0x58, "x")
      .meta(0, 0x59, "");
  const Reading reading = read_sound(file(0, 480, {track}));
  EXPECT_EQ(told(reading.report, "midi-bad-meta"), 7U);
  EXPECT_EQ(to_string(reading.score.measures[0].meter), "4/4");
}

// ---- names and texts ---------------------------------------------------------------------------------

TEST(MidiRead, NamesAndTheWork) {
  Track conductor;
  conductor.name("The Library Steps").meta(0, 2, "Public domain").meta(0, 1, "composer: Nobody Known");
  conductor.meta(0, 1, "arranger: The Tuesday Class").meta(0, 1, "source: handout 3").meta(480, 1, "gently");
  const Reading reading = read_sound(file(1, 480, {conductor, quarters({60, 62, 64, 65}).name("Banjo")}));
  EXPECT_EQ(reading.score.work.title, "The Library Steps");
  EXPECT_EQ(reading.score.work.rights, "Public domain");
  EXPECT_EQ(reading.score.work.composer, "Nobody Known");
  EXPECT_EQ(reading.score.work.arranger, "The Tuesday Class");
  EXPECT_EQ(reading.score.work.source, "handout 3");
  EXPECT_EQ(reading.score.part_name, "Banjo");
  ASSERT_EQ(reading.score.measures[0].directions.size(), 1U);
  EXPECT_EQ(reading.score.measures[0].directions[0], (Direction{{1, 4}, Direction::Kind::words, "gently"}));
}

TEST(MidiRead, AnInstrumentIsNoTitle) {
  const Reading reading = read_sound(file(0, 480, {quarters({60, 62, 64, 65}).name("Banjo 1")}));
  EXPECT_EQ(reading.score.work.title, "");
  EXPECT_EQ(reading.score.part_name, "Banjo 1");
  const Reading tune = read_sound(file(0, 480, {quarters({60, 62, 64, 65}).name("Old Library Reel")}));
  EXPECT_EQ(tune.score.work.title, "Old Library Reel");
  EXPECT_EQ(tune.score.part_name, "Banjo");
}

TEST(MidiRead, MarkersAreChordSymbolsOrRehearsalMarks) {
  Track track = quarters({60, 62, 64, 65, 67, 69, 71, 72});
  track.meta(0, 6, "G").meta(960, 6, "D7/F#").meta(1920, 6, "Part B");
  const Reading reading = read_sound(file(0, 480, {track}));
  ASSERT_EQ(reading.score.measures[0].chords.size(), 2U);
  EXPECT_EQ(to_string(reading.score.measures[0].chords[0]), "G");
  EXPECT_EQ(to_string(reading.score.measures[0].chords[1]), "D7/F#");
  EXPECT_EQ(reading.score.measures[0].chords[1].at, Fraction(1, 2));
  ASSERT_EQ(reading.score.measures[1].directions.size(), 1U);
  EXPECT_EQ(reading.score.measures[1].directions[0], (Direction{0, Direction::Kind::rehearsal, "Part B"}));
}

TEST(MidiRead, LyricsGoToTheirStrokes) {
  Track track = quarters({60, 62, 64, 65});
  track.meta(0, 5, "Rol-").meta(480, 5, "ling-").meta(960, 5, "ly").meta(1440, 5, "on").meta(5000, 5, "lost");
  const Reading reading = read_sound(file(0, 480, {track}));
  const auto& strokes = reading.score.measures[0].strokes;
  using fifthpeg::Syllabic;
  ASSERT_EQ(strokes[0].lyrics.size(), 1U);
  EXPECT_EQ(strokes[0].lyrics[0].text, "Rol");
  EXPECT_EQ(strokes[0].lyrics[0].syllabic, Syllabic::begin);
  EXPECT_EQ(strokes[1].lyrics[0].syllabic, Syllabic::middle);
  EXPECT_EQ(strokes[2].lyrics[0].syllabic, Syllabic::end);
  EXPECT_EQ(strokes[3].lyrics[0].syllabic, Syllabic::single);
  EXPECT_EQ(told(reading.report, "midi-lyric-without-note"), 1U);
}

TEST(MidiRead, TextIsUtf8OrLatin1) {
  Track conductor;
  conductor.name("Caf\xE9 Waltz").meta(0, 2, "Caf\xC3\xA9");
  const Reading reading = read_sound(file(1, 480, {conductor, quarters({60, 62, 64, 65})}));
  EXPECT_EQ(reading.score.work.title, "Caf\xC3\xA9 Waltz");
  EXPECT_EQ(reading.score.work.rights, "Caf\xC3\xA9");
  EXPECT_EQ(told(reading.report, "midi-text-encoding"), 1U);
}

TEST(MidiRead, LongTextsDoNotDisturbTheEvents) {
  // More than 127 bytes: the length takes two bytes.
  Track track = quarters({60, 62, 64, 65});
  track.meta(0, 2, std::string(300, 'c'));
  const Reading reading = read_sound(file(0, 480, {track}));
  EXPECT_EQ(reading.score.work.rights, std::string(300, 'c'));
  EXPECT_EQ(reading.score.measures[0].strokes.size(), 4U);
}

// ---- what is wrong inside ---------------------------------------------------------------------------

TEST(MidiRead, NoNotes) {
  EXPECT_THROW(fifthpeg::read_midi(file(0, 480, {Track{}.tempo(0, 500'000)})), ReadError);
}

TEST(MidiRead, HangingNoteLastsToTheEndOfItsTrack) {
  Track track;
  track.event(0, bytes({0x90, 60, 80})).end(1920);
  const Reading reading = read_sound(file(0, 480, {track}));
  EXPECT_EQ(text(reading.score.measures[0]), "0 1 C4");
  EXPECT_EQ(told(reading.report, "midi-hanging-note"), 1U);
}

TEST(MidiRead, AKeyStruckAgainEndsTheEarlierNote) {
  Track track;
  track.event(0, bytes({0x90, 60, 80})).event(480, bytes({0x90, 60, 80}));
  track.event(500, bytes({0x80, 60, 64})).event(1920, bytes({0x80, 60, 64}));
  const Reading reading = read_sound(file(0, 480, {track}));
  EXPECT_EQ(text(reading.score.measures[0]), "0 1/4 C4, 1/4 3/4 C4");
  EXPECT_EQ(told(reading.report, "midi-overlapping-note"), 1U);
}

TEST(MidiRead, AKeyStruckTwiceAtOnceIsAUnison) {
  Track track;
  track.note(0, 1920, 67).note(0, 1920, 67);
  const Reading reading = read_sound(file(0, 480, {track}));
  EXPECT_EQ(text(reading.score.measures[0]), "0 1 G4+G4");
}

TEST(MidiRead, NoteOffWithoutANote) {
  Track track = quarters({60, 62, 64, 65});
  track.event(100, bytes({0x80, 90, 0}));
  EXPECT_EQ(told(read_sound(file(0, 480, {track})).report, "midi-note-off-without-note"), 1U);
}

TEST(MidiRead, NoteOfNoLength) {
  Track track;
  track.event(0, bytes({0x90, 60, 80})).event(0, bytes({0x90, 60, 0})).note(480, 1440, 62);
  const Reading reading = read_sound(file(0, 480, {track}));
  EXPECT_EQ(text(reading.score.measures[0]), "0 1/16 C4, 1/16 3/16 r, 1/4 3/4 D4");
  EXPECT_EQ(told(reading.report, "midi-zero-length-note"), 1U);
}

TEST(MidiRead, WhatIsPassedOverIsTold) {
  Track track = quarters({60, 62, 64, 65});
  track.event(0, bytes({0xB0, 7, 100})).event(10, bytes({0xB0, 64, 127})).event(20, bytes({0xA0, 60, 5}));
  track.event(1000, bytes({0xC0, 24})).event(0, bytes({0xC0, 105})).meta(0, 0x7F, "x").meta(0, 0x54, "12345");
  const Reading reading = read_sound(file(0, 480, {track}));
  EXPECT_EQ(told(reading.report, "midi-controller"), 2U);
  EXPECT_EQ(told(reading.report, "midi-aftertouch"), 1U);
  EXPECT_EQ(told(reading.report, "midi-program-change"), 1U);
  EXPECT_EQ(told(reading.report, "midi-sequencer-specific"), 1U);
  EXPECT_EQ(told(reading.report, "midi-smpte-offset"), 1U);
}

TEST(MidiRead, SilenceIsBounded) {
  Track track = quarters({60});
  track.meter(0, 1, 7);
  track.note(0x0FFFFFF, 96, 60);  // 2^24 ticks of 1 to a quarter note are half a million measures of 1/128
  EXPECT_THROW(fifthpeg::read_midi(file(0, 1, {track})), ReadError);
}

TEST(MidiRead, LimitsAndOptionsAreChecked) {
  const std::string tune = file(0, 480, {quarters({60, 62, 64, 65})});
  ReadOptions options;
  options.max_bytes = 20;
  EXPECT_THROW(fifthpeg::read_midi(tune, options), ReadError);
  options = {};
  options.part = "Mandolin";
  EXPECT_THROW(fifthpeg::read_midi(tune, options), UsageError);
  options = {};
  options.grid = Fraction(0);
  EXPECT_THROW(fifthpeg::read_midi(tune, options), UsageError);
  options.grid = Fraction(1, 100'003);
  EXPECT_THROW(fifthpeg::read_midi(tune, options), UsageError);
}

}  // namespace
