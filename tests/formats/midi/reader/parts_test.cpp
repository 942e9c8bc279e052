// Which part is taken; strings by channel; bends; chords of the accompaniment.
#include <gtest/gtest.h>
#include <string>
#include <utility>
#include <vector>

#include "fifthpeg/errors.hpp"
#include "formats/midi/conventions.hpp"
#include "formats/midi/reader/chords.hpp"
#include "formats/midi/reader/strings.hpp"
#include "formats/midi/reader/support.hpp"

namespace {

using fifthpeg::Fraction;
using fifthpeg::Note;
using fifthpeg::Placement;
using fifthpeg::Reading;
using fifthpeg::ReadOptions;
using fifthpeg::Technique;
using namespace smf_bytes;

Track melody(int channel = 0, int transposed = 0) {
  Track track;
  const int keys[16] = {67, 69, 71, 74, 72, 71, 69, 67, 71, 74, 79, 78, 76, 74, 71, 67};
  for (int i = 0; i < 16; ++i) track.note(i * 480, 480, keys[i] + transposed, 80, channel);
  return track;
}

Track bass(int channel = 1) {
  Track track;
  for (int i = 0; i < 8; ++i) track.note(i * 960, 480, i % 2 == 0 ? 43 : 38, 80, channel);
  return track;
}

Track chords(int channel = 2) {
  Track track;
  for (int i = 0; i < 8; ++i) {
    std::vector<int> keys{55, 59, 62};
    if (i >= 4) keys = {54, 57, 60, 62};
    if (i >= 6) keys = {52, 55, 59};
    for (const int key : keys) track.note(i * 960 + 480, 480, key, 60, channel);
  }
  return track;
}

Track drums() {
  Track track;
  for (int i = 0; i < 64; ++i) track.note(i * 120, 60, 42, 100, 9);
  return track;
}

// ---- the choice --------------------------------------------------------------------------------

TEST(MidiParts, BanjoByProgram) {
  Track banjo = melody(3);
  banjo.program(105, 3);
  const Reading reading =
      read_sound(file(1, 480, {Track{}, melody().name("Melody"), bass(), drums(), banjo}));
  EXPECT_EQ(reading.inventory.parts.size(), 4U);
  EXPECT_EQ(reading.inventory.parts[reading.inventory.chosen].id, "track 5, channel 4");
  EXPECT_EQ(reading.inventory.parts[reading.inventory.chosen].instrument, "Banjo");
  EXPECT_EQ(reading.inventory.reason, "its program is banjo");
  EXPECT_EQ(told(reading.report, "midi-part"), 1U);
}

// General MIDI System Level 1, from memory: programs on either side of each family, counted from 1.
TEST(MidiParts, GeneralMidiNames) {
  const std::vector<std::pair<int, std::string>> known{{1, "Acoustic Grand Piano"},
                                                       {2, "Bright Acoustic Piano"},
                                                       {8, "Clavinet"},
                                                       {9, "Celesta"},
                                                       {16, "Dulcimer"},
                                                       {17, "Drawbar Organ"},
                                                       {25, "Acoustic Guitar (nylon)"},
                                                       {33, "Acoustic Bass"},
                                                       {41, "Violin"},
                                                       {48, "Timpani"},
                                                       {57, "Trumpet"},
                                                       {73, "Piccolo"},
                                                       {81, "Lead 1 (square)"},
                                                       {89, "Pad 1 (new age)"},
                                                       {97, "FX 1 (rain)"},
                                                       {105, "Sitar"},
                                                       {106, "Banjo"},
                                                       {111, "Fiddle"},
                                                       {113, "Tinkle Bell"},
                                                       {121, "Guitar Fret Noise"},
                                                       {128, "Gunshot"}};
  for (const auto& [number, name] : known) {
    Track track = melody();
    const Reading reading = read_sound(file(0, 480, {track.program(number - 1)}));
    EXPECT_EQ(reading.inventory.parts[0].program, number);
    EXPECT_EQ(reading.inventory.parts[0].instrument, name);
  }
}

TEST(MidiParts, BanjoByName) {
  const Reading reading =
      read_sound(file(1, 480, {Track{}, melody().name("Melody"), bass(), melody(4).name("5-string BANJO")}));
  EXPECT_EQ(reading.inventory.parts[reading.inventory.chosen].name, "5-string BANJO");
}

TEST(MidiParts, TheTune) {
  for (const bool named : {false, true}) {
    Track tune = melody(5);
    if (named) tune.name("Fiddle");
    const Reading reading = read_sound(file(1, 480, {Track{}, bass(), chords(), drums(), tune}));
    EXPECT_EQ(reading.inventory.parts[reading.inventory.chosen].channel, 6);
    EXPECT_TRUE(reading.inventory.parts[2].percussion);
  }
}

TEST(MidiParts, TheTuneAmongTwoMelodies) {
  const Reading reading =
      read_sound(file(1, 480, {Track{}, melody(1, -5).name("Harmony"), melody(0).name("Melody")}));
  EXPECT_EQ(reading.inventory.parts[reading.inventory.chosen].name, "Melody");
}

TEST(MidiParts, OfFormat0ByChannel) {
  Track all = melody(0);
  for (int i = 0; i < 8; ++i) all.note(i * 960, 900, 36, 100, 1);
  for (int i = 0; i < 32; ++i) all.note(i * 240, 60, 42, 100, 9);
  const Reading reading = read_sound(file(0, 480, {all}));
  EXPECT_EQ(reading.inventory.parts.size(), 3U);
  EXPECT_EQ(reading.inventory.parts[reading.inventory.chosen].id, "track 1, channel 1");
}

TEST(MidiParts, ByNameAndNumber) {
  const std::string tune = file(1, 480, {Track{}, melody().name("Melody"), bass().name("Double Bass")});
  ReadOptions options;
  options.part = "double bass";
  EXPECT_EQ(read_sound(tune, options).inventory.chosen, 1U);
  options.part = "1";
  EXPECT_EQ(read_sound(tune, options).inventory.chosen, 0U);
  EXPECT_EQ(told(read_sound(tune, options).report, "midi-part"), 0U);
  options.part = "3";
  EXPECT_THROW(fifthpeg::read_midi(tune, options), fifthpeg::UsageError);
}

TEST(MidiParts, OnePartNeedsNoChoice) {
  const Reading reading = read_sound(file(0, 480, {melody()}));
  EXPECT_EQ(reading.inventory.reason, "the only part with notes");
  EXPECT_EQ(told(reading.report, "midi-part"), 0U);
}

TEST(MidiParts, NothingButPercussion) {
  EXPECT_EQ(read_sound(file(0, 480, {drums()})).inventory.reason, "the only part with notes");
}

// ---- one channel a string ---------------------------------------------------------------------------

// A forward roll and a pinch, string n on channel n, in open G: string 3 open, 2 first fret, 1 open, 5 open.
Track roll_by_string() {
  Track track;
  struct Struck {
    int string, key;
  };
  const Struck struck[8] = {{3, 55}, {2, 60}, {1, 62}, {5, 67}, {3, 57}, {2, 59}, {1, 64}, {4, 50}};
  for (int i = 0; i < 8; ++i) track.note(i * 240, 240, struck[i].key, 80, struck[i].string - 1);
  track.note(1920, 960, 55, 80, 2).note(1920, 960, 67, 80, 4).note(2880, 960, 69, 80, 4);
  for (int channel = 0; channel < 5; ++channel) track.program(105, channel);
  return track;
}

void expect_roll(const Reading& reading) {
  std::vector<Placement> found;
  for (const auto& measure : reading.score.measures) {
    for (const auto& stroke : measure.strokes) {
      for (const Note& note : stroke.notes) found.push_back(note.placement.value_or(Placement{0, 0}));
    }
  }
  // The fifth string's second fret is written 7 (common practice).
  EXPECT_EQ(found,
            (std::vector<Placement>{
                {3, 0}, {2, 1}, {1, 0}, {5, 0}, {3, 2}, {2, 0}, {1, 2}, {4, 0}, {5, 0}, {3, 0}, {5, 7}}));
}

TEST(MidiStrings, ByShape) {
  const Reading reading = read_sound(file(1, 480, {Track{}, roll_by_string()}));
  EXPECT_EQ(reading.inventory.parts.size(), 1U);
  EXPECT_EQ(told(reading.report, "midi-channel-per-string"), 1U);
  expect_roll(reading);
}

TEST(MidiStrings, ByText) {
  Track track = roll_by_string();
  track.meta(0, 1, "fifthpeg: tuning gDGBD capo 0 fifth-capo 5 channel-per-string");
  const Reading reading = read_sound(file(1, 480, {Track{}, track}));
  EXPECT_EQ(told(reading.report, "midi-channel-per-string"), 0U);
  EXPECT_EQ(told(reading.report, "midi-text"), 0U);
  expect_roll(reading);
}

TEST(MidiStrings, FiveTracks) {
  std::vector<Track> tracks(5);
  const std::vector<std::pair<int, int>> notes[5] = {
      {{2, 62}, {6, 64}}, {{1, 60}, {5, 59}}, {{0, 55}, {4, 57}}, {{7, 50}}, {{3, 67}}};
  for (int string = 1; string <= 5; ++string) {
    for (const auto& [at, key] : notes[string - 1]) {
      tracks[static_cast<std::size_t>(string - 1)].note(at * 240, 240, key, 80, string - 1);
    }
  }
  const Reading reading = read_sound(file(1, 480, tracks));
  ASSERT_EQ(reading.score.measures.size(), 1U);
  ASSERT_EQ(reading.score.measures[0].strokes.size(), 8U);
  EXPECT_EQ(reading.score.measures[0].strokes[1].notes[0].placement, (Placement{2, 1}));
}

TEST(MidiStrings, OtherPartsOnChannels1To5AreNoStrings) {
  Track quartet = melody(0);
  for (int channel = 1; channel < 4; ++channel) {
    for (int i = 0; i < 16; ++i) quartet.note(i * 480, 480, 62 - 9 * channel, 80, channel);
  }
  const Reading reading = read_sound(file(0, 480, {quartet}));
  EXPECT_EQ(reading.inventory.parts.size(), 4U);
  EXPECT_FALSE(reading.score.measures[0].strokes[0].notes[0].placement.has_value());
}

TEST(MidiStrings, TextOfOurOwnWriter) {
  using fifthpeg::midi::parse_banjo_text;
  const auto plain = parse_banjo_text("fifthpeg: tuning gCGBD capo 2 fifth-capo 7");
  ASSERT_TRUE(plain.has_value());
  EXPECT_EQ(spelling(plain->banjo.tuning), "gCGBD");
  EXPECT_EQ(plain->banjo.capo, 2);
  EXPECT_EQ(plain->banjo.fifth_capo, 7);
  EXPECT_FALSE(plain->channel_per_string);
  const auto octaves =
      parse_banjo_text("fifthpeg: tuning \"g4 D2 G3 B3 D4\" capo 0 fifth-capo 5 channel-per-string");
  ASSERT_TRUE(octaves.has_value());
  EXPECT_EQ(octaves->banjo.tuning.open(4).midi(), 38);
  EXPECT_TRUE(octaves->channel_per_string);
  EXPECT_FALSE(parse_banjo_text("fifthpeg: tuning HHHHH capo 0").has_value());
  EXPECT_FALSE(parse_banjo_text("fifthpeg: tuning gDGBD capo x").has_value());
  EXPECT_FALSE(parse_banjo_text("fifthpeg: tuning gDGBD capo 99").has_value());
  EXPECT_FALSE(parse_banjo_text("something else").has_value());
}

// ---- bends ---------------------------------------------------------------------------------------------

const Note& first_note(const Reading& reading, std::size_t stroke) {
  return reading.score.measures[0].strokes.at(stroke).notes.at(0);
}

int bend_value(int cents, int range_half_steps) {
  return 8192 + cents * 8192 / (range_half_steps * 100);
}

TEST(MidiBends, ARiseThatStaysIsAChoke) {
  Track track;
  track.note(0, 480, 62).note(480, 480, 62).note(960, 960, 62);
  for (int i = 1; i <= 8; ++i) track.bend(480 + 10 * i, bend_value(25 * i, 2) - (i == 8 ? 1 : 0));
  track.bend(960, 8192);
  const Reading reading = read_sound(file(0, 480, {track}));
  EXPECT_FALSE(first_note(reading, 0).choke.has_value());
  ASSERT_TRUE(first_note(reading, 1).choke.has_value());
  EXPECT_NEAR(first_note(reading, 1).choke->cents, 200, 1);
  EXPECT_FALSE(first_note(reading, 1).choke->before);
  EXPECT_FALSE(first_note(reading, 1).choke->release);
  EXPECT_FALSE(first_note(reading, 2).choke.has_value());
}

TEST(MidiBends, RangeByRegisteredParameter) {
  // RPN 0 to 12 half steps; choked before it is struck, and let down.
  Track track;
  for (const auto& [control, value] : {std::pair{101, 0}, {100, 0}, {6, 12}, {38, 0}}) {
    track.event(0, bytes({0xB0, control, value}));
  }
  track.note(480, 960, 62).note(1440, 480, 60);
  track.bend(480, bend_value(100, 12) + 1).bend(1300, bend_value(50, 12)).bend(1400, 8192);
  const Reading reading = read_sound(file(0, 480, {track}));
  EXPECT_EQ(told(reading.report, "midi-controller"), 0U);
  const auto& strokes = reading.score.measures[0].strokes;
  ASSERT_TRUE(strokes[1].notes[0].choke.has_value());
  EXPECT_NEAR(strokes[1].notes[0].choke->cents, 100, 1);
  EXPECT_TRUE(strokes[1].notes[0].choke->release);
}

TEST(MidiBends, AGlideToTheNextNoteIsASlide) {
  Track track;
  track.note(0, 480, 62).note(480, 480, 64).note(960, 960, 62);
  for (int i = 1; i <= 8; ++i) track.bend(320 + 19 * i, bend_value(25 * i, 2) - (i == 8 ? 1 : 0));
  track.bend(480, 8192);
  const Reading reading = read_sound(file(0, 480, {track}));
  EXPECT_EQ(first_note(reading, 0).out_of, Technique::slide);
  EXPECT_EQ(first_note(reading, 1).into, Technique::slide);
  EXPECT_EQ(first_note(reading, 1).out_of, Technique::none);
  EXPECT_FALSE(first_note(reading, 0).choke.has_value());
}

TEST(MidiBends, VibratoIsTold) {
  Track track;
  track.note(0, 1920, 62);
  for (int i = 0; i < 16; ++i) track.bend(100 + i * 100, bend_value(i % 2 == 0 ? 20 : -20, 2));
  const Reading reading = read_sound(file(0, 480, {track}));
  EXPECT_EQ(told(reading.report, "midi-bend"), 1U);
  EXPECT_FALSE(first_note(reading, 0).choke.has_value());
}

// ---- chords ----------------------------------------------------------------------------------------------

std::string chord_name(std::initializer_list<int> keys) {
  unsigned classes = 0;
  int lowest = 127;
  for (const int key : keys) {
    classes |= 1U << (static_cast<unsigned>(key) % 12);
    lowest = std::min(lowest, key);
  }
  const auto named = fifthpeg::midi::reader::name_chord(classes, lowest % 12);
  return named ? std::to_string(named->root) + " " + named->chord.kind +
                     (named->bass >= 0 ? " on " + std::to_string(named->bass) : "")
               : "none";
}

TEST(MidiChords, AreNamed) {
  // Chord spellings: common practice.
  EXPECT_EQ(chord_name({60, 64, 67}), "0 major");
  EXPECT_EQ(chord_name({64, 67, 72}), "0 major on 4");
  EXPECT_EQ(chord_name({57, 60, 64}), "9 minor");
  EXPECT_EQ(chord_name({62, 66, 69, 72}), "2 dominant");
  EXPECT_EQ(chord_name({54, 60, 62, 69}), "2 dominant on 6");
  EXPECT_EQ(chord_name({55, 59, 62, 66}), "7 major-seventh");
  EXPECT_EQ(chord_name({57, 60, 64, 67}), "9 minor-seventh");
  EXPECT_EQ(chord_name({60, 64, 67, 69}), "0 major-sixth");
  EXPECT_EQ(chord_name({59, 62, 65}), "11 diminished");
  EXPECT_EQ(chord_name({59, 62, 65, 69}), "11 half-diminished");
  EXPECT_EQ(chord_name({59, 62, 65, 68}), "11 diminished-seventh");
  EXPECT_EQ(chord_name({60, 64, 68}), "0 augmented");
  EXPECT_EQ(chord_name({62, 67, 69}), "2 suspended-fourth");
  EXPECT_EQ(chord_name({60, 67}), "none");
  EXPECT_EQ(chord_name({60, 61, 62}), "none");
}

TEST(MidiChords, OfTheAccompaniment) {
  ReadOptions options;
  options.all_parts = true;
  const std::string tune = file(1, 480, {melody().key(0, 1), bass(), chords(), drums()});
  const Reading reading = read_sound(tune, options);
  std::vector<std::string> found;
  for (const auto& measure : reading.score.measures) {
    for (const auto& chord : measure.chords) {
      found.push_back(measure.number + " " + to_string(chord.at) + " " + to_string(chord));
    }
  }
  // The bass leads; where its note is none of the chord, the strum stands alone.
  EXPECT_EQ(found, (std::vector<std::string>{"1 0 G", "3 1/4 D7/F#", "4 0 Em/G", "4 3/4 Em"}));
  EXPECT_TRUE(read_sound(tune).score.measures[0].chords.empty());
}

}  // namespace
