#include "arrange/plan.hpp"

#include <algorithm>
#include <cstdlib>
#include <numeric>
#include <optional>
#include <utility>

#include "arrange/phrases.hpp"
#include "arrange/weights.hpp"
#include "hands/request.hpp"
#include "harmony/units.hpp"

namespace fifthpeg::arranging {
namespace {

constexpr Fraction eighth(1, 8);
constexpr Fraction sixteenth(1, 16);
// Where so many of the quarters in which the melody moves, in percent, hold three or four of its notes, the
// roll moves in sixteenths. Common practice: what is written dotted, two notes a quarter, is played as the
// roll's own two notes.
constexpr std::size_t share_of_busy_quarters = 30;
// Under this, a chord and the next likely one share the fills.
constexpr double sure_enough = 0.7;
constexpr int whole_step_apart = 2;

// ---- slots ---------------------------------------------------------------------------------------

// In 3/8, 5/8, 7/8, 3+2/8 the eighths go in groups of two and three, or four, as they are felt.
std::vector<int> groups_of_eighths(const Meter& meter) {
  std::vector<int> groups;
  for (int group : meter.beats) {
    for (; group > 4 || group == 3; group -= 3) groups.push_back(3);
    for (; group > 0; group -= 2) groups.push_back(std::min(group, 2));
  }
  return groups;
}

bool moves_in_groups(const Meter& meter, Fraction slot) {
  return !meter.is_compound() && meter.unit >= 8 && Fraction(1, meter.unit) <= slot;
}

}  // namespace

Fraction slot_of(const Score& score, const std::vector<Tone>& melody) {
  constexpr Fraction quarter(1, 4);
  std::size_t quarters = 0;
  std::size_t busy = 0;
  for (std::size_t i = 0; i < melody.size();) {
    const Tone& first = melody[i];
    const std::int64_t here = (first.in_measure / quarter).floor();
    std::size_t count = 0;
    bool in_sixteenths = true;
    for (; i < melody.size() && melody[i].measure == first.measure &&
           (melody[i].in_measure / quarter).floor() == here;
         ++i, ++count) {
      in_sixteenths = in_sixteenths && (melody[i].in_measure / sixteenth).is_whole();
    }
    ++quarters;
    const bool is_busy = count >= 4 || (count == 3 && in_sixteenths);  // but for triplets
    if (is_busy && !score.measures[first.measure].meter.is_compound()) ++busy;
  }
  return busy * 100 > quarters * share_of_busy_quarters ? sixteenth : eighth;
}

std::vector<int> spans_of(const Meter& meter, Fraction slot) {
  std::vector<int> spans;
  if (meter.is_compound()) {
    const int beats = std::accumulate(meter.beats.begin(), meter.beats.end(), 0) / 3;
    spans.assign(static_cast<std::size_t>(beats), 3);
    return spans;
  }
  std::vector<int> groups = groups_of_eighths(meter);
  if (moves_in_groups(meter, slot)) return groups;
  const int in_beat = static_cast<int>((Fraction(1, meter.unit) / slot).floor());
  for (const int group : groups) {
    int left = std::max(1, group * in_beat);
    while (left > 0) {
      const int span = left <= most_slots && left != 5 && (group == 3 || left <= 4) ? left : 4;
      spans.push_back(std::min(span, left));
      left -= span;
    }
  }
  return spans;
}

namespace {

// ---- chords --------------------------------------------------------------------------------------

class Chords {
 public:
  Chords(const Score& score, const std::vector<InferredChord>& inferred)
      : score_(score), inferred_(inferred) {
    for (const Measure& measure : score.measures) {
      for (const ChordSymbol& chord : measure.chords) {
        if (!first_) first_ = &chord;
      }
    }
  }

  // Asked for in order.
  Harmony at(std::size_t measure, Fraction at) {
    for (; measure_ <= measure; ++measure_) {
      const auto& chords = score_.measures[measure_].chords;
      for (const ChordSymbol& chord : chords) {
        if (measure_ == measure && chord.at > at) break;
        now_ = &chord;
      }
      if (measure_ == measure) break;
    }
    Harmony harmony;
    const ChordSymbol* const symbol = now_ != nullptr ? now_ : first_;
    if (symbol == nullptr) return harmony;
    harmony.symbol = *symbol;
    harmony.hands = hands::chord_of(*symbol, 0);
    if (const auto tones = chord_tones(*symbol)) {
      harmony.known = true;
      harmony.tones = *tones;
      harmony.doubtful = doubtful(measure, at, *tones);
    }
    return harmony;
  }

 private:
  unsigned doubtful(std::size_t measure, Fraction at, const ChordTones& tones) {
    while (next_ < inferred_.size() &&
           (inferred_[next_].measure < measure ||
            (inferred_[next_].measure == measure && inferred_[next_].at + inferred_[next_].length <= at))) {
      ++next_;
    }
    if (next_ == inferred_.size() || inferred_[next_].measure != measure) return 0;
    const InferredChord& chord = inferred_[next_];
    const auto other = chord_tones(chord.second);
    return chord.sure >= sure_enough || !other ? 0U : tones.all & ~other->all;
  }

  const Score& score_;
  const std::vector<InferredChord>& inferred_;
  const ChordSymbol* first_ = nullptr;
  const ChordSymbol* now_ = nullptr;
  std::size_t measure_ = 0;
  std::size_t next_ = 0;
};

// ---- the melody in its measures ------------------------------------------------------------------

enum class Stress : std::int8_t { measure, half, beat, off };

struct Metric {
  Stress stress = Stress::off;
  Fraction beat;  // length
  Fraction next;  // place of the beat after
};

// `place` counts from the start of the meter. What is felt as a beat: two notes of the roll, three in
// compound meters, a group in those of five and seven eighths.
Metric metric_at(const Measure& measure, Fraction place, Fraction slot) {
  Fraction beat = measure.meter.is_compound() ? measure.meter.beat() : slot * 2;
  Fraction begin = beat * Fraction((place / beat).floor());
  if (moves_in_groups(measure.meter, slot)) {
    const std::vector<int> groups = groups_of_eighths(measure.meter);
    const Fraction all = slot * Fraction(std::accumulate(groups.begin(), groups.end(), 0));
    begin = all * Fraction((place / all).floor());
    for (std::size_t g = 0;; g = (g + 1) % groups.size()) {
      beat = slot * Fraction(groups[g]);
      if (place < begin + beat) break;
      begin += beat;
    }
  }
  Metric metric{Stress::off, beat, begin + beat};
  if (place == 0) {
    metric.stress = Stress::measure;
  } else if (place == begin) {
    const bool halves = (measure.meter.length() / beat / 2).is_whole();
    metric.stress = halves && place * 2 == measure.meter.length() ? Stress::half : Stress::beat;
  }
  return metric;
}

class Planner {
 public:
  Planner(const Score& score, std::vector<Tone> melody, const std::vector<InferredChord>& inferred,
          MelodyRange range, Style style, int level)
      : score_(score), inferred_(inferred), range_(range), style_(style), level_(level) {
    plan_.melody = std::move(melody);
  }

  Plan run() {
    starts_.reserve(score_.measures.size() + 1);
    Fraction start;
    before_.reserve(score_.measures.size());
    harmony::BarCounter counter(true);
    for (const Measure& measure : score_.measures) {
      starts_.push_back(start);
      start += measure.length;
      counter.next(measure, &measure == &score_.measures.back());
      before_.push_back(counter.start());
    }
    starts_.push_back(start);
    slot_ = slot_of(score_, plan_.melody);
    move_anticipations();
    ends_ = phrase_ends(score_, plan_.melody, slot_);
    fold_phrases();
    ask();
    cut();
    look_around();
    plan_.ends_phrase = ends_;
    return std::move(plan_);
  }

 private:
  const Measure& measure_of(const Tone& tone) const { return score_.measures[tone.measure]; }
  Fraction place_in_meter(const Tone& tone) const { return before_[tone.measure] + tone.in_measure; }
  Metric metric_of(const Tone& tone) const {
    return metric_at(measure_of(tone), place_in_meter(tone), slot_);
  }
  Fraction until_next(std::size_t i) const {
    return i + 1 < plan_.melody.size() ? plan_.melody[i + 1].at - plan_.melody[i].at
                                       : starts_.back() - plan_.melody[i].at;
  }
  void set_time(Tone& tone, Fraction at) const {
    while (tone.measure + 1 < score_.measures.size() && starts_[tone.measure + 1] <= at) ++tone.measure;
    tone.length -= at - tone.at;
    tone.at = at;
    tone.in_measure = at - starts_[tone.measure];
  }
  Place place_of(const Tone& tone) const {
    const Measure& measure = measure_of(tone);
    return {{}, measure.number, beat_at(measure, tone.in_measure), 0, -1, 0};
  }

  // What comes before its beat and is held over it stands on the beat in easier levels.
  void move_anticipations() {
    anticipates_.assign(plan_.melody.size(), false);
    short_.reserve(plan_.melody.size());
    for (const Tone& tone : plan_.melody) short_.push_back(tone.length < slot_);
    for (std::size_t i = 0; i < plan_.melody.size(); ++i) {
      Tone& tone = plan_.melody[i];
      const Metric metric = metric_of(tone);
      if (metric.stress != Stress::off) continue;
      const Fraction place = place_in_meter(tone);
      const Fraction wait = metric.next - place;
      if (tone.length <= wait || (tone.at + wait) >= starts_.back()) continue;
      const Fraction of_half = measure_of(tone).meter.length() / 2;
      const bool over_half = (metric.next / of_half).is_whole() && wait <= slot_;
      if (over_half && level_ >= 4) {
        anticipates_[i] = true;
      } else if (over_half) {
        set_time(tone, tone.at + wait);
        plan_.report.add(EntryKind::decision, "anticipation-on-beat",
                         "a melody note that comes before its beat is played on it", place_of(tone));
      }
    }
  }

  void fold_phrases() {
    const std::vector<OctaveMove> moves = octave_moves(plan_.melody, ends_, range_);
    bool begins = true;
    for (std::size_t i = 0; i < moves.size(); ++i) {
      const Place place = place_of(plan_.melody[i]);
      plan_.melody[i].midi += moves[i].half_steps;
      if (moves[i].alone) {
        plan_.report.add(EntryKind::decision, "melody-note-folded",
                         "a melody note beyond the frets of its level is played an octave from there", place);
      } else if (begins && moves[i].half_steps != 0) {
        plan_.report.add(EntryKind::decision, "phrase-folded",
                         "a phrase beyond the frets of its level is played an octave from there", place);
        begins = false;
      }
      if (ends_[i]) begins = true;
    }
  }

  bool asks_for(const Tone& tone, std::size_t i) const {
    const Metric metric = metric_of(tone);
    if (metric.stress != Stress::off || ends_[i] || level_ >= 3) return true;
    if (before_[tone.measure] > 0 && tone.measure == 0) return true;  // a pickup is played whole
    if (level_ == 1) return false;
    if (style_ == Style::clawhammer && is_near_beat(i)) return true;
    const Fraction place = place_in_meter(tone);
    const Fraction to_beat = metric.next - place;
    return tone.length >= std::min(metric.beat, Fraction(1, 4)) || tone.length > to_beat;
  }

  // A step from the note on the beat just before: in clawhammer a slur plays it, as learners soon do.
  bool is_near_beat(std::size_t i) const {
    if (i == 0) return false;
    const Tone& before = plan_.melody[i - 1];
    return metric_of(before).stress != Stress::off && plan_.melody[i].at - before.at == slot_ &&
           std::abs(plan_.melody[i].midi - before.midi) <= whole_step_apart;
  }

  void ask() {
    plan_.asked.assign(plan_.melody.size(), false);
    plan_.on_beat.assign(plan_.melody.size(), false);
    for (std::size_t i = 0; i < plan_.melody.size(); ++i) {
      plan_.asked[i] = asks_for(plan_.melody[i], i);
      plan_.on_beat[i] = metric_of(plan_.melody[i]).stress != Stress::off;
    }
  }

  int weight_of(std::size_t i, const Harmony& harmony) const {
    const Tone& tone = plan_.melody[i];
    const auto of_level = static_cast<std::size_t>(level_ - 1);
    const Metric metric = metric_of(tone);
    const bool off = metric.stress == Stress::off;
    const auto& off_weights = style_ == Style::clawhammer ? off_beat_frailed : off_beat;
    int weight = off                                ? off_weights.at(of_level)
                 : metric.stress == Stress::measure ? on_measure
                 : metric.stress == Stress::half    ? on_half
                                                    : on_beat;
    if (off && short_[i]) weight = weight * off_the_roll / 100;
    if (tone.length >= metric.beat || (off && tone.length >= Fraction(1, 4))) weight += long_note;
    const int before = i > 0 ? plan_.melody[i - 1].midi : tone.midi;
    const int after = i + 1 < plan_.melody.size() ? plan_.melody[i + 1].midi : tone.midi;
    if ((tone.midi > before && tone.midi > after) || (tone.midi < before && tone.midi < after))
      weight += contour;
    if (harmony.known && harmony.tones.has(tone.midi)) weight += in_chord;
    if (ends_[i]) return weight + phrase_end;
    if (off && before == tone.midi && i > 0) return weight * struck_again / 100;
    if (off && i > 1 && plan_.melody[i - 2].midi == tone.midi) return weight * comes_back / 100;
    return weight;
  }

  void cut() {
    Chords chords(score_, inferred_);
    std::size_t tone = 0;
    for (std::uint32_t m = 0; m < score_.measures.size(); ++m) {
      const Measure& measure = score_.measures[m];
      const std::vector<int> spans = spans_of(measure.meter, slot_);
      Fraction place;  // in the meter
      const Fraction first = before_[m];
      const Fraction end = first + measure.length;
      for (std::size_t s = 0; place < end; s = (s + 1) % spans.size()) {
        const Fraction to = place + slot_ * Fraction(spans[s]);
        const Fraction from = std::max(place, first);
        const Fraction until = std::min(to, end);
        Fraction at = from;
        for (const ChordSymbol& chord : measure.chords) {  // each unit has one chord
          const Fraction change = chord.at + first;
          if (change <= at || change >= until || !((change - at) / slot_).is_whole()) continue;
          add_unit(m, at - first, change - at, m == 0 && first > 0, chords, tone);
          at = change;
        }
        if (at < until) add_unit(m, at - first, until - at, m == 0 && first > 0, chords, tone);
        place = to;
      }
    }
  }

  void add_unit(std::uint32_t m, Fraction at, Fraction length, bool pickup, Chords& chords,
                std::size_t& tone) {
    const Measure& measure = score_.measures[m];
    Unit unit;
    unit.measure = m;
    unit.at = at;
    unit.slot = slot_;
    unit.slots = static_cast<std::int8_t>(std::max<std::int64_t>(1, (length / slot_).floor()));
    unit.begins_measure = before_[m] + at == 0;
    unit.pickup = pickup;
    unit.harmony = chords.at(m, at);
    for (int s = 0; s < unit.slots; ++s) {
      if (metric_at(measure, before_[m] + at + slot_ * Fraction(s), slot_).stress != Stress::off)
        unit.beats = static_cast<std::uint8_t>(unit.beats | 1U << static_cast<unsigned>(s));
    }
    const Fraction start = starts_[m] + at;
    const std::size_t first = tone;
    while (tone < plan_.melody.size() && plan_.melody[tone].at < start + length) ++tone;
    place_tones(unit, start, first, tone);
    plan_.units.push_back(std::move(unit));
  }

  // Those on a slot first; of the others each that finds the nearest one free.
  void place_tones(Unit& unit, Fraction start, std::size_t first, std::size_t end) {
    std::array<bool, most_slots + 1> taken{};
    const auto put = [&](std::size_t i, std::int64_t slot) {
      if (slot >= unit.slots || taken.at(static_cast<std::size_t>(slot))) return false;
      taken.at(static_cast<std::size_t>(slot)) = true;
      const Tone& tone = plan_.melody[i];
      Wanted wanted;
      wanted.slot = static_cast<std::int8_t>(slot);
      wanted.length =
          static_cast<std::int8_t>(std::clamp<std::int64_t>((until_next(i) / slot_).floor(), 1, 100));
      wanted.midi = static_cast<std::int16_t>(tone.midi);
      wanted.weight = static_cast<std::int16_t>(weight_of(i, unit.harmony));
      wanted.next = static_cast<std::int16_t>(i + 1 < plan_.melody.size() ? plan_.melody[i + 1].midi : 0);
      wanted.tone = static_cast<std::uint32_t>(i);
      wanted.ends_phrase = ends_[i];
      wanted.anticipates = anticipates_[i];
      unit.wanted.push_back(wanted);
      return true;
    };
    const auto slots_in = [&](std::size_t i) { return (plan_.melody[i].at - start) / slot_; };
    for (std::size_t i = first; i < end; ++i) {
      if (plan_.asked[i] && slots_in(i).is_whole()) put(i, slots_in(i).floor());
    }
    for (std::size_t i = first; i < end; ++i) {
      if (!plan_.asked[i] || slots_in(i).is_whole()) continue;
      // Halfway between, as what is dotted is: the earlier one, or else the later.
      const std::int64_t before = slots_in(i).floor();
      const std::int64_t nearest = slots_in(i) - Fraction(before) > Fraction(1, 2) ? before + 1 : before;
      const std::int64_t other = nearest == before ? before + 1 : before;
      const auto move_to = [&](std::int64_t slot) {
        if (!put(i, slot)) return false;
        set_time(plan_.melody[i], start + slot_ * Fraction(slot));
        return true;
      };
      if (move_to(nearest) || move_to(other)) {
        plan_.report.add(EntryKind::decision, "melody-note-moved",
                         "a melody note between the notes of the roll is moved to the nearest of them",
                         place_of(plan_.melody[i]));
      } else {
        plan_.asked[i] = false;
        plan_.report.add(EntryKind::decision, "melody-note-between",
                         "a melody note between the notes of the roll is left out",
                         place_of(plan_.melody[i]));
      }
    }
    std::sort(unit.wanted.begin(), unit.wanted.end(),
              [](const Wanted& a, const Wanted& b) { return a.slot < b.slot; });
  }

  void look_around() {
    int sounding = 0;
    bool resting = false;  // after the end of a phrase
    for (std::size_t u = 0; u < plan_.units.size(); ++u) {
      Unit& unit = plan_.units[u];
      unit.held =
          static_cast<std::int16_t>(unit.wanted.empty() || unit.wanted.front().slot > 0 ? sounding : 0);
      if (!unit.wanted.empty()) {
        sounding = unit.wanted.back().midi;
        resting = unit.wanted.back().ends_phrase;
      }
      unit.ends_phrase = resting;
      for (std::size_t v = u > 0 ? u - 1 : u; v <= u + 1 && v < plan_.units.size(); ++v) {
        for (const Wanted& wanted : plan_.units[v].wanted) unit.peak = std::max(unit.peak, wanted.midi);
      }
      unit.next_chord = u + 1 < plan_.units.size() ? plan_.units[u + 1].harmony.hands : unit.harmony.hands;
      int after = 0;
      for (std::size_t v = u + 1; v < plan_.units.size() && after < 100; ++v) {
        const Unit& next = plan_.units[v];
        if (!next.wanted.empty()) {
          unit.next_midi = next.wanted.front().midi;
          unit.next_after = static_cast<std::int8_t>(std::min(after + next.wanted.front().slot, 100));
          break;
        }
        after += next.slots;
      }
    }
  }

  const Score& score_;
  const std::vector<InferredChord>& inferred_;
  MelodyRange range_;
  Style style_;
  int level_;
  Plan plan_;
  Fraction slot_;
  std::vector<Fraction> starts_;
  std::vector<Fraction> before_;  // of each measure: how much of its meter has passed
  std::vector<bool> ends_;
  std::vector<bool> anticipates_;
  std::vector<bool> short_;  // of each tone: it lasts less than a note of the roll
};

}  // namespace

Plan plan_of(const Score& score, std::vector<Tone> melody, const std::vector<InferredChord>& inferred,
             MelodyRange range, Style style, int level) {
  return Planner(score, std::move(melody), inferred, range, style, level).run();
}

}  // namespace fifthpeg::arranging
