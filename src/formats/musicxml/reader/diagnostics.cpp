#include "formats/musicxml/diagnostics.hpp"

namespace fifthpeg::musicxml::reader {
namespace {

// Names that some handlers read, and that say nothing about music where they do not.
bool is_idle(Name name) {
  return name == Name::layout || name == Name::id || name == Name::print_object || name == Name::number ||
         name == Name::location || name == Name::name;
}

}  // namespace

Place Diagnostics::place(const Measure& measure, Fraction offset, std::int64_t line) const {
  Place place;
  place.part = part_;
  place.measure = measure.number;
  place.beat = beat_at(measure.meter, offset);
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

void Diagnostics::unread(const Element& element) {
  if (quiet_) return;
  const Name name = name_of(element.Name());
  if (name == Name::layout) {
    layout_ = true;
  } else if (name == Name::unknown) {
    loss("musicxml-element-unknown", "an element that MusicXML does not have is left out", line_of(element));
  } else {
    const std::string text(element.Name());
    loss("musicxml-element-" + text, "the element " + text + " has no place in a banjo score here",
         line_of(element));
  }
}

void Diagnostics::unread(const Attribute& attribute, const Element& owner) {
  if (quiet_) return;
  const Name name = name_of(attribute.Name());
  if (is_idle(name)) {
    layout_ = true;
  } else if (name == Name::unknown) {
    loss("musicxml-attribute-unknown", "an attribute that MusicXML does not have is left out",
         line_of(owner));
  } else {
    const std::string text(attribute.Name());
    loss("musicxml-attribute-" + text, "the attribute " + text + " has no place in a banjo score here",
         line_of(owner));
  }
}

void Diagnostics::attributes_unread(const Element& element) {
  for (const Attribute* one = element.FirstAttribute(); one != nullptr; one = one->Next()) {
    unread(*one, element);
  }
}

void Diagnostics::inside_unread(const Element& element) {
  attributes_unread(element);
  each_child(element, [this](const Element& child, Name) { unread(child); });
}

void Diagnostics::report_layout() {
  if (layout_) {
    report_.add(EntryKind::decision, "musicxml-layout",
                "the file's layout (positions, fonts, beams, pages) is not kept but made anew");
  }
}

}  // namespace fifthpeg::musicxml::reader
