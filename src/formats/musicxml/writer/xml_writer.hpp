// Writes XML 1.0 in UTF-8: indented by two spaces, buffered, in one pass. Names, and values passed as
// std::string_view to functions without `text` in their name, are the program's own and are written as
// they are; everything that comes from a score goes through the `text` functions, which escape it, repair
// what is not UTF-8 and leave out what XML 1.0 cannot hold, and tell so.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "fifthpeg/report.hpp"
#include "fifthpeg/write.hpp"

namespace fifthpeg::musicxml::writer {

class XmlWriter {
 public:
  XmlWriter(Sink& sink, Report& report);

  // A line of its own, outside of elements: the declarations.
  void line(std::string_view text);

  void open(std::string_view name);
  void close();
  void attribute(std::string_view name, std::string_view value);
  void attribute(std::string_view name, std::int64_t value);
  void text_attribute(std::string_view name, std::string_view text);
  void content(std::string_view value);
  void content(std::int64_t value);
  void text(std::string_view text);

  // <name/>, <name>value</name>
  void empty(std::string_view name);
  void leaf(std::string_view name, std::string_view value);
  void leaf(std::string_view name, std::int64_t value);
  void text_leaf(std::string_view name, std::string_view text);

  // Hands everything buffered to the sink.
  void flush();
  // The measure that tellings name; must outlive its use. Null: none.
  void set_measure(const std::string* number) { measure_ = number; }

 private:
  static constexpr std::size_t block = std::size_t{64} << 10;

  void indent();
  void end_start_tag();
  void append(std::int64_t value);
  void append_text(std::string_view text, bool in_attribute);
  // The character of several bytes, or the one that cannot be written, at the front of the text. Returns
  // its length in bytes.
  std::size_t append_special(std::string_view text, bool in_attribute, bool keep_space);
  void tell_dropped();
  void tell_repaired();
  Place place() const;

  Sink& sink_;
  Report& report_;
  const std::string* measure_ = nullptr;
  std::string buffer_;
  std::vector<std::string_view> open_;  // names of the open elements
  bool in_start_tag_ = false;           // "<name" is written, ">" is not
  bool inline_ = false;                 // the innermost element has text and so no lines
};

}  // namespace fifthpeg::musicxml::writer
