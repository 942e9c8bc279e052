#include <algorithm>
#include <cstdlib>
#include <utility>

#include "arrange/candidates.hpp"
#include "arrange/strums.hpp"
#include "arrange/weights.hpp"

namespace fifthpeg::arranging {
namespace {

constexpr auto thumb_finger = static_cast<std::int8_t>(PickingFinger::thumb);
constexpr auto nail_finger = static_cast<std::int8_t>(PickingFinger::nail);
// Of a stand, those beginnings of a unit that are gone on with after each beat.
constexpr std::size_t most_begun = 16;
// What is struck together in a brush: string 1 and its neighbors.
constexpr int narrowest_brush = 2;
constexpr int widest_brush = 3;
// In half steps. Common practice: a finger hammers or pulls off within its position.
constexpr int longest_slur = 4;
constexpr int longest_slide = 2;

// Candidate::pattern: what the thumb does after the first note of a pair. A slur or a drop there is the
// tune's and claims nothing.
constexpr std::int16_t waits = 0;
constexpr std::int16_t doubles = 1;
constexpr std::int16_t no_claim = -1;

// Whether a digit strikes twice, or a string that is not the tune's both times. Common practice: one digit
// has to come back before it strikes again, and the hand does not come back within an eighth.
bool strikes_again(const SlotPlay& before, const SlotPlay& next) {
  for (std::size_t a = 0; a < static_cast<std::size_t>(before.count); ++a) {
    for (std::size_t b = 0; b < static_cast<std::size_t>(next.count); ++b) {
      const Played& last = before.notes[a];
      const Played& now = next.notes[b];
      if (now.finger == Played::slurred) continue;
      if (last.finger == now.finger) return true;
      if (last.string == now.string && (last.role != Role::melody || now.role != Role::melody)) return true;
    }
  }
  return false;
}

// Slots of a unit that one strum is for; or those before a beat, which the tune has to itself.
struct Span {
  int from = 0;
  int to = 0;
  bool loose = false;
  BeatOfPair beat = BeatOfPair::either;
};

// The beginning of a unit.
struct Begun {
  Candidate candidate;
  int hands = 0;        // about what it will cost them
  int nail_string = 0;  // that the nail struck last; of a brush, the one with the lowest number
  int sounding = 0;     // the melody's pitch
  int string = 0;       // where it rings; 0: it does not
  int fret = 0;
  std::array<int, string_count + 1> held{};  // frets
  bool doubled = false;                      // the thumb plays after the first note as well
  bool waited = false;                       // nothing does

  int worth() const { return candidate.cost + hands; }
};

class Frailer {
 public:
  Frailer(const Unit& unit, Neckwork& neck) : unit_(unit), neck_(neck) {
    wanted_at_.fill(-1);
    for (std::size_t w = 0; w < unit.wanted.size(); ++w)
      wanted_at_.at(static_cast<std::size_t>(unit.wanted[w].slot)) = static_cast<int>(w);
    starts_ = unit.held != 0 ? 0 : unit.wanted.empty() ? unit.slots : unit.wanted.front().slot;
    find_spans();
  }

  std::vector<Candidate> run() {
    if (!spans_.empty()) {
      for (const auto& stand : neck_.stands(unit_)) {
        stand_ = &stand;
        strum_all();
      }
    }
    std::stable_sort(made_.begin(), made_.end(),
                     [](const Begun& a, const Begun& b) { return a.worth() < b.worth(); });
    std::vector<Candidate> kept;
    kept.reserve(most_candidates);
    for (const Begun& one : made_) {
      if (kept.size() + 1 == most_candidates) break;
      const auto same = [&](const Candidate& other) { return other.slots == one.candidate.slots; };
      if (std::none_of(kept.begin(), kept.end(), same)) kept.push_back(one.candidate);
    }
    const Candidate none = rest();
    std::erase_if(kept, [&](const Candidate& one) { return one.slots == none.slots; });
    kept.push_back(none);
    return kept;
  }

 private:
  // ---- what there is to do -----------------------------------------------------------------------

  const Wanted* wanted_at(int slot) const {
    if (slot >= unit_.slots) return nullptr;
    const int at = wanted_at_.at(static_cast<std::size_t>(slot));
    return at < 0 ? nullptr : &unit_.wanted[static_cast<std::size_t>(at)];
  }
  // On a string of the stand, or -1.
  int fret_on(int string, int midi) const {
    const int fret = neck_.fret_of(string, midi);
    // What the fifth string has, the nail takes from the first, where beginners reach it, too.
    const bool fifth_open =
        stand_->low == 1 && string == 1 && fret == stand_->high + 1 && neck_.fret_of(fifth_string, midi) == 0;
    return fret >= 0 && (fifth_open || stand_->has(string, fret)) ? fret : -1;
  }
  bool reaches(int midi) const {
    for (int string = 1; string < fifth_string; ++string) {
      if (fret_on(string, midi) >= 0) return true;
    }
    return false;
  }

  // Before the tune begins, and in a pickup, there is nothing to accompany.
  void find_spans() {
    if (unit_.pickup || !unit_.harmony.known) {
      if (starts_ < unit_.slots) spans_.push_back({starts_, unit_.slots, true, BeatOfPair::either});
      return;
    }
    const auto begins = [&](int slot) {
      return unit_.on_beat(slot) || (unit_.beats == 0 && slot == starts_);
    };
    for (int s = starts_; s < unit_.slots; ++s) {
      const bool full = !spans_.empty() && spans_.back().to - spans_.back().from == most_in_beat;
      if (spans_.empty() || full || begins(s)) {
        const bool second = s > 0 && (unit_.beats & ((1U << static_cast<unsigned>(s)) - 1U)) != 0;
        spans_.push_back({s, s, !begins(s), second ? BeatOfPair::second : BeatOfPair::first});
      }
      spans_.back().to = s + 1;
    }
    if (spans_.size() == 1) spans_.front().beat = BeatOfPair::either;
  }

  void strum_all() {
    Begun start;
    start.candidate.count = unit_.slots;
    start.sounding = unit_.held;
    std::vector<Begun> begun{start};
    for (const Span& span : spans_) {
      next_.clear();
      for (const Begun& one : begun) {
        if (span.loose) {
          play_loosely(one, span, span.from);
        } else {
          strum(one, span);
        }
      }
      std::stable_sort(next_.begin(), next_.end(),
                       [](const Begun& a, const Begun& b) { return a.worth() < b.worth(); });
      if (next_.size() > most_begun) next_.resize(most_begun);
      begun = next_;
    }
    for (Begun& one : begun) {
      one.candidate.pattern = one.doubled ? doubles : one.waited ? waits : no_claim;
      made_.push_back(one);
    }
  }

  void strum(const Begun& begun, const Span& span) {
    for (const Strum& strum : strums_of(span.to - span.from)) {
      if (strum.level > neck_.level()) continue;
      if (strum.beat != BeatOfPair::either && span.beat != BeatOfPair::either && strum.beat != span.beat)
        continue;
      Begun more = begun;
      more.candidate.cost += strum.cost;
      if (span.beat == BeatOfPair::second) more.candidate.cost += after_first(begun, strum, span);
      if (span.beat == BeatOfPair::first && strum.count == 2) {
        more.doubled = strum.frails[1] == Frail::fifth_string;
        more.waited = strum.frails[1] == Frail::nothing;
      }
      go_on(more, strum, span, 0);
    }
  }

  // Bum-ditty, or note and thumb twice.
  int after_first(const Begun& begun, const Strum& strum, const Span& span) const {
    const bool note = strum.frails[0] == Frail::nail;
    int cost = 0;
    if (begun.doubled && !note) cost += doubled_before_brush;
    if (begun.waited && note && neck_.level() >= 3) cost += waited_before_note;
    if (note && wanted_at(span.from) == nullptr) cost += note_for_brush;
    return cost;
  }

  void go_on(const Begun& begun, const Strum& strum, const Span& span, int i) {
    if (i == strum.count) {
      next_.push_back(begun);
      return;
    }
    const int slot = span.from + i;
    const auto then = [&](const Begun& more) { go_on(more, strum, span, i + 1); };
    frail(begun, strum.frails.at(static_cast<std::size_t>(i)), slot, i == 0, then);
  }

  // Each slot by itself: the tune, and where it has begun the drone off the beat.
  void play_loosely(const Begun& begun, const Span& span, int slot) {
    if (slot == span.to) {
      next_.push_back(begun);
      return;
    }
    const auto then = [&](const Begun& more) { play_loosely(more, span, slot + 1); };
    frail(begun, Frail::nothing, slot, true, then);
    if (wanted_at(slot) == nullptr) {
      const bool drone = !unit_.pickup && unit_.harmony.known && begun.sounding != 0;
      if (drone && !unit_.on_beat(slot)) frail(begun, Frail::fifth_string, slot, false, then);
      return;
    }
    const bool beat = unit_.on_beat(slot);
    const bool begins = unit_.pickup || unit_.held == 0;
    const bool nails = beat || ((begins || !unit_.harmony.known) && !is_before_beat(slot));
    if (nails) frail(begun, Frail::nail, slot, true, then);
    if (beat) return;
    if (neck_.fret_of(fifth_string, wanted_at(slot)->midi) == 0)
      frail(begun, Frail::fifth_string, slot, false, then);
    if (neck_.level() >= 2 || unit_.pickup) frail(begun, Frail::slur, slot, false, then);
    // What leads into the tune the thumb finds at leisure.
    if (neck_.level() >= 3 || unit_.pickup || (begins && slot == starts_))
      frail(begun, Frail::drop, slot, false, then);
  }

  // The nail is about to fall.
  bool is_before_beat(int slot) const { return slot + 1 >= unit_.slots || unit_.on_beat(slot + 1); }

  // Nothing at all, which can always be done.
  Candidate rest() const {
    Candidate candidate;
    candidate.count = unit_.slots;
    const bool resting = spans_.empty() || spans_.front().loose;
    candidate.cost = resting ? 0 : unit_.slots * empty_slot;
    for (const Wanted& wanted : unit_.wanted) candidate.cost += left_out(wanted);
    return candidate;
  }

  // ---- one slot ------------------------------------------------------------------------------------

  template <class Then>
  void frail(const Begun& begun, Frail what, int slot, bool begins, const Then& go_on) const {
    const auto then = [&](const Begun& laid) {
      const auto at = static_cast<std::size_t>(slot);
      if (slot == 0 || !strikes_again(laid.candidate.slots.at(at - 1), laid.candidate.slots.at(at)))
        go_on(laid);
    };
    const Wanted* const wanted = wanted_at(slot);
    Begun more = begun;
    if (wanted != nullptr) {
      more.sounding = wanted->midi;
      more.string = 0;
    }
    switch (what) {
      case Frail::nothing:
        if (wanted != nullptr) more.candidate.cost += left_out(*wanted);
        then(more);
        break;
      case Frail::nail:
        strike_nail(more, slot, wanted, begins, then);
        break;
      case Frail::brush:
        brush(begun, more, slot, wanted, then);
        break;
      case Frail::fifth_string:
        strike_fifth(more, slot, wanted, then);
        break;
      case Frail::drop:
        drop(more, slot, wanted, then);
        break;
      case Frail::slur:
        slur(more, slot, wanted, then);
        break;
    }
  }

  template <class Then>
  void strike_nail(const Begun& begun, int slot, const Wanted* wanted, bool begins, const Then& then) const {
    if (wanted != nullptr && reaches(wanted->midi)) {
      for (int string = 1; string < fifth_string; ++string) {
        const int fret = fret_on(string, wanted->midi);
        if (fret < 0) continue;
        Begun more = begun;
        more.nail_string = string;
        if (!unit_.on_beat(slot)) more.hands += nail_off_the_beat;
        sound_melody(more, slot, *wanted, {string, fret, nail_finger, Technique::none});
        then(more);
      }
      return;
    }
    if (!begins || !unit_.harmony.known) return;
    for (int string = 1; string < fifth_string; ++string) {
      const int fret = stand_->fill_on(string);
      if (fret < 0) continue;
      Begun more = begun;
      more.nail_string = string;
      if (wanted != nullptr) more.candidate.cost += wanted->weight;
      const int midi = neck_.pitch(string, fret);
      more.candidate.cost += note_of_chord + clash(more, midi, slot);
      if (unit_.harmony.above_root(midi) != 0) more.candidate.cost += not_the_root;
      if (more.sounding != 0 && midi > more.sounding) more.candidate.cost += above_melody;
      if (midi == coming(slot)) more.candidate.cost += strikes_coming;
      if (string == more.string && fret != more.fret) more.candidate.cost += cuts_melody;
      SlotPlay& play = more.candidate.slots.at(static_cast<std::size_t>(slot));
      play.notes[0] = {static_cast<std::int8_t>(string), static_cast<std::int8_t>(fret), nail_finger};
      play.count = 1;
      hold(more, string, fret);
      then(more);
    }
  }

  // Over the chord; a string on which the melody still rings keeps its note where that belongs.
  template <class Then>
  void brush(const Begun& before, const Begun& begun, int slot, const Wanted* wanted,
             const Then& then) const {
    if (!unit_.harmony.known || wanted_at(slot + 1) != nullptr) return;
    const bool may_carry = wanted != nullptr && wanted->ends_phrase && wanted->length > 2;
    if (wanted != nullptr && !may_carry) return;
    for (int width = narrowest_brush; width <= widest_brush; ++width) {
      for (int carrier = wanted != nullptr ? 1 : 0; carrier <= (wanted != nullptr ? width : 0); ++carrier) {
        Begun more = begun;
        if (!lay_brush(before, more, slot, width, carrier, wanted)) continue;
        more.candidate.cost += width == widest_brush ? 0 : narrow_brush;
        more.nail_string = 1;
        then(more);
      }
    }
  }

  // `carrier`: the string with the melody; 0: none.
  bool lay_brush(const Begun& before, Begun& more, int slot, int width, int carrier,
                 const Wanted* wanted) const {
    SlotPlay& play = more.candidate.slots.at(static_cast<std::size_t>(slot));
    play.brush = Brush::up;
    if (carrier > 0) {
      const int fret = fret_on(carrier, wanted->midi);
      if (fret < 0 || !unit_.harmony.tones.has(wanted->midi)) return false;
      sound_melody(more, slot, *wanted, {carrier, fret, nail_finger, Technique::none});
    }
    for (int string = 1; string <= width; ++string) {
      if (string == carrier) continue;
      int fret = stand_->fill_on(string);
      const bool rings = wanted == nullptr && string == before.string;
      if (rings && unit_.harmony.tones.has(neck_.pitch(string, before.fret))) fret = before.fret;
      if (fret < 0) return false;
      const int midi = neck_.pitch(string, fret);
      if (carrier > 0 && midi >= wanted->midi) return false;
      more.candidate.cost += clash(more, midi, slot);
      if (rings && fret != before.fret) {
        more.candidate.cost += cuts_melody;
        more.string = 0;
      }
      Played& note = play.notes.at(static_cast<std::size_t>(play.count++));
      note = {static_cast<std::int8_t>(string), static_cast<std::int8_t>(fret), nail_finger};
      hold(more, string, fret);
    }
    return true;
  }

  template <class Then>
  void strike_fifth(const Begun& begun, int slot, const Wanted* wanted, const Then& then) const {
    Begun more = begun;
    if (wanted != nullptr && neck_.fret_of(fifth_string, wanted->midi) == 0) {
      sound_melody(more, slot, *wanted, {fifth_string, 0, thumb_finger, Technique::none});
      then(more);
      return;
    }
    if (!unit_.harmony.known) return;
    if (wanted != nullptr) more.candidate.cost += wanted->weight;
    const int midi = neck_.pitch(fifth_string, 0);
    if (!unit_.harmony.tones.has(midi))
      more.candidate.cost += unit_.harmony.bears(midi) ? thumb_beside : thumb_against;
    if (more.sounding != 0 && is_half_step(midi - more.sounding)) more.candidate.cost += half_step[1];
    SlotPlay& play = more.candidate.slots.at(static_cast<std::size_t>(slot));
    play.notes[0] = {fifth_string, 0, thumb_finger};
    play.notes[0].role = Role::drone;
    play.count = 1;
    then(more);
  }

  // The thumb drops to the nail's string or beyond it, seen from the first.
  template <class Then>
  void drop(const Begun& begun, int slot, const Wanted* wanted, const Then& then) const {
    if (wanted == nullptr) return;
    for (int string = std::max(2, begun.nail_string); string < fifth_string; ++string) {
      const int fret = fret_on(string, wanted->midi);
      if (fret < 0) continue;
      Begun more = begun;
      more.hands += thumb_dropped + 10 * (string - 2);
      const Played& last = begun.candidate.slots.at(static_cast<std::size_t>(std::max(0, slot - 1))).notes[0];
      const bool stopped_anew = slot > 0 && last.string == string && last.fret != fret;
      more.candidate.cost += stopped_anew ? drop_stopped_anew : drop_thumb;
      if (unit_.pickup && neck_.level() <= 2 && fret > 0) more.candidate.cost += drop_stopped_by_learners;
      more.candidate.cost += drop_each_string * std::max(0, string - begun.nail_string - 1);
      sound_melody(more, slot, *wanted, {string, fret, thumb_finger, Technique::none});
      then(more);
    }
  }

  template <class Then>
  void slur(const Begun& begun, int slot, const Wanted* wanted, const Then& then) const {
    if (wanted == nullptr || slot == 0) return;
    int before = slot - 1;
    while (before > 0 && !unit_.on_beat(before) &&
           begun.candidate.slots.at(static_cast<std::size_t>(before)).count == 0)
      --before;
    const SlotPlay& last = begun.candidate.slots.at(static_cast<std::size_t>(before));
    if (last.count != 1 || last.notes[0].string == fifth_string) return;
    const Played& from = last.notes[0];
    const int to = fret_on(from.string, wanted->midi);
    const int rise = to - from.fret;
    if (to < 0 || rise == 0 || std::abs(rise) > longest_slur) return;
    for (const bool slides : {false, true}) {
      if (slides && (from.fret == 0 || to == 0 || std::abs(rise) != longest_slide)) break;
      Begun more = begun;
      more.candidate.cost += slides ? frail_slide : frail_slur;
      if (from.role != Role::melody) more.candidate.cost += slurred_from_chord;
      more.hands += slides ? slid : slurred;
      const Technique technique = slides     ? Technique::slide
                                  : rise > 0 ? Technique::hammer_on
                                             : Technique::pull_off;
      sound_melody(more, slot, *wanted, {from.string, to, Played::slurred, technique});
      then(more);
    }
  }

  struct Sound {
    int string;
    int fret;
    std::int8_t finger;
    Technique into;
  };
  void sound_melody(Begun& more, int slot, const Wanted& wanted, Sound sound) const {
    SlotPlay& play = more.candidate.slots.at(static_cast<std::size_t>(slot));
    Played& note = play.notes[0];
    note = {static_cast<std::int8_t>(sound.string), static_cast<std::int8_t>(sound.fret), sound.finger};
    note.into = sound.into;
    note.role = Role::melody;
    note.wanted = static_cast<std::int8_t>(&wanted - unit_.wanted.data());
    play.count = 1;
    if (sound.string == 4) more.candidate.cost += on_fourth;
    more.string = sound.string;
    more.fret = sound.fret;
    if (sound.string != fifth_string) hold(more, sound.string, sound.fret);
  }

  // ---- what it costs -------------------------------------------------------------------------------

  // A pickup is played whole, as nobody accompanies it.
  int left_out(const Wanted& wanted) const {
    return unit_.pickup ? std::max<int>(wanted.weight, on_beat) : wanted.weight;
  }

  static bool is_half_step(int apart) {
    const int above = pitch_class(apart);
    return above == 1 || above == 11;
  }

  // A note of the chord beside the melody.
  int clash(const Begun& begun, int midi, int slot) const {
    int cost = (unit_.harmony.doubtful & ChordTones::bit(midi)) != 0 ? drone_beside : 0;
    if (begun.sounding == 0) return cost;
    const int off = unit_.on_beat(slot) ? 0 : 1;
    const int above = pitch_class(midi - begun.sounding);
    if (is_half_step(above)) cost += half_step[off];
    if (above == 2 || above == 10) cost += whole_step[off];
    return cost;
  }

  // The melody's pitch in the slot after, or 0.
  int coming(int slot) const {
    const Wanted* const next = wanted_at(slot + 1);
    if (next != nullptr) return next->midi;
    return slot + 1 == unit_.slots && unit_.next_after == 0 ? unit_.next_midi : 0;
  }

  static void hold(Begun& more, int string, int fret) {
    int& held = more.held.at(static_cast<std::size_t>(string));
    if (fret > 0 && fret != held) more.hands += fret > 4 ? 14 + 3 * (fret - 4) : 8;
    held = fret;
  }

  // About as the hands' table has it (src/hands/costs.hpp), to know which candidates are worth a search.
  static constexpr int thumb_dropped = 30;
  static constexpr int nail_off_the_beat = 60;
  static constexpr int slurred = 5;
  static constexpr int slid = 34;

  const Unit& unit_;
  Neckwork& neck_;
  const Neckwork::Stand* stand_ = nullptr;
  std::array<int, most_slots> wanted_at_{};
  int starts_ = 0;  // slot from which on the tune has begun
  std::vector<Span> spans_;
  std::vector<Begun> next_;
  std::vector<Begun> made_;
};

}  // namespace

std::vector<Candidate> clawhammer_candidates(const Unit& unit, Neckwork& neck) {
  return Frailer(unit, neck).run();
}

int clawhammer_seam(const Unit& unit_before, const Candidate& before, const Candidate& next, int level) {
  if (before.count > 0 &&
      strikes_again(before.slots.at(static_cast<std::size_t>(before.count - 1)), next.slots[0]))
    return not_done;
  if (before.pattern < 0 || next.pattern < 0 || before.pattern == next.pattern || unit_before.ends_phrase)
    return 0;
  return other_strum.at(static_cast<std::size_t>(level - 1));
}

}  // namespace fifthpeg::arranging
