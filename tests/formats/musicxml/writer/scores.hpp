// Scores made by hand that reach what random ones do not: every field of score.hpp at its edges. All of it
// is invented, or a scale.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "engraving/engrave_text.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::testing {

struct NamedScore {
  std::string name;
  Score score;
  // Whether MusicXML holds all of it: sound, in normal form, within the schema's octaves and XML's
  // characters.
  bool whole = true;
};

inline Measure numbered(Measure measure, int number) {
  measure.number = std::to_string(number);
  return measure;
}

// Measures of one meter, from lines as parse_measure takes them.
inline Score score_of(const std::string& meter, const std::vector<std::string>& lines) {
  Score score;
  for (const std::string& line : lines) {
    score.measures.push_back(
        numbered(parse_measure(meter, line), static_cast<int>(score.measures.size()) + 1));
  }
  normalize(score);
  return score;
}

inline Note placed_note(const Banjo& banjo, int string, int fret) {
  Note note;
  note.placement = Placement{static_cast<std::int8_t>(string), static_cast<std::int8_t>(fret)};
  note.pitch = spell(banjo.midi_at(*note.placement).value_or(60), Key{});
  return note;
}

class HandMadeScores {
 public:
  std::vector<NamedScore> make() {
    meters();
    keys();
    texts();
    banjos();
    tempos();
    directions();
    chord_symbols();
    barlines();
    techniques();
    graces();
    tuplets();
    durations();
    marks();
    damaged();
    return std::move(scores_);
  }

 private:
  Score& add(const std::string& name, Score score, bool whole = true) {
    scores_.push_back({name, std::move(score), whole});
    return scores_.back().score;
  }
  static Stroke& stroke(Score& score, std::size_t index, std::size_t measure = 0) {
    return score.measures[measure].strokes[index];
  }

  void meters() {
    add("empty", Score{});
    for (const char* meter :
         {"1/4",  "2/4",  "3/4",   "4/4",  "5/4",   "6/4",     "7/4",     "9/4", "2/2",   "3/2",
          "4/2",  "1/1",  "3/8",   "4/8",  "5/8",   "6/8",     "7/8",     "8/8", "9/8",   "10/8",
          "11/8", "12/8", "15/16", "4/16", "3+2/8", "2+2+3/8", "3+3+2/8", "4/6", "64/64", "100/4"}) {
      const Fraction length = parse_meter(meter).length();
      std::string eighths;
      Fraction left = length;
      for (; left >= Fraction(1, 8); left -= Fraction(1, 8)) eighths += "1/8 ";
      if (left > 0) eighths += to_string(left);
      std::string name = std::string("meter-") + meter;
      for (char& c : name) c = c == '/' ? '-' : c;
      add(name, score_of(meter, {to_string(length), eighths, "r" + to_string(length)}));
    }
    Score symbols = score_of("4/4", {"1", "1", "1/2 1/2"});
    symbols.measures[0].meter.symbol = Meter::Symbol::common;
    symbols.measures[1] = numbered(parse_measure("2/2", "1"), 2);
    symbols.measures[1].meter.symbol = Meter::Symbol::cut;
    add("meter-symbols", symbols);
    Score pickup = score_of("4/4", {"1/8", "1/4 1/4 1/4 1/4", "3/4 1/8", "1/8", "1/4 1/8"});
    pickup.measures[0].implicit = pickup.measures[3].implicit = true;
    pickup.measures[0].number = "0";
    pickup.measures[3].number = "X1";
    add("pickup", pickup);
    Score named = score_of("4/4", {"1", "1"});
    named.measures[0].number = "7a <\"&'>";
    named.measures[1].number = "";
    add("measure-numbers", named);
  }

  void keys() {
    Score score;
    for (int fifths = -7; fifths <= 7; ++fifths) {
      Measure measure = parse_measure("4/4", "1/4 1/4 1/4 1/4");
      measure.key = {static_cast<std::int8_t>(fifths), static_cast<Mode>((fifths + 7) % 10)};
      for (std::size_t i = 0; i < 4; ++i) {
        measure.strokes[i].notes[0].pitch = {static_cast<Step>((fifths + 7 + static_cast<int>(i)) % 7),
                                             static_cast<std::int8_t>(fifths % 3), 4};
      }
      score.measures.push_back(numbered(measure, fifths + 8));
    }
    score.key_estimated = true;
    add("keys", score);
    Score changes = score_of("4/4", {"1/4 1/4 1/2", "1", "1", "1"});
    changes.measures[0].key_changes = {{{1, 4}, {2, Mode::major}}, {{5, 8}, {-1, Mode::none}}};
    changes.measures[1].key = {-1, Mode::none};
    changes.measures[1].key_changes = {{0, {3, Mode::minor}}, {1, {4, Mode::major}}};
    changes.measures[2].key = {4, Mode::major};
    changes.measures[2].key_changes = {{0, {0, Mode::major}}};
    add("key-changes", changes);
    Score pitches = score_of("4/4", {"1/4 1/4 1/4 1/4", "1/4 1/4 1/4 1/4"});
    const std::vector<Pitch> ends{{Step::C, 0, -1}, {Step::B, 0, 8},  {Step::F, 2, 4},  {Step::B, -2, 4},
                                  {Step::C, 1, 4},  {Step::D, -1, 4}, {Step::E, -1, 4}, {Step::E, 0, 4}};
    for (std::size_t i = 0; i < ends.size(); ++i) stroke(pitches, i % 4, i / 4).notes[0].pitch = ends[i];
    add("pitches", pitches);
  }

  void texts() {
    Score score = score_of("4/4", {"1/4 1/4 1/4 1/4"});
    score.work = {" leading and trailing ",       "<&>\"'", "line\nfeed\ttab\rreturn",
                  "K\xC3\xA4se \xF0\x9F\xAA\x95", " ",      "\n"};
    score.part_name = "";
    score.measures[0].directions = {{0, Direction::Kind::words, "  "},
                                    {0, Direction::Kind::rehearsal, "<A>"}};
    stroke(score, 0).lyrics = {
        {"1", Syllabic::begin, "Li"}, {"2", Syllabic::single, " "}, {"a b", Syllabic::single, "x"}};
    stroke(score, 1).lyrics = {{"1", Syllabic::middle, "bra"}, {"", Syllabic::single, ""}};
    stroke(score, 2).lyrics = {{"1", Syllabic::end, "ry & <co>"}};
    add("texts", score);
  }

  void banjos() {
    int index = 0;
    for (const NamedTuning& named : named_tunings()) {
      Score score = score_of("4/4", {"1/4 1/4 1/4 1/4"});
      score.banjo.tuning = named.tuning;
      score.banjo.capo = index % 4;
      score.banjo.fifth_capo = fifth_nut_fret + index % 5;
      score.banjo.frets = index % 2 == 0 ? 22 : 17;
      for (int string = 1; string <= 4; ++string) {
        stroke(score, static_cast<std::size_t>(string - 1)).notes = {
            placed_note(score.banjo, string + 1, string == 4 ? 12 : string)};
      }
      add("banjo-" + std::to_string(++index), score);
    }
  }

  void tempos() {
    Score score = score_of("4/4", {"1", "1", "1", "1", "1", "1", "1"});
    score.measures[0].tempos = {{0, 120, {1, 4}, "", true},
                                {{1, 3}, {185, 2}, {3, 8}, "Lively & <quick>", true}};
    score.measures[1].tempos = {{0, {60'000'000, 500'001}, {1, 4}, "", false}};
    score.measures[2].tempos = {{{1, 2}, {1, 3}, {1, 2}, "", false}};
    score.measures[3].tempos = {{0, 100, {5, 8}, "", true}};
    score.measures[4].tempos = {{0, 90, {1, 4}, "hidden", false}};
    score.measures[5].tempos = {{1, {123'456'789, 16'777'216}, {7, 16}, "at the end", true}};
    score.measures[6].tempos = {{{1, 7}, 0, {1, 1024}, "", true}};
    add("tempos", score);
    for (const Swing swing : {Swing{{1, 8}, 2, 1}, Swing{{1, 16}, 3, 2}, Swing{{1, 4}, 5, 3}}) {
      Score swung = score_of("4/4", {"1/8 1/8 1/8 1/8 1/2"});
      swung.swing = swing;
      add("swing-" + std::to_string(swing.unit.den()), swung);
    }
  }

  void directions() {
    Score score;
    using Kind = Direction::Kind;
    int number = 0;
    for (const Kind kind : {Kind::words, Kind::rehearsal, Kind::dynamics, Kind::segno, Kind::coda,
                            Kind::to_coda, Kind::da_capo, Kind::dal_segno, Kind::fine}) {
      Measure measure = parse_measure("4/4", "1/2 1/2");
      for (const char* text : {"", "mf", "D.C.", "Fine", "To Coda", "molto"}) {
        measure.directions.push_back({{number % 5, 4}, kind, text});
      }
      measure.directions.push_back({1, kind, "end"});
      score.measures.push_back(numbered(measure, ++number));
    }
    normalize(score);
    add("directions", score);
  }

  void chord_symbols() {
    Score score;
    int number = 0;
    for (const char* kind : {"major", "minor", "augmented", "diminished", "dominant", "major-seventh",
                             "half-diminished", "power", "other", "suspended-fourth", "Tristan", "none"}) {
      Measure measure = parse_measure("4/4", "1/4 1/4 1/2");
      ChordSymbol chord;
      chord.at = {number % 5, 4};
      chord.root = {static_cast<Step>(number % 7), static_cast<std::int8_t>(number % 3 - 1)};
      chord.kind = kind;
      if (number % 2 == 0) chord.text = "\"x\" <7>";
      if (number % 3 == 0) chord.bass = ChordTone{Step::F, 1};
      if (number % 4 == 0) {
        chord.degrees = {{ChordDegree::Kind::add, 9, 0},
                         {ChordDegree::Kind::alter, 5, -1},
                         {ChordDegree::Kind::subtract, 3, 1}};
      }
      measure.chords = {chord};
      chord.at = 1;
      measure.chords.push_back(chord);
      score.measures.push_back(numbered(measure, ++number));
    }
    add("chord-symbols", score);
  }

  void barlines() {
    Score score = score_of("2/4", std::vector<std::string>(12, "1/2"));
    const auto at = [&](std::size_t i) -> Measure& { return score.measures[i]; };
    at(0).repeat_starts = true;
    at(0).repeat_times = 2;
    at(1).ending = Ending{{1, 2}, true, Ending::Stop::none};
    at(2).ending = Ending{{1, 2}, false, Ending::Stop::none};
    at(3).ending = Ending{{1, 2}, false, Ending::Stop::closed};
    at(3).repeat_times = 3;
    at(4).ending = Ending{{3}, true, Ending::Stop::open};
    at(5).right_bar = BarStyle::light_light;
    at(6).right_bar = BarStyle::dashed;
    at(7).right_bar = BarStyle::dotted;
    at(8).right_bar = BarStyle::none;
    at(9).right_bar = BarStyle::heavy;
    at(10).ending = Ending{{1}, true, Ending::Stop::closed};
    at(11).right_bar = BarStyle::light_heavy;
    add("barlines", score);
  }

  void techniques() {
    const Banjo banjo;
    for (const Technique technique :
         {Technique::hammer_on, Technique::pull_off, Technique::slide, Technique::slur}) {
      Score score = score_of("4/4", {"1/4 1/4 1/4 1/4", "5/8 3/8"});
      const auto join = [technique](Note& from, Note& to) {
        from.out_of = technique;
        to.into = technique;
      };
      stroke(score, 0).notes = {placed_note(banjo, 2, 1), placed_note(banjo, 3, 2)};
      stroke(score, 1).notes = {placed_note(banjo, 2, 3), placed_note(banjo, 3, 4)};
      stroke(score, 2).notes = {placed_note(banjo, 1, 2)};
      join(stroke(score, 0).notes[0], stroke(score, 1).notes[0]);
      join(stroke(score, 0).notes[1], stroke(score, 1).notes[1]);
      join(stroke(score, 1).notes[1], stroke(score, 2).notes[0]);
      join(stroke(score, 3).notes[0], stroke(score, 0, 1).notes[0]);  // over the barline, unplaced
      join(stroke(score, 0, 1).notes[0], stroke(score, 1, 1).notes[0]);
      add("technique-" + std::to_string(static_cast<int>(technique)), score);
    }
    Score chokes = score_of("4/4", {"1/4 1/4 1/4 1/4", "5/8 3/8"});
    const std::vector<Choke> all{
        {200, false, false}, {100, true, false}, {50, false, true}, {25, true, true}};
    for (std::size_t i = 0; i < all.size(); ++i) stroke(chokes, i).notes[0].choke = all[i];
    stroke(chokes, 0, 1).notes[0].choke = Choke{305, false, true};
    stroke(chokes, 1, 1).notes[0].choke = Choke{7, false, true};
    add("chokes", chokes);
    Score hands = score_of("4/4", {"1/8 1/8 1/8 1/8 1/8 1/8 1/4"});
    for (int i = 0; i < 6; ++i) {
      Note& note = stroke(hands, static_cast<std::size_t>(i)).notes[0];
      note.finger = static_cast<FretFinger>(i);
      note.picking_finger = static_cast<PickingFinger>(i);
      note.dead = i % 2 == 0;
      note.harmonic = i % 3 == 0;
      note.ring = static_cast<Ring>(i % 3);
    }
    add("hands", hands);
    Score same = score_of("4/4", {"5/8 3/8", "1"});  // one pitch on two strings, held over everything
    for (Measure& measure : same.measures) {
      for (Stroke& s : measure.strokes) {
        s.notes = {placed_note(banjo, 1, 0), placed_note(banjo, 2, 3), placed_note(banjo, 3, 0)};
        for (Note& note : s.notes) note.tied_to_next = note.tied_from_previous = true;
        s.articulations.tenuto = true;
      }
    }
    stroke(same, 0).notes[2].tied_to_next = false;
    stroke(same, 1).notes[2].tied_from_previous = false;
    normalize(same);
    add("unisons-tied", same);
  }

  void graces() {
    Score score = score_of("4/4", {"g1/16 1/4 g1/32 g1/32 g3/32 1/8 1/8 r1/4 g1/8 1/4 g1/4"});
    for (std::size_t i = 0; i < score.measures[0].strokes.size(); ++i) {
      Stroke& s = stroke(score, i);
      if (s.grace != Grace::none && i % 2 == 0) s.grace = Grace::slashed;
      if (s.grace != Grace::none && i % 3 == 0) s.notes.push_back(s.notes.front());
    }
    stroke(score, 0).notes[0].out_of = Technique::hammer_on;
    stroke(score, 1).notes[0].into = Technique::hammer_on;
    score.measures[0].directions = {{0, Direction::Kind::words, "before the grace note"}};
    normalize(score);
    add("graces", score);
    add("grace-tuplet", score_of("4/4", {"3:2[g1/24 g1/24 g1/24] 1"}));
  }

  void tuplets() {
    add("tuplets",
        score_of("4/4",
                 {"3:2[1/12 1/12 1/12] 3:2[1/6 1/12] 5:4[1/20 1/20 1/20 1/20 1/20] 7:4[3/28 1/28 1/14 1/28]",
                  "3:2[1/6 1/6 1/6] 3:2[r1/12 1/12 r1/12] 3:2[1/8 1/24 1/12]", "3:2[1/3 1/3 1/3]",
                  "9:8[1/9 1/9 1/9 1/9 1/9 1/9 1/9 1/9 1/9]"}));
    add("tuplets-nested", score_of("4/4", {"3:2[1/6 3:2[1/18 1/18 1/18] 1/6] 1/2",
                                           "3:2[5:4[1/30 1/30 1/30 1/30 1/30] 1/6 1/6] 1/2",
                                           "3:2[3:2[1/9 1/9 1/9] 3:2[1/9 1/9 3:2[1/27 1/27 1/27]] 1/3]"}));
    add("tuplets-compound", score_of("6/8", {"2:3[3/16 3/16] 4:3[3/32 3/32 3/32 3/32]", "2:3[3/8 3/8]"}));
    add("tuplets-parted", score_of("4/4", {"3:2[5/24 1/8] 3:2[5/12 1/4]", "5:4[5/32 3/32] 3/4"}));
    add("tuplet-of-one", score_of("4/4", {"3:2[1/3] 3:2[2/3]"}));
    Score bare = score_of("4/4", {"3:2[1/12 1/12 1/12] 3/4"});
    for (Stroke& s : bare.measures[0].strokes) {
      for (Tuplet& t : s.tuplets) t.starts = t.stops = false;
    }
    add("tuplets-bare", bare, false);  // no group says where it ends; a reader has to decide
  }

  void durations() {
    add("durations",
        score_of("4/4", {"5/16 1/16 7/16 3/16", "r5/16 11/16", "1/64 31/32 1/64", "1/1024 1023/1024",
                         "1/4096 4095/4096", "7/8 1/8", "r1/8 r1/4 1/8 1/2"}));
    add("sevenths", score_of("4/4", {"1/7 6/7", "1/4 3/4"}));
    add("no-common-divisions",
        score_of("4/4", {"1/7 6/7", "1/11 10/11", "1/13 12/13", "1/17 16/17", "1/19 18/19", "1/23 22/23"}));
    add("long", score_of("4/4", {"2", "4", "8", "14", "31", "r9", "1000"}));
    Score fine = score_of("4/4", {"1/4 3/4"});
    fine.measures[0].chords = {*parse_chord_symbol("G")};
    fine.measures[0].chords[0].at = {1, 1'000'003};
    add("fine-place", fine);
  }

  void marks() {
    Score score = score_of("4/4", {"1/8 1/8 1/8 1/8 1/8 3/8", "r1/4 r5/8 r1/8", "r1"});
    stroke(score, 0).articulations.accent = true;
    stroke(score, 1).articulations.strong_accent = true;
    stroke(score, 2).articulations.staccato = true;
    stroke(score, 3).articulations.tenuto = true;
    stroke(score, 4).articulations = {true, true, true, true, true};
    stroke(score, 5).brush = Brush::up;
    stroke(score, 5).notes.push_back(stroke(score, 5).notes.front());
    score.measures[1] = numbered(parse_measure("4/4", "r1/4 r5/8 r1/8"), 2);
    stroke(score, 1, 1).articulations.fermata = true;
    stroke(score, 0, 2).articulations.fermata = true;
    normalize(score);
    add("marks", score);
    Score brushes = score_of("4/4", {"1/4 1/4 1/2"});
    for (std::size_t i = 0; i < 3; ++i) {
      stroke(brushes, i).notes = {placed_note({}, 1, 0), placed_note({}, 2, 0), placed_note({}, 3, 0)};
      stroke(brushes, i).brush = static_cast<Brush>(i + 1);
    }
    normalize(brushes);
    add("brushes", brushes);
  }

  // What no MusicXML can hold must still come out valid.
  void damaged() {
    Score score = score_of("4/4", {"1/4 1/4 1/4 1/4", "g1/7 1"});
    score.work.title = "bad \xFF\xC3 utf\x01-8 \xED\xA0\x80 \xEF\xBF\xBF";
    score.part_name = std::string("nul\0char", 8);
    score.measures[0].number = "\x02";
    stroke(score, 0).notes[0].pitch = {Step::C, 100, 100};
    stroke(score, 1).notes[0].pitch = {Step::C, -100, -100};
    stroke(score, 0, 1).notes[0].pitch = {Step::C, 3, 4};
    stroke(score, 1, 1).notes[0].pitch = {Step::D, -3, 4};
    stroke(score, 2).notes[0].placement = Placement{-3, -1};
    stroke(score, 3).tuplets = {{-3, 0, true, true}};
    score.measures[0].ending = Ending{{0, -1}, true, Ending::Stop::closed};
    score.measures[0].chords = {{0, {Step::C, 0}, "no such kind", "", {{ChordDegree::Kind::add, 0, 0}}, {}}};
    score.measures[0].tempos = {{0, -5, {1, 7}, "", true}, {{1, 2}, 120, {-1, 7}, "", true}};
    score.measures[1].repeat_times = 1;
    score.swing = Swing{{1, 8}, 0, -1};
    add("damaged", score, false);
    Score beyond = score_of("4/4", {"1/4 3/4"});  // no 32-bit divisions hold these
    Measure& measure = beyond.measures[0];
    measure.strokes[0].duration = {1, 1'000'003};
    measure.strokes[1].onset = {1, 1'000'003};
    measure.strokes[1].duration = Fraction(1) - measure.strokes[1].onset;
    measure.chords = {*parse_chord_symbol("G")};
    measure.chords[0].at = {1, 998'244'353};
    add("beyond-divisions", beyond, false);
  }

  std::vector<NamedScore> scores_;
};

inline std::vector<NamedScore> hand_made_scores() {
  return HandMadeScores().make();
}

}  // namespace fifthpeg::testing
