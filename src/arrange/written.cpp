#include "arrange/written.hpp"

#include <utility>

#include "fifthpeg/harmony.hpp"

namespace fifthpeg::arranging {
namespace {

class Writer {
 public:
  Writer(const Score& score, const std::vector<Unit>& units, const Way& way)
      : units_(units), way_(way), score_(score), key_(find_key(score_)) {}

  Score run() {
    std::size_t u = 0;
    for (std::uint32_t m = 0; m < score_.measures.size(); ++m) {
      Measure& measure = score_.measures[m];
      measure.strokes.clear();
      for (; u < units_.size() && units_[u].measure == m; ++u) add(measure, units_[u], way_.chosen[u]);
      sound_until_next(measure);
    }
    normalize(score_);
    return std::move(score_);
  }

 private:
  void add(Measure& measure, const Unit& unit, const Candidate& candidate) {
    for (int s = 0; s < candidate.count; ++s) {
      const SlotPlay& slot = candidate.slots[static_cast<std::size_t>(s)];
      if (slot.count == 0) continue;
      const Fraction onset = unit.at + unit.slot * Fraction(s);
      if (slot.from_fret >= 0) add_grace(measure, slot, onset);
      Stroke stroke;
      stroke.onset = onset;
      stroke.brush = slot.brush;
      for (std::size_t n = 0; n < static_cast<std::size_t>(slot.count); ++n) {
        stroke.notes.push_back(note_of(slot.notes[n], slot.notes[n].fret));
        Note& note = stroke.notes.back();
        note.into = slot.notes[n].into;
        if (slot.notes[n].wanted >= 0 &&
            unit.wanted[static_cast<std::size_t>(slot.notes[n].wanted)].anticipates)
          stroke.articulations.accent = true;
        if (slot.notes[n].finger != Played::slurred && slot.from_fret < 0)
          note.picking_finger = static_cast<PickingFinger>(slot.notes[n].finger);
        if (note.into != Technique::none) lead(measure, note);
      }
      measure.strokes.push_back(std::move(stroke));
    }
  }

  Note note_of(const Played& played, int fret) const {
    Note note;
    note.placement = Placement{played.string, static_cast<std::int8_t>(fret)};
    note.pitch = spell(score_.banjo.midi_at(*note.placement).value_or(0), key_);
    note.role = played.role;
    return note;
  }

  void add_grace(Measure& measure, const SlotPlay& slot, Fraction onset) const {
    Stroke stroke;
    stroke.onset = onset;
    stroke.duration = Fraction(1, 16);
    stroke.grace = Grace::slashed;
    Played from = slot.notes[0];
    Note note = note_of(from, slot.from_fret);
    note.picking_finger = static_cast<PickingFinger>(from.finger);
    note.role = from.role == Role::lick ? Role::lick : Role::fill;
    stroke.notes.push_back(note);
    measure.strokes.push_back(std::move(stroke));
  }

  // The stroke before, on the same string, leads there; in a lick, over a barline too.
  void lead(Measure& measure, const Note& note) {
    const auto m = static_cast<std::size_t>(&measure - score_.measures.data());
    auto& strokes = measure.strokes.empty() && m > 0 ? score_.measures[m - 1].strokes : measure.strokes;
    if (strokes.empty()) return;
    for (Note& other : strokes.back().notes) {
      if (other.placement->string == note.placement->string) other.out_of = note.into;
    }
  }

  const std::vector<Unit>& units_;
  const Way& way_;
  Score score_;
  Key key_;
};

}  // namespace

void sound_until_next(Measure& measure) {
  Fraction end = measure.length;
  for (std::size_t s = measure.strokes.size(); s-- > 0;) {
    Stroke& stroke = measure.strokes[s];
    if (stroke.grace != Grace::none) continue;
    stroke.duration = end - stroke.onset;
    end = stroke.onset;
  }
  if (end == 0) return;
  Stroke rest;
  rest.duration = end;
  measure.strokes.insert(measure.strokes.begin(), rest);
}

Score written(const Score& score, const std::vector<Unit>& units, const Way& way) {
  return Writer(score, units, way).run();
}

}  // namespace fifthpeg::arranging
