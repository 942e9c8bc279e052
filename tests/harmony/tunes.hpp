// Small tunes for the tests of harmony.
#pragma once

#include <algorithm>
#include <cstdint>
#include <string>
#include <string_view>

#include "fifthpeg/harmony.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::testing {

// "D4 | G4*2 B4 - | ...": notes and rests of one length, or of * times that; a first measure that is too
// short is a pickup.
inline Score tune(const Meter& meter, Fraction each, const Key& key, std::string_view words) {
  Score score;
  const auto open_measure = [&] {
    Measure measure;
    measure.number = std::to_string(score.measures.size() + 1);
    measure.meter = meter;
    measure.key = key;
    score.measures.push_back(measure);
  };
  open_measure();
  for (std::size_t at = 0; at < words.size();) {
    const std::size_t end = std::min(words.find(' ', at), words.size());
    const std::string_view word = words.substr(at, end - at);
    at = end + 1;
    if (word == "|") open_measure();
    if (word == "|" || word.empty()) continue;
    const std::size_t star = std::min(word.find('*'), word.size());
    Measure& measure = score.measures.back();
    Stroke stroke;
    stroke.onset = measure.length;
    stroke.duration = each * (star < word.size() ? std::stoi(std::string(word.substr(star + 1))) : 1);
    if (word.front() != '-') {
      stroke.notes.emplace_back();
      stroke.notes.back().pitch = parse_pitch(word.substr(0, star)).value();
    }
    measure.length += stroke.duration;
    measure.strokes.push_back(stroke);
  }
  if (score.measures.front().length < meter.length()) score.measures.front().implicit = true;
  normalize(score);
  return score;
}

// "G | G | C G | D7": the chords of each measure as they are inferred, where they change inside it.
inline std::string chords_of(const Score& score) {
  std::string text;
  std::string last;
  std::size_t measure = SIZE_MAX;
  for (const InferredChord& inferred : infer_chords(score)) {
    const std::string chord = to_string(inferred.chord);
    if (inferred.measure != measure) {
      text += (text.empty() ? "" : " | ") + chord;
    } else if (chord != last) {
      text += " " + chord;
    }
    measure = inferred.measure;
    last = chord;
  }
  return text;
}

}  // namespace fifthpeg::testing
