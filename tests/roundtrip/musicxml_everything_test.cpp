// Scores with everything in them that score.hpp can hold, written and read back.
#include <gtest/gtest.h>
#include <string>
#include <vector>

#include "fifthpeg/read.hpp"
#include "fifthpeg/write.hpp"
#include "roundtrip/score_difference.hpp"

namespace fifthpeg {
namespace {

using testing::difference;

Note at(int string, int fret, const Banjo& banjo = {}) {
  Note note;
  note.placement = Placement{static_cast<std::int8_t>(string), static_cast<std::int8_t>(fret)};
  note.pitch = spell(*banjo.midi_at(*note.placement), Key{1, Mode::major});
  return note;
}

Stroke stroke(Fraction onset, Fraction duration, std::vector<Note> notes) {
  Stroke result;
  result.onset = onset;
  result.duration = duration;
  result.notes = std::move(notes);
  return result;
}

// Four quarters of open first string.
Measure plain(const std::string& number) {
  Measure measure;
  measure.number = number;
  measure.key = {1, Mode::major};
  measure.length = 1;
  for (int i = 0; i < 4; ++i) measure.strokes.push_back(stroke(Fraction(i, 4), {1, 4}, {at(1, i)}));
  return measure;
}

void expect_same(Score score) {
  normalize(score);
  ASSERT_TRUE(flaws(score).empty()) << flaws(score).front();
  for (const Staves staves : {Staves::both, Staves::notation, Staves::tab}) {
    StringSink sink;
    MusicXmlOptions options;
    options.staves = staves;
    write_musicxml(score, options, sink);
    const Reading reading = read_musicxml(sink.str());
    EXPECT_EQ(difference(score, reading.score), "") << static_cast<int>(staves);
    EXPECT_FALSE(reading.report.has_losses()) << reading.report.entries().front().text;
  }
}

Score of(std::vector<Measure> measures) {
  Score score;
  score.measures = std::move(measures);
  return score;
}

TEST(MusicXmlEverything, NoMeasures) {
  expect_same(of({}));
}

TEST(MusicXmlEverything, TextIsKeptToTheByte) {
  Score score = of({plain("1")});
  score.work = {" Reel\n<&>\"' ", "\t", "\r", "  ", "\u266d \U0001D11E", "x"};
  score.part_name = "";
  score.measures[0].number = " 1 a<";
  score.measures[0].strokes[0].lyrics = {{"1", Syllabic::begin, " la "},
                                         {"2", Syllabic::middle, " "},
                                         {"verse two", Syllabic::end, ""},
                                         {"chorus", Syllabic::single, "o\u203Fh"}};
  score.measures[0].directions = {{0, Direction::Kind::words, " "}, {{1, 2}, Direction::Kind::words, "a\nb"}};
  expect_same(score);
}

TEST(MusicXmlEverything, NoteProperties) {
  std::vector<Measure> measures;
  for (int i = 0; i < 6; ++i) measures.push_back(plain(std::to_string(i + 1)));
  const auto note = [&](int measure, int index) -> Note& {
    return measures[static_cast<std::size_t>(measure)].strokes[static_cast<std::size_t>(index)].notes[0];
  };
  note(0, 0).dead = true;
  note(0, 1).harmonic = true;
  note(0, 2).choke = Choke{50, false, false};
  note(0, 3).choke = Choke{150, true, true};
  note(1, 0).choke = Choke{100, false, true};
  note(1, 1).choke = Choke{200, true, false};
  note(1, 2).ring = Ring::damp;
  note(1, 3).ring = Ring::let_ring;
  note(2, 0).finger = FretFinger::thumb;
  note(2, 1).finger = FretFinger::open;
  note(2, 2).finger = FretFinger::little;
  for (int i = 0; i < 4; ++i) note(3, i).picking_finger = static_cast<PickingFinger>(i);
  note(4, 0).picking_finger = PickingFinger::little;
  note(4, 1).picking_finger = PickingFinger::nail;
  note(4, 2).out_of = note(4, 3).into = Technique::slur;
  note(4, 3).out_of = note(5, 0).into = Technique::slide;
  note(5, 0).out_of = note(5, 1).into = Technique::pull_off;
  note(5, 1).out_of = note(5, 2).into = Technique::hammer_on;
  note(5, 2).out_of = note(5, 3).into = Technique::slur;
  expect_same(of(measures));
}

TEST(MusicXmlEverything, RolesOfChordsGraceNotesAndTies) {
  Measure first = plain("1");
  Measure second = plain("2");
  first.strokes[0].notes = {at(1, 2), at(2, 1), at(5, 0)};
  first.strokes[0].notes[0].role = Role::melody;
  first.strokes[0].notes[1].role = Role::fill;
  first.strokes[0].notes[2].role = Role::drone;
  first.strokes[1].notes[0].role = Role::lick;
  first.strokes[2].notes[0].role = Role::kick_off;
  Stroke grace = stroke({3, 4}, {1, 16}, {at(3, 2)});
  grace.grace = Grace::slashed;
  grace.notes[0].role = Role::backup;
  first.strokes.insert(first.strokes.begin() + 3, grace);
  first.strokes[4].notes = {at(1, 3), at(2, 3)};
  second.strokes[0].notes = {at(1, 3), at(3, 0)};
  first.strokes[4].notes[0].role = Role::melody;
  first.strokes[4].notes[0].tied_to_next = second.strokes[0].notes[0].tied_from_previous = true;
  second.strokes[0].notes[1].role = Role::fill;
  second.strokes[1].notes = {at(1, 3), at(3, 0)};  // an eighth over the middle of the measure: two, tied
  second.strokes[1].duration = Fraction(3, 8);
  second.strokes[1].notes[0].role = Role::melody;
  second.strokes[2].onset = Fraction(5, 8);
  second.strokes[2].duration = Fraction(1, 8);
  expect_same(of({first, second}));
}

TEST(MusicXmlEverything, TechniquesInChordsAndGraceNotes) {
  Measure measure = plain("1");
  measure.strokes[0].notes = {at(1, 2), at(2, 1)};
  measure.strokes[1].notes = {at(1, 4), at(2, 3)};
  for (std::size_t i = 0; i < 2; ++i) {
    measure.strokes[0].notes[i].out_of = measure.strokes[1].notes[i].into = Technique::slide;
  }
  measure.strokes[1].notes[0].out_of = Technique::pull_off;
  measure.strokes[1].notes[1].out_of = Technique::slur;
  measure.strokes[2].notes = {at(1, 2), at(2, 1)};
  measure.strokes[2].notes[0].into = Technique::pull_off;
  measure.strokes[2].notes[1].into = Technique::slur;
  Stroke grace = stroke({3, 4}, {1, 32}, {at(3, 2), at(4, 2)});
  grace.grace = Grace::slashed;
  grace.notes[0].out_of = Technique::slide;
  Stroke second = stroke({3, 4}, {3, 16}, {at(3, 3)});
  second.grace = Grace::plain;
  second.notes[0].into = Technique::slide;
  second.notes[0].out_of = Technique::hammer_on;
  measure.strokes[3].notes = {at(3, 4)};
  measure.strokes[3].notes[0].into = Technique::hammer_on;
  measure.strokes.insert(measure.strokes.begin() + 3, {grace, second});
  Stroke last = stroke(1, {1, 8}, {at(1, 0)});  // after the last beat
  last.grace = Grace::plain;
  measure.strokes.push_back(last);
  expect_same(of({measure, plain("2")}));
}

TEST(MusicXmlEverything, StrokeProperties) {
  Measure measure = plain("1");
  measure.strokes[0].brush = Brush::plain;
  measure.strokes[1].brush = Brush::up;
  measure.strokes[2].brush = Brush::down;
  measure.strokes[3].articulations = {true, true, true, true, true};
  Measure rests = plain("2");
  rests.strokes[1].notes.clear();
  rests.strokes[1].articulations.fermata = true;
  rests.strokes[2].notes.clear();
  rests.strokes[2].lyrics = {{"1", Syllabic::single, "(hum)"}};
  Measure silence = plain("3");
  silence.strokes = {stroke(0, 1, {})};
  // A pitch twice, on two strings.
  Measure unison = plain("4");
  unison.strokes[0].notes = {at(2, 0), at(3, 4)};
  expect_same(of({measure, rests, silence, unison}));
}

TEST(MusicXmlEverything, OddLengths) {
  Measure measure;
  measure.number = "X";
  measure.implicit = true;
  measure.meter = {{3, 3, 2}, 8, Meter::Symbol::numbers};
  measure.key = {-7, Mode::none};
  Fraction now;
  for (const Fraction length :
       {Fraction(5, 8), Fraction(9, 16), Fraction(1, 7), Fraction(1, 1024), Fraction(13, 32)}) {
    measure.strokes.push_back(stroke(now, length, {at(1, 0), at(2, 0)}));
    now += length;
    measure.strokes.push_back(stroke(now, length, {}));
    now += length;
  }
  measure.length = now;
  expect_same(of({measure}));
}

TEST(MusicXmlEverything, TiesOverBarlines) {
  Measure first = plain("1");
  Measure second = plain("2");
  first.strokes[3].notes = {at(1, 3), at(2, 1)};
  second.strokes[0].notes = {at(1, 3), at(3, 0)};
  first.strokes[3].notes[0].tied_to_next = true;
  second.strokes[0].notes[0].tied_from_previous = true;
  expect_same(of({first, second}));
}

TEST(MusicXmlEverything, MeasureProperties) {
  std::vector<Measure> measures;
  for (int i = 0; i < 10; ++i) measures.push_back(plain(std::to_string(i)));
  measures[0].repeat_starts = true;
  measures[1].repeat_times = 2;
  measures[2].repeat_starts = true;
  measures[3].ending = Ending{{1, 2, 3}, true, Ending::Stop::none};
  measures[4].ending = Ending{{1, 2, 3}, false, Ending::Stop::none};
  measures[5].ending = Ending{{1, 2, 3}, false, Ending::Stop::closed};
  measures[5].repeat_times = 4;
  measures[6].ending = Ending{{4}, true, Ending::Stop::open};
  measures[6].right_bar = BarStyle::light_light;
  measures[7].right_bar = BarStyle::dashed;
  measures[8].right_bar = BarStyle::none;
  measures[9].right_bar = BarStyle::heavy;
  for (std::size_t i = 0; i < measures.size(); ++i) {
    measures[i].key = {static_cast<std::int8_t>(static_cast<int>(i) - 5), static_cast<Mode>(i % 10)};
  }
  measures[7].key = measures[6].key;
  measures[7].key_changes = {{0, {3, Mode::none}}, {{1, 3}, {4, Mode::minor}}, {1, {5, Mode::minor}}};
  expect_same(of(measures));
}

TEST(MusicXmlEverything, TemposAndSwing) {
  Measure measure = plain("1");
  measure.tempos = {{0, 100, {1, 4}, "Lively", true},
                    {{1, 8}, Fraction(100, 3), {3, 8}, "", true},
                    {{1, 4}, Fraction(243, 2), {5, 8}, "", true},
                    {{3, 8}, 90, {1, 4}, "", false},
                    {{1, 2}, 91, {1, 2}, "", false},
                    {{5, 8}, 92, {1, 4}, "hm", false},
                    {1, Fraction(1000001, 7777), {1, 8}, "", true}};
  for (const Swing& swing : {Swing{{1, 8}, 2, 1}, Swing{{1, 16}, 3, 2}, Swing{{1, 4}, 5, 4}}) {
    Score score = of({measure});
    score.swing = swing;
    score.key_estimated = true;
    expect_same(score);
  }
}

TEST(MusicXmlEverything, DirectionsOfAllKinds) {
  using Kind = Direction::Kind;
  std::vector<Measure> measures{plain("1"), plain("2"), plain("3")};
  int step = 0;
  for (const Kind kind :
       {Kind::segno, Kind::coda, Kind::to_coda, Kind::da_capo, Kind::dal_segno, Kind::fine}) {
    measures[0].directions.push_back({Fraction(step, 6), kind, ""});
    measures[1].directions.push_back({Fraction(step, 6), kind, "some words"});
    ++step;
  }
  measures[2].directions = {{0, Kind::da_capo, "D.C."},      {0, Kind::fine, "Fine"},
                            {{1, 3}, Kind::words, "Fine"},   {{1, 2}, Kind::rehearsal, "A"},
                            {{1, 2}, Kind::dynamics, "sfz"}, {{3, 4}, Kind::dynamics, "molto f"},
                            {1, Kind::dal_segno, "D.S."},    {1, Kind::to_coda, "To Coda"}};
  expect_same(of(measures));
}

TEST(MusicXmlEverything, ChordSymbols) {
  Measure measure = plain("1");
  ChordSymbol chord;
  chord.kind = "half-diminished";
  chord.root = {Step::B, -1};
  chord.bass = ChordTone{Step::E, -2};
  chord.text = " \u00f8 <7>";
  chord.degrees = {
      {ChordDegree::Kind::add, 9, -1}, {ChordDegree::Kind::alter, 5, 1}, {ChordDegree::Kind::subtract, 3, 0}};
  measure.chords = {chord, chord, chord};
  measure.chords[1].at = {1, 3};
  measure.chords[1].kind = "none";
  measure.chords[1].degrees.clear();
  measure.chords[2].at = 1;
  measure.chords[2].kind = "Neapolitan";
  expect_same(of({measure}));
}

TEST(MusicXmlEverything, Banjos) {
  for (const auto& [capo, fifth] :
       std::vector<std::pair<int, int>>{{0, 5}, {0, 9}, {2, 5}, {2, 7}, {3, 10}, {7, 12}}) {
    Score score;
    score.banjo.capo = capo;
    score.banjo.fifth_capo = fifth;
    score.banjo.frets = 19;
    score.banjo.tuning = *parse_tuning("f#DF#AD");
    Measure measure = plain("1");
    for (int i = 0; i < 4; ++i) {
      const int fret = i == 0 ? 0 : fifth - capo + i;
      measure.strokes[static_cast<std::size_t>(i)].notes = {at(5, fret, score.banjo), at(4, i, score.banjo)};
    }
    score.measures = {measure};
    expect_same(score);
  }
}

TEST(MusicXmlEverything, NestedTupletsOfEveryDepth) {
  Measure measure;
  measure.number = "1";
  measure.length = 1;
  const Fraction third(1, 6);
  for (int i = 0; i < 3; ++i) {
    for (int j = 0; j < 5; ++j) {
      Stroke one = stroke(third * i + third * Fraction(j, 5), third / 5, {at(1, j)});
      one.tuplets = {{3, 2, i == 0 && j == 0, i == 2 && j == 4}, {5, 4, j == 0, j == 4}};
      measure.strokes.push_back(one);
    }
  }
  for (int i = 0; i < 7; ++i) {
    Stroke one = stroke(Fraction(1, 2) + Fraction(i, 14), {1, 14}, {at(1, i)});
    one.tuplets = {{7, 4, i == 0, i == 6}};
    measure.strokes.push_back(one);
  }
  expect_same(of({measure}));
}

}  // namespace
}  // namespace fifthpeg
