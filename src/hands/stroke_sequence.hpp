// The piece as the hands meet it: its strokes one after the other, without rests, with the time between.
#pragma once

#include <cstdint>
#include <vector>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::hands {

inline constexpr float longest_wait_seconds = 100.0F;
inline constexpr double longest_wait_wholes = 64.0;  // to the hands all longer ones are the same

// From the stroke before to a stroke.
struct Wait {
  float seconds = 0;
  float wholes = 0;  // the note value, of whole notes; of a grace note that of a thirty-second
};

struct Event {
  std::uint32_t measure = 0;  // index into Score::measures
  std::uint32_t stroke = 0;   // index into Measure::strokes
  Wait wait;
  bool off_beat = false;  // between the strokes of a hand that falls with the beat
};

// Strokes with notes, in written order. Repeats are not carried out: what is played again is played alike.
std::vector<Event> line_of(const Score& score);

inline const Stroke& stroke_at(const Score& score, const Event& at) {
  return score.measures[at.measure].strokes[at.stroke];
}
inline Stroke& stroke_at(Score& score, const Event& at) {
  return score.measures[at.measure].strokes[at.stroke];
}
Place place_of(const Score& score, const Event& at);

// Whether a stroke begins later than the one before it ends.
bool comes_after_rest(const Event& at, const Stroke& before);

}  // namespace fifthpeg::hands
