// Random melodies for property tests of arranging: a walk over the notes of a key in the values that tunes
// have, with chords or without. The same seed gives the same melody on every machine.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "fifthpeg/score.hpp"
#include "property/random_score.hpp"

namespace fifthpeg::testing {

struct VariedMelodyOptions {
  std::vector<int> beats{4};
  int unit = 4;
  int measures = 8;
  bool pickup = false;
  bool chords = true;
  bool fast = true;  // sixteenths and triplets
  bool rests = true;
  bool ties = true;  // over barlines
};

class VariedMelody {
 public:
  VariedMelody(std::uint64_t seed, const VariedMelodyOptions& options) : random_(seed), options_(options) {}

  Score make() {
    Score score;
    constexpr std::array<int, 6> fifths{1, 0, 2, 3, -1, -2};
    key_ = {static_cast<std::int8_t>(fifths.at(static_cast<std::size_t>(random_.below(6)))), Mode::major};
    tonic_ = pitch_class(7 * tonic(key_));
    meter_.beats = options_.beats;
    meter_.unit = options_.unit;
    if (options_.pickup) {
      Measure& pickup = add_measure(score, "0");
      pickup.implicit = true;
      pickup.length = Fraction(1, 4);
      add(pickup, Fraction(1, 8));
      add(pickup, Fraction(1, 8));
    }
    for (int m = 0; m < options_.measures; ++m) {
      Measure& measure = add_measure(score, std::to_string(m + 1));
      if (options_.chords) add_chord(measure, m + 1 == options_.measures);
      while (onset_ < measure.length) add_beat(measure);
    }
    end_on_tonic(score.measures.back());
    score.measures.front().tempos.push_back({0, 100, {1, 4}, "", true});
    if (options_.ties) tie(score);
    normalize(score);
    return score;
  }

 private:
  Measure& add_measure(Score& score, const std::string& number) {
    Measure& measure = score.measures.emplace_back();
    measure.number = number;
    measure.meter = meter_;
    measure.key = key_;
    measure.length = meter_.length();
    onset_ = 0;
    return measure;
  }

  void add_chord(Measure& measure, bool last) {
    constexpr std::array<int, 5> roots{0, 0, 1, -1, 3};  // on the line of fifths from the tonic
    const int root = last ? 0 : roots.at(static_cast<std::size_t>(random_.below(5)));
    const Pitch pitch = spell(60 + pitch_class(tonic_ + 7 * root), key_);
    ChordSymbol chord;
    chord.root = {pitch.step, pitch.alter};
    chord.kind = root == 3 ? "minor" : root == 1 && random_.chance(50) ? "dominant" : "major";
    measure.chords.push_back(chord);
  }

  int next_pitch() {
    constexpr std::array<int, 7> scale{0, 2, 4, 5, 7, 9, 11};
    degree_ += random_.chance(75) ? random_.between(-1, 1) : random_.between(-4, 4);
    degree_ = std::clamp(degree_, -3, 9);
    const int octave = degree_ < 0 ? -1 : degree_ / 7;
    return 60 + tonic_ + 12 * octave + scale.at(static_cast<std::size_t>((degree_ + 7) % 7));
  }

  void add(Measure& measure, Fraction duration, const std::vector<Tuplet>& tuplets = {}) {
    Stroke stroke;
    stroke.onset = onset_;
    stroke.duration = duration;
    stroke.tuplets = tuplets;
    if (!options_.rests || !random_.chance(6)) {
      Note& note = stroke.notes.emplace_back();
      note.pitch = spell(next_pitch(), key_);
    }
    measure.strokes.push_back(stroke);
    onset_ += duration;
  }

  void add_beat(Measure& measure) {
    const Fraction left = measure.length - onset_;
    const int way = random_.below(options_.fast ? 10 : 7);
    if (meter_.is_compound()) {
      if (left >= Fraction(3, 4) && random_.chance(10)) return add(measure, {3, 4});
      if (way < 2) return add(measure, {3, 8});
      if (way < 5) return add_all(measure, {{1, 4}, {1, 8}});
      if (way < 8) return add_all(measure, {{1, 8}, {1, 8}, {1, 8}});
      return add_all(measure, {{1, 8}, {1, 16}, {1, 16}, {1, 8}});
    }
    if (left >= Fraction(1, 2) && random_.chance(15)) return add(measure, {1, 2});
    if (left >= Fraction(1, 2) && random_.chance(10)) return add_all(measure, {{3, 8}, {1, 8}});
    if (left >= Fraction(1, 2) && random_.chance(8)) return add_all(measure, {{1, 8}, {1, 4}, {1, 8}});
    if (way < 3) return add(measure, {1, 4});
    if (way < 7) return add_all(measure, {{1, 8}, {1, 8}});
    if (way < 8) return add_all(measure, {{1, 16}, {1, 16}, {1, 16}, {1, 16}});
    if (way < 9) return add_all(measure, {{1, 8}, {1, 16}, {1, 16}});
    for (int i = 0; i < 3; ++i) add(measure, {1, 12}, {{3, 2, i == 0, i == 2}});
  }

  void add_all(Measure& measure, const std::vector<Fraction>& durations) {
    for (const Fraction duration : durations) add(measure, duration);
  }

  void end_on_tonic(Measure& measure) const {
    measure.strokes.clear();
    Stroke stroke;
    stroke.duration = measure.length;
    stroke.notes.emplace_back().pitch = spell(60 + tonic_, key_);
    measure.strokes.push_back(stroke);
  }

  void tie(Score& score) {
    for (std::size_t m = 0; m + 1 < score.measures.size(); ++m) {
      Stroke& last = score.measures[m].strokes.back();
      Stroke& next = score.measures[m + 1].strokes.front();
      if (last.is_rest() || next.is_rest() || !random_.chance(20)) continue;
      next.notes.front().pitch = last.notes.front().pitch;
      last.notes.front().tied_to_next = next.notes.front().tied_from_previous = true;
    }
  }

  Random random_;
  VariedMelodyOptions options_;
  Meter meter_;
  Key key_;
  int tonic_ = 0;
  int degree_ = 2;
  Fraction onset_;
};

inline Score varied_melody(std::uint64_t seed, const VariedMelodyOptions& options) {
  return VariedMelody(seed, options).make();
}

}  // namespace fifthpeg::testing
