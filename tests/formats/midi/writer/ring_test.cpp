// What is heard: how long notes sound, how loud, and how they are bent.
#include <gtest/gtest.h>
#include <string>
#include <vector>

#include "formats/midi/writer/lick.hpp"
#include "formats/midi/writer/parse.hpp"

namespace fifthpeg::testing {
namespace {

const Fraction quarter{1, 4};
const Fraction eighth{1, 8};

Note ringing(int string, int fret) {
  Note note = on(string, fret);
  note.ring = Ring::let_ring;
  return note;
}

const HeardNote& heard(const std::vector<HeardNote>& notes, std::size_t index) {
  return notes.at(index);
}

TEST(MidiRing, RingsUntilTheStringIsPickedAgain) {
  const auto notes = notes_of(
      write_and_parse(score_of({measure({stroke(eighth, {ringing(5, 0)}), stroke({3, 8}, {on(1, 2)}),
                                         stroke(quarter, {on(5, 7)}), stroke(quarter, {on(1, 0)})})}))
          .banjo());
  EXPECT_EQ(heard(notes, 0).off, 960);
  EXPECT_EQ(heard(notes, 1).off, 960);
}

TEST(MidiRing, RingsAtMostToTheEndOfTheNextMeasure) {
  const auto notes =
      notes_of(write_and_parse(score_of({measure({stroke(1, {ringing(5, 0)})}),
                                         measure({stroke(1, {on(1, 2)})}), measure({stroke(1, {on(1, 0)})})}))
                   .banjo());
  EXPECT_EQ(heard(notes, 0).off, 2 * 1920);
}

TEST(MidiRing, OneChannelNeverSoundsAKeyTwice) {
  // D4 open on string 1 rings when D4 is picked at the third fret of string 2.
  const Score score = score_of({measure({stroke(quarter, {ringing(1, 0)}), stroke({3, 4}, {on(2, 3)})})});
  EXPECT_EQ(heard(notes_of(write_and_parse(score).banjo()), 0).off, 480);
  const auto by_string = notes_of(write_and_parse(score, {.channel_per_string = true}).banjo());
  EXPECT_EQ(heard(by_string, 0).off, 1920);
  EXPECT_EQ(heard(by_string, 0).channel, 0);
  EXPECT_EQ(heard(by_string, 1).channel, 1);
}

TEST(MidiRing, DampedNotesStopShort) {
  Note damped = on(3, 0);
  damped.ring = Ring::damp;
  const auto notes =
      notes_of(write_and_parse(score_of({measure({stroke({1, 16}, {damped}), stroke({7, 16}, {damped}),
                                                  stroke({1, 2}, {on(3, 0)})})}))
                   .banjo());
  EXPECT_EQ(heard(notes, 0).off - heard(notes, 0).on, 60);         // half of a sixteenth
  EXPECT_EQ(heard(notes, 1).off - heard(notes, 1).on, 840 - 120);  // a sixteenth less
}

TEST(MidiRing, TiesAreOneNote) {
  Note from = on(3, 0);
  from.tied_to_next = true;
  Note to = on(3, 0);
  to.tied_from_previous = true;
  const auto notes =
      notes_of(write_and_parse(score_of({measure({stroke({3, 4}, {on(1, 0)}), stroke(quarter, {from})}),
                                         measure({stroke(quarter, {to}), stroke({3, 4}, {on(1, 0)})})}))
                   .banjo());
  ASSERT_EQ(notes.size(), 3U);
  EXPECT_EQ(heard(notes, 1).on, 1440);
  EXPECT_EQ(heard(notes, 1).off, 2400);
}

TEST(MidiRing, GraceNotesTakeTheirTimeFromBefore) {
  const auto notes =
      notes_of(write_and_parse(score_of({measure({stroke({1, 2}, {on(2, 0)}), grace(on(3, 2)),
                                                  stroke({1, 2}, {with(on(3, 3), Technique::slide)})})}))
                   .banjo());
  ASSERT_EQ(notes.size(), 3U);
  EXPECT_EQ(heard(notes, 2).on, 960);
  EXPECT_EQ(heard(notes, 1).off, 960);
  const auto length = heard(notes, 1).off - heard(notes, 1).on;
  EXPECT_GT(length, 20);
  EXPECT_LT(length, 60);  // less than a thirty-second
  EXPECT_EQ(heard(notes, 0).off, heard(notes, 1).on);
}

TEST(MidiRing, AGraceNoteAtTheVeryBeginningPushesItsMainNoteBack) {
  const auto notes =
      notes_of(write_and_parse(score_of({measure({grace(on(3, 2)), stroke(1, {on(3, 3)})})})).banjo());
  ASSERT_EQ(notes.size(), 2U);
  EXPECT_EQ(heard(notes, 0).on, 0);
  EXPECT_EQ(heard(notes, 0).off, heard(notes, 1).on);
  EXPECT_GT(heard(notes, 1).on, 0);
  EXPECT_LT(heard(notes, 1).on, 60);
  EXPECT_EQ(heard(notes, 1).off, 1920);
}

TEST(MidiRing, BrushesAreSpreadInOrder) {
  Stroke up = stroke(1, {on(1, 0), on(2, 0), on(3, 0)});
  up.brush = Brush::up;
  Stroke down = up;
  down.brush = Brush::down;
  const auto notes = notes_of(write_and_parse(score_of({measure({up}), measure({down})})).banjo());
  ASSERT_EQ(notes.size(), 6U);
  // 15 ms at 120 quarter notes a minute are 14.4 ticks of 480.
  EXPECT_EQ(heard(notes, 0), (HeardNote{0, 1920, 55, 0, 80}));
  EXPECT_EQ(heard(notes, 1), (HeardNote{14, 1920, 59, 0, 80}));
  EXPECT_EQ(heard(notes, 2), (HeardNote{28, 1920, 62, 0, 80}));
  EXPECT_EQ(heard(notes, 3).key, 62);
  EXPECT_EQ(heard(notes, 5).key, 55);
  EXPECT_EQ(heard(notes, 5).on, 1920 + 28);
}

TEST(MidiRing, DynamicsAccentsAndTheFretHandMakeVelocities) {
  Stroke accented = stroke(quarter, {on(3, 0)});
  accented.articulations.accent = true;
  Score score = score_of(
      {measure({stroke(quarter, {on(3, 0)}), accented,
                stroke(quarter, {with(on(3, 2), Technique::hammer_on)}), stroke(quarter, {on(1, 0)})})});
  score.measures[0].directions = {{0, Direction::Kind::dynamics, "p"},
                                  {{3, 4}, Direction::Kind::dynamics, "ff"}};
  const auto notes = notes_of(write_and_parse(score).banjo());
  EXPECT_EQ(heard(notes, 0).velocity, 48);
  EXPECT_EQ(heard(notes, 1).velocity, 64);
  EXPECT_EQ(heard(notes, 2).velocity, 36);
  EXPECT_EQ(heard(notes, 3).velocity, 112);
}

TEST(MidiRing, SwungEighthsAreLongShort) {
  std::vector<Stroke> strokes;
  for (int i = 0; i < 4; ++i) strokes.push_back(stroke(eighth, {on(3, i)}));
  // A pair divided otherwise stays as written.
  strokes.push_back(stroke(eighth, {on(3, 0)}));
  strokes.push_back(stroke({1, 16}, {on(3, 1)}));
  strokes.push_back(stroke({1, 16}, {on(3, 2)}));
  strokes.push_back(stroke(quarter, {on(3, 3)}));
  Score score = score_of({measure(strokes)});
  score.swing = Swing{};
  const Written written = write_and_parse(score);
  std::vector<std::int64_t> onsets;
  for (const HeardNote& note : notes_of(written.banjo())) onsets.push_back(note.on);
  EXPECT_EQ(onsets, (std::vector<std::int64_t>{0, 320, 480, 800, 960, 1200, 1320, 1440}));
  EXPECT_EQ(metas_of(written.conductor(), 1), std::vector<std::string>{"fifthpeg: swing 1/8 2 1"});
}

TEST(MidiRing, ASwungPickupIsCountedFromItsBarline) {
  Score score = score_of({measure({stroke(eighth, {on(3, 0)})}), measure({stroke(1, {on(1, 0)})})});
  score.swing = Swing{};
  const auto notes = notes_of(write_and_parse(score).banjo());
  EXPECT_EQ(heard(notes, 0).on, 1440 + 320);
  EXPECT_EQ(heard(notes, 1).on, 1920);
}

// ---- bends ----------------------------------------------------------------------------------------

std::vector<std::pair<std::int64_t, int>> bends_of(const std::vector<MidiEvent>& track) {
  std::vector<std::pair<std::int64_t, int>> bends;
  for (const MidiEvent& event : track) {
    if (event.status != 0xff && event.kind() == 0xe0)
      bends.emplace_back(event.tick, event.second << 7 | event.type);
  }
  return bends;
}

// Half steps from a bend: 8192 is none, 16383 the whole range (MIDI 1.0), which is set to 12.
double half_steps(int bend) {
  return (bend - 8192) * 12.0 / 8192.0;
}

Score slide_lick() {
  Note from = on(3, 2);
  from.out_of = Technique::slide;
  return score_of({measure({stroke(quarter, {from}), stroke(quarter, {with(on(3, 4), Technique::slide)}),
                            stroke({1, 2}, {on(1, 0)})})});
}

TEST(MidiBend, ASlideGlidesIntoTheNextNote) {
  const Written written = write_and_parse(slide_lick());
  // Bend range: registered parameter 0, then the null parameter (MIDI 1.0).
  std::vector<std::pair<int, int>> controls;
  for (const MidiEvent& event : written.banjo()) {
    if (event.status != 0xff && event.kind() == 0xb0) controls.emplace_back(event.type, event.second);
  }
  const std::vector<std::pair<int, int>> expected{{101, 0}, {100, 0},   {6, 12},
                                                  {38, 0},  {101, 127}, {100, 127}};
  EXPECT_EQ(controls, expected);
  const auto bends = bends_of(written.banjo());
  ASSERT_GT(bends.size(), 4U);
  EXPECT_GE(bends.front().first, 240);
  for (std::size_t i = 1; i + 1 < bends.size(); ++i) EXPECT_GE(bends[i].second, bends[i - 1].second);
  EXPECT_NEAR(half_steps(bends[bends.size() - 2].second), 2.0, 0.01);
  EXPECT_LT(bends[bends.size() - 2].first, 480);
  EXPECT_EQ(bends.back(), (std::pair<std::int64_t, int>{480, 8192}));
  EXPECT_EQ(written.told("midi-slide"), 0U);
  // The bend is back before the next note begins.
  bool reset = false;
  for (const MidiEvent& event : written.banjo()) {
    if (event.tick != 480) continue;
    if (event.kind() == 0xe0 && event.status != 0xff) reset = true;
    if (event.is_note_on()) {
      EXPECT_TRUE(reset);
    }
  }
}

TEST(MidiBend, NoBendWhereItWouldBendWhatRings) {
  Score score = slide_lick();
  score.measures[0].strokes[0].notes.insert(score.measures[0].strokes[0].notes.begin(), ringing(5, 0));
  EXPECT_TRUE(flaws(score).empty());
  const Written one_channel = write_and_parse(score);
  EXPECT_TRUE(bends_of(one_channel.banjo()).empty());
  EXPECT_EQ(one_channel.told("midi-slide"), 1U);
  const Written by_string = write_and_parse(score, {.channel_per_string = true});
  EXPECT_FALSE(bends_of(by_string.banjo()).empty());
  EXPECT_EQ(by_string.told("midi-slide"), 0U);
  for (const MidiEvent& event : by_string.banjo()) {
    if (event.status != 0xff && event.kind() == 0xe0) {
      EXPECT_EQ(event.channel(), 2);
    }
  }
}

TEST(MidiBend, ASlideOfMoreThanAnOctaveIsLeftOutAndTold) {
  Note from = on(3, 2);
  from.out_of = Technique::slide;
  const Written written = write_and_parse(
      score_of({measure({stroke({1, 2}, {from}), stroke({1, 2}, {with(on(3, 15), Technique::slide)})})}));
  EXPECT_TRUE(bends_of(written.banjo()).empty());
  EXPECT_EQ(written.told("midi-slide"), 1U);
}

TEST(MidiBend, AChokeRisesAndIsReleased) {
  Note choked = on(2, 8);
  choked.choke = Choke{200, false, true};
  Note before = on(2, 8);
  before.choke = Choke{100, true, false};
  const Written written =
      write_and_parse(score_of({measure({stroke({1, 2}, {choked}), stroke({1, 2}, {before})})}));
  const auto bends = bends_of(written.banjo());
  double highest = 0;
  for (const auto& [tick, bend] : bends) {
    if (tick > 0 && tick < 960) highest = std::max(highest, half_steps(bend));
  }
  EXPECT_NEAR(highest, 2.0, 0.01);
  EXPECT_GT(bends.front().first, 0);  // struck unbent
  // The second one is up when it is struck, and let go when it ends.
  int at_strike = 0;
  for (const MidiEvent& event : written.banjo()) {
    if (event.status != 0xff && event.kind() == 0xe0) at_strike = event.second << 7 | event.type;
    if (event.is_note_on() && event.tick == 960) break;
  }
  EXPECT_NEAR(half_steps(at_strike), 1.0, 0.01);
  EXPECT_EQ(bends.back(), (std::pair<std::int64_t, int>{1920, 8192}));
}

}  // namespace
}  // namespace fifthpeg::testing
