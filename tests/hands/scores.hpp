// Small scores for the tests of the hands.
#pragma once

#include <initializer_list>
#include <string>
#include <string_view>
#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg::testing {

// "G3 B3+D4 - G4": strokes of equal length, one a word, 4/4 at the given tempo; - is a rest.
inline Score passage(std::string_view words, Fraction each = {1, 8}, int quarters_per_minute = 120) {
  Score score;
  Fraction onset;
  std::size_t at = 0;
  const auto open_measure = [&] {
    Measure measure;
    measure.number = std::to_string(score.measures.size() + 1);
    measure.length = measure.meter.length();
    if (score.measures.empty()) measure.tempos.push_back({0, quarters_per_minute, {1, 4}, "", true});
    score.measures.push_back(measure);
    onset = 0;
  };
  while (at < words.size()) {
    std::size_t end = words.find(' ', at);
    if (end == std::string_view::npos) end = words.size();
    const std::string_view word = words.substr(at, end - at);
    at = end + 1;
    if (word.empty()) continue;
    if (score.measures.empty() || onset >= score.measures.back().length) open_measure();
    Stroke stroke;
    stroke.onset = onset;
    stroke.duration = each;
    for (std::size_t from = 0; word != "-" && from < word.size();) {
      std::size_t to = word.find('+', from);
      if (to == std::string_view::npos) to = word.size();
      Note note;
      note.pitch = parse_pitch(word.substr(from, to - from)).value();
      stroke.notes.push_back(note);
      from = to + 1;
    }
    score.measures.back().strokes.push_back(stroke);
    onset += each;
  }
  if (!score.measures.empty() && onset < score.measures.back().length) {
    Stroke rest;
    rest.onset = onset;
    rest.duration = score.measures.back().length - onset;
    score.measures.back().strokes.push_back(rest);
  }
  normalize(score);
  return score;
}

// "3:0 4:7 2:1+1:2": string and fret of every note, a stroke a word.
inline std::string placements_of(const Score& score) {
  std::string text;
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      if (stroke.is_rest()) continue;
      if (!text.empty()) text += ' ';
      for (std::size_t n = 0; n < stroke.notes.size(); ++n) {
        const auto& placement = stroke.notes[n].placement;
        if (n > 0) text += '+';
        text += placement ? std::to_string(placement->string) + ":" + std::to_string(placement->fret) : "?";
      }
    }
  }
  return text;
}

namespace detail {
template <class OfNote>
std::string each_stroke(const Score& score, const OfNote& of_note) {
  std::string text;
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      if (stroke.is_rest()) continue;
      if (!text.empty()) text += ' ';
      // From the fifth string to the first, as the picking hand lies.
      for (int string = string_count; string >= 1; --string) {
        for (const Note& note : stroke.notes) {
          if (note.placement && note.placement->string == string) text += of_note(note);
        }
      }
    }
  }
  return text;
}
}  // namespace detail

// "T I M": the picking fingers of every stroke, from the fifth string to the first; - where none picks.
inline std::string picking_fingers_of(const Score& score) {
  return detail::each_stroke(score, [](const Note& note) {
    constexpr std::string_view letters = "TIMRLN";
    return std::string(
        1, note.picking_finger ? letters.at(static_cast<std::size_t>(*note.picking_finger)) : '-');
  });
}

// "0 2 13": the fret-hand fingers of every stroke, from the fifth string to the first.
inline std::string fingers_of(const Score& score) {
  return detail::each_stroke(score, [](const Note& note) {
    constexpr std::string_view letters = "01234T";
    return std::string(1, note.finger ? letters.at(static_cast<std::size_t>(*note.finger)) : '?');
  });
}

}  // namespace fifthpeg::testing
