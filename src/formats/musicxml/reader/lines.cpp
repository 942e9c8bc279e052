#include "formats/musicxml/reader/lines.hpp"

#include <algorithm>
#include <set>
#include <string>
#include <vector>

#include "fifthpeg/errors.hpp"

namespace fifthpeg::musicxml::reader {
namespace {

bool is_pitched(const RawNote& note) {
  return note.kind == RawNote::Kind::pitched;
}

// "1", "1 and 2", "1, 2 and 5".
template <typename Names>
std::string listed(const Names& names) {
  std::string text;
  std::size_t left = names.size();
  for (const auto& name : names) {
    text += (text.empty() ? "" : left == 1 ? " and " : ", ") + name;
    --left;
  }
  return text;
}

template <typename Other>
bool keep_notes(RawPart& part, Other is_other) {
  bool any = false;
  for (RawMeasure& measure : part.measures) {
    std::erase_if(measure.notes, is_other);
    any = any || std::any_of(measure.notes.begin(), measure.notes.end(), is_pitched);
  }
  return any;
}

std::vector<std::string> staves_of(const Inventory& inventory) {
  std::vector<std::string> names;
  for (const int staff : inventory.staves) names.push_back(std::to_string(staff));
  return names;
}

}  // namespace

void list_lines(const RawPart& part, Inventory& inventory) {
  std::set<int> staves;
  std::set<std::size_t> voices;  // in the order of the file
  for (const RawMeasure& measure : part.measures) {
    for (const RawNote& note : measure.notes) {
      if (!is_pitched(note)) continue;
      staves.insert(note.staff);
      voices.insert(note.voice);
    }
  }
  inventory.staves.assign(staves.begin(), staves.end());
  for (const std::size_t voice : voices) inventory.voices.push_back(part.voice_name(voice));
}

void keep_line(RawPart& part, const ReadOptions& options) {
  if (!options.staff && options.voice.empty()) return;
  Inventory inventory;
  list_lines(part, inventory);
  if (options.staff) {
    const int staff = *options.staff;
    if (!keep_notes(part, [staff](const RawNote& note) { return note.staff != staff; })) {
      throw UsageError("no-such-staff", "there are no notes on staff " + std::to_string(staff) +
                                            " of the part, which has them on staff " +
                                            listed(staves_of(inventory)));
    }
    for (RawMeasure& measure : part.measures) {
      std::erase_if(measure.directions, [staff](const RawDirection& one) {
        return one.staff != staff && one.direction.kind <= Direction::Kind::dynamics;
      });
    }
  }
  if (options.voice.empty()) return;
  const auto is_other = [&](const RawNote& note) { return part.voice_name(note.voice) != options.voice; };
  if (!keep_notes(part, is_other)) {
    throw UsageError("no-such-voice",
                     "there are no notes in voice " + options.voice + " of the part, which has " +
                         (inventory.voices.size() == 1 ? "voice " : "voices ") + listed(inventory.voices));
  }
}

}  // namespace fifthpeg::musicxml::reader
