#include "hands/learner.hpp"

#include <array>
#include <optional>

#include "hands/costs.hpp"

namespace fifthpeg::hands {

std::vector<FingerRepeat> finger_repeats(const Score& score) {
  struct Strike {
    Fraction at;
    double seconds = 0;
  };
  std::array<std::optional<Strike>, 6> last;  // by PickingFinger
  std::vector<FingerRepeat> repeats;
  Fraction start;  // of the measure
  std::size_t measure = 0;
  double now = 0.0;
  for (const Event& at : line_of(score)) {
    now += static_cast<double>(at.wait.seconds);
    for (; measure < at.measure; ++measure) start += score.measures[measure].length;
    const Stroke& stroke = stroke_at(score, at);
    if (stroke.grace != Grace::none) continue;
    for (const Note& note : stroke.notes) {
      if (!note.picking_finger || note.tied_from_previous) continue;
      std::optional<Strike>& before = last.at(static_cast<std::size_t>(*note.picking_finger));
      const Strike strike{start + stroke.onset, now};
      if (before && strike.at > before->at) {
        repeats.push_back({at, strike.at - before->at, now - before->seconds});
      }
      before = strike;
    }
  }
  return repeats;
}

double learners_tempo(Fraction value, Fraction beat) {
  return 60.0 * (value / beat).to_double() / easy_repeat_seconds;
}

double learners_tempo_for_shift(int frets, Fraction beats) {
  return 60'000.0 * beats.to_double() / (learners_shift * shift_milliseconds(frets));
}

}  // namespace fifthpeg::hands
