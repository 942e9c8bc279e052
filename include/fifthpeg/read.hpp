// Reading: bytes to a Score, with what the file holds and what was lost on the way.
//
// Formats: standard MIDI files 1.0 (formats 0, 1, 2), MusicXML 1.0 to 4.0 partwise and timewise, compressed
// MusicXML (.mxl), and text tab. Readers throw ReadError, with the place, for bytes that are no such file or
// are damaged beyond reading; everything else that is wrong inside a file is in the report.
#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg {

enum class Format : std::int8_t { midi, musicxml, mxl, text_tab };

// What the first bytes say, whatever the file is called. Throws ReadError, saying what it looks like,
// where they are none of these.
Format sniff(std::string_view bytes);

// Whether multiples of a part of a whole note, 1 to 1/512, can be printed: a power of two, or what 3, 5, 7 or
// 9 parts of a quarter note or of a shorter note value are; and 1/6, quarter notes in triplets.
bool is_grid_step(Fraction step);

struct ReadOptions {
  // The part to take: its name (case aside), or its number counted from 1 as `describe` lists them.
  // Empty: decided, and reported. UsageError where no part matches.
  std::string part;
  // MusicXML: of the part, only what stands on this staff (counted from 1) or in this voice (as the file
  // names it). UsageError where nothing does.
  std::optional<int> staff;
  std::string voice;
  // Take chord symbols from the other parts, and, from MIDI, recognize chords struck in them.
  bool all_parts = false;
  // MIDI: the finest step of the time grid as a fraction of a whole note (1/16; 1/24 for sixteenth
  // triplets), one for which is_grid_step() holds. Not set: searched beat by beat.
  std::optional<Fraction> grid;
  // MIDI: the first note comes this long (of a whole note) before the first full measure; 0: on its first
  // beat. Not set: the beats are where the file has them, or, of a take, where they are found.
  std::optional<Fraction> pickup;
  // MIDI, text tab: the meter from beginning to end, whatever the file says; of one number of beats.
  std::optional<Meter> meter;
  // Text tab: what a column stands for where nothing but spacing tells times, a part of a whole note (1/16),
  // one for which is_grid_step() holds. Not set: found in barlines and meter.
  std::optional<Fraction> unit;
  // MIDI: a take that was played without a click is read by beats that are found in its notes (false), or by
  // those of the file.
  bool keep_beats = false;
  // MIDI: read swung eighths as even ones and state the swing (true), or as they are.
  bool straighten_swing = true;
  // The largest input, and the largest content unpacked from an archive.
  std::size_t max_bytes = std::size_t{64} << 20;
};

// One part of a MusicXML file, or one track and channel of a MIDI file.
struct PartSummary {
  std::string id;              // "P1"; "track 2, channel 1"
  std::string name;            // may be empty
  std::string instrument;      // what the file or General MIDI calls it
  std::optional<int> program;  // General MIDI, 1 to 128
  std::optional<int> channel;  // 1 to 16
  bool percussion = false;
  std::uint64_t notes = 0;
  std::optional<int> lowest, highest;  // MIDI numbers
  friend bool operator==(const PartSummary&, const PartSummary&) = default;
};

// What is in a file as a whole, before anything is chosen from it.
struct Inventory {
  std::string format;      // "MIDI format 1", "MusicXML 3.1 partwise", "compressed MusicXML 4.0 partwise",
                           // "text tab"
  std::string resolution;  // "480 ticks a quarter note"; empty for MusicXML
  std::string encoding;    // MusicXML: "UTF-8", "UTF-16", ...; empty for MIDI
  std::vector<PartSummary> parts;
  std::size_t chosen = 0;  // index into parts
  std::string reason;      // why that one: "the only part with notes"
  // MusicXML: the staves of that part that have notes, and its voices, as the file names them.
  std::vector<int> staves;
  std::vector<std::string> voices;
  // MIDI: the mean distance between played and written onset, in whole notes; 0 where exact.
  double residual = 0.0;
};

struct Reading {
  Score score;
  Inventory inventory;
  Report report;
  bool is_take = false;  // played without a click: beats, meter and measures were found in the notes
};

// Reads whatever sniff() finds.
Reading read(std::string_view bytes, const ReadOptions& options = {});

Reading read_midi(std::string_view bytes, const ReadOptions& options = {});
Reading read_musicxml(std::string_view bytes, const ReadOptions& options = {});
Reading read_mxl(std::string_view bytes, const ReadOptions& options = {});
Reading read_text_tab(std::string_view bytes, const ReadOptions& options = {});

}  // namespace fifthpeg
