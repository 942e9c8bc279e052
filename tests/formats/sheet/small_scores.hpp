// Small scores for tests of sheets, and the marks that they are drawn as.
#pragma once

#include <string>
#include <utility>
#include <variant>
#include <vector>

#include "fifthpeg/score.hpp"
#include "formats/sheet/drawing.hpp"
#include "formats/sheet/layout/lay_out.hpp"

namespace fifthpeg::testing {

inline Stroke stroke_at(Fraction onset, Fraction duration, std::vector<Note> notes) {
  Stroke stroke;
  stroke.onset = onset;
  stroke.duration = duration;
  stroke.notes = std::move(notes);
  return stroke;
}

inline Note note_on(int string, int fret, Pitch pitch = {Step::B, 0, 4}) {
  Note note;
  note.placement = Placement{static_cast<std::int8_t>(string), static_cast<std::int8_t>(fret)};
  note.pitch = pitch;
  return note;
}

inline Measure measure_of(std::vector<Stroke> strokes, int number = 1) {
  Measure measure;
  measure.number = std::to_string(number);
  measure.length = 1;
  measure.strokes = std::move(strokes);
  return measure;
}

inline Score score_with(std::vector<Measure> measures) {
  Score score;
  score.measures = std::move(measures);
  return score;
}

// As many measures of four quarters.
inline Score quarters(int measures) {
  Score score;
  for (int m = 0; m < measures; ++m) {
    score.measures.push_back(measure_of({}, m + 1));
    for (int i = 0; i < 4; ++i) {
      score.measures.back().strokes.push_back(stroke_at(Fraction(i, 4), Fraction(1, 4), {note_on(2, i)}));
    }
  }
  return score;
}

inline std::vector<sheet::Mark> marks_of(const sheet::Drawing& drawing, sheet::Kind kind) {
  std::vector<sheet::Mark> found;
  for (const sheet::Page& page : drawing.pages) {
    for (const sheet::Mark& mark : page.marks) {
      if (mark.kind == kind) found.push_back(mark);
    }
  }
  return found;
}
inline std::vector<sheet::Mark> marks_of(const Score& score, const SheetOptions& options, sheet::Kind kind) {
  Report report;
  return marks_of(sheet::lay_out({score}, options, report), kind);
}

inline std::vector<std::string> texts_of(const sheet::Drawing& drawing, sheet::Kind kind) {
  std::vector<std::string> texts;
  for (const sheet::Mark& mark : marks_of(drawing, kind)) {
    if (const auto* text = std::get_if<sheet::Text>(&mark.shape)) texts.push_back(text->text);
  }
  return texts;
}
inline std::vector<sheet::MusicSign> signs_of(const sheet::Drawing& drawing, sheet::Kind kind) {
  std::vector<sheet::MusicSign> signs;
  for (const sheet::Mark& mark : marks_of(drawing, kind)) {
    if (const auto* sign = std::get_if<sheet::SignAt>(&mark.shape)) signs.push_back(sign->sign);
  }
  return signs;
}

}  // namespace fifthpeg::testing
