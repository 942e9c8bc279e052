#include "engraving/accidentals.hpp"

namespace fifthpeg::engraving {

void Accidentals::start(const Key& key) {
  ++now_;
  constexpr std::array<Step, steps> sharps{Step::F, Step::C, Step::G, Step::D, Step::A, Step::E, Step::B};
  for (int i = 0; i < steps; ++i) {
    // The place in the order of sharps, or in that of flats, which is the same backwards.
    const int fifths = int{key.fifths};
    const int sharp = fifths > i ? (fifths - i + steps - 1) / steps : 0;
    const int flat = -fifths > steps - 1 - i ? (-fifths - (steps - 1 - i) + steps - 1) / steps : 0;
    key_[static_cast<std::size_t>(sharps[static_cast<std::size_t>(i)])] =
        static_cast<std::int8_t>(sharp - flat);
  }
}

std::optional<int> Accidentals::before(const Pitch& pitch) {
  const auto step = static_cast<std::size_t>(pitch.step) % steps;
  const std::size_t line = static_cast<std::size_t>(pitch.octave + 128) * steps + step;
  const std::int8_t in_force = stamp_[line] == now_ ? alter_[line] : key_[step];
  stamp_[line] = now_;
  alter_[line] = pitch.alter;
  if (in_force == pitch.alter) return std::nullopt;
  return pitch.alter;
}

}  // namespace fifthpeg::engraving
