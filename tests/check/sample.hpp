// A handout without a fault, and a MIDI file without one, for tests to break.
#pragma once

#include <cstdint>
#include <initializer_list>
#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace check_test {

// One change: the first occurrence of a text becomes another. Throws where it does not occur.
using Change = std::pair<std::string, std::string>;

inline std::string changed(std::string text, const std::vector<Change>& changes) {
  for (const auto& [from, to] : changes) {
    const std::size_t at = text.find(from);
    if (at == std::string::npos) throw std::logic_error("not in the sample: " + from);
    text.replace(at, from.size(), to);
  }
  return text;
}

// Four measures of 4/4 in G: a hammer-on, a pull-off, a slide, a tie, a triplet, a slur, a pinch, a first and
// only ending. Every note stands on a line of its own and is named in a comment.
inline const std::string handout = R"(<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="4.0">
<work><work-title>Lick</work-title></work>
<identification><creator type="composer">Traditional</creator><rights>Free to copy</rights></identification>
<part-list><score-part id="P1"><part-name>Banjo</part-name></score-part></part-list>
<part id="P1">
<measure number="1">
<attributes><divisions>6</divisions><key><fifths>1</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time><clef><sign>TAB</sign><line>5</line></clef><staff-details><staff-lines>5</staff-lines><staff-tuning line="1"><tuning-step>G</tuning-step><tuning-octave>4</tuning-octave></staff-tuning><staff-tuning line="2"><tuning-step>D</tuning-step><tuning-octave>3</tuning-octave></staff-tuning><staff-tuning line="3"><tuning-step>G</tuning-step><tuning-octave>3</tuning-octave></staff-tuning><staff-tuning line="4"><tuning-step>B</tuning-step><tuning-octave>3</tuning-octave></staff-tuning><staff-tuning line="5"><tuning-step>D</tuning-step><tuning-octave>4</tuning-octave></staff-tuning></staff-details></attributes>
<barline location="left"><bar-style>heavy-light</bar-style><repeat direction="forward"/></barline>
<direction><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>80</per-minute></metronome></direction-type><sound tempo="80"/></direction>
<harmony><root><root-step>G</root-step></root><kind>major</kind></harmony>
<note><!--a--><pitch><step>G</step><octave>3</octave></pitch><duration>6</duration><voice>1</voice><type>quarter</type><notations><technical><string>3</string><fret>0</fret><pluck>T</pluck><hammer-on type="start">H</hammer-on></technical></notations></note>
<note><!--b--><pitch><step>A</step><octave>3</octave></pitch><duration>6</duration><voice>1</voice><type>quarter</type><notations><technical><fingering>2</fingering><string>3</string><fret>2</fret><hammer-on type="stop"/></technical></notations></note>
<note><!--c--><pitch><step>C</step><octave>4</octave></pitch><duration>6</duration><voice>1</voice><type>quarter</type><notations><technical><fingering>1</fingering><string>2</string><fret>1</fret><pluck>I</pluck><pull-off type="start">P</pull-off></technical></notations></note>
<note><!--d--><pitch><step>B</step><octave>3</octave></pitch><duration>6</duration><voice>1</voice><type>quarter</type><notations><technical><string>2</string><fret>0</fret><pull-off type="stop"/></technical></notations></note>
</measure>
<measure number="2">
<note><!--e--><pitch><step>E</step><octave>3</octave></pitch><duration>6</duration><voice>1</voice><type>quarter</type><notations><slide type="start"/><technical><fingering>2</fingering><string>4</string><fret>2</fret><pluck>T</pluck></technical></notations></note>
<note><!--f--><pitch><step>F</step><alter>1</alter><octave>3</octave></pitch><duration>6</duration><voice>1</voice><type>quarter</type><notations><slide type="stop"/><technical><fingering>2</fingering><string>4</string><fret>4</fret></technical></notations></note>
<note><!--g--><pitch><step>D</step><octave>4</octave></pitch><duration>12</duration><tie type="start"/><voice>1</voice><type>half</type><notations><tied type="start"/><technical><string>1</string><fret>0</fret><pluck>M</pluck></technical></notations></note>
</measure>
<measure number="3">
<note><!--h--><pitch><step>D</step><octave>4</octave></pitch><duration>12</duration><tie type="stop"/><voice>1</voice><type>half</type><notations><tied type="stop"/><technical><string>1</string><fret>0</fret></technical></notations></note>
<note><!--i--><pitch><step>G</step><octave>3</octave></pitch><duration>4</duration><voice>1</voice><type>quarter</type><time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification><notations><tuplet type="start"/><technical><string>3</string><fret>0</fret><pluck>T</pluck></technical></notations></note>
<note><!--j--><pitch><step>B</step><octave>3</octave></pitch><duration>4</duration><voice>1</voice><type>quarter</type><time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification><notations><technical><string>2</string><fret>0</fret><pluck>I</pluck></technical></notations></note>
<note><!--k--><pitch><step>D</step><octave>4</octave></pitch><duration>4</duration><voice>1</voice><type>quarter</type><time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification><notations><tuplet type="stop"/><technical><string>1</string><fret>0</fret><pluck>M</pluck></technical></notations></note>
</measure>
<measure number="4">
<barline location="left"><ending number="1" type="start"/></barline>
<note><!--l--><pitch><step>A</step><octave>4</octave></pitch><duration>6</duration><voice>1</voice><type>quarter</type><notations><slur type="start"/><technical><fingering>2</fingering><string>5</string><fret>7</fret><pluck>T</pluck></technical></notations></note>
<note><!--m--><pitch><step>G</step><octave>4</octave></pitch><duration>6</duration><voice>1</voice><type>quarter</type><notations><slur type="stop"/><technical><string>5</string><fret>0</fret></technical></notations></note>
<note><!--n--><pitch><step>D</step><octave>4</octave></pitch><duration>12</duration><voice>1</voice><type>half</type><notations><technical><string>1</string><fret>0</fret><pluck>M</pluck></technical></notations></note>
<note><!--o--><chord/><pitch><step>G</step><octave>3</octave></pitch><duration>12</duration><voice>1</voice><type>half</type><notations><technical><string>3</string><fret>0</fret><pluck>T</pluck></technical></notations></note>
<barline location="right"><bar-style>light-heavy</bar-style><ending number="1" type="stop"/><repeat direction="backward"/></barline>
</measure>
</part>
</score-partwise>
)";

// The line of the note with that name.
inline std::int64_t line_of(const std::string& text, const std::string& mark) {
  const std::size_t at = text.find(mark);
  if (at == std::string::npos) throw std::logic_error("not in the text: " + mark);
  std::int64_t line = 1;
  for (std::size_t i = 0; i < at; ++i) line += text[i] == '\n' ? 1 : 0;
  return line;
}

inline std::string bytes(std::initializer_list<int> list) {
  std::string text;
  for (const int byte : list) text += static_cast<char>(byte);
  return text;
}

inline std::string chunk(const std::string& name, const std::string& body) {
  std::string text = name;
  for (int shift = 24; shift >= 0; shift -= 8)
    text += static_cast<char>((body.size() >> static_cast<unsigned>(shift)) & 0xFFU);
  return text + body;
}

// Format 0, one track, a quarter note of 96 ticks.
inline std::string midi(const std::string& events) {
  return chunk("MThd", bytes({0, 0, 0, 1, 0, 96})) + chunk("MTrk", events);
}

inline std::string event(std::initializer_list<int> list) {
  return bytes(list);
}

// Title, copyright, tempo 100, 4/4, G major, four quarter notes.
inline const std::string midi_head =
    bytes({0, 0xFF, 3, 4}) + "Lick" + bytes({0, 0xFF, 2, 4}) + "Free" +
    bytes({0, 0xFF, 0x51, 3, 0x09, 0x27, 0xC0, 0, 0xFF, 0x58, 4, 4, 2, 24, 8, 0, 0xFF, 0x59, 2, 1, 0});
inline const std::string midi_notes =
    bytes({0, 0x90, 55, 80, 96, 0x80, 55, 0, 0, 0x90, 59, 80, 96, 0x80, 59, 0,
           0, 0x90, 62, 80, 96, 0x80, 62, 0, 0, 0x90, 67, 80, 96, 0x80, 67, 0});
inline const std::string midi_end = bytes({0, 0xFF, 0x2F, 0});
inline const std::string clean_midi = midi(midi_head + midi_notes + midi_end);

}  // namespace check_test
