// In which key music stands. All is counted from the note that the music ends on, so that the same music in
// another key stands in the key as far away, ties included.
#include "harmony/key.hpp"

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstdlib>
#include <numeric>
#include <optional>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/harmony.hpp"
#include "harmony/units.hpp"
#include "harmony/weights.hpp"
#include "score/chord_tones.hpp"

namespace fifthpeg::harmony {
namespace {

constexpr KeyWeights key_weights;

struct Scale {
  Mode mode;
  int fifths;                // of its signature, from that of the major key on the same tonic
  std::array<int, 7> notes;  // half steps above the tonic
  int third;
  int weight;
};
constexpr std::array<Scale, 4> scales{
    {{Mode::major, 0, {0, 2, 4, 5, 7, 9, 11}, 4, 0},
     {Mode::minor, -3, {0, 2, 3, 5, 7, 8, 10}, 3, key_weights.minor},
     {Mode::dorian, -2, {0, 2, 3, 5, 7, 9, 10}, 3, key_weights.dorian},
     {Mode::mixolydian, -1, {0, 2, 4, 5, 7, 9, 10}, 4, key_weights.mixolydian}}};

// The chord that chord symbols end with.
struct LastChord {
  int root = 0;
  ChordTones tones;
};

// What there is to go by.
struct Evidence {
  PitchClasses sounding{};     // how long each sounds
  PitchClasses begins_bars{};  // how many measures begin with each
  std::optional<int> last;     // what the music ends on, where there are notes
  PitchClasses in_symbols{};   // how long each belongs to the chord that stands over the music
  std::optional<LastChord> last_chord;
};

std::int64_t at_degree(const PitchClasses& of, int tonic, int half_steps) {
  return of.at(pitch_class_of(tonic + half_steps));
}

bool can_be_heard(const Stroke& stroke) {
  return stroke.grace == Grace::none &&
         std::any_of(stroke.notes.begin(), stroke.notes.end(), [](const Note& note) { return !note.dead; });
}

// The lowest note of the last stroke that has a pitch.
std::optional<int> last_note(const Score& score, std::size_t first, std::size_t end) {
  for (std::size_t m = end; m > first; --m) {
    const auto& strokes = score.measures[m - 1].strokes;
    const auto last = std::find_if(strokes.rbegin(), strokes.rend(), can_be_heard);
    if (last != strokes.rend()) return last->notes.back().pitch.midi();
  }
  return std::nullopt;
}

void count_start(const Measure& measure, PitchClasses& begins_bars) {
  for (const Stroke& stroke : measure.strokes) {
    if (stroke.onset != 0) return;
    if (!can_be_heard(stroke)) continue;
    for (const Note& note : stroke.notes) ++begins_bars.at(pitch_class_of(note.pitch.midi()));
  }
}

void add_sounding(const Stroke& stroke, PitchClasses& sounding) {
  if (stroke.grace != Grace::none || stroke.notes.empty()) return;
  const std::int64_t ticks = ticks_of(stroke.duration);
  for (const Note& note : stroke.notes) {
    if (weighs(note)) sounding.at(pitch_class_of(note.pitch.midi())) += ticks;
  }
}

// The chord symbols of a stretch, one after the other.
class SymbolsWeighed {
 public:
  explicit SymbolsWeighed(Evidence& evidence) : evidence_(evidence) {}

  void add(const Measure& measure) {
    Fraction from;
    for (const ChordSymbol& chord : measure.chords) {
      weigh(chord.at - from);
      from = chord.at;
      const auto tones = chord_tones(chord);
      lasting_ = tones.value_or(ChordTones{});
      if (tones) evidence_.last_chord = {Pitch{chord.root.step, chord.root.alter, 4}.midi(), *tones};
    }
    weigh(measure.length - from);
  }

 private:
  void weigh(Fraction time) {
    if (time <= 0) return;
    const std::int64_t ticks = ticks_of(time);
    for (int tone = 0; tone < 12; ++tone) {
      if (lasting_.has(tone)) evidence_.in_symbols.at(pitch_class_of(tone)) += ticks;
    }
  }

  Evidence& evidence_;
  ChordTones lasting_;
};

Evidence evidence_in(const Score& score, std::size_t first, std::size_t end, KeyFrom from) {
  Evidence evidence;
  SymbolsWeighed symbols(evidence);
  BarCounter counter(first == 0);
  for (std::size_t m = first; m < end; ++m) {
    const Measure& measure = score.measures[m];
    counter.next(measure, m + 1 == score.measures.size());
    for (const Stroke& stroke : measure.strokes) add_sounding(stroke, evidence.sounding);
    if (from == KeyFrom::notes_and_symbols) symbols.add(measure);
    if (counter.start() == 0) count_start(measure, evidence.begins_bars);
  }
  evidence.last = last_note(score, first, end);
  return evidence;
}

std::int64_t sum(const PitchClasses& of) {
  return std::accumulate(of.begin(), of.end(), std::int64_t{0});
}

// In thousandths.
std::int64_t share(std::int64_t part, const PitchClasses& of) {
  return 1000 * part / std::max(sum(of), std::int64_t{1});
}

// How much is in the tonic's chord, and on the tonic, times the weights of either.
std::int64_t weigh_chord(const PitchClasses& of, int tonic, int third, int in_chord, int on_tonic) {
  constexpr int fifth = 7;
  const std::int64_t root = at_degree(of, tonic, 0);
  const std::int64_t chord = root + at_degree(of, tonic, third) + at_degree(of, tonic, fifth);
  return in_chord * share(chord, of) + on_tonic * share(root, of);
}

std::int64_t share_outside(const PitchClasses& of, int tonic, const Scale& scale) {
  std::int64_t outside = sum(of);
  for (const int note : scale.notes) outside -= at_degree(of, tonic, note);
  return share(outside, of);
}

// From one place on the line of fifths to another, enharmonic changes aside: -6 to 5.
int fifths_between(int from, int to) {
  return static_cast<int>(pitch_class_of(to - from + 6)) - 6;
}

int signature_of(int tonic, const Scale& scale) {
  return 7 * tonic + scale.fifths;  // a half step is seven fifths, octaves aside
}

// Every file says major or minor, right or wrong.
bool names_mode(const Key& key) {
  return key.mode != Mode::none && key.mode != Mode::major && key.mode != Mode::minor;
}

// In thousandths, as the shares.
std::int64_t signature_points(const Key& key, int tonic, const Scale& scale) {
  const int wrong = std::abs(fifths_between(key.fifths, signature_of(tonic, scale)));
  const int named = 7 * fifthpeg::tonic(key);
  constexpr int major_third = 4;
  const bool as_named = key.mode != Mode::none && pitch_class_of(named) == pitch_class_of(tonic) &&
                        (key.mode == Mode::major) == (scale.third == major_third);
  return std::int64_t{1000} * (std::max(key_weights.accidental * wrong, key_weights.accidentals) +
                               (as_named ? key_weights.as_named : 0));
}

// Whether the chord symbols end on the tonic's own chord. One without a third is that of either mode.
bool ends_at_home(const std::optional<LastChord>& chord, int tonic, const Scale& scale) {
  constexpr int both_thirds = 7;
  return chord && pitch_class_of(chord->root) == pitch_class_of(tonic) &&
         !chord->tones.has(tonic + both_thirds - scale.third);
}

// Of what sounds, or of what chord symbols say.
std::int64_t weigh_scale(const PitchClasses& of, int tonic, const Scale& scale) {
  return key_weights.outside * share_outside(of, tonic, scale) +
         weigh_chord(of, tonic, scale.third, key_weights.in_chord, key_weights.on_tonic);
}

std::int64_t points_of(const Evidence& evidence, int tonic, const Scale& scale) {
  constexpr int fifth = 7;
  const int ending = evidence.last == tonic           ? key_weights.ends_on_tonic
                     : evidence.last == tonic + fifth ? key_weights.ends_on_fifth
                                                      : 0;
  const int home = ends_at_home(evidence.last_chord, tonic, scale) ? key_weights.ends_on_chord : 0;
  return weigh_scale(evidence.sounding, tonic, scale) + weigh_scale(evidence.in_symbols, tonic, scale) +
         weigh_chord(evidence.begins_bars, tonic, scale.third, key_weights.begins_in_chord,
                     key_weights.begins_on_tonic) +
         std::int64_t{1000} * (ending + home + scale.weight);
}

// With the spelling that is nearest to the signature.
Key key_on(int tonic, const Scale& scale, const Key& signature) {
  int fifths = signature.fifths + fifths_between(signature.fifths, signature_of(tonic, scale));
  if (fifths > 7) fifths -= 12;
  if (fifths < -7) fifths += 12;
  return {static_cast<std::int8_t>(fifths), scale.mode};
}

Key best_key(const Evidence& evidence, const Key& signature, bool is_estimated) {
  Key best;
  std::int64_t most = INT64_MIN;
  for (int below = 0; below < 12; ++below) {
    const int tonic = *evidence.last - below;
    for (const Scale& scale : scales) {
      std::int64_t points = points_of(evidence, tonic, scale);
      if (!is_estimated) points += signature_points(signature, tonic, scale);
      if (points > most) {
        most = points;
        best = key_on(tonic, scale, signature);
      }
    }
  }
  return best;
}

}  // namespace

Key key_of(const Score& score, std::size_t first, std::size_t count, KeyFrom from) {
  first = std::min(first, score.measures.size());
  const std::size_t end = first + std::min(count, score.measures.size() - first);
  if (first == end) return {};
  const Key& signature = score.measures[first].key;
  const Evidence evidence = evidence_in(score, first, end, from);
  if (!evidence.last || names_mode(signature)) return signature;
  return best_key(evidence, signature, score.key_estimated);
}

}  // namespace fifthpeg::harmony

namespace fifthpeg {

int half_steps_between(const Key& from, const Key& to) {
  if (from.mode != Mode::none && to.mode != Mode::none && is_minor(from.mode) != is_minor(to.mode)) {
    throw UnplayableError("key-of-other-mode", "the music is in " + to_string(from) +
                                                   ", and moving it does not make it " +
                                                   (is_minor(to.mode) ? "minor" : "major"));
  }
  constexpr int octave = 12;
  constexpr int half_steps_of_a_fifth = 7;
  const int up = (tonic(to) - tonic(from)) * half_steps_of_a_fifth % octave;
  const int least = -5;
  return (up - least + octave * octave) % octave + least;
}

Key find_key(const Score& score, std::size_t first, std::size_t count) {
  return harmony::key_of(score, first, count, harmony::KeyFrom::notes_and_symbols);
}

}  // namespace fifthpeg
