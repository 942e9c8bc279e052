#include "formats/musicxml/writer/xml_writer.hpp"

#include "base/text.hpp"
#include "base/utf8.hpp"

namespace fifthpeg::musicxml::writer {
namespace {

// How a character has to be written, empty for itself. Parsers turn line ends into \n, white space of
// attributes into spaces, and drop an element's text if it is nothing else: `keep_space` is for that.
std::string_view reference(char32_t code, bool in_attribute, bool keep_space) {
  switch (code) {
    case '&':
      return "&amp;";
    case '<':
      return "&lt;";
    case '>':
      return "&gt;";
    case '"':
      return in_attribute ? "&quot;" : "";
    case '\r':
      return "&#13;";
    case '\n':
      return in_attribute || keep_space ? "&#10;" : "";
    case '\t':
      return in_attribute || keep_space ? "&#9;" : "";
    case ' ':
      return keep_space ? "&#32;" : "";
    default:
      return {};
  }
}

// XML 1.0, production [2] Char.
bool can_be_written(char32_t code) {
  return (code >= 0x20 && code != 0xFFFE && code != 0xFFFF) || code == '\t' || code == '\n' || code == '\r';
}

// Of a damaged sequence, with all that seems to belong to it.
std::size_t damaged_length(std::string_view text) {
  std::size_t length = 1;
  while (length < text.size() && length < 4 && base::is_continuation(text[length])) ++length;
  return length;
}

}  // namespace

XmlWriter::XmlWriter(Sink& sink, Report& report) : sink_(sink), report_(report) {
  XMLPrinter::VisitEnter(
      tinyxml2::XMLDocument(false));  // references are written here: tinyxml2 has none for line ends
}

void XmlWriter::declare(const char* document_type) {
  PushDeclaration(R"(xml version="1.0" encoding="UTF-8")");
  PushUnknown(document_type);
}

void XmlWriter::open_waiting() {
  if (waiting_.empty()) return;
  for (const char* const name : waiting_) OpenElement(name);
  waiting_.clear();
}

void XmlWriter::open(const char* name, XmlAttributes attributes) {
  open_waiting();
  OpenElement(name);
  for (const XmlAttribute& one : attributes) attribute(one.name, one.value);
}

void XmlWriter::close() {
  if (waiting_.empty()) {
    CloseElement();
  } else {
    waiting_.pop_back();
  }
}

// Most of a score is such lines; tinyxml2 writes each of them in a dozen pieces.
void XmlWriter::leaf(const char* name, const XmlValue& value, XmlAttributes attributes) {
  open_waiting();
  SealElementIfJustOpened();
  buffer_ += '\n';
  PrintSpace(static_cast<int>(_stack.Size()));
  const auto put = [this](std::initializer_list<std::string_view> pieces) {
    for (const std::string_view piece : pieces) buffer_ += piece;
  };
  const std::string_view tag = name;
  put({"<", tag});
  for (const XmlAttribute& one : attributes) put({" ", one.name, "=\"", one.value.text, "\""});
  if (value.text.empty()) {
    put({"/>"});
  } else {
    put({">", value.text, "</", tag, ">"});
  }
}

void XmlWriter::flush() {
  if (!buffer_.empty()) sink_.write(buffer_);
  buffer_.clear();
}

std::string XmlWriter::escaped(std::string_view text, bool in_attribute) {
  const bool keep_space = base::trimmed(text).empty();
  std::string result;
  while (!text.empty()) {
    auto [code, length] = base::first_character(text);
    if (length == 0) {
      result += base::replacement_character;
      add(EntryKind::repair, "musicxml-not-utf8",
          "a text is not UTF-8; invalid bytes in it are written as U+FFFD");
      length = damaged_length(text);
    } else if (const auto written = reference(code, in_attribute, keep_space); !written.empty()) {
      result += written;
    } else if (can_be_written(code)) {
      result += text.substr(0, length);
    } else {
      add(EntryKind::loss, "musicxml-control-character",
          "a control character that XML does not allow was left out");
    }
    text.remove_prefix(length);
  }
  return result;
}

void XmlWriter::add(EntryKind kind, std::string_view slug, std::string_view text) {
  Place place;
  if (measure_ != nullptr) place.measure = *measure_;
  report_.add(kind, slug, text, place);
}

}  // namespace fifthpeg::musicxml::writer
