// Random melodies as people sing and fiddle them: by steps and small leaps, home at the end.
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <random>
#include <string>
#include <utility>
#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg::arranged {

struct MelodyKind {
  std::vector<int> beats{4};
  int unit = 4;
  int measures = 16;
  int tonic = 67;  // MIDI number around which it moves
  bool minor = false;
  bool busy = false;  // mostly eighths, like a fiddle tune
  bool pickup = false;
};

// The same on every machine: no distributions.
class Dice {
 public:
  explicit Dice(unsigned seed) : engine_(seed) {}
  int under(int n) { return static_cast<int>(engine_() % static_cast<unsigned>(n)); }

 private:
  std::mt19937 engine_;
};

inline Score random_melody(unsigned seed, const MelodyKind& kind) {
  constexpr std::array major{0, 2, 4, 5, 7, 9, 11};
  constexpr std::array natural{0, 2, 3, 5, 7, 8, 10};
  Dice dice(seed);
  const auto& scale = kind.minor ? natural : major;
  const Key key{static_cast<std::int8_t>(0), kind.minor ? Mode::minor : Mode::major};
  int degree = 0;  // steps above the tonic
  const auto pitch = [&] {
    const int octave = degree >= 0 ? degree / 7 : (degree - 6) / 7;
    return spell(kind.tonic + 12 * octave + scale.at(static_cast<std::size_t>(degree - 7 * octave)), key);
  };
  Score score;
  const Meter meter{kind.beats, kind.unit, Meter::Symbol::numbers};
  const Fraction beat = meter.beat();
  const Fraction small = meter.is_compound() ? Fraction(1, kind.unit) : Fraction(1, 8);
  const auto add_measure = [&](Fraction length, bool implicit, bool last) {
    Measure measure;
    measure.number = std::to_string(score.measures.size() + (kind.pickup ? 0 : 1));
    measure.implicit = implicit;
    measure.meter = meter;
    measure.length = length;
    Fraction at;
    while (at < length) {
      Stroke stroke;
      stroke.onset = at;
      const bool on_beat = (at / beat).is_whole();
      const bool syncopated = !kind.busy && !on_beat && dice.under(4) == 0;
      Fraction value = dice.under(10) < (kind.busy ? 8 : 4) ? small : on_beat || syncopated ? beat : small;
      if (on_beat && !kind.busy && dice.under(8) == 0) value = beat * 2;
      if (last && at == 0) {
        value = length;
        degree = degree > 3 ? 7 : 0;
      } else if (dice.under(20) == 0 && !implicit) {
        stroke.duration = std::min(small, length - at);
        at += stroke.duration;
        measure.strokes.push_back(stroke);  // a rest
        continue;
      } else {
        degree = std::clamp(
            degree + dice.under(5) - 2 + (dice.under(6) == 0 ? 2 : 0) - (dice.under(6) == 0 ? 2 : 0), -3, 9);
      }
      stroke.duration = std::min(value, length - at);
      at += stroke.duration;
      Note note;
      note.pitch = pitch();
      stroke.notes.push_back(note);
      measure.strokes.push_back(stroke);
    }
    score.measures.push_back(std::move(measure));
  };
  if (kind.pickup) add_measure(small * 2, true, false);
  for (int m = 0; m < kind.measures; ++m) add_measure(meter.length(), false, m + 1 == kind.measures);
  normalize(score);
  return score;
}

// Twelve melodies of a meter: major and minor, calm and busy, with a pickup and without, in several keys.
inline std::vector<Score> melodies_in(const std::vector<int>& beats, int unit) {
  std::vector<Score> scores;
  for (unsigned seed = 0; seed < 12; ++seed) {
    MelodyKind kind;
    kind.beats = beats;
    kind.unit = unit;
    kind.tonic = 60 + static_cast<int>(seed * 5 % 12);
    kind.minor = seed % 4 == 3;
    kind.busy = seed % 2 == 1;
    kind.pickup = seed % 3 == 2;
    scores.push_back(random_melody(seed + 100, kind));
  }
  return scores;
}

}  // namespace fifthpeg::arranged
