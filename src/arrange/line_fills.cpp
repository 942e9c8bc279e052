#include "arrange/line_fills.hpp"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <optional>
#include <utility>
#include <vector>

#include "arrange/harmony_at.hpp"
#include "arrange/weights.hpp"
#include "hands/grips.hpp"
#include "hands/request.hpp"
#include "harmony/units.hpp"

namespace fifthpeg::arranging {
namespace {

constexpr Fraction eighth_note(1, 8);
constexpr Fraction long_enough(1, 4);
// A fill that is dearer than this is left out: what is no help to the melody is none.
constexpr int dearest_fill = 15;
// The string of the fill before; other strings make it a roll.
constexpr int string_again = 4;

// By how many half steps a second note lies below the melody, and how well that goes with it: thirds and
// sixths best (common practice); -1 for not at all.
constexpr std::array<int, 13> below_melody{-1, -1, -1, 0, 0, 4, 8, 4, 1, 1, 10, -1, 6};
// Every fret between the two, and an open string, which closed positions have none of.
constexpr int each_fret_apart = 2;
constexpr int open_below = 4;
// How far the hand opens: as far as it stands, one finger a fret.
constexpr int frets_of_hand = 3;

bool is_half_step(int a, int b) {
  const int apart = pitch_class(a - b);
  return apart == 1 || apart == 11;
}

Fraction felt_beat(const Meter& meter) {
  return meter.is_compound() ? meter.beat() : Fraction(1, 4);
}

// Whether it can take anything: a note by itself that ends here and is no part of a tuplet.
bool is_long_note(const Stroke& stroke) {
  return stroke.notes.size() == 1 && stroke.duration >= long_enough && stroke.tuplets.empty() &&
         !stroke.notes.front().tied_to_next && stroke.notes.front().placement;
}

// Adds to one score after the other of its strokes.
class LineFiller {
 public:
  LineFiller(Score& score, const Plan& plan, int level, int preference)
      : score_(score),
        banjo_(score.banjo),
        harmonies_(plan.units),
        key_(find_key(score)),
        level_(level),
        preference_(preference) {
    harmony::BarCounter counter(true);
    before_.reserve(score.measures.size());
    for (const Measure& measure : score.measures) {
      counter.next(measure, &measure == &score.measures.back());
      before_.push_back(counter.start());
    }
  }

  bool drones() {
    bool added = false;
    for (std::size_t m = 0; m < score_.measures.size(); ++m) {
      Measure& measure = score_.measures[m];
      std::vector<Stroke> strokes;
      strokes.reserve(measure.strokes.size() * 2);
      for (std::size_t s = 0; s < measure.strokes.size(); ++s) {
        strokes.push_back(measure.strokes[s]);
        if (is_long_note(measure.strokes[s]) && !is_pickup(m)) add_drones(m, next_note(m, s), strokes);
      }
      added = added || strokes.size() > measure.strokes.size();
      measure.strokes = std::move(strokes);
    }
    return added;
  }

  bool double_stops() {
    bool added = false;
    bool hurried = false;   // the note before comes sooner than an eighth before
    int string_before = 0;  // of a note that comes an eighth before
    for (std::size_t m = 0; m < score_.measures.size(); ++m) {
      for (Stroke& stroke : score_.measures[m].strokes) {
        const bool can = is_long_note(stroke) && !stroke.notes.front().tied_from_previous && !hurried &&
                         !is_pickup(m) && is_on_beat(m, stroke.onset);
        hurried = !stroke.is_rest() && stroke.duration < eighth_note;
        if (can && add_below(stroke, harmonies_.at(m, stroke.onset), string_before)) added = true;
        const bool leads_on = !stroke.is_rest() && stroke.duration <= eighth_note;
        string_before =
            leads_on && stroke.notes.front().placement ? stroke.notes.front().placement->string : 0;
      }
    }
    return added;
  }

 private:
  // Before the tune begins there is nothing to accompany.
  bool is_pickup(std::size_t m) const { return m == 0 && before_[m] > 0; }
  bool is_on_beat(std::size_t m, Fraction onset) const {
    return ((before_[m] + onset) / felt_beat(score_.measures[m].meter)).is_whole();
  }
  bool is_on_eighth(std::size_t m, Fraction onset) const {
    return ((before_[m] + onset) / eighth_note).is_whole();
  }

  struct Next {
    int string = 0;
    int midi = 0;
  };

  // The note right after a stroke, if one is.
  Next next_note(std::size_t m, std::size_t s) const {
    const bool last = s + 1 == score_.measures[m].strokes.size();
    if (last && m + 1 == score_.measures.size()) return {};
    const Stroke& next = last ? score_.measures[m + 1].strokes.front() : score_.measures[m].strokes[s + 1];
    if (next.is_rest() || !next.notes.front().placement) return {};
    return {next.notes.front().placement->string, next.notes.front().pitch.midi()};
  }

  void add_drones(std::size_t m, Next next, std::vector<Stroke>& strokes) {
    const Note melody = strokes.back().notes.front();
    const Fraction onset = strokes.back().onset;
    const Fraction end = onset + strokes.back().duration;
    if (!is_on_eighth(m, onset)) return;
    const bool over_beats = end - onset >= felt_beat(score_.measures[m].meter) * 2;
    int string_before = melody.placement->string;
    Fraction last = onset;
    int count = 0;
    for (Fraction at = onset + eighth_note; at + eighth_note <= end; at += eighth_note) {
      if (!can_take_fill(over_beats, is_on_beat(m, at))) continue;
      if (level_ <= 2 && count > 0) break;
      const Harmony* const harmony = harmonies_.at(m, at);
      if (harmony == nullptr) continue;
      const bool at_once = at - last == eighth_note;
      const bool leads_on = at + eighth_note == end;
      const int string = string_for(*harmony, melody, at_once, string_before, leads_on ? next : Next{});
      if (string == 0) continue;
      strokes.back().duration = at - last;
      Stroke fill;
      fill.onset = at;
      fill.duration = end - at;
      fill.notes.push_back(open_note(string));
      strokes.push_back(std::move(fill));
      string_before = string;
      last = at;
      ++count;
    }
  }

  // Within a beat a fill goes between the beats. A note over several beats would limp with one there and
  // nothing where the foot taps: learners play on its next beat, others roll on through all of it.
  bool can_take_fill(bool over_beats, bool on_beat) const {
    return over_beats ? on_beat || level_ > 2 : !on_beat;
  }

  Note open_note(int string) const {
    Note note;
    note.placement = Placement{static_cast<std::int8_t>(string), 0};
    note.pitch = spell(banjo_.open_midi(string), key_);
    note.role = string == fifth_string ? Role::drone : Role::fill;
    return note;
  }

  // The open string that goes best with the melody note that rings; 0 for none.
  int string_for(const Harmony& harmony, const Note& melody, bool at_once, int string_before,
                 Next next) const {
    const int sounding = melody.placement->string;
    int best = 0;
    int best_cost = dearest_fill + 1;
    for (const int string : {fifth_string, 1, 2, 3, 4}) {
      const bool drone = string == fifth_string;
      const int midi = banjo_.open_midi(string);
      if (string == sounding || string == next.string || (at_once && string == string_before)) continue;
      if (!drone && (std::abs(string - sounding) != 1 || !harmony.tones.has(midi))) continue;
      if (is_half_step(midi, melody.pitch.midi())) continue;
      int cost = (string == string_before ? string_again : 0) + preferred(string);
      if (drone && !harmony.tones.has(midi)) cost += harmony.bears(midi) ? drone_beside : drone_against;
      const int apart = pitch_class(midi - melody.pitch.midi());
      if (apart == 2 || apart == 10) cost += whole_step[1];
      if (!drone && midi > melody.pitch.midi()) cost += above_melody;
      if (next.midi == midi) cost += anticipates;
      if (cost >= best_cost) continue;
      best = string;
      best_cost = cost;
    }
    return best;
  }

  // Small costs that differ by preference.
  int preferred(int choice) const {
    constexpr int most = 9;
    return preference_ == 0 ? 0 : (choice * 4 + preference_ * 7) % most;
  }

  bool add_below(Stroke& stroke, const Harmony* harmony, int string_before) const {
    const Note& melody = stroke.notes.front();
    const int string = melody.placement->string + 1;
    if (harmony == nullptr || string >= fifth_string || string == string_before) return false;
    if (level_ <= 2 && !harmony->tones.has(melody.pitch.midi())) return false;
    std::optional<Placement> best;
    int best_cost = INT32_MAX;
    for (int fret = 0; fret <= banjo_.last_fret(); ++fret) {
      const Placement place{static_cast<std::int8_t>(string), static_cast<std::int8_t>(fret)};
      const int below = melody.pitch.midi() - banjo_.midi_at(place).value_or(-1);
      if (below < 0 || below >= static_cast<int>(below_melody.size())) continue;
      const int fit = below_melody.at(static_cast<std::size_t>(below));
      if (fit < 0 || !harmony->tones.has(melody.pitch.midi() - below) || !is_in_hand(melody, fret) ||
          !is_held(melody, place))
        continue;
      const bool closed = melody.placement->fret > 0 && fret > 0;
      const int cost = fit + preferred(below) +
                       (closed ? std::abs(fret - melody.placement->fret) * each_fret_apart : open_below);
      if (cost >= best_cost) continue;
      best = place;
      best_cost = cost;
    }
    if (!best) return false;
    Note note;
    note.placement = *best;
    note.pitch = spell(banjo_.midi_at(*best).value_or(0), key_);
    note.role = Role::fill;
    stroke.notes.push_back(note);
    return true;
  }

  // Whether a fret lies under the hand as it stands for the melody.
  static bool is_in_hand(const Note& melody, int fret) {
    if (fret == 0) return true;
    const int stopped = melody.placement->fret;
    const int finger = melody.finger ? static_cast<int>(*melody.finger) : 0;
    if (stopped == 0 || finger < 1 || finger > 4) return fret <= frets_of_hand + 1;
    const int first = stopped - (finger - 1);
    return fret >= first && fret <= first + frets_of_hand;
  }

  bool is_held(const Note& melody, Placement below) const {
    hands::RequestedStroke stroke;
    for (const Placement place : {*melody.placement, below}) {
      hands::RequestedNote& note = stroke.add();
      note.midi = static_cast<std::int16_t>(banjo_.midi_at(place).value_or(0));
      note.string = place.string;
      note.fret = place.fret;
    }
    return hands::can_be_held(stroke, neck_);
  }

  Score& score_;
  const Banjo& banjo_;
  hands::Neck neck_{score_.banjo, usual_scale_length_mm, 1.0};
  HarmonyAt harmonies_;
  Key key_;
  int level_;
  int preference_;
  std::vector<Fraction> before_;  // of each measure: how much of its meter has passed
};

}  // namespace

bool add_line_fills(Score& score, const Plan& plan, Style style, int level, int preference) {
  LineFiller filler(score, plan, level, preference);
  return style == Style::single_string ? filler.double_stops() : filler.drones();
}

}  // namespace fifthpeg::arranging
