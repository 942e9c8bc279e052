// Cost16 MusicXML files for reading tests, built around the piece that a test is about.
#pragma once

#include <gtest/gtest.h>
#include <string>
#include <string_view>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/read.hpp"

namespace fifthpeg::testing {

inline std::string document(std::string_view parts, std::string_view head = "") {
  std::string text = "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<score-partwise version=\"4.0\">";
  text += head.empty()
              ? "<part-list><score-part id=\"P1\"><part-name>Banjo</part-name></score-part></part-list>"
              : std::string(head);
  return text + std::string(parts) + "</score-partwise>";
}

// One part of the measures given, the first with divisions 2 (an eighth is 1), G major and 4/4.
inline constexpr std::string_view usual_attributes =
    "<attributes><divisions>2</divisions><key><fifths>1</fifths><mode>major</mode></key>"
    "<time><beats>4</beats><beat-type>4</beat-type></time></attributes>";

inline std::string part(std::string_view measures) {
  return document("<part id=\"P1\">" + std::string(measures) + "</part>");
}
inline std::string measure(std::string_view music, std::string_view number = "1",
                           std::string_view attributes = usual_attributes) {
  return "<measure number=\"" + std::string(number) + "\">" + std::string(attributes) + std::string(music) +
         "</measure>";
}
inline std::string one_measure(std::string_view music) {
  return part(measure(music));
}

// A note: "D4" for `duration`, with further children put where the schema wants them.
inline std::string note(std::string_view pitch, int duration, std::string_view notations = "",
                        std::string_view before_duration = "", std::string_view after_duration = "") {
  std::string text = "<note>" + std::string(before_duration);
  if (pitch == "rest") {
    text += "<rest/>";
  } else {
    text += "<pitch><step>" + std::string(pitch.substr(0, 1)) + "</step>";
    if (pitch.size() == 3) text += std::string("<alter>") + (pitch[1] == '#' ? "1" : "-1") + "</alter>";
    text += "<octave>" + std::string(pitch.substr(pitch.size() - 1)) + "</octave></pitch>";
  }
  text += "<duration>" + std::to_string(duration) + "</duration>" + std::string(after_duration);
  if (!notations.empty()) text += "<notations>" + std::string(notations) + "</notations>";
  return text + "</note>";
}
inline std::string placed(std::string_view pitch, int duration, int string, int fret) {
  return note(pitch, duration,
              "<technical><string>" + std::to_string(string) + "</string><fret>" + std::to_string(fret) +
                  "</fret></technical>");
}

// The tuning of five strings, fifth first, as staff-details.
inline std::string open_g_details(std::string_view more = "") {
  return "<staff-details><staff-lines>5</staff-lines>"
         "<staff-tuning "
         "line=\"1\"><tuning-step>G</tuning-step><tuning-octave>4</tuning-octave></staff-tuning>"
         "<staff-tuning "
         "line=\"2\"><tuning-step>D</tuning-step><tuning-octave>3</tuning-octave></staff-tuning>"
         "<staff-tuning "
         "line=\"3\"><tuning-step>G</tuning-step><tuning-octave>3</tuning-octave></staff-tuning>"
         "<staff-tuning "
         "line=\"4\"><tuning-step>B</tuning-step><tuning-octave>3</tuning-octave></staff-tuning>"
         "<staff-tuning "
         "line=\"5\"><tuning-step>D</tuning-step><tuning-octave>4</tuning-octave></staff-tuning>" +
         std::string(more) + "</staff-details>";
}

inline std::uint64_t told(const Report& report, std::string_view slug) {
  std::uint64_t count = 0;
  for (const Entry& one : report.entries()) {
    if (one.slug == slug) count += one.count;
  }
  return count;
}
inline std::uint64_t told(const Report& report, std::string_view slug, EntryKind kind) {
  std::uint64_t count = 0;
  for (const Entry& one : report.entries()) {
    if (one.slug == slug && one.kind == kind) count += one.count;
  }
  return count;
}
inline std::string all_told(const Report& report) {
  std::string text;
  for (const Entry& one : report.entries())
    text += one.slug + " x" + std::to_string(one.count) + ": " + one.text + "\n";
  return text;
}

// Reads, and proves the score sound.
inline Reading read_sound(std::string_view bytes, const ReadOptions& options = {}) {
  Reading reading = read_musicxml(bytes, options);
  const auto wrong = flaws(reading.score);
  EXPECT_TRUE(wrong.empty()) << wrong.front();
  Score again = reading.score;
  normalize(again);
  EXPECT_EQ(again, reading.score) << "not in normal form";
  return reading;
}

inline const std::vector<Stroke>& strokes(const Reading& reading, std::size_t measure = 0) {
  return reading.score.measures.at(measure).strokes;
}
inline const Note& first_note(const Reading& reading, std::size_t stroke = 0, std::size_t measure = 0) {
  return strokes(reading, measure).at(stroke).notes.at(0);
}

// "D4 1/8, - 1/4": the line as text, rests as "-", chords with "+".
inline std::string line_of(const Measure& measure) {
  std::string text;
  for (const Stroke& stroke : measure.strokes) {
    if (!text.empty()) text += ", ";
    if (stroke.grace != Grace::none) text += "(";
    if (stroke.is_rest()) text += "-";
    for (std::size_t i = 0; i < stroke.notes.size(); ++i) {
      const Note& one = stroke.notes[i];
      text += (i == 0 ? "" : "+") + std::string(one.tied_from_previous ? "~" : "") + to_string(one.pitch) +
              (one.tied_to_next ? "~" : "") + (one.ring == Ring::let_ring ? "*" : "");
    }
    if (stroke.grace != Grace::none) {
      text += ")";
    } else {
      text += " " + to_string(stroke.duration);
    }
  }
  return text;
}
inline std::string line_of(const Reading& reading, std::size_t measure = 0) {
  return line_of(reading.score.measures.at(measure));
}

// The message and line of the ReadError that reading throws; empty if it does not.
struct Refusal {
  std::string what;
  std::int64_t line = 0;
};
inline Refusal refusal(std::string_view bytes, const ReadOptions& options = {}) {
  try {
    read_musicxml(bytes, options);
  } catch (const ReadError& error) {
    return {error.what(), error.place().line};
  }
  return {};
}

}  // namespace fifthpeg::testing
