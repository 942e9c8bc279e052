#include "fifthpeg/score.hpp"

#include <gtest/gtest.h>
#include <string>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/report.hpp"

namespace fifthpeg {
namespace {

Note note(int midi) {
  Note result;
  result.pitch = spell(midi, {1, Mode::major});
  return result;
}

Stroke stroke(Fraction onset, Fraction duration, std::vector<Note> notes) {
  Stroke result;
  result.onset = onset;
  result.duration = duration;
  result.notes = std::move(notes);
  return result;
}

// Measures of one whole note each, named by letters in the order of the text.
Score lettered(const std::string& letters) {
  Score score;
  for (const char letter : letters) {
    Measure measure;
    measure.number = std::string(1, letter);
    measure.length = 1;
    measure.strokes.push_back(stroke(0, 1, {note(67)}));
    score.measures.push_back(measure);
  }
  return score;
}

std::string played(const Score& score) {
  std::string text;
  for (const std::size_t index : playing_order(score).measures) text += score.measures[index].number;
  return text;
}

TEST(Fraction, IsExact) {
  EXPECT_EQ(Fraction(2, 4), Fraction(1, 2));
  EXPECT_EQ(Fraction(1, 3) + Fraction(1, 6), Fraction(1, 2));
  EXPECT_EQ(Fraction(-3, 2).floor(), -2);
  EXPECT_LT(Fraction(1, 3), Fraction(34, 100));
  EXPECT_EQ(to_string(Fraction(3, -4)), "-3/4");
  EXPECT_THROW(Fraction(1, 0), TimeError);
  const Fraction huge(INT64_MAX - 1, 1);
  EXPECT_THROW(huge * huge, TimeError);
  EXPECT_EQ(huge * Fraction(1, INT64_MAX - 1), Fraction(1));
}

TEST(Meter, LengthsAndBeats) {
  EXPECT_EQ((Meter{{6}, 8, {}}.length()), Fraction(3, 4));
  EXPECT_TRUE((Meter{{6}, 8, {}}.is_compound()));
  EXPECT_FALSE((Meter{{3}, 8, {}}.is_compound()));
  EXPECT_FALSE((Meter{{6}, 4, {}}.is_compound()));
  EXPECT_EQ((Meter{{3, 2}, 8, {}}.length()), Fraction(5, 8));
  EXPECT_EQ(to_string(Meter{{3, 2}, 8, {}}), "3+2/8");
  EXPECT_EQ(beat_at(Meter{}, {3, 8}), Fraction(5, 2));
  EXPECT_EQ(beat_at(Meter{{6}, 8, {}}, {3, 8}), Fraction(2));
}

TEST(Measure, APickupIsCountedFromTheEndOfItsMeter) {
  Measure pickup;
  pickup.length = Fraction(1, 4);
  EXPECT_EQ(beat_at(pickup, 0), Fraction(1)) << "a short measure that is counted";
  pickup.implicit = true;
  EXPECT_EQ(beat_at(pickup, 0), Fraction(4));
  EXPECT_EQ(beat_at(pickup, {1, 8}), Fraction(9, 2));
  pickup.length = Fraction(1);
  EXPECT_EQ(beat_at(pickup, 0), Fraction(1));
}

TEST(ChordSymbol, TextThereAndBack) {
  for (const char* text :
       {"G", "Am7", "D7/F#", "N.C.", "Bb", "F#m7b5", "Gsus4", "C6", "G(add9)", "D7(b9)(no3)", "Ebmaj7/Bb"}) {
    const auto chord = parse_chord_symbol(text);
    ASSERT_TRUE(chord) << text;
    EXPECT_EQ(to_string(*chord), text);
  }
  EXPECT_EQ(parse_chord_symbol("Am7")->kind, "minor-seventh");
  EXPECT_EQ(parse_chord_symbol("D7/F#")->bass, (ChordTone{Step::F, 1}));
  for (const char* bad : {"", "H", "Chorus", "G7x", "A part", "Break", "D7/"})
    EXPECT_FALSE(parse_chord_symbol(bad)) << bad;
}

TEST(PlayingOrder, RepeatsAndEndings) {
  Score score = lettered("ABCDE");
  EXPECT_EQ(played(score), "ABCDE");
  score.measures[1].repeat_starts = true;
  score.measures[2].repeat_times = 2;
  EXPECT_EQ(played(score), "ABCBCDE");
  score.measures[2].ending = Ending{{1}, true, Ending::Stop::closed};
  score.measures[3].ending = Ending{{2}, true, Ending::Stop::open};
  EXPECT_EQ(played(score), "ABCBDE");
  score.measures[2].ending->numbers = {1, 2};
  score.measures[3].ending->numbers = {3};
  EXPECT_EQ(played(score), "ABCBCBDE");
}

TEST(PlayingOrder, RepeatWithoutBeginningGoesBackToTheLastOne) {
  Score score = lettered("ABCD");
  score.measures[1].repeat_times = 2;
  score.measures[3].repeat_times = 2;
  EXPECT_EQ(played(score), "ABABCDCD");
  score.measures[1].repeat_times = 3;
  EXPECT_EQ(played(score), "ABABABCDCD");
}

TEST(PlayingOrder, EndingsOfTwoMeasures) {
  Score score = lettered("ABCDEF");
  score.measures[1].ending = Ending{{1}, true, Ending::Stop::none};
  score.measures[2].ending = Ending{{1}, false, Ending::Stop::closed};
  score.measures[2].repeat_times = 2;
  score.measures[3].ending = Ending{{2}, true, Ending::Stop::none};
  score.measures[4].ending = Ending{{2}, false, Ending::Stop::closed};
  EXPECT_EQ(played(score), "ABCADEF");
}

TEST(PlayingOrder, DaCapoAlFine) {
  Score score = lettered("ABCD");
  score.measures[1].directions.push_back({1, Direction::Kind::fine, "Fine"});
  score.measures[3].directions.push_back({1, Direction::Kind::da_capo, "D.C. al Fine"});
  EXPECT_EQ(played(score), "ABCDAB");
}

TEST(PlayingOrder, DalSegnoAlCoda) {
  Score score = lettered("ABCDEF");
  score.measures[1].directions.push_back({0, Direction::Kind::segno, ""});
  score.measures[2].directions.push_back({1, Direction::Kind::to_coda, "to Coda"});
  score.measures[4].directions.push_back({1, Direction::Kind::dal_segno, "D.S. al Coda"});
  score.measures[5].directions.push_back({0, Direction::Kind::coda, ""});
  EXPECT_EQ(played(score), "ABCDEBCF");
}

TEST(PlayingOrder, DaCapoTakesTheLastEndings) {
  Score score = lettered("ABCD");
  score.measures[1].ending = Ending{{1}, true, Ending::Stop::closed};
  score.measures[1].repeat_times = 2;
  score.measures[2].ending = Ending{{2}, true, Ending::Stop::closed};
  score.measures[3].directions.push_back({1, Direction::Kind::da_capo, "D.C."});
  EXPECT_EQ(played(score), "ABACDACD");
}

TEST(PlayingOrder, IsBounded) {
  Score score = lettered("ABC");
  score.measures[2].repeat_times = 1'000'000'000;
  const PlayingOrder order = playing_order(score, 1000);
  EXPECT_TRUE(order.bounded);
  EXPECT_EQ(order.measures.size(), 3U);
}

TEST(Unfolded, HasNoSignsLeft) {
  Score score = lettered("ABCD");
  score.measures[0].implicit = true;
  score.measures[1].repeat_starts = true;
  score.measures[2].repeat_times = 2;
  score.measures[3].directions.push_back({1, Direction::Kind::fine, "Fine"});
  const Score straight = unfolded(score);
  ASSERT_EQ(straight.measures.size(), 6U);
  EXPECT_EQ(straight.measures[0].number, "0");
  EXPECT_EQ(straight.measures[5].number, "5");
  for (const Measure& measure : straight.measures) {
    EXPECT_EQ(measure.repeat_times, 0);
    EXPECT_FALSE(measure.repeat_starts);
    EXPECT_TRUE(measure.directions.empty());
  }
}

TEST(Unfolded, GoesBackToTheTempoPrintedThere) {
  Score score = lettered("ABC");
  score.measures[0].tempos.push_back({0, 100, {1, 4}, "", true});
  score.measures[2].tempos.push_back({0, 160, {1, 4}, "", true});
  score.measures[1].repeat_starts = true;
  score.measures[2].repeat_times = 2;
  const Score straight = unfolded(score);  // A B C B C
  ASSERT_EQ(straight.measures.size(), 5U);
  ASSERT_EQ(straight.measures[3].tempos.size(), 1U);
  EXPECT_EQ(straight.measures[3].tempos[0].quarters_per_minute, Fraction(100));
  ASSERT_EQ(straight.measures[4].tempos.size(), 1U);
  EXPECT_EQ(straight.measures[4].tempos[0].quarters_per_minute, Fraction(160));
}

TEST(Normalize, JoinsTiedStrokesInsideAMeasure) {
  Score score = lettered("AB");
  Note long_note = note(67);
  long_note.tied_to_next = true;
  Note rest_of_it = note(67);
  rest_of_it.tied_from_previous = true;
  rest_of_it.tied_to_next = true;
  Note over_the_bar = note(67);
  over_the_bar.tied_from_previous = true;
  over_the_bar.tied_to_next = true;  // nothing follows
  score.measures[0].strokes = {stroke(0, {1, 2}, {long_note}), stroke({1, 2}, {1, 2}, {rest_of_it})};
  score.measures[1].strokes = {stroke(0, 1, {over_the_bar})};
  normalize(score);
  ASSERT_EQ(score.measures[0].strokes.size(), 1U);
  EXPECT_EQ(score.measures[0].strokes[0].duration, Fraction(1));
  EXPECT_TRUE(score.measures[0].strokes[0].notes[0].tied_to_next);
  EXPECT_TRUE(score.measures[1].strokes[0].notes[0].tied_from_previous);
  EXPECT_FALSE(score.measures[1].strokes[0].notes[0].tied_to_next);
  EXPECT_TRUE(flaws(score).empty());
}

TEST(Normalize, DropsTiesToOtherPitches) {
  Score score = lettered("AB");
  score.measures[0].strokes[0].notes[0].tied_to_next = true;
  score.measures[1].strokes[0].notes[0].pitch.step = Step::A;
  score.measures[1].strokes[0].notes[0].tied_from_previous = true;
  normalize(score);
  EXPECT_FALSE(score.measures[0].strokes[0].notes[0].tied_to_next);
  EXPECT_FALSE(score.measures[1].strokes[0].notes[0].tied_from_previous);
}

TEST(Normalize, WhatIsTiedHasTheRoleOfTheNoteThatGoesOn) {
  Score score = lettered("ABC");
  Note& first = score.measures[0].strokes[0].notes[0];
  Note& second = score.measures[1].strokes[0].notes[0];
  Note& third = score.measures[2].strokes[0].notes[0];
  first.tied_to_next = second.tied_from_previous = true;
  first.role = Role::melody;
  second.role = Role::fill;
  third.role = Role::drone;
  Score said = score;
  normalize(said);
  EXPECT_EQ(said.measures[0].strokes[0].notes[0].role, Role::melody);
  EXPECT_EQ(said.measures[1].strokes[0].notes[0].role, Role::melody);
  EXPECT_EQ(said.measures[2].strokes[0].notes[0].role, Role::drone);
  second.tied_to_next = third.tied_from_previous = true;  // over two barlines
  first.role = Role::none;
  normalize(score);
  EXPECT_EQ(second.role, Role::none);
  EXPECT_EQ(third.role, Role::none);
}

// Joined inside a measure, they are one note, and it is what its beginning was.
TEST(Normalize, AJoinedNoteHasTheRoleOfItsBeginning) {
  Score score = lettered("A");
  Note begins = note(67);
  begins.tied_to_next = true;
  begins.role = Role::kick_off;
  Note goes_on = note(67);
  goes_on.tied_from_previous = true;
  goes_on.role = Role::backup;
  score.measures[0].strokes = {stroke(0, {1, 2}, {begins}), stroke({1, 2}, {1, 2}, {goes_on})};
  normalize(score);
  ASSERT_EQ(score.measures[0].strokes.size(), 1U);
  EXPECT_EQ(score.measures[0].strokes[0].notes[0].role, Role::kick_off);
}

TEST(Role, NamesThereAndBack) {
  for (const Role role : {Role::melody, Role::fill, Role::drone, Role::lick, Role::kick_off, Role::backup}) {
    EXPECT_FALSE(to_string(role).empty());
    EXPECT_EQ(parse_role(to_string(role)), role);
  }
  EXPECT_EQ(to_string(Role::kick_off), "kick-off");
  EXPECT_EQ(to_string(Role::none), "");
  for (const char* bad : {"", "none", "Melody", "kick_off", "melody "}) EXPECT_FALSE(parse_role(bad)) << bad;
}

TEST(Normalize, JoinsRestsAndSortsNotes) {
  Score score = lettered("A");
  score.measures[0].strokes = {stroke(0, {1, 4}, {note(55), note(67)}), stroke({1, 4}, {1, 4}, {}),
                               stroke({1, 2}, {1, 2}, {})};
  normalize(score);
  ASSERT_EQ(score.measures[0].strokes.size(), 2U);
  EXPECT_EQ(score.measures[0].strokes[0].notes[0].pitch.midi(), 67);
  EXPECT_EQ(score.measures[0].strokes[1].duration, Fraction(3, 4));
}

TEST(Normalize, StartsAndStopsEndings) {
  Score score = lettered("ABCDE");
  score.measures[0].ending = Ending{{1}, false, Ending::Stop::none};  // from nowhere
  score.measures[1].ending = Ending{{1}, false, Ending::Stop::none};
  score.measures[2].ending = Ending{{2}, false, Ending::Stop::none};  // another one, and to nowhere
  score.measures[4].ending = Ending{{3}, true, Ending::Stop::none};
  EXPECT_EQ(flaws(score).size(), 3U);
  normalize(score);
  EXPECT_TRUE(flaws(score).empty());
  EXPECT_EQ(score.measures[0].ending, (Ending{{1}, true, Ending::Stop::none}));
  EXPECT_EQ(score.measures[1].ending, (Ending{{1}, false, Ending::Stop::none}));
  EXPECT_EQ(score.measures[2].ending, (Ending{{2}, true, Ending::Stop::open}));
  EXPECT_EQ(score.measures[4].ending, (Ending{{3}, true, Ending::Stop::none}));
}

TEST(Flaws, AreFound) {
  const auto flaw_of = [](auto&& change) {
    Score score = lettered("A");
    change(score);
    const auto found = flaws(score);
    return found.empty() ? std::string() : found.front();
  };
  EXPECT_EQ(flaw_of([](Score&) {}), "");
  EXPECT_NE(flaw_of([](Score& s) { s.measures[0].strokes[0].duration = {1, 2}; }), "");
  EXPECT_NE(flaw_of([](Score& s) { s.measures[0].strokes[0].onset = {1, 2}; }), "");
  EXPECT_NE(flaw_of([](Score& s) { s.measures[0].length = 0; }), "");
  EXPECT_NE(flaw_of([](Score& s) { s.measures[0].repeat_times = 1; }), "");
  EXPECT_NE(flaw_of([](Score& s) { s.measures[0].strokes[0].notes[0].placement = Placement{1, 4}; }), "");
  EXPECT_NE(flaw_of([](Score& s) {
              Note high = note(64);
              high.placement = Placement{1, 2};
              Note low = note(62);
              low.placement = Placement{1, 0};
              s.measures[0].strokes[0].notes = {high, low};
            }),
            "");
  EXPECT_NE(flaw_of([](Score& s) { s.measures[0].tempos.push_back({2, 100, {1, 4}, "", true}); }), "");
  EXPECT_NE(flaw_of([](Score& s) { s.banjo.capo = 30; }), "");
}

TEST(Transpose, MovesNotesKeysAndChords) {
  Score score = lettered("A");
  score.measures[0].key = {1, Mode::major};
  score.measures[0].chords.push_back(*parse_chord_symbol("D7/F#"));
  score.measures[0].strokes[0].notes[0].placement = Placement{5, 0};
  transpose(score, 2);
  EXPECT_EQ(score.measures[0].key, (Key{3, Mode::major}));
  EXPECT_EQ(to_string(score.measures[0].chords[0]), "E7/G#");
  EXPECT_EQ(to_string(score.measures[0].strokes[0].notes[0].pitch), "A4");
  EXPECT_FALSE(score.measures[0].strokes[0].notes[0].placement);
}

TEST(Report, CountsAndKeepsFirstPlaces) {
  Report report;
  EXPECT_FALSE(report.has_losses());
  for (int i = 0; i < 5000; ++i) {
    Place place;
    place.measure = std::to_string(i);
    report.add(EntryKind::loss, "lost", "something was lost", place);
  }
  Report other;
  other.add(EntryKind::loss, "lost", "something was lost", {});
  other.add(EntryKind::decision, "chosen", "something was chosen", {});
  report.merge(other);
  ASSERT_EQ(report.entries().size(), 2U);
  EXPECT_EQ(report.entries()[0].count, 5001U);
  EXPECT_EQ(report.entries()[0].places.size(), Report::kept_places);
  EXPECT_EQ(report.entries()[0].places[0].measure, "0");
  EXPECT_TRUE(report.has_losses());
}

TEST(Place, ReadsAsASentencePart) {
  Place place;
  EXPECT_EQ(to_string(place), "");
  place.measure = "3";
  place.beat = Fraction(5, 2);
  EXPECT_EQ(to_string(place), "measure 3, beat 2.5");
  place.beat = Fraction(7, 3);  // no decimal says it
  EXPECT_EQ(to_string(place), "measure 3, beat 2 1/3");
  Place byte;
  byte.byte = 498;
  EXPECT_EQ(to_string(byte), "byte 0x1f2 (498)");
}

}  // namespace
}  // namespace fifthpeg
