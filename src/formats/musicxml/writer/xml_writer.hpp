// tinyxml2's printer as MusicXML needs it: indented by two spaces, to a sink, in one pass. Names and values
// are the program's own and are written as they are; everything that comes from a score goes through text()
// or attribute_text(), which escape it, repair what is not UTF-8 and leave out what XML 1.0 cannot hold, and
// report that.
#pragma once

#include <array>
#include <charconv>
#include <concepts>
#include <initializer_list>
#include <string>
#include <string_view>
#include <tinyxml2.h>
#include <vector>

#include "fifthpeg/report.hpp"
#include "fifthpeg/write.hpp"

namespace fifthpeg::musicxml::writer {

// What an element or an attribute holds: a text, which must outlive this, or a whole number.
struct XmlValue {
  XmlValue(std::integral auto number) {
    const char* const end = std::to_chars(digits.data(), digits.data() + digits.size(), number).ptr;
    text = std::string_view(digits.data(), static_cast<std::size_t>(end - digits.data()));
  }
  XmlValue(std::convertible_to<std::string_view> auto const& written) : text(written) {}
  XmlValue(const XmlValue&) = delete;  // `text` may point into `digits`
  XmlValue& operator=(const XmlValue&) = delete;
  std::array<char, 24> digits{};
  std::string_view text;
};
struct XmlAttribute {
  const char* name;
  XmlValue value;
};
using XmlAttributes = std::initializer_list<XmlAttribute>;

class XmlWriter : private tinyxml2::XMLPrinter {
 public:
  XmlWriter(Sink& sink, Report& report);

  // The XML declaration and the document type.
  void declare(const char* document_type);

  // Names must outlive their elements: see Within.
  void open(const char* name, XmlAttributes attributes = {});
  void open_if_any(const char* name) { waiting_.push_back(name); }
  void close();
  // Of the element that was just opened.
  void attribute(const char* name, const XmlValue& value) {
    PushAttribute(name, std::string(value.text).c_str());
  }
  // <name attribute="...">value</name>, or <name/> where the value is empty.
  void leaf(const char* name, const XmlValue& value, XmlAttributes attributes = {});
  void empty(const char* name, XmlAttributes attributes = {}) { leaf(name, std::string_view(), attributes); }

  std::string text(std::string_view text) { return escaped(text, false); }
  std::string attribute_text(std::string_view text) { return escaped(text, true); }

  // Hands everything buffered to the sink.
  void flush();
  // The measure that the report names; must outlive its use. Null: none.
  void set_measure(const std::string* number) { measure_ = number; }

 private:
  // tinyxml2 writes through these.
  void PrintSpace(int depth) override { buffer_.append(2 * static_cast<std::size_t>(depth), ' '); }
  void Write(const char* data, std::size_t size) override { buffer_.append(data, size); }
  void Putc(char letter) override { buffer_ += letter; }

  void open_waiting();
  std::string escaped(std::string_view text, bool in_attribute);
  void add(EntryKind kind, std::string_view slug, std::string_view text);

  Sink& sink_;
  Report& report_;
  const std::string* measure_ = nullptr;
  std::vector<const char*> waiting_;  // elements that are opened when something comes into them
  std::string buffer_;
};

// An element that ends with its scope.
class Within {
 public:
  Within(XmlWriter& xml, const char* name, XmlAttributes attributes = {}) : xml_(xml) {
    xml.open(name, attributes);
  }
  ~Within() { xml_.close(); }
  Within(const Within&) = delete;
  Within& operator=(const Within&) = delete;

 protected:
  struct IfAny {};
  Within(XmlWriter& xml, const char* name, IfAny /*tag*/) : xml_(xml) { xml.open_if_any(name); }

 private:
  XmlWriter& xml_;
};

// One that is left out where nothing is written into it.
class WithinIfAny : public Within {
 public:
  WithinIfAny(XmlWriter& xml, const char* name) : Within(xml, name, IfAny{}) {}
};

}  // namespace fifthpeg::musicxml::writer
