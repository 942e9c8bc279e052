// Editing: what is cut, joined, divided and filled stays a sound score.
#include "fifthpeg/edit.hpp"

#include <functional>
#include <gtest/gtest.h>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/performance.hpp"
#include "hands/scores.hpp"
#include "property/random_score.hpp"

namespace fifthpeg {
namespace {

using testing::passage;
using testing::random_score;

std::vector<std::string> pitches(const Score& score) {
  std::vector<std::string> result;
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      result.push_back(stroke.is_rest() ? "-" : to_string(stroke.notes.front().pitch));
    }
  }
  return result;
}

void expect_sound(const Score& score, const std::string& what) {
  const auto found = flaws(score);
  ASSERT_TRUE(found.empty()) << what << ": " << found.front();
  Score again = score;
  normalize(again);
  ASSERT_EQ(again, score) << what << " is in normal form";
  const PlayingOrder order = playing_order(score);
  ASSERT_FALSE(order.bounded) << what;
  std::vector<bool> played(score.measures.size(), false);
  for (const std::size_t index : order.measures) played[index] = true;
  // A Fine is the one thing that may leave measures unplayed, and none of these stands before the end of the
  // first pass.
  for (std::size_t i = 0; i < played.size(); ++i) ASSERT_TRUE(played[i]) << what << ": measure " << i;
}

// Whether something that slice() or splice() ends or states leads across the place.
bool leads_across(const Score& score, std::size_t at) {
  if (at == 0 || at == score.measures.size()) return false;
  for (const Note& note : score.measures[at].strokes.front().notes) {
    if (note.tied_from_previous) return true;
  }
  std::array<Technique, string_count + 1> open{};
  for (std::size_t i = 0; i < at; ++i) {
    for (const Stroke& stroke : score.measures[i].strokes) {
      for (const Note& note : stroke.notes)
        open.at(static_cast<std::size_t>(note.placement->string)) = note.out_of;
    }
  }
  for (const Technique technique : open) {
    if (technique != Technique::none) return true;
  }
  // A chord symbol goes on sounding.
  const auto& chords = score.measures[at].chords;
  bool in_force = false;
  for (std::size_t i = 0; i < at; ++i) in_force = in_force || !score.measures[i].chords.empty();
  return in_force && (chords.empty() || chords.front().at != 0);
}

bool has_signs(const Score& score) {
  for (const Measure& measure : score.measures) {
    if (measure.repeat_starts || measure.repeat_times > 0 || measure.ending) return true;
  }
  return false;
}

TEST(Slice, StatesWhatIsInForceAndEndsWhatLeadsAcross) {
  Score score = passage("G3 A3 B3 C4 D4 E4 F#4 G4 A4 B4 A4 G4 F#4 E4 D4 C4 B3 A3 G3 A3 B3 C4 D4 E4");
  ASSERT_EQ(score.measures.size(), 3U);
  score.measures[0].tempos = {{0, 96, {1, 4}, "Lively", true}};
  score.measures[0].chords = {*parse_chord_symbol("G"), *parse_chord_symbol("D7")};
  score.measures[0].chords[1].at = {1, 2};
  score.measures[0].strokes.back().notes[0].tied_to_next = true;
  score.measures[1].strokes.front().notes[0] = score.measures[0].strokes.back().notes[0];
  score.measures[1].strokes.front().notes[0].tied_from_previous = true;
  score.measures[1].strokes.front().notes[0].tied_to_next = false;
  score.measures[1].strokes.back().notes[0].out_of = Technique::slide;
  score.measures[2].strokes.front().notes[0].into = Technique::slide;
  score.measures[1].repeat_starts = true;
  score.measures[2].repeat_times = 2;
  const Score before = score;

  const Score middle = slice(score, 1, 1);
  EXPECT_EQ(score, before);
  ASSERT_EQ(middle.measures.size(), 1U);
  const Measure& only = middle.measures.front();
  ASSERT_EQ(only.tempos.size(), 1U);
  EXPECT_EQ(only.tempos[0], (Tempo{0, 96, {1, 4}, "", true}));
  ASSERT_EQ(only.chords.size(), 1U);
  EXPECT_EQ(to_string(only.chords[0]), "D7");
  EXPECT_EQ(only.chords[0].at, 0);
  EXPECT_FALSE(only.strokes.front().notes[0].tied_from_previous);
  EXPECT_EQ(only.strokes.back().notes[0].out_of, Technique::none);
  EXPECT_FALSE(only.repeat_starts);
  EXPECT_EQ(slice(score, 2, 1).measures[0].repeat_times, 0);
  EXPECT_EQ(slice(score, 2, 1).measures[0].strokes[0].notes[0].into, Technique::none);
  EXPECT_EQ(slice(score, 1, 2).measures[1].repeat_times, 2) << "a whole repeat stays";
  EXPECT_TRUE(slice(score, 3, 0).measures.empty());
}

// A slur that a source has between neighboring notes may go over to another string; it ends where it is cut,
// and only there.
TEST(Slice, EndsSlursOverTwoStringsOnlyWhereItCutsThem) {
  Score score = passage("G3 A3 B3 C4 D4 E4 F#4 G4 A4 B4 A4 G4 F#4 E4 D4 C4 B3 A3 G3 A3 B3 C4 D4 E4");
  const auto note = [](Score& of, std::size_t measure, std::size_t stroke) -> Note& {
    return of.measures[measure].strokes[stroke].notes[0];
  };
  for (std::size_t m = 0; m < 3; ++m) {
    for (std::size_t s = 0; s < 8; ++s) note(score, m, s).placement = Placement{1, 0};
  }
  const auto slur = [&](std::size_t measure, std::size_t stroke, std::size_t to_measure, std::size_t to) {
    note(score, measure, stroke).out_of = Technique::slur;
    note(score, to_measure, to).into = Technique::slur;
    note(score, measure, stroke).placement = Placement{3, 0};
    note(score, to_measure, to).placement = Placement{4, 0};
  };
  slur(0, 2, 0, 3);  // the last note on the third string in its measure
  slur(0, 7, 1, 0);  // over the barline
  slur(1, 3, 1, 4);
  slur(2, 4, 2, 5);  // the first one on the fourth
  Score first = slice(score, 0, 1);
  EXPECT_EQ(note(first, 0, 2).out_of, Technique::slur);
  EXPECT_EQ(note(first, 0, 3).into, Technique::slur);
  EXPECT_EQ(note(first, 0, 7).out_of, Technique::none);
  Score second = slice(score, 1, 1);
  EXPECT_EQ(note(second, 0, 0).into, Technique::none);
  EXPECT_EQ(note(second, 0, 3).out_of, Technique::slur);
  EXPECT_EQ(note(second, 0, 4).into, Technique::slur);
  Score two = slice(score, 0, 2);
  EXPECT_EQ(note(two, 0, 7).out_of, Technique::slur);
  EXPECT_EQ(note(two, 1, 0).into, Technique::slur);
  EXPECT_EQ(note(two, 1, 3).out_of, Technique::slur);
  EXPECT_EQ(note(two, 1, 4).into, Technique::slur);
  Score third = slice(score, 2, 1);
  EXPECT_EQ(note(third, 0, 4).out_of, Technique::slur);
  EXPECT_EQ(note(third, 0, 5).into, Technique::slur);
}

TEST(Slice, RefusesMeasuresThatAreNotThere) {
  Score score = passage("G3 A3");
  const Score before = score;
  for (const auto& [first, count] : {std::pair<std::size_t, std::size_t>{2, 0}, {0, 2}, {1, SIZE_MAX}}) {
    try {
      slice(score, first, count);
      FAIL();
    } catch (const UsageError& error) {
      EXPECT_EQ(error.code(), "no-such-measure");
    }
    EXPECT_THROW(splice(score, first, before, count), UsageError);
    EXPECT_EQ(score, before);
  }
}

TEST(Edit, SlicesOfRandomScoresAreSound) {
  for (std::uint64_t seed = 1; seed <= 400; ++seed) {
    const Score score = random_score(seed);
    testing::Random random(seed);
    const int size = static_cast<int>(score.measures.size());
    const auto first = static_cast<std::size_t>(random.below(size));
    const auto count = static_cast<std::size_t>(random.between(1, size - static_cast<int>(first)));
    const Score piece = slice(score, first, count);
    ASSERT_EQ(piece.measures.size(), count);
    expect_sound(piece, "seed " + std::to_string(seed));
    for (std::size_t i = 0; i < count; ++i) {
      ASSERT_EQ(piece.measures[i].meter, score.measures[first + i].meter);
      ASSERT_EQ(piece.measures[i].key, score.measures[first + i].key);
    }
    if (first == 0 && count == score.measures.size()) {
      ASSERT_EQ(piece, score);
    }
  }
}

TEST(Edit, SlicedAndPutBackIsTheSameWhereNothingIsCutOpen) {
  int same = 0;
  for (std::uint64_t seed = 1; seed <= 400; ++seed) {
    testing::RandomScoreOptions options;
    options.repeats = seed % 2 == 0;
    options.words = seed % 3 == 0;
    const Score before = random_score(seed, options);
    testing::Random random(seed);
    const int size = static_cast<int>(before.measures.size());
    const auto first = static_cast<std::size_t>(random.below(size));
    const auto count = static_cast<std::size_t>(random.between(1, size - static_cast<int>(first)));
    Score score = before;
    EXPECT_TRUE(splice(score, first, slice(score, first, count), count).empty());
    expect_sound(score, "seed " + std::to_string(seed));
    if (has_signs(before) || leads_across(before, first) || leads_across(before, first + count)) continue;
    ++same;
    ASSERT_EQ(score, before) << "seed " << seed << ": " << first << " + " << count;
  }
  EXPECT_GT(same, 50);
}

TEST(Edit, PiecesOfOtherScoresFitIn) {
  for (std::uint64_t seed = 1; seed <= 300; ++seed) {
    Score score = random_score(seed);
    const Score piece = random_score(seed + 1000);
    testing::Random random(seed);
    const std::size_t size = score.measures.size();
    const auto at = static_cast<std::size_t>(random.between(0, static_cast<int>(size)));
    const auto replaced = static_cast<std::size_t>(random.between(0, static_cast<int>(size - at)));
    const Measure* const next = at + replaced < size ? &score.measures[at + replaced] : nullptr;
    const std::optional<Key> key = next != nullptr ? std::optional(next->key) : std::nullopt;
    const Banjo banjo = score.banjo;
    splice(score, at, piece, replaced);
    ASSERT_EQ(score.measures.size(), size - replaced + piece.measures.size());
    ASSERT_EQ(score.banjo, banjo);
    expect_sound(score, "seed " + std::to_string(seed));
    if (key) {
      ASSERT_EQ(score.measures[at + piece.measures.size()].key, *key);
    }
  }
}

TEST(Splice, TheTempoAndChordInForceAreStatedAgain) {
  Score score = passage("G3 A3 B3 C4 D4 E4 F#4 G4 A4 B4 A4 G4 F#4 E4 D4 C4");
  score.measures[0].tempos = {{0, 96, {1, 4}, "", true}};
  score.measures[0].chords = {*parse_chord_symbol("G")};
  Score piece = passage("D4 E4 F#4 G4 A4 B4 A4 G4");
  piece.measures[0].tempos = {{0, 120, {1, 4}, "", true}};
  piece.measures[0].chords = {*parse_chord_symbol("C")};
  EXPECT_TRUE(splice(score, 1, piece).empty());
  ASSERT_EQ(score.measures.size(), 3U);
  EXPECT_EQ(score.measures[1].tempos.at(0).quarters_per_minute, 120);
  EXPECT_EQ(score.measures[2].tempos.at(0).quarters_per_minute, 96);
  EXPECT_EQ(to_string(score.measures[2].chords.at(0)), "G");
  EXPECT_EQ(score.measures[2].number, "3");
}

TEST(Splice, PlacesOfAnotherBanjoAreTakenOut) {
  Score score = passage("G3 A3");
  Score piece = passage("G3");
  piece.banjo.tuning = *parse_tuning("double C");
  piece.measures[0].strokes[0].notes[0].placement = Placement{4, 7};
  ASSERT_TRUE(flaws(piece).empty());
  const Report report = splice(score, 1, piece);
  ASSERT_EQ(report.entries().size(), 1U);
  EXPECT_EQ(report.entries()[0].slug, "placement-replaced");
  EXPECT_TRUE(flaws(score).empty());
}

TEST(Splice, ARepeatIsPlayedWithThePieceInIt) {
  Score score = passage("G3 A3 B3 C4 D4 E4 F#4 G4 A4 B4 A4 G4 F#4 E4 D4 C4");
  score.measures[1].repeat_times = 2;
  splice(score, 1, passage("D4"));
  EXPECT_EQ(playing_order(score).measures, (std::vector<std::size_t>{0, 1, 2, 0, 1, 2}));
  Score again = passage("D4");
  again.measures[0].repeat_times = 2;
  splice(score, 1, again);
  EXPECT_EQ(playing_order(score).measures, (std::vector<std::size_t>{0, 1, 0, 1, 2, 3}));
}

TEST(ReplaceStroke, FillsItsTime) {
  Score score = passage("G3 A3 B3 C4", {1, 4});
  score.measures[0].strokes[1].notes[0].into = Technique::hammer_on;
  score.measures[0].strokes[0].notes[0].out_of = Technique::hammer_on;
  Stroke half = score.measures[0].strokes[3];
  half.duration = {1, 8};
  Stroke rest;
  rest.duration = {1, 8};
  replace_stroke(score, 0, 1, {half, rest});
  EXPECT_EQ(pitches(score), (std::vector<std::string>{"G3", "C4", "-", "B3", "C4"}));
  EXPECT_EQ(score.measures[0].strokes[0].notes[0].out_of, Technique::none);
  EXPECT_TRUE(flaws(score).empty());
  const Score before = score;
  try {
    replace_stroke(score, 0, 0, {half});
    FAIL();
  } catch (const UsageError& error) {
    EXPECT_EQ(error.code(), "strokes-do-not-fill");
  }
  EXPECT_THROW(replace_stroke(score, 0, 9, {half}), UsageError);
  EXPECT_THROW(replace_stroke(score, 1, 0, {half}), UsageError);
  EXPECT_EQ(score, before);
}

TEST(Edit, StrokesOfRandomScoresCanBeDivided) {
  for (std::uint64_t seed = 1; seed <= 300; ++seed) {
    Score score = random_score(seed);
    testing::Random random(seed);
    const auto m = static_cast<std::size_t>(random.below(static_cast<int>(score.measures.size())));
    const auto& line = score.measures[m].strokes;
    auto s = static_cast<std::size_t>(random.below(static_cast<int>(line.size())));
    while (line[s].grace != Grace::none) ++s;
    Stroke half = line[s];
    half.duration /= 2;
    half.tuplets.clear();
    for (Note& note : half.notes) note.tied_from_previous = note.tied_to_next = false;
    for (Note& note : half.notes) note.into = note.out_of = Technique::none;
    replace_stroke(score, m, s, {half, half});
    expect_sound(score, "seed " + std::to_string(seed));
  }
}

TEST(Refill, GapsOverlapsAndEnds) {
  Score score = passage("G3 A3 B3 C4", {1, 4});
  auto& strokes = score.measures[0].strokes;
  strokes.erase(strokes.begin() + 1);
  strokes[1].onset = {3, 8};
  strokes[2].onset = {9, 16};
  strokes[2].duration = 1;
  refill(score, 0);
  EXPECT_TRUE(flaws(score).empty());
  EXPECT_EQ(pitches(score), (std::vector<std::string>{"G3", "-", "B3", "C4"}));
  EXPECT_EQ(score.measures[0].strokes[2].duration, Fraction(3, 16));
  EXPECT_EQ(score.measures[0].strokes[3].duration, Fraction(7, 16));
  score.measures[0].strokes.clear();
  refill(score, 0);
  EXPECT_EQ(pitches(score), std::vector<std::string>{"-"});
  EXPECT_THROW(refill(score, 1), UsageError);
}

TEST(Edit, RefilledRandomMeasuresAreSound) {
  for (std::uint64_t seed = 1; seed <= 300; ++seed) {
    Score score = random_score(seed);
    testing::Random random(seed);
    const auto m = static_cast<std::size_t>(random.below(static_cast<int>(score.measures.size())));
    const Score before = score;
    refill(score, m);
    ASSERT_EQ(score, before) << "nothing to fill";
    Measure& measure = score.measures[m];
    std::erase_if(measure.strokes, [&](const Stroke&) { return random.chance(40); });
    for (Stroke& stroke : measure.strokes) {
      if (random.chance(20)) stroke.duration *= 2;
    }
    if (random.chance(30)) measure.length = measure.length * Fraction(3, 4);
    refill(score, m);
    const auto found = flaws(score);
    ASSERT_TRUE(found.empty()) << "seed " << seed << ": " << found.front();
  }
}

// ---- one line of several -------------------------------------------------------------------------

Note played(int string, int fret, Role role) {
  Note note;
  note.placement = Placement{static_cast<std::int8_t>(string), static_cast<std::int8_t>(fret)};
  note.pitch = spell(*Banjo{}.midi_at(*note.placement), {1, Mode::major});
  note.role = role;
  return note;
}

// Strokes of equal length that fill a 4/4 measure.
Score arranged(const std::vector<std::vector<Note>>& strokes) {
  Score score;
  Measure measure;
  measure.number = "1";
  measure.key = {1, Mode::major};
  measure.length = 1;
  const Fraction each(1, static_cast<int>(strokes.size()));
  for (std::size_t i = 0; i < strokes.size(); ++i) {
    Stroke stroke;
    stroke.onset = each * static_cast<int>(i);
    stroke.duration = each;
    stroke.notes = strokes[i];
    measure.strokes.push_back(stroke);
  }
  score.measures = {measure};
  normalize(score);
  return score;
}

// "G3 1/8, - 1/4".
std::string line(const Score& score) {
  std::string text;
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      if (!text.empty()) text += ", ";
      if (stroke.is_rest()) text += "-";
      for (const Note& note : stroke.notes) {
        if (&note != stroke.notes.data()) text += "+";
        text += to_string(note.pitch);
      }
      text += " " + to_string(stroke.duration);
    }
  }
  return text;
}

constexpr Role tune = Role::melody;
constexpr Role fill = Role::fill;
constexpr Role drone = Role::drone;
// Beside the melody nothing is held longer than it was.
const std::vector<Role> tune_and_licks{tune, Role::lick};

TEST(KeepOnly, TheTuneOfARoll) {
  Score score = arranged({{played(3, 0, tune)},
                          {played(2, 0, fill)},
                          {played(5, 0, drone)},
                          {played(1, 0, fill)},
                          {played(3, 2, tune), played(5, 0, drone)},
                          {played(2, 0, fill)},
                          {played(2, 1, tune)},
                          {played(1, 0, Role::lick)}});
  score.measures[0].strokes[4].brush = Brush::up;
  Score melody = score;
  keep_only(melody, {tune});
  EXPECT_EQ(line(melody), "G3 1/2, A3 1/4, C4 1/4");
  EXPECT_EQ(melody.measures[0].strokes[1].brush, Brush::none) << "of one note";
  Score two = score;
  keep_only(two, {tune, Role::lick});
  EXPECT_EQ(line(two), "G3 1/8, - 3/8, A3 1/8, - 1/8, C4 1/8, D4 1/8");
  Score with_drone = score;
  keep_only(with_drone, {drone, tune});
  EXPECT_EQ(with_drone.measures[0].strokes[4].brush, Brush::up) << "of both its notes";
  EXPECT_TRUE(flaws(melody).empty());
}

TEST(KeepOnly, ATechniqueEndsWhereOneOfItsNotesGoes) {
  for (const bool placed : {true, false}) {
    // Fill slides into tune, tune slides into tune, tune pulls off to fill; fill is struck between two.
    Score score =
        arranged({{played(3, 2, fill)}, {played(3, 4, tune)}, {played(3, 5, tune)}, {played(3, 2, fill)}});
    auto& strokes = score.measures[0].strokes;
    const auto link = [&](std::size_t from, Technique technique) {
      strokes[from].notes[0].out_of = strokes[from + 1].notes[0].into = technique;
    };
    link(0, Technique::slide);
    link(1, Technique::slide);
    link(2, Technique::pull_off);
    for (Stroke& stroke : strokes)
      if (!placed) stroke.notes[0].placement.reset();
    keep_only(score, tune_and_licks);
    ASSERT_EQ(line(score), "- 1/4, B3 1/4, C4 1/4, - 1/4");
    EXPECT_EQ(strokes[1].notes[0].into, Technique::none);
    EXPECT_EQ(strokes[1].notes[0].out_of, Technique::slide);
    EXPECT_EQ(strokes[2].notes[0].into, Technique::slide);
    EXPECT_EQ(strokes[2].notes[0].out_of, Technique::none);
  }
}

// The other string's note goes, this one's stays: what joins two notes that stay is left alone, and so is a
// slide that never had another end.
TEST(KeepOnly, OtherTechniquesStay) {
  Score score = arranged({{played(3, 2, tune), played(4, 2, fill)},
                          {played(5, 0, drone)},
                          {played(3, 4, tune), played(4, 4, fill)},
                          {played(1, 2, tune)}});
  auto& strokes = score.measures[0].strokes;
  for (const std::size_t i : {0U, 1U}) {
    strokes[0].notes[i].out_of = strokes[2].notes[i].into = Technique::slide;
  }
  strokes[3].notes[0].into = Technique::slide;
  keep_only(score, tune_and_licks);
  ASSERT_EQ(line(score), "A3 1/4, - 1/4, B3 1/4, E4 1/4");
  EXPECT_EQ(strokes[0].notes[0].out_of, Technique::slide);
  EXPECT_EQ(strokes[2].notes[0].into, Technique::slide);
  EXPECT_EQ(strokes[3].notes[0].into, Technique::slide);
}

TEST(KeepOnly, GraceNotesGoAndTiesStay) {
  Score score = arranged({{played(3, 0, fill)}, {played(3, 2, tune), played(5, 0, drone)}});
  Stroke grace = score.measures[0].strokes[0];
  grace.grace = Grace::slashed;
  grace.duration = {1, 16};
  grace.onset = {1, 2};
  grace.notes = {played(3, 1, fill)};
  grace.notes[0].out_of = score.measures[0].strokes[1].notes[1].into = Technique::slide;
  Stroke before = grace;
  before.onset = 0;
  before.notes = {played(2, 1, tune)};
  score.measures[0].strokes = {before, score.measures[0].strokes[0], grace, score.measures[0].strokes[1]};
  score.measures.push_back(score.measures[0]);
  score.measures[1].number = "2";
  score.measures[1].strokes = {score.measures[0].strokes[3]};
  score.measures[1].strokes[0].onset = 0;
  score.measures[1].strokes[0].duration = 1;
  for (std::size_t i = 0; i < 2; ++i) {
    score.measures[0].strokes[3].notes[i].tied_to_next = true;
    score.measures[1].strokes[0].notes[i].tied_from_previous = true;
    score.measures[1].strokes[0].notes[i].into = Technique::none;
  }
  normalize(score);
  ASSERT_TRUE(flaws(score).empty());
  keep_only(score, {tune});
  EXPECT_EQ(line(score), "C4 1/16, - 1/2, A3 1/2, A3 1");
  const auto& strokes = score.measures[0].strokes;
  EXPECT_EQ(strokes[0].grace, Grace::slashed);
  EXPECT_EQ(strokes[2].notes[0].into, Technique::none);
  EXPECT_TRUE(strokes[2].notes[0].tied_to_next);
  EXPECT_TRUE(score.measures[1].strokes[0].notes[0].tied_from_previous);
  EXPECT_TRUE(flaws(score).empty());
}

TEST(KeepOnly, WordsGoWithTheirNote) {
  Score score = arranged({{played(2, 0, fill)}, {played(3, 0, tune)}});
  for (Stroke& stroke : score.measures[0].strokes) {
    stroke.lyrics = {{"1", Syllabic::single, "la"}};
    stroke.articulations.accent = true;
  }
  keep_only(score, {tune});
  const auto& strokes = score.measures[0].strokes;
  ASSERT_EQ(strokes.size(), 2U);
  EXPECT_TRUE(strokes[0].lyrics.empty());
  EXPECT_EQ(strokes[0].articulations, Articulations{});
  EXPECT_EQ(strokes[1].lyrics.size(), 1U);
  EXPECT_TRUE(strokes[1].articulations.accent);
}

// A note of the tune, and then three beats of triplets.
Score with_triplets(const std::function<std::vector<Note>(int beat, int third)>& notes) {
  Score score = arranged({{played(3, 0, tune)}, {}, {}, {}});
  auto& strokes = score.measures[0].strokes;
  strokes.resize(1);
  for (int beat = 1; beat < 4; ++beat) {
    for (int i = 0; i < 3; ++i) {
      Stroke third;
      third.onset = Fraction(beat, 4) + Fraction(i, 12);
      third.duration = {1, 12};
      third.tuplets = {{3, 2, i == 0, i == 2}};
      third.notes = notes(beat, i);
      strokes.push_back(third);
    }
  }
  normalize(score);
  EXPECT_TRUE(flaws(score).empty());
  return score;
}

TEST(KeepOnly, SilentTripletsAreRests) {
  Score score = with_triplets([](int beat, int third) {
    return std::vector<Note>{played(1, 2 * third, beat == 2 && third == 1 ? tune : fill)};
  });
  const auto& strokes = score.measures[0].strokes;
  keep_only(score, tune_and_licks);
  ASSERT_EQ(line(score), "G3 1/4, - 1/4, - 1/12, E4 1/12, - 1/12, - 1/4");
  EXPECT_TRUE(strokes[1].tuplets.empty());
  EXPECT_EQ(strokes[2].tuplets, (std::vector<Tuplet>{{3, 2, true, false}}));
  EXPECT_EQ(strokes[4].tuplets, (std::vector<Tuplet>{{3, 2, false, true}}));
  EXPECT_TRUE(strokes[5].tuplets.empty());
}

// What was between two of its notes is time of the first; where the score rests itself, it stays silent.
TEST(KeepOnly, TheTuneSoundsOnWhereSomethingElseWasPlayed) {
  const std::vector<Note> rest;
  const std::vector<Note> note{played(3, 0, tune)};
  const std::vector<Note> other{played(2, 0, fill)};
  Score score = arranged({note, other, rest, other, note, other, other, other});
  score.measures.push_back(arranged({other, other, note, rest}).measures[0]);
  score.measures[1].number = "2";
  keep_only(score, {tune});
  EXPECT_EQ(line(score), "G3 1/4, - 1/4, G3 1/2, - 1/2, G3 1/4, - 1/4") << "not over the barline";
  EXPECT_TRUE(flaws(score).empty());
  for (const int how : {0, 1, 2}) {
    Score cut_short = arranged({note, other, note, other});
    Stroke& first = cut_short.measures[0].strokes[0];
    first.articulations.staccato = how == 0;
    first.notes[0].dead = how == 1;
    if (how == 2) first.notes[0].ring = Ring::damp;
    keep_only(cut_short, {tune});
    EXPECT_EQ(line(cut_short), "G3 1/4, - 1/4, G3 1/2") << how;
  }
}

TEST(KeepOnly, ATupletIsHeldOverAsAWhole) {
  for (const bool rests : {false, true}) {
    Score score = with_triplets([rests](int beat, int third) {
      if (rests && beat == 1 && third == 1) return std::vector<Note>{};
      return std::vector<Note>{played(1, 2, beat == 2 && third == 0 ? tune : fill)};
    });
    keep_only(score, {tune});
    EXPECT_EQ(line(score), std::string("G3 ") + (rests ? "1/4, - 1/4" : "1/2") + ", E4 1/12, - 1/6, - 1/4");
    EXPECT_TRUE(flaws(score).empty());
  }
}

TEST(KeepOnly, WhatIsNotThereIsRefused) {
  const auto code = [](Score score, const std::vector<Role>& roles) {
    const Score before = score;
    try {
      keep_only(score, roles);
    } catch (const UsageError& error) {
      EXPECT_EQ(score, before);
      return error.code() + ": " + error.what();
    }
    return std::string();
  };
  const Score said = arranged({{played(3, 0, tune)}, {played(2, 0, fill)}, {played(5, 0, drone)}});
  EXPECT_EQ(code(said, {tune, Role::lick}), "");
  EXPECT_EQ(code(said, {Role::lick}),
            "no-such-role: no note of the score is of that kind: they are melody, fill and drone");
  EXPECT_EQ(code(said, {}).substr(0, 13), "no-such-role:");
  EXPECT_EQ(code(arranged({{played(3, 0, Role::none)}}), {tune}),
            "no-roles: the score does not say what its notes are for");
}

// Whatever the score, the tune alone is sound, in normal form, and begins its notes where they were.
TEST(KeepOnly, TheTuneIsSoundAndItsNotesBeginWhereTheyDid) {
  int tried = 0;
  for (std::uint64_t seed = 0; seed < 600; ++seed) {
    testing::RandomScoreOptions options;
    options.nested_tuplets = seed % 2 == 0;
    const Score score = random_score(seed, options);
    if (!has_role(score, tune)) continue;
    ++tried;
    Score kept = score;
    keep_only(kept, {tune});
    ASSERT_TRUE(flaws(kept).empty()) << seed << ": " << flaws(kept).front();
    Score again = kept;
    normalize(again);
    ASSERT_EQ(again, kept) << seed;
    for (std::size_t m = 0; m < score.measures.size(); ++m) {
      const auto struck = [](const Measure& measure) {
        std::string text;
        for (const Stroke& stroke : measure.strokes) {
          for (const Note& note : stroke.notes) {
            if (note.role == tune && !note.tied_from_previous)
              text += to_string(stroke.onset) + " " + to_string(note.pitch) + "\n";
          }
        }
        return text;
      };
      ASSERT_EQ(struck(kept.measures[m]), struck(score.measures[m])) << seed;
    }
  }
  EXPECT_GT(tried, 200);
}

// Whatever the score: sound, in normal form, with no other note than those that were kept, and all of these.
TEST(KeepOnly, KeepsTheNotesOfTheRolesAndNoOthers) {
  int tried = 0;
  for (std::uint64_t seed = 0; seed < 600; ++seed) {
    testing::RandomScoreOptions options;
    options.nested_tuplets = seed % 2 == 0;
    options.values = false;
    const Score score = random_score(seed, options);
    if (!has_role(score, tune)) continue;
    ++tried;
    Score kept = score;
    keep_only(kept, {tune, Role::backup});
    ASSERT_TRUE(flaws(kept).empty()) << seed << ": " << flaws(kept).front();
    Score again = kept;
    normalize(again);
    ASSERT_EQ(again, kept) << seed;
    ASSERT_EQ(kept.measures.size(), score.measures.size());
    for (std::size_t m = 0; m < score.measures.size(); ++m) {
      const auto struck = [&](const Measure& measure) {
        std::string text;
        for (const Stroke& stroke : measure.strokes) {
          for (const Note& note : stroke.notes) {
            if (note.role != tune && note.role != Role::backup) continue;
            text += to_string(stroke.onset) + " " + to_string(stroke.duration) + " " + to_string(note.pitch) +
                    (note.tied_from_previous ? "<" : "") + (note.tied_to_next ? ">" : "") + "\n";
          }
        }
        return text;
      };
      // A stroke of several notes that went on in part may be one with what follows, now.
      if (struck(score.measures[m]).find_first_of("<>") == std::string::npos) {
        ASSERT_EQ(struck(kept.measures[m]), struck(score.measures[m])) << seed;
      }
      for (const Stroke& stroke : kept.measures[m].strokes) {
        for (const Note& note : stroke.notes) ASSERT_TRUE(note.role == tune || note.role == Role::backup);
      }
    }
  }
  EXPECT_GT(tried, 200);
}

}  // namespace
}  // namespace fifthpeg
