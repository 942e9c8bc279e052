// What a file says in words: names, the work's data, markers, lyrics, and what our own writer notes down.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "formats/midi/conventions.hpp"
#include "formats/midi/reader/parts.hpp"
#include "formats/midi/reader/tempo_map.hpp"
#include "formats/midi/scan.hpp"

namespace fifthpeg::midi::reader {

struct TimedText {
  std::int64_t tick = 0;  // on the timeline
  std::size_t track = 0;
  std::string text;
};

struct Texts {
  Work work;
  std::vector<TrackText> tracks;
  std::vector<TimedText> markers;                // by tick
  std::vector<TimedText> words;                  // plain texts that belong to a place in the music, by tick
  std::vector<TimedText> lyrics;                 // by track, then tick
  std::vector<std::optional<BanjoText>> banjos;  // by track
  std::optional<Swing> swing;

  // What is said of the banjo of a track, or, where nothing is, of another.
  const BanjoText* banjo(std::size_t track) const;
};

// Plain texts that are no convention of our own are words at their place in the first track of a format 1
// file, and lost elsewhere. The title is the name of
// the first track, or of a track without notes, unless it names an instrument.
Texts read_texts(const Scan& scan, const Timeline& timeline, const std::vector<PlayedPart>& parts,
                 Report& report);

}  // namespace fifthpeg::midi::reader
