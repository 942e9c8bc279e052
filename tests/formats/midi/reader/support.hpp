// What the tests of the MIDI reader ask of a reading.
#pragma once

#include <algorithm>
#include <gtest/gtest.h>
#include <string>
#include <string_view>
#include <vector>

#include "fifthpeg/read.hpp"
#include "formats/midi/reader/builder.hpp"

namespace smf_bytes {

inline std::uint64_t told(const fifthpeg::Report& report, std::string_view slug) {
  std::uint64_t count = 0;
  for (const fifthpeg::Entry& one : report.entries()) {
    if (one.slug == slug) count += one.count;
  }
  return count;
}

// Reads, and holds every reading to the rules of the score.
inline fifthpeg::Reading read_sound(const std::string& file, const fifthpeg::ReadOptions& options = {}) {
  fifthpeg::Reading reading = fifthpeg::read_midi(file, options);
  EXPECT_EQ(fifthpeg::flaws(reading.score), std::vector<std::string>{});
  return reading;
}

// "0 1/4 E5, 1/4 3/4 r": onset, duration, notes of each stroke of a measure. ">" is tied on, "<" tied from
// before, "~" rings on, "g" grace.
inline std::string text(const fifthpeg::Measure& measure) {
  std::string result;
  for (const fifthpeg::Stroke& stroke : measure.strokes) {
    if (!result.empty()) result += ", ";
    if (stroke.grace != fifthpeg::Grace::none) result += "g ";
    result += to_string(stroke.onset) + " " + to_string(stroke.duration) + " ";
    if (stroke.is_rest()) result += "r";
    for (std::size_t i = 0; i < stroke.notes.size(); ++i) {
      const fifthpeg::Note& note = stroke.notes[i];
      if (i > 0) result += "+";
      if (note.tied_from_previous) result += "<";
      result += to_string(note.pitch);
      if (note.tied_to_next) result += ">";
      if (note.ring == fifthpeg::Ring::let_ring) result += "~";
    }
  }
  return result;
}

// The printed value of a stroke has a power of two as its denominator: plain values and ties can write it.
inline bool printable(const fifthpeg::Stroke& stroke) {
  fifthpeg::Fraction value = stroke.duration;
  for (const fifthpeg::Tuplet& tuplet : stroke.tuplets)
    value *= fifthpeg::Fraction(tuplet.actual, tuplet.normal);
  return (value.den() & (value.den() - 1)) == 0;
}

inline bool printable(const fifthpeg::Score& score) {
  for (const fifthpeg::Measure& measure : score.measures) {
    if (!std::all_of(measure.strokes.begin(), measure.strokes.end(),
                     [](const fifthpeg::Stroke& stroke) { return printable(stroke); })) {
      return false;
    }
  }
  return true;
}

// Tuplets begin and end where they say, without crossing.
inline bool tuplets_close(const fifthpeg::Score& score) {
  for (const fifthpeg::Measure& measure : score.measures) {
    bool open = false;
    for (const fifthpeg::Stroke& stroke : measure.strokes) {
      if (stroke.grace != fifthpeg::Grace::none) continue;
      if (stroke.tuplets.empty()) {
        if (open) return false;
        continue;
      }
      if (stroke.tuplets.front().starts == open) return false;
      open = !stroke.tuplets.front().stops;
    }
    if (open) return false;
  }
  return true;
}

}  // namespace smf_bytes
