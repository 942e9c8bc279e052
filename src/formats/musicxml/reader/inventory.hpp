// Which parts a document has, and which of them is to be read.
#pragma once

#include <string>
#include <vector>

#include "fifthpeg/read.hpp"
#include "formats/musicxml/document.hpp"

namespace fifthpeg::musicxml::reader {

// What the choice of a part looks at, beside what the summary says.
struct PartTraits {
  bool banjo = false;  // by name, sound, program or strings
  std::string banjo_because;
  bool tune = false;        // by its name: melody, lead, voice ...
  bool backup = false;      // by its name
  bool tab = false;         // a TAB clef or tuned strings
  double mean_pitch = 0.0;  // MIDI number
  bool lyrics = false;
};

struct Survey {
  std::vector<PartSummary> parts;
  std::vector<PartTraits> traits;
};

// Goes through all parts once; pitches as they sound, transposition included. The only part of a file is not
// gone through: its notes are counted when it has been read.
Survey survey(const Document& document);

struct PartChoice {
  std::size_t part = 0;
  std::string reason;
};

// Throws UsageError where `wanted` (a name, a number from 1, or an id; see ReadOptions) fits no part.
PartChoice choose(const Survey& survey, const std::string& wanted);

}  // namespace fifthpeg::musicxml::reader
