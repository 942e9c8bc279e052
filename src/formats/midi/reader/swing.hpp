// Swing: pairs of eighths played long-short that are written even.
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "fifthpeg/score.hpp"
#include "formats/midi/reader/bars.hpp"
#include "formats/midi/reader/tempo_map.hpp"

namespace fifthpeg::midi::reader {

// Where off-beat eighths stand in a swung beat, as a share of it: two thirds, and what players make of it.
inline constexpr double least_swing = 0.60;
inline constexpr double most_swing = 0.72;

struct SwungPair {
  double tick = 0.0;  // where the pair begins
  double ticks = 0.0;
  double middle = 0.0;  // share of the pair at which its second note is played
};

// The swing of a file and the pairs that are swung: whole ones, counted from the barline. Times in other
// pairs are played as written.
class Straightener {
 public:
  // Onsets are those of strokes, without grace notes.
  // Finds swing by itself: at least four beats of two onsets, the second in the window, and next to no beat
  // with a triplet or with even eighths. `stated`: the swing that the file states, taken as it is.
  Straightener(const std::vector<std::int64_t>& onsets, const TempoMap& map, const Bars& bars,
               std::optional<Swing> stated);

  const std::optional<Swing>& swing() const { return swing_; }
  // Where a tick would stand if it were played even.
  std::int64_t straight(std::int64_t tick) const;

 private:
  void collect_pairs(const std::vector<std::int64_t>& onsets, const TempoMap& map, const Bars& bars,
                     double middle, double slack_ticks);
  bool detect(const std::vector<std::int64_t>& onsets, const TempoMap& map, const Bars& bars, double& middle);

  std::optional<Swing> swing_;
  std::vector<SwungPair> pairs_;  // in order
};

}  // namespace fifthpeg::midi::reader
