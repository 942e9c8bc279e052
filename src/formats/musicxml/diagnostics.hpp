// Says what happens to everything in a file, with its measure, beat and line, so that nothing is dropped in
// silence.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "formats/musicxml/values.hpp"

namespace fifthpeg::musicxml::reader {

class Diagnostics {
 public:
  explicit Diagnostics(Report& report) : report_(report) {}

  // Where the reader is now. `measure` must outlive its use here; null is outside of any measure.
  void enter_part(std::string_view name) { part_ = name; }
  void enter_measure(const Measure* measure) { measure_ = measure; }
  void move_to(Fraction offset) { offset_ = offset; }
  // Elements that are being read come from a piece of the file that begins on this line.
  void enter_slice(std::int64_t first_line) { first_line_ = first_line; }
  // The line in the file of an element.
  std::int64_t line_of(const Element& element) const { return element.GetLineNum() + first_line_ - 1; }

  Place place(std::int64_t line) const;
  Place place(const Measure& measure, Fraction offset, std::int64_t line) const;

  void loss(std::string_view slug, std::string_view text, std::int64_t line = 0);
  void repair(std::string_view slug, std::string_view text, std::int64_t line);
  void choice(std::string_view slug, std::string_view text, std::int64_t line);
  void loss(std::string_view slug, std::string_view text, const Element& element) {
    loss(slug, text, line_of(element));
  }
  void repair(std::string_view slug, std::string_view text, const Element& element) {
    repair(slug, text, line_of(element));
  }
  void choice(std::string_view slug, std::string_view text, const Element& element) {
    choice(slug, text, line_of(element));
  }

  // What is not read: pure layout is reported once for the whole file; an element or attribute of MusicXML as
  // a loss with its name ("musicxml-element-wedge", "musicxml-attribute-dynamics"); anything else as
  // "musicxml-element-unknown".
  void unread(const Element& element) { unread("element", element.Name(), element); }
  void unread_attribute(const char* name, const Element& owner) { unread("attribute", name, owner); }
  // All that is not read in an element that is: see what_is_read.cpp.
  void unread_inside(const Element& element);
  // For what is read and only says how something looks.
  void layout_left() { layout_ = layout_ || !quiet_; }

  // Reading that is not reported: of parts that were not chosen.
  void quiet(bool on) { quiet_ = on; }
  // Call once at the end.
  void report_layout();

 private:
  void unread(std::string_view what, const char* name, const Element& element);

  Report& report_;
  std::string part_;
  const Measure* measure_ = nullptr;
  Fraction offset_;
  std::int64_t first_line_ = 1;
  bool layout_ = false;
  bool quiet_ = false;
};

}  // namespace fifthpeg::musicxml::reader
