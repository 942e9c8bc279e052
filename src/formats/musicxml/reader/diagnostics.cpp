#include "formats/musicxml/diagnostics.hpp"

#include <algorithm>

#include "formats/musicxml/reader/what_is_read.hpp"

namespace fifthpeg::musicxml::reader {
Place Diagnostics::place(const Measure& measure, Fraction offset, std::int64_t line) const {
  Place place;
  place.part = part_;
  place.measure = measure.number;
  place.beat = beat_at(measure, offset);
  place.line = line;
  return place;
}

Place Diagnostics::place(std::int64_t line) const {
  if (measure_ != nullptr) return place(*measure_, offset_, line);
  Place place;
  place.part = part_;
  place.line = line;
  return place;
}

void Diagnostics::loss(std::string_view slug, std::string_view text, std::int64_t line) {
  if (!quiet_) report_.add(EntryKind::loss, slug, text, place(line));
}

void Diagnostics::repair(std::string_view slug, std::string_view text, std::int64_t line) {
  if (!quiet_) report_.add(EntryKind::repair, slug, text, place(line));
}

void Diagnostics::choice(std::string_view slug, std::string_view text, std::int64_t line) {
  if (!quiet_) report_.add(EntryKind::decision, slug, text, place(line));
}

void Diagnostics::unread(std::string_view what, const char* name, const Element& element) {
  if (quiet_) return;
  switch (unread_kind(name)) {
    case Unread::layout:
      layout_ = true;
      break;
    case Unread::unknown:
      loss("musicxml-" + std::string(what) + "-unknown",
           "an " + std::string(what) + " that MusicXML does not have is left out", element);
      break;
    case Unread::placeless:
      loss("musicxml-" + std::string(what) + "-" + name,
           "the " + std::string(what) + " " + name + " has no place in a banjo score here", element);
  }
}

void Diagnostics::unread_inside(const Element& element) {
  const bool plain = element.FirstAttribute() == nullptr && element.FirstChildElement() == nullptr;
  const ReadInside* const read = quiet_ || plain ? nullptr : read_inside(element.Name());
  if (read == nullptr) return;
  const auto is_among = [](std::string_view name, const std::vector<std::string_view>& names) {
    return std::find(names.begin(), names.end(), name) != names.end();
  };
  for (const Attribute* one = element.FirstAttribute(); one != nullptr; one = one->Next())
    if (!is_among(one->Name(), read->attributes)) unread_attribute(one->Name(), element);
  each_child(element, [&](const Element& child, std::string_view name) {
    if (is_among(name, read->children) || is_among("*", read->children)) {
      unread_inside(child);
    } else {
      unread(child);
    }
  });
}

void Diagnostics::report_layout() {
  if (layout_) {
    report_.add(EntryKind::decision, "musicxml-layout",
                "the file's layout (positions, fonts, beams, pages) is not kept but made anew");
  }
}

}  // namespace fifthpeg::musicxml::reader
