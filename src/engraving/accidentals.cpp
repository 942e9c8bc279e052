#include "engraving/accidentals.hpp"

#include "fifthpeg/fraction.hpp"

namespace fifthpeg::engraving {
namespace {

// What the signature makes of a step: each turn of the line of fifths adds a sharp, or takes one away.
int alter_in(const Key& key, Step step) {
  constexpr int last_natural = 5;  // B
  return static_cast<int>(Fraction(key.fifths + last_natural - line_of_fifths(step, 0), 7).floor());
}

}  // namespace

void Accidentals::start(const Key& key) {
  key_ = key;
  alters_.clear();
}

std::optional<int> Accidentals::before(const Pitch& pitch) {
  const auto [line, is_new] = alters_.try_emplace({pitch.step, pitch.octave}, alter_in(key_, pitch.step));
  if (std::exchange(line->second, pitch.alter) == pitch.alter) return std::nullopt;
  return pitch.alter;
}

}  // namespace fifthpeg::engraving
