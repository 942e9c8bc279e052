#include "hands/request.hpp"

#include <string_view>

namespace fifthpeg::hands {

Kept kept_by(Refinger refinger) {
  Kept kept;
  kept.placement = refinger == Refinger::missing;
  kept.finger = kept.placement;
  kept.picking_finger = kept.placement || refinger == Refinger::frets_only;
  return kept;
}

std::int16_t chord_of(const ChordSymbol& symbol, int half_steps) {
  const std::string_view kind = symbol.kind;
  const bool minor = kind.starts_with("minor");
  const bool major = kind.starts_with("major") || kind.starts_with("dominant");
  if (!minor && !major) return no_chord;
  const int root = Pitch{symbol.root.step, symbol.root.alter, 4}.midi() + half_steps;
  return static_cast<std::int16_t>(pitch_class(root) + (minor ? 12 : 0));
}

RequestedNote requested(const Note& note, int half_steps, Kept kept) {
  constexpr std::int8_t any_slur = RequestedNote::bit(Technique::hammer_on) |
                                   RequestedNote::bit(Technique::pull_off) |
                                   RequestedNote::bit(Technique::slide);
  RequestedNote result;
  result.midi = static_cast<std::int16_t>(note.pitch.midi() + half_steps);
  if (kept.placement && note.placement) {
    result.string = note.placement->string;
    result.fret = note.placement->fret;
  }
  if (kept.finger && note.finger) result.finger = static_cast<std::int8_t>(*note.finger);
  result.tied = note.tied_from_previous;
  if (kept.picking_finger && note.picking_finger && !result.tied)
    result.picking_finger = static_cast<std::int8_t>(*note.picking_finger);
  if (note.into != Technique::none && !result.tied) {
    result.slur_asked = true;
    result.slurs = note.into == Technique::slur ? any_slur : RequestedNote::bit(note.into);
  }
  result.bent = note.choke.has_value();
  result.dead = note.dead;
  result.harmonic = note.harmonic;
  if (note.ring == Ring::damp || note.dead) result.ringing = RequestedNote::stopped_short;
  if (note.ring == Ring::let_ring) result.ringing = RequestedNote::let_ring;
  return result;
}

}  // namespace fifthpeg::hands
