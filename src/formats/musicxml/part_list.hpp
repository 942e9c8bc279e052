// What the part list says of a part, and what names and sounds say of an instrument.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "formats/musicxml/values.hpp"

namespace fifthpeg::musicxml {

struct PartDescription {
  std::string id;
  std::string name;
  std::string instrument;  // of the first instrument: its name, or else its sound
  std::string sound;       // instrument-sound: "pluck.banjo"
  std::string words;       // all names and sounds, in lower case
  std::optional<int> program, channel;
  bool listed = false;  // in the part list
  std::int64_t line = 0;

  // For people: the name, or else the id.
  std::string label() const;
  // By channel or sound.
  bool percussion() const;
  // The words of the part name it: a banjo; another stringed instrument; a part that carries the tune, or
  // accompanies it.
  bool names_banjo() const;
  bool name_is_banjo() const;  // in its own name or that of its first instrument
  bool names_other_strings() const;
  bool names_tune() const;
  bool names_backup() const;
};

// Of a `score-part`.
PartDescription describe(const Element& score_part);

}  // namespace fifthpeg::musicxml
