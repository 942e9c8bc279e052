// Licks in tab for tests, a word a stroke.
#pragma once

#include <algorithm>
#include <string>
#include <string_view>

#include "fifthpeg/score.hpp"

namespace fifthpeg::testing {

struct TabWords {
  int capo = 0;
  Key key{1, Mode::major};
  Fraction each{1, 8};
};

// "3:0 2:1 - 5:0+1:0 | 3:0*8": strings and frets of 4/4, `each` long or * times that; - is a rest, and a
// first measure that is too short is a pickup.
inline Score tab(std::string_view words, const TabWords& kind = {}) {
  Score score;
  score.banjo.capo = kind.capo;
  score.banjo.fifth_capo = usual_fifth_capo(kind.capo);
  const auto open_measure = [&] {
    Measure measure;
    measure.number = std::to_string(score.measures.size() + 1);
    measure.key = kind.key;
    score.measures.push_back(measure);
  };
  open_measure();
  for (std::size_t from = 0; from < words.size();) {
    const std::size_t end = std::min(words.find(' ', from), words.size());
    std::string_view word = words.substr(from, end - from);
    from = end + 1;
    if (word == "|") {
      open_measure();
      continue;
    }
    Measure& measure = score.measures.back();
    const std::size_t star = std::min(word.find('*'), word.size());
    Stroke stroke;
    stroke.onset = measure.length;
    stroke.duration = kind.each * (star < word.size() ? std::stoi(std::string(word.substr(star + 1))) : 1);
    word = word.substr(0, star);
    while (word != "-" && !word.empty()) {
      const std::size_t plus = std::min(word.find('+'), word.size());
      Note& note = stroke.notes.emplace_back();
      const int fret = std::stoi(std::string(word.substr(2, plus - 2)));
      note.placement = Placement{static_cast<std::int8_t>(word[0] - '0'), static_cast<std::int8_t>(fret)};
      note.pitch = spell(score.banjo.midi_at(*note.placement).value(), kind.key);
      word.remove_prefix(std::min(plus + 1, word.size()));
    }
    measure.length += stroke.duration;
    measure.strokes.push_back(stroke);
  }
  Measure& first = score.measures.front();
  if (first.length < first.meter.length()) first.implicit = true;
  normalize(score);
  return score;
}

}  // namespace fifthpeg::testing
