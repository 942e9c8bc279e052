// What a file offers, and which part of it is taken.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "fifthpeg/read.hpp"
#include "formats/midi/note_pairing.hpp"
#include "formats/midi/scan.hpp"

namespace fifthpeg::midi::reader {

// Names and the like, by track of the scan.
struct TrackText {
  std::string name;
  std::string instrument;
};

std::vector<PartSummary> summarize(const std::vector<PlayedPart>& parts, const std::vector<TrackText>& texts);

struct ChosenPart {
  std::size_t part = 0;
  std::string reason;
};

// The part that options name, or the banjo's, or the one that carries the tune. Throws UsageError where
// none is what options name.
ChosenPart choose_part(const std::vector<PlayedPart>& parts, const std::vector<PartSummary>& summaries,
                       const std::string& wanted);

}  // namespace fifthpeg::midi::reader
