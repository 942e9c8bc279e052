// tinyxml2's printer as MusicXML needs it: indented by two spaces, to a sink, in one pass. Names and values
// are the program's own and are written as they are; everything that comes from a score goes through the
// `text` functions, which escape it, repair what is not UTF-8 and leave out what XML 1.0 cannot hold, and
// report that.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <tinyxml2.h>

#include "fifthpeg/report.hpp"
#include "fifthpeg/write.hpp"

namespace fifthpeg::musicxml::writer {

class XmlWriter : private tinyxml2::XMLPrinter {
 public:
  XmlWriter(Sink& sink, Report& report);

  // The XML declaration and the document type.
  void declare(const char* document_type);

  // Names must outlive their elements.
  void open(const char* name) { OpenElement(name); }
  void close();
  void attribute(const char* name, std::string_view value);
  void attribute(const char* name, std::int64_t value);
  void text_attribute(const char* name, std::string_view text);
  void content(std::string_view value);
  void content(std::int64_t value);
  void text(std::string_view text);

  // <name/>, <name attribute="value"/>, <name>value</name>
  void empty(const char* name);
  void empty(const char* name, const char* attribute, std::string_view value);
  void leaf(const char* name, std::string_view value);
  void leaf(const char* name, std::int64_t value);
  void text_leaf(const char* name, std::string_view text);

  // Hands everything buffered to the sink.
  void flush();
  // The measure that the report names; must outlive its use. Null: none.
  void set_measure(const std::string* number) { measure_ = number; }

 private:
  // tinyxml2 writes through these.
  void PrintSpace(int depth) override { buffer_.append(2 * static_cast<std::size_t>(depth), ' '); }
  void Write(const char* data, std::size_t size) override { buffer_.append(data, size); }
  void Putc(char letter) override { buffer_ += letter; }

  std::string escaped(std::string_view text, bool in_attribute);
  void add(EntryKind kind, std::string_view slug, std::string_view text);

  Sink& sink_;
  Report& report_;
  const std::string* measure_ = nullptr;
  std::string buffer_;
};

}  // namespace fifthpeg::musicxml::writer
