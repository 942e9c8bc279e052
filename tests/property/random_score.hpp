// Random sound scores for property tests: every score has no flaws() and is in normal form, and the same
// seed gives the same score on every machine.
#pragma once

#include <algorithm>
#include <cstdint>
#include <string>
#include <vector>

#include "engraving/written_values.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::testing {

// What may occur in a random score. Everything off gives plain melodies in quarters and eighths.
struct RandomScoreOptions {
  int measures = 8;
  bool placed = true;      // placements on every note
  bool chords = true;      // strokes of several notes
  bool techniques = true;  // hammer-ons, pull-offs, slides, chokes, rings, harmonics, fingers, digits
  bool grace = true;
  bool tuplets = true;
  bool nested_tuplets = false;
  bool ties = true;           // over barlines
  bool changes = true;        // meter, key and tempo changes
  bool repeats = true;        // repeats and endings, jumps
  bool values = true;         // note values that the meter would part
  bool words = true;          // titles, directions, chord symbols, lyrics
  bool unusual_banjo = true;  // other tunings, capos
  bool roles = true;          // what notes are for, in every other score
};

// SplitMix64 (S. Vigna, public domain algorithm): not std::*_distribution, whose results differ by library.
class Random {
 public:
  explicit Random(std::uint64_t seed) : state_(seed) {}
  std::uint64_t next() {
    std::uint64_t z = (state_ += 0x9e3779b97f4a7c15U);
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9U;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebU;
    return z ^ (z >> 31);
  }
  int below(int count) { return static_cast<int>(next() % static_cast<std::uint64_t>(count)); }
  int between(int low, int high) { return low + below(high - low + 1); }
  bool chance(int percent) { return below(100) < percent; }
  template <typename T>
  const T& of(const std::vector<T>& choices) {
    return choices[static_cast<std::size_t>(below(static_cast<int>(choices.size())))];
  }

 private:
  std::uint64_t state_;
};

class RandomScore {
 public:
  RandomScore(std::uint64_t seed, const RandomScoreOptions& options)
      : random_(seed), roles_(seed ^ 0x726f6c65U), options_(options) {}

  Score make() {
    make_head();
    Meter meter = random_.of(meters());
    Key key = random_key();
    const bool pickup = options_.changes && random_.chance(30);
    for (int i = 0; i < options_.measures; ++i) {
      if (options_.changes && i > 0 && random_.chance(8)) meter = random_.of(meters());
      if (options_.changes && i > 0 && random_.chance(8)) key = random_key();
      Measure measure;
      measure.meter = meter;
      measure.key = key;
      measure.number = std::to_string(pickup ? i : i + 1);
      measure.length = meter.length();
      if (pickup && i == 0) {
        measure.implicit = true;
        measure.length =
            meter.beats.size() == 1 && meter.beats[0] > 1 ? Fraction(1, meter.unit) : meter.length();
      }
      fill(measure);
      decorate(measure, i);
      score_.measures.push_back(std::move(measure));
    }
    if (options_.repeats) make_repeats();
    score_.measures.back().right_bar =
        score_.measures.back().repeat_times > 0 ? BarStyle::regular : BarStyle::light_heavy;
    if (options_.techniques) make_techniques();
    if (options_.ties) make_ties();
    if (options_.roles && roles_.chance(50)) make_roles();
    normalize(score_);
    if (options_.values) make_unparted();
    return std::move(score_);
  }

 private:
  static const std::vector<Meter>& meters() {
    static const std::vector<Meter> all{{{4}, 4, Meter::Symbol::numbers}, {{4}, 4, Meter::Symbol::common},
                                        {{2}, 2, Meter::Symbol::cut},     {{2}, 4, Meter::Symbol::numbers},
                                        {{3}, 4, Meter::Symbol::numbers}, {{6}, 8, Meter::Symbol::numbers},
                                        {{9}, 8, Meter::Symbol::numbers}, {{3, 2}, 8, Meter::Symbol::numbers},
                                        {{5}, 4, Meter::Symbol::numbers}, {{12}, 8, Meter::Symbol::numbers}};
    return all;
  }

  Key random_key() {
    return {static_cast<std::int8_t>(random_.between(-4, 5)),
            random_.of(std::vector<Mode>{Mode::major, Mode::minor, Mode::mixolydian, Mode::dorian})};
  }

  void make_head() {
    if (options_.words) {
      score_.work.title =
          random_.of(std::vector<std::string>{"Library Reel", "Tuesday & <Friends>", "Käsebier \"Jig\"", ""});
      score_.work.composer = random_.of(std::vector<std::string>{"Trad.", ""});
      score_.work.arranger = random_.of(std::vector<std::string>{"A. Handout", ""});
      score_.work.lyricist = random_.of(std::vector<std::string>{"B. Handout", ""});
      score_.work.rights = random_.of(std::vector<std::string>{"For the class", ""});
      score_.work.source = random_.of(std::vector<std::string>{"A notebook", ""});
      if (random_.chance(30)) score_.part_name = "Banjo 2";
      score_.key_estimated = random_.chance(10);
      if (random_.chance(15)) score_.swing = Swing{{1, 8}, 2, 1};
    }
    if (options_.unusual_banjo) {
      const auto& tunings = named_tunings();
      score_.banjo.tuning =
          tunings[static_cast<std::size_t>(random_.below(static_cast<int>(tunings.size())))].tuning;
      score_.banjo.capo = random_.chance(40) ? random_.between(1, 4) : 0;
      score_.banjo.fifth_capo =
          random_.chance(70) ? usual_fifth_capo(score_.banjo.capo) : fifth_nut_fret + random_.between(0, 4);
      score_.banjo.frets = random_.chance(20) ? 24 : 22;
    }
  }

  std::vector<Note> random_notes() {
    std::vector<Note> notes;
    std::vector<int> strings{1, 2, 3, 4, 5};
    const int count = options_.chords && random_.chance(20) ? random_.between(2, 3) : 1;
    const int position = random_.between(1, 9);
    for (int i = 0; i < count; ++i) {
      const auto pick = static_cast<std::size_t>(random_.below(static_cast<int>(strings.size())));
      const int string = strings[pick];
      strings.erase(strings.begin() + static_cast<std::ptrdiff_t>(pick));
      int fret = random_.chance(40) ? 0 : position + random_.between(0, 3);
      if (string == fifth_string && !score_.banjo.midi_at({5, static_cast<std::int8_t>(fret)})) fret = 0;
      const Placement placement{static_cast<std::int8_t>(string), static_cast<std::int8_t>(fret)};
      Note note;
      note.pitch = spell(*score_.banjo.midi_at(placement), key_);
      if (options_.placed) note.placement = placement;
      if (options_.placed && options_.techniques && random_.chance(50)) {
        note.finger = fret == 0 ? FretFinger::open : static_cast<FretFinger>(random_.between(1, 4));
      }
      if (options_.techniques && random_.chance(50))
        note.picking_finger = static_cast<PickingFinger>(random_.between(0, 2));
      notes.push_back(note);
    }
    return notes;
  }

  Stroke stroke(Fraction onset, Fraction duration) {
    Stroke result;
    result.onset = onset;
    result.duration = duration;
    if (!random_.chance(12)) {
      result.notes = random_notes();
      if (options_.techniques && result.notes.size() > 1 && random_.chance(20)) {
        result.brush = random_.chance(50) ? Brush::up : Brush::down;
      }
      if (options_.techniques && random_.chance(10)) result.articulations.accent = true;
      if (options_.techniques && random_.chance(5)) result.articulations.staccato = true;
      if (options_.words && random_.chance(8)) result.lyrics.push_back({"1", Syllabic::single, "la"});
    }
    return result;
  }

  void add(Measure& measure, Stroke&& next) {
    if (options_.grace && !next.is_rest() && random_.chance(6)) {
      Stroke grace;
      grace.onset = next.onset;
      grace.duration = {1, 16};
      grace.grace = random_.chance(50) ? Grace::slashed : Grace::plain;
      grace.notes = random_notes();
      grace.notes.resize(1);
      measure.strokes.push_back(std::move(grace));
    }
    measure.strokes.push_back(std::move(next));
  }

  void add_tuplet(Measure& measure, Fraction onset, Fraction span) {
    const int actual = random_.of(std::vector<int>{3, 3, 3, 5});
    const int normal = actual == 3 ? 2 : 4;
    for (int i = 0; i < actual; ++i) {
      const bool inner = options_.nested_tuplets && actual == 3 && i == 1;
      const int parts = inner ? 3 : 1;
      for (int j = 0; j < parts; ++j) {
        const Fraction unit = span / actual;
        Stroke next = stroke(onset + unit * i + unit * j / parts, unit / parts);
        if (next.is_rest()) next.notes = random_notes();  // a rest could be joined out of its group
        next.tuplets.push_back({static_cast<std::int16_t>(actual), static_cast<std::int16_t>(normal),
                                i == 0 && j == 0, i == actual - 1 && j == parts - 1});
        if (inner) next.tuplets.push_back({3, 2, j == 0, j == 2});
        add(measure, std::move(next));
      }
    }
  }

  void fill(Measure& measure) {
    key_ = measure.key;
    Fraction now;
    while (now < measure.length) {
      const Fraction left = measure.length - now;
      std::vector<Fraction> fitting;
      for (const Fraction value : {Fraction(1, 4), Fraction(1, 8), Fraction(1, 8), Fraction(1, 16),
                                   Fraction(3, 8), Fraction(1, 2), Fraction(5, 16)}) {
        if (value <= left) fitting.push_back(value);
      }
      if (options_.tuplets && left >= Fraction(1, 4) && (now * 4).is_whole() && random_.chance(15)) {
        add_tuplet(measure, now, {1, 4});
        now += Fraction(1, 4);
        continue;
      }
      Fraction value = fitting.empty() ? left : random_.of(fitting);
      if (left - value != 0 && left - value < Fraction(1, 16)) value = left;
      add(measure, stroke(now, value));
      now += value;
    }
  }

  void decorate(Measure& measure, int index) {
    if (index == 0 || (options_.changes && random_.chance(10))) {
      Tempo tempo;
      tempo.at = index == 0 ? Fraction(0) : measure.length / 2;
      if (measure.meter.is_compound()) tempo.beat_unit = {3, 8};
      tempo.quarters_per_minute = Fraction(random_.between(60, 200)) * tempo.beat_unit * 4;
      if (options_.words && random_.chance(20)) tempo.words = "Lively";
      measure.tempos.push_back(tempo);
    }
    if (!options_.words) return;
    if (random_.chance(40)) {
      ChordSymbol chord = *parse_chord_symbol(random_.of(
          std::vector<std::string>{"G", "C", "D7", "Em", "Am7", "D7/F#", "N.C.", "Bb", "Gsus4", "G(add9)"}));
      chord.at = random_.chance(50) ? Fraction(0) : measure.strokes.back().onset;
      measure.chords.push_back(chord);
    }
    if (random_.chance(15)) measure.directions.push_back({0, Direction::Kind::words, "softly"});
    if (random_.chance(10)) measure.directions.push_back({0, Direction::Kind::rehearsal, "B"});
    if (random_.chance(10)) measure.directions.push_back({0, Direction::Kind::dynamics, "mf"});
  }

  void make_repeats() {
    const std::size_t count = score_.measures.size();
    if (count < 4 || random_.chance(40)) return;
    const std::size_t half = count / 2;
    score_.measures[1].repeat_starts = true;
    if (random_.chance(50)) {
      score_.measures[half - 1].repeat_times = random_.chance(80) ? 2 : 3;
    } else if (half >= 2 && half + 1 < count) {
      score_.measures[half - 1].repeat_times = 2;
      score_.measures[half - 1].ending = Ending{{1}, true, Ending::Stop::closed};
      score_.measures[half].ending = Ending{{2}, true, Ending::Stop::open};
    }
    if (random_.chance(20)) {
      auto& directions = score_.measures.back().directions;
      Direction jump{score_.measures.back().length, Direction::Kind::da_capo, "D.C. al Fine"};
      directions.push_back(jump);
      Measure& fine = score_.measures[half];
      fine.directions.push_back({fine.length, Direction::Kind::fine, "Fine"});
    }
  }

  void make_unparted() {
    for (Measure& measure : score_.measures) {
      for (Stroke& stroke : measure.strokes) {
        stroke.unparted = stroke.grace == Grace::none && random_.chance(50);
      }
    }
    engraving::settle_unparted(score_);
  }

  // Drawn apart from all else: the scores are the same without them.
  void make_roles() {
    for (Measure& measure : score_.measures) {
      for (Stroke& stroke : measure.strokes) {
        for (Note& note : stroke.notes) {
          if (roles_.chance(90)) note.role = static_cast<Role>(roles_.between(1, 6));
        }
      }
    }
  }

  // Joins neighboring single notes on one string.
  void make_techniques() {
    Note* previous = nullptr;
    for (Measure& measure : score_.measures) {
      for (Stroke& stroke : measure.strokes) {
        Note* current = stroke.notes.size() == 1 ? &stroke.notes.front() : nullptr;
        if (current != nullptr && previous != nullptr && current->placement && previous->placement &&
            current->placement->string == previous->placement->string && random_.chance(40)) {
          const int rise = current->placement->fret - previous->placement->fret;
          const Technique technique = rise == 0            ? Technique::none
                                      : random_.chance(40) ? Technique::slide
                                      : rise > 0           ? Technique::hammer_on
                                                           : Technique::pull_off;
          previous->out_of = technique;
          current->into = technique;
        }
        if (current != nullptr && stroke.grace == Grace::none && current->placement) {
          if (current->placement->fret > 0 && random_.chance(4)) {
            current->choke = Choke{static_cast<std::int16_t>(random_.chance(50) ? 100 : 200),
                                   random_.chance(20), random_.chance(30)};
          }
          if (random_.chance(6)) current->ring = random_.chance(60) ? Ring::let_ring : Ring::damp;
          if (current->placement->fret == 12 && random_.chance(50)) current->harmonic = true;
        }
        previous = current;
      }
    }
  }

  void make_ties() {
    for (std::size_t i = 0; i + 1 < score_.measures.size(); ++i) {
      if (!random_.chance(20) || score_.measures[i].repeat_times > 0) continue;
      Stroke& from = score_.measures[i].strokes.back();
      Stroke& to = score_.measures[i + 1].strokes.front();
      if (from.is_rest() || to.grace != Grace::none || to.is_rest() || from.grace != Grace::none) continue;
      for (Note& note : from.notes) {
        if (note.ring == Ring::let_ring || note.out_of != Technique::none) return;
      }
      to.notes = from.notes;
      for (Note& note : from.notes) note.tied_to_next = true;
      for (Note& note : to.notes) {
        note.tied_from_previous = true;
        note.tied_to_next = false;
        note.into = note.out_of = Technique::none;
        note.choke.reset();
        note.picking_finger.reset();
      }
      for (Note& note : from.notes) note.ring = Ring::natural;
      to.brush = Brush::none;
      // What followed may have been joined to a note that is no longer there.
      unlink_after(i + 1);
    }
  }

  void unlink_after(std::size_t index) {
    auto& strokes = score_.measures[index].strokes;
    Stroke* next = strokes.size() > 1                   ? &strokes[1]
                   : index + 1 < score_.measures.size() ? &score_.measures[index + 1].strokes.front()
                                                        : nullptr;
    if (next == nullptr) return;
    for (Note& note : next->notes) note.into = Technique::none;
  }

  Random random_;
  Random roles_;
  RandomScoreOptions options_;
  Score score_;
  Key key_;
};

inline Score random_score(std::uint64_t seed, const RandomScoreOptions& options = {}) {
  return RandomScore(seed, options).make();
}

}  // namespace fifthpeg::testing
