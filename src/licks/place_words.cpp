#include "licks/place_words.hpp"

namespace fifthpeg::licks {

std::string beats_in_words(Fraction length, const Meter& meter) {
  const Fraction beats = length / meter.beat();
  return counted_as(beats) + (beats == 1 ? " beat" : " beats");
}

std::string chord_name(int shape, const Banjo& banjo, const Key& key) {
  const int raised = banjo.open_midi(1) - Banjo{}.open_midi(1);
  constexpr int octave_of_roots = 60;
  const Pitch root = spell(octave_of_roots + pitch_class(shape + raised), key);
  ChordSymbol chord;
  chord.root = {root.step, root.alter};
  if (shape >= 12) chord.kind = "minor";
  return to_string(chord);
}

std::string tone_name(int midi, const Key& key) {
  return to_string(spell(midi, key));
}

}  // namespace fifthpeg::licks
