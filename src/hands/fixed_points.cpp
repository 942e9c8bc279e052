#include "hands/fixed_points.hpp"

#include <algorithm>
#include <string>

#include "fifthpeg/errors.hpp"

namespace fifthpeg::hands {
namespace {

Place place_of(const FixedPoint& point) {
  return {{}, point.measure, point.beat};
}

// Where the point is, or the end of the line.
std::uint32_t event_of(const Score& score, const std::vector<Event>& line, const FixedPoint& point) {
  std::uint32_t event = 0;
  for (; event < line.size(); ++event) {
    const Measure& measure = score.measures[line[event].measure];
    const Stroke& stroke = stroke_at(score, line[event]);
    // A grace note is struck before the note at its place.
    if (measure.number == point.measure && stroke.grace == Grace::none &&
        beat_at(measure, stroke.onset) == point.beat) {
      break;
    }
  }
  return event;
}

// "a note is struck at beat 1, beat 1.5 or beat 3", of a measure.
std::string beats_struck(const Score& score, const std::vector<Event>& line, const std::string& number) {
  std::vector<std::string> beats;
  for (const Event& event : line) {
    const Measure& measure = score.measures[event.measure];
    const Stroke& stroke = stroke_at(score, event);
    if (measure.number != number || stroke.grace != Grace::none) continue;
    const std::string beat = to_string(Place{{}, {}, beat_at(measure, stroke.onset)});
    if (beats.empty() || beats.back() != beat) beats.push_back(beat);
  }
  if (beats.empty()) {
    const bool there = std::any_of(score.measures.begin(), score.measures.end(),
                                   [&](const Measure& one) { return one.number == number; });
    return there ? "no note is struck in this measure"
                 : "there is no such measure; the last one is " + score.measures.back().number;
  }
  std::string text = "no note is struck here; one is at ";
  for (std::size_t b = 0; b < beats.size(); ++b) {
    text += (b == 0 ? "" : b + 1 == beats.size() ? " or " : ", ") + beats[b];
  }
  return text;
}

std::string names_of(const std::vector<Note>& notes) {
  std::string names;
  for (const Note& note : notes) {
    names += (names.empty() ? "" : &note == &notes.back() ? " or " : ", ") + to_string(note.pitch);
  }
  return names;
}

}  // namespace

std::vector<FixedNote> fixed_notes(const Score& score, const std::vector<Event>& line,
                                   const std::vector<FixedPoint>& points) {
  std::vector<FixedNote> fixed;
  for (const FixedPoint& point : points) {
    const std::uint32_t event = event_of(score, line, point);
    if (event == line.size()) {
      throw UnplayableError("no-such-note", beats_struck(score, line, point.measure), place_of(point));
    }
    const std::vector<Note>& notes = stroke_at(score, line[event]).notes;
    auto note = notes.begin();
    if (point.pitch) {
      note = std::find_if(notes.begin(), notes.end(),
                          [&](const Note& one) { return one.pitch.midi() == point.pitch->midi(); });
    }
    if (note == notes.end()) {
      throw UnplayableError("no-such-note",
                            to_string(*point.pitch) + " is not struck here; what is: " + names_of(notes),
                            place_of(point));
    }
    if (!point.pitch && notes.size() > 1) {
      throw UnplayableError(
          "which-note",
          "several notes are struck here; name one after the place, as in '4:3 D4 string 1': " +
              names_of(notes),
          place_of(point));
    }
    fixed.push_back({event, static_cast<std::uint32_t>(note - notes.begin()), point});
  }
  return fixed;
}

void fix(const FixedPoint& point, const Banjo& banjo, const Place& place, RequestedNote& note) {
  if (point.string || point.fret) {
    bool found = false;
    for (int string = 1; string <= string_count && !found; ++string) {
      if (point.string && *point.string != string) continue;
      const auto fret = fret_for(banjo, string, note.sound());
      if (!fret || (point.fret && *point.fret != *fret)) continue;
      note.string = static_cast<std::int8_t>(string);
      note.fret = static_cast<std::int8_t>(*fret);
      note.finger = RequestedNote::free;
      found = true;
    }
    if (!found) {
      throw UnplayableError(
          "no-such-place",
          (point.string ? "string " + std::to_string(*point.string) : std::string("no string")) +
              (point.string ? " does not give " : " gives ") + to_string(spell(note.midi, Key{})) +
              (point.fret ? " at fret " + std::to_string(*point.fret) : ""),
          place);
    }
  }
  if (point.finger) note.finger = static_cast<std::int8_t>(*point.finger);
  if (point.picking_finger) note.picking_finger = static_cast<std::int8_t>(*point.picking_finger);
}

}  // namespace fifthpeg::hands
