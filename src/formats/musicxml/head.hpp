// What stands before the music: titles and people, and the miscellaneous fields that this library writes.
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "fifthpeg/score.hpp"
#include "formats/musicxml/diagnostics.hpp"
#include "formats/musicxml/raw.hpp"
#include "formats/musicxml/values.hpp"

namespace fifthpeg::musicxml::reader {

// What a head says of one of several parts.
struct PartFields {
  std::optional<int> fifth_capo;
  std::optional<Pitch> fifth_tuning;
  std::optional<int> frets;
  std::optional<bool> key_estimated;
};

struct Head {
  Work work;
  // See formats/musicxml/conventions.hpp.
  std::optional<int> fifth_capo;
  std::optional<Pitch> fifth_tuning;
  std::optional<int> frets;
  std::optional<bool> own_nut;  // frets on string 5 are counted from its own nut
  bool key_estimated = false;
  std::optional<Swing> swing;
  std::map<std::string, PartFields, std::less<>> of_parts;  // by id

  // Whether somebody is named, and a rights line given, be it only on the page.
  bool has_credit = false;
  bool has_rights = false;
  std::vector<TextLine> texts;  // all that it holds for people

  // The head as it is for the part with that id.
  Head of_part(const std::string& id) const;
};

Head read_head(const Element& root, Diagnostics& diagnostics);

}  // namespace fifthpeg::musicxml::reader
