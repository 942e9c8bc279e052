// Scores for the tests of the writers, spelled briefly.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg::testing {

// A note on open G tuning, by string and fret.
inline Note on(int string, int fret, const Banjo& banjo = {}) {
  Note note;
  note.placement = Placement{static_cast<std::int8_t>(string), static_cast<std::int8_t>(fret)};
  note.pitch = spell(*banjo.midi_at(*note.placement), {1, Mode::major});
  return note;
}

inline Note with(Note note, Technique into) {
  note.into = into;
  return note;
}

inline Stroke stroke(Fraction duration, std::vector<Note> notes) {
  Stroke result;
  result.duration = duration;
  result.notes = std::move(notes);
  return result;
}

inline Stroke rest(Fraction duration) {
  return stroke(duration, {});
}

inline Stroke grace(Note note) {
  Stroke result = stroke({1, 16}, {std::move(note)});
  result.grace = Grace::slashed;
  return result;
}

// A measure in G major, its strokes one after another.
inline Measure measure(std::vector<Stroke> strokes, Meter meter = {}) {
  Measure result;
  result.meter = std::move(meter);
  result.key = {1, Mode::major};
  Fraction now;
  for (Stroke& one : strokes) {
    one.onset = now;
    if (one.grace == Grace::none) now += one.duration;
  }
  result.strokes = std::move(strokes);
  result.length = now;
  return result;
}

// Numbered from 1, or from 0 where the first one is a pickup; in normal form.
inline Score score_of(std::vector<Measure> measures) {
  Score score;
  score.measures = std::move(measures);
  if (!score.measures.empty()) {
    Measure& first = score.measures.front();
    first.implicit = first.length < first.meter.length();
    int number = first.implicit ? 0 : 1;
    for (Measure& one : score.measures) one.number = std::to_string(number++);
  }
  normalize(score);
  return score;
}

}  // namespace fifthpeg::testing
