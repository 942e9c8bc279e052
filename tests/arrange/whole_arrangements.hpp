// Arrangements with all that can be asked for, of random melodies in all meters, styles and levels: made once
// for all tests.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "arrange/varied_melody.hpp"
#include "fifthpeg/arrange.hpp"

namespace fifthpeg::testing {

struct WholeArrangement {
  Score melody;
  ArrangeOptions options;
  Arrangement made;

  bool has_pickup() const { return melody.measures.front().implicit; }
  bool has_kick_off() const { return made.score.measures.size() > 0 && has_role(made.score, Role::kick_off); }
  // The first measure of a break.
  std::size_t start_of(std::size_t number) const {
    return (has_kick_off() ? 1 : 0) + number * melody.measures.size();
  }
  std::string name() const {
    return to_string(melody.measures.back().meter) + (has_pickup() ? " with pickup, " : ", ") +
           std::string(slug(options.style)) + ", level " + std::to_string(options.level) + ", " +
           std::to_string(options.variations) + " breaks";
  }
};

// Measures 1 to 4 twice, the fourth otherwise the second time.
inline void repeat_first_part(Score& score) {
  const std::size_t first = score.measures.front().implicit ? 1 : 0;
  score.measures[first].repeat_starts = true;
  Measure& once = score.measures[first + 3];
  once.ending = Ending{{1}, true, Ending::Stop::closed};
  once.repeat_times = 2;
  score.measures[first + 4].ending = Ending{{2}, true, Ending::Stop::open};
  normalize(score);
}

inline Score melody_for_breaks(std::uint64_t seed, const std::vector<int>& beats, int unit, bool pickup) {
  VariedMelodyOptions kind;
  kind.beats = beats;
  kind.unit = unit;
  kind.pickup = pickup;
  kind.chords = seed % 3 != 0;
  kind.fast = seed % 4 == 1;
  kind.rests = false;  // so that there is a first note to lead to
  Score score = varied_melody(seed, kind);
  if (seed % 2 == 0) repeat_first_part(score);
  return score;
}

inline const std::vector<WholeArrangement>& whole_arrangements() {
  static const std::vector<WholeArrangement> all = [] {
    std::vector<WholeArrangement> made;
    std::uint64_t seed = 0;
    for (const auto& [beats, unit] : {std::pair{4, 4}, {2, 4}, {3, 4}, {6, 8}}) {
      for (const bool pickup : {false, true}) {
        for (int level = lowest_level; level <= highest_level; ++level) {
          for (const Style style : {Style::roll, Style::melodic, Style::single_string, Style::clawhammer}) {
            WholeArrangement& one = made.emplace_back();
            one.melody = melody_for_breaks(seed++, {beats}, unit, pickup);
            one.options.style = style;
            one.options.level = level;
            one.options.variations = 1 + static_cast<int>(seed % 3);
            one.options.kick_off = one.options.ending = one.options.backup = one.options.explain = true;
            one.made = arrange(one.melody, one.options);
          }
        }
      }
    }
    return made;
  }();
  return all;
}

inline bool is_told(const Report& report, std::string_view slug) {
  for (const Entry& entry : report.entries()) {
    if (entry.slug == slug) return true;
  }
  return false;
}

}  // namespace fifthpeg::testing
