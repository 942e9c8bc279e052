#include "arrange/vamp.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cstdlib>
#include <map>
#include <optional>
#include <string>
#include <utility>

#include "arrange/harmony_at.hpp"
#include "arrange/written.hpp"
#include "hands/model.hpp"
#include "harmony/units.hpp"

namespace fifthpeg::arranging {
namespace {

// ---- shapes --------------------------------------------------------------------------------------

constexpr std::size_t pinched = 3;
// Common practice: the strings that three fingers pinch.
constexpr int lowest_strings[] = {3, 4};
constexpr int highest_fret_of_shape = 14;
constexpr int frets_of_shape = 3;  // from the lowest to the highest

// Three stopped strings, from the lowest-lying up.
struct VampShape {
  std::array<Placement, pinched> notes{};
  int low = 0;   // fret
  int cost = 0;  // of holding it
};

// What speaks for a shape and against it, in units of the hands' cost table. Common practice: vamps lie in
// the middle of the neck, and go from shape to shape by the shortest way.
constexpr int lowest_vamp = 3;
constexpr int highest_vamp = 10;
constexpr int each_fret_off = 4;
constexpr int doubled_tone = 20;
constexpr int each_fret_moved = 5;
constexpr int most_frets_moved = 4;
constexpr int moved_too_far = 2000;
constexpr int other_strings = 6;
constexpr int stays_in_place = 30;  // at the highest level, where a chord lasts
constexpr std::size_t measures_in_place = 2;

// ---- bass ----------------------------------------------------------------------------------------

constexpr int bass_string = 4;
constexpr int bass_is_fifth = 3;
constexpr int bass_is_other = 8;
constexpr int bass_stopped = 1;
constexpr int bass_again = 6;  // the one before

// A time in which one shape is held.
struct VampStretch {
  const Harmony* harmony = nullptr;
  bool goes_on = false;  // in the chord of the stretch before
};

struct VampStroke {
  std::size_t measure = 0;
  Fraction at;
  bool bass = false;
  std::size_t stretch = 0;
};

class Vamper {
 public:
  Vamper(Score& score, const std::vector<Unit>& units, int level)
      : score_(score),
        units_(units),
        level_(level),
        model_(score.banjo, {}, Style::roll),
        found_(model_.candidates()),
        key_(find_key(score)) {}

  void run() {
    find_beats();
    choose_shapes();
    for (Measure& measure : score_.measures) measure.strokes.clear();
    int last_bass = -1;
    for (const VampStroke& one : beats_) {
      const VampStretch& stretch = stretches_[one.stretch];
      const VampShape* const shape = chosen_[one.stretch];
      if (shape == nullptr) continue;
      Stroke stroke;
      stroke.onset = one.at;
      if (one.bass) {
        const auto place = bass_of(*stretch.harmony, *shape, last_bass);
        if (!place) continue;
        last_bass = pitch_of(*place);
        stroke.notes.push_back(note_at(*place));
      } else {
        for (const Placement place : shape->notes) {
          stroke.notes.push_back(note_at(place));
          stroke.notes.back().ring = Ring::damp;
        }
      }
      score_.measures[one.measure].strokes.push_back(std::move(stroke));
    }
    for (Measure& measure : score_.measures) sound_until_next(measure);
    normalize(score_);
  }

 private:
  int pitch_of(Placement place) const { return score_.banjo.midi_at(place).value_or(-1); }

  Note note_at(Placement place) const {
    Note note;
    note.placement = place;
    note.pitch = spell(pitch_of(place), key_);
    note.role = Role::backup;
    return note;
  }

  // ---- when ------------------------------------------------------------------------------------------

  void find_beats() {
    HarmonyAt harmonies(units_);
    harmony::BarCounter counter(true);
    std::size_t first_of_stretch = 0;
    std::string chord;
    for (std::size_t m = 0; m < score_.measures.size(); ++m) {
      const Measure& measure = score_.measures[m];
      counter.next(measure, m + 1 == score_.measures.size());
      const Fraction start = counter.start();
      for (const VampBeat& beat : vamp_of(measure.meter)) {
        if (beat.at < start || beat.at >= start + measure.length || counter.is_pickup()) continue;
        const Harmony* const harmony = harmonies.at(m, beat.at - start);
        const std::string name = harmony == nullptr ? "" : to_string(harmony->symbol);
        const bool lasts = level_ >= highest_level && counter.bar() >= first_of_stretch + measures_in_place;
        if (stretches_.empty() || name != chord || lasts) {
          stretches_.push_back({harmony, !stretches_.empty() && name == chord});
          first_of_stretch = counter.bar();
          chord = name;
        }
        beats_.push_back({m, beat.at - start, beat.bass, stretches_.size() - 1});
      }
    }
  }

  // ---- which shapes ------------------------------------------------------------------------------------

  // The cheapest way from shape to shape.
  void choose_shapes() {
    struct Reached {
      std::int64_t cost = 0;
      std::size_t before = 0;
    };
    chosen_.assign(stretches_.size(), nullptr);
    std::vector<std::vector<Reached>> reached(stretches_.size());
    std::optional<std::size_t> last;  // stretch with a shape
    for (std::size_t s = 0; s < stretches_.size(); ++s) {
      if (stretches_[s].harmony == nullptr) continue;
      const auto& shapes = shapes_of(*stretches_[s].harmony);
      if (shapes.empty()) continue;
      for (const VampShape& shape : shapes) {
        Reached one{shape.cost, 0};
        if (last) {
          const auto& before = shapes_of(*stretches_[*last].harmony);
          const bool goes_on = stretches_[s].goes_on;
          std::int64_t best = INT64_MAX;
          for (std::size_t b = 0; b < before.size(); ++b) {
            const std::int64_t cost = reached[*last][b].cost + way(before[b], shape, goes_on);
            if (cost >= best) continue;
            best = cost;
            one.before = b;
          }
          one.cost += best;
        }
        reached[s].push_back(one);
      }
      last = s;
    }
    std::optional<std::size_t> at;
    for (std::size_t s = stretches_.size(); s-- > 0;) {
      if (reached[s].empty()) continue;
      const auto cheaper = [](const Reached& a, const Reached& b) { return a.cost < b.cost; };
      if (!at)
        at = static_cast<std::size_t>(std::min_element(reached[s].begin(), reached[s].end(), cheaper) -
                                      reached[s].begin());
      chosen_[s] = &shapes_of(*stretches_[s].harmony)[*at];
      at = reached[s][*at].before;
    }
  }

  static int way(const VampShape& from, const VampShape& to, bool same_chord) {
    const int frets = std::abs(to.low - from.low);
    int cost = frets * each_fret_moved;
    if (frets > most_frets_moved) cost += moved_too_far;
    if (from.notes.front().string != to.notes.front().string) cost += other_strings;
    if (same_chord && from.notes == to.notes) cost += stays_in_place;
    return cost;
  }

  const std::vector<VampShape>& shapes_of(const Harmony& harmony) {
    const auto [at, is_new] = shapes_.try_emplace(to_string(harmony.symbol));
    if (!is_new) return at->second;
    for (const int lowest : lowest_strings) {
      VampShape shape;
      for (std::size_t n = 0; n < pinched; ++n)
        shape.notes.at(n).string = static_cast<std::int8_t>(lowest - static_cast<int>(n));
      stop(harmony, shape, 0, at->second);
    }
    return at->second;
  }

  // All that the hand holds and that is of the chord.
  void stop(const Harmony& harmony, VampShape& shape, std::size_t n, std::vector<VampShape>& shapes) {
    if (n == pinched) {
      judge(harmony, shape, shapes);
      return;
    }
    const int last = std::min(highest_fret_of_shape, score_.banjo.last_fret());
    for (int fret = 1; fret <= last; ++fret) {
      shape.notes.at(n).fret = static_cast<std::int8_t>(fret);
      if (harmony.tones.has(pitch_of(shape.notes.at(n)))) stop(harmony, shape, n + 1, shapes);
    }
  }

  void judge(const Harmony& harmony, VampShape shape, std::vector<VampShape>& shapes) {
    int low = highest_fret_of_shape;
    int high = 0;
    unsigned tones = 0;
    for (const Placement place : shape.notes) {
      low = std::min<int>(low, place.fret);
      high = std::max<int>(high, place.fret);
      tones |= ChordTones::bit(pitch_of(place));
    }
    const bool whole = std::popcount(harmony.tones.needed) > static_cast<int>(pinched) ||
                       (harmony.tones.needed & ~tones) == 0;
    const auto hold = high - low <= frets_of_shape && whole ? cost_of_holding(shape) : std::nullopt;
    if (!hold) return;
    shape.low = low;
    shape.cost = *hold + std::max({0, lowest_vamp - low, low - highest_vamp}) * each_fret_off +
                 (static_cast<int>(pinched) - std::popcount(tones)) * doubled_tone;
    shapes.push_back(shape);
  }

  std::optional<int> cost_of_holding(const VampShape& shape) {
    hands::RequestedStroke stroke;
    for (std::size_t n = pinched; n-- > 0;) {
      hands::RequestedNote& note = stroke.add();
      note.midi = static_cast<std::int16_t>(pitch_of(shape.notes.at(n)));
      note.string = shape.notes.at(n).string;
      note.fret = shape.notes.at(n).fret;
    }
    std::optional<int> least;
    for (const hands::Grip& grip : found_.of(stroke)->grips)
      least = std::min(least.value_or(grip.total), grip.total);
    return least;
  }

  // ---- the bass ----------------------------------------------------------------------------------------

  // Within the hand's reach from the shape, or open.
  std::optional<Placement> bass_of(const Harmony& harmony, const VampShape& shape, int before) const {
    std::optional<Placement> best;
    int best_cost = INT32_MAX;
    for (int fret = 0; fret <= shape.low + frets_of_shape; ++fret) {
      if (fret > 0 && fret < shape.low) continue;
      const Placement place{bass_string, static_cast<std::int8_t>(fret)};
      const int midi = pitch_of(place);
      if (midi < 0 || !harmony.tones.has(midi)) continue;
      const int above = harmony.above_root(midi);
      int cost = above == 0 ? 0 : above == 7 ? bass_is_fifth : bass_is_other;
      if (fret > 0) cost += bass_stopped;
      if (midi == before) cost += bass_again;
      if (cost >= best_cost) continue;
      best = place;
      best_cost = cost;
    }
    return best;
  }

  Score& score_;
  const std::vector<Unit>& units_;
  int level_;
  const hands::Model model_;
  hands::Candidates found_;
  Key key_;
  std::vector<VampStretch> stretches_;
  std::vector<VampStroke> beats_;
  std::vector<const VampShape*> chosen_;
  std::map<std::string, std::vector<VampShape>> shapes_;  // by chord
};

// Groups of beats as they are felt, in the meter's unit: twos and threes.
std::vector<int> felt_groups(const Meter& meter) {
  std::vector<int> groups;
  for (int beats : meter.beats) {
    for (; beats > 4 || beats == 3; beats -= 3) groups.push_back(3);
    for (; beats > 0; beats -= 2) groups.push_back(std::min(beats, 2));
  }
  return groups;
}

}  // namespace

std::vector<VampBeat> vamp_of(const Meter& meter) {
  std::vector<VampBeat> beats;
  const Fraction unit(1, meter.unit);
  Fraction at;
  // In two beats a measure, each beat has both.
  const bool in_two = !meter.is_compound() && meter.beats == std::vector{2};
  for (const int group : felt_groups(meter)) {
    const Fraction end = at + unit * Fraction(group);
    if (in_two) {
      for (; at < end; at += unit) {
        beats.push_back({at, true});
        beats.push_back({at + unit / Fraction(2), false});
      }
    } else if (meter.unit >= 8) {  // dotted beats, and groups of eighths
      beats.push_back({at, true});
      if (group > 1) beats.push_back({end - unit, false});
    } else {
      beats.push_back({at, true});
      for (Fraction pinch = at + unit; pinch < end; pinch += unit) beats.push_back({pinch, false});
    }
    at = end;
  }
  return beats;
}

void write_vamp(Score& score, const std::vector<Unit>& units, int level) {
  Vamper(score, units, level).run();
}

}  // namespace fifthpeg::arranging
