// Measures from a line of text, for tests.
#pragma once

#include <cstdint>
#include <sstream>
#include <string>
#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg::testing {

inline Fraction parse_fraction(const std::string& text) {
  const auto slash = text.find('/');
  if (slash == std::string::npos) return Fraction(std::stoll(text));
  return {std::stoll(text.substr(0, slash)), std::stoll(text.substr(slash + 1))};
}

// "4/4", "3+2/8".
inline Meter parse_meter(const std::string& text) {
  Meter meter;
  const auto slash = text.find('/');
  meter.unit = std::stoi(text.substr(slash + 1));
  meter.beats.clear();
  std::istringstream beats(text.substr(0, slash));
  for (std::string part; std::getline(beats, part, '+');) meter.beats.push_back(std::stoi(part));
  return meter;
}

// Strokes by their durations: "1/8 r1/4", rests with r, grace notes with g; "3:2[1/12 1/12 1/12]" is a
// tuplet.
inline Measure parse_measure(const std::string& meter, const std::string& strokes) {
  Measure measure;
  measure.number = "1";
  measure.meter = parse_meter(meter);
  std::istringstream words(strokes);
  std::vector<Tuplet> open;
  for (std::string word; words >> word;) {
    Stroke stroke;
    for (auto bracket = word.find('['); bracket != std::string::npos; bracket = word.find('[')) {
      Tuplet tuplet;
      tuplet.actual = static_cast<std::int16_t>(std::stoi(word));
      tuplet.normal = static_cast<std::int16_t>(std::stoi(word.substr(word.find(':') + 1)));
      tuplet.starts = true;
      open.push_back(tuplet);
      word.erase(0, bracket + 1);
    }
    stroke.tuplets = open;
    for (Tuplet& tuplet : open) tuplet.starts = false;
    for (; word.back() == ']'; word.pop_back()) {
      stroke.tuplets[open.size() - 1].stops = true;
      open.pop_back();
    }
    const bool rest = word.front() == 'r';
    if (word.front() == 'g') stroke.grace = Grace::plain;
    if (rest || stroke.grace != Grace::none) word.erase(0, 1);
    stroke.onset = measure.length;
    stroke.duration = parse_fraction(word);
    if (!rest) {
      stroke.notes.emplace_back();
      stroke.notes.back().pitch = {Step::G, 0, 3};
    }
    if (stroke.grace == Grace::none) measure.length += stroke.duration;
    measure.strokes.push_back(stroke);
  }
  return measure;
}

}  // namespace fifthpeg::testing
