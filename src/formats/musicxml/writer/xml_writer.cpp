#include "formats/musicxml/writer/xml_writer.hpp"

#include <array>
#include <charconv>

namespace fifthpeg::musicxml::writer {
namespace {

constexpr std::string_view replacement = "\xEF\xBF\xBD";  // U+FFFD

bool is_continuation(char c) {
  return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U;
}

// The length in bytes of the well-formed UTF-8 sequence at the front of the text, 0 where there is none:
// no overlong forms, no surrogates, nothing above U+10FFFF (Unicode standard, table 3-7).
std::size_t sequence_length(std::string_view text, char32_t& code) {
  const auto lead = static_cast<unsigned char>(text.front());
  const std::size_t length = lead < 0x80 ? 1 : lead < 0xC2 ? 0 : lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : 4;
  if (length == 0 || lead > 0xF4 || text.size() < length) return 0;
  code = length == 1 ? lead : lead & (0xFFU >> (length + 1));
  for (std::size_t i = 1; i < length; ++i) {
    if (!is_continuation(text[i])) return 0;
    code = code << 6 | (static_cast<unsigned char>(text[i]) & 0x3FU);
  }
  constexpr std::array<char32_t, 5> least{0, 0, 0x80, 0x800, 0x10000};
  if (code < least[length] || (code >= 0xD800 && code <= 0xDFFF) || code > 0x10FFFF) return 0;
  return length;
}

bool is_white_space(char c) {
  return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}

// Written as it is wherever it stands.
bool is_plain(char c) {
  const auto byte = static_cast<unsigned char>(c);
  return byte >= 0x20 && byte < 0x7F && c != '&' && c != '<' && c != '>' && c != '"';
}

}  // namespace

XmlWriter::XmlWriter(Sink& sink, Report& report) : sink_(sink), report_(report) {
  buffer_.reserve(block + block / 8);
  open_.reserve(16);
}

void XmlWriter::line(std::string_view text) {
  buffer_.append(text);
  buffer_ += '\n';
}

void XmlWriter::indent() {
  constexpr std::string_view spaces = "                                ";
  buffer_.append(spaces.substr(0, 2 * open_.size()));
}

void XmlWriter::end_start_tag() {
  if (!in_start_tag_) return;
  buffer_.append(">\n");
  in_start_tag_ = false;
}

void XmlWriter::open(std::string_view name) {
  end_start_tag();
  indent();
  buffer_ += '<';
  buffer_.append(name);
  open_.push_back(name);
  in_start_tag_ = true;
}

void XmlWriter::close() {
  const std::string_view name = open_.back();
  open_.pop_back();
  if (in_start_tag_) {
    buffer_.append("/>\n");
    in_start_tag_ = false;
  } else {
    if (!inline_) indent();
    buffer_.append("</");
    buffer_.append(name);
    buffer_.append(">\n");
  }
  inline_ = false;
  if (buffer_.size() >= block) flush();
}

void XmlWriter::attribute(std::string_view name, std::string_view value) {
  buffer_ += ' ';
  buffer_.append(name);
  buffer_.append("=\"");
  buffer_.append(value);
  buffer_ += '"';
}

void XmlWriter::attribute(std::string_view name, std::int64_t value) {
  buffer_ += ' ';
  buffer_.append(name);
  buffer_.append("=\"");
  append(value);
  buffer_ += '"';
}

void XmlWriter::text_attribute(std::string_view name, std::string_view text) {
  buffer_ += ' ';
  buffer_.append(name);
  buffer_.append("=\"");
  append_text(text, true);
  buffer_ += '"';
}

void XmlWriter::content(std::string_view value) {
  if (value.empty()) return;
  buffer_ += '>';
  in_start_tag_ = false;
  inline_ = true;
  buffer_.append(value);
}

void XmlWriter::content(std::int64_t value) {
  buffer_ += '>';
  in_start_tag_ = false;
  inline_ = true;
  append(value);
}

void XmlWriter::text(std::string_view text) {
  if (text.empty()) return;
  buffer_ += '>';
  in_start_tag_ = false;
  inline_ = true;
  append_text(text, false);
}

void XmlWriter::empty(std::string_view name) {
  end_start_tag();
  indent();
  buffer_ += '<';
  buffer_.append(name);
  buffer_.append("/>\n");
}

void XmlWriter::leaf(std::string_view name, std::string_view value) {
  open(name);
  content(value);
  close();
}

void XmlWriter::leaf(std::string_view name, std::int64_t value) {
  open(name);
  content(value);
  close();
}

void XmlWriter::text_leaf(std::string_view name, std::string_view value) {
  open(name);
  text(value);
  close();
}

void XmlWriter::flush() {
  if (!buffer_.empty()) sink_.write(buffer_);
  buffer_.clear();
}

void XmlWriter::append(std::int64_t value) {
  std::array<char, 24> digits{};
  const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), value).ptr;
  buffer_.append(digits.data(), end);
}

void XmlWriter::append_text(std::string_view text, bool in_attribute) {
  // Parsers drop an element's text if it is white space and nothing else.
  bool keep_space = true;
  for (const char c : text) keep_space = keep_space && is_white_space(c);
  while (!text.empty()) {
    std::size_t plain = 0;
    while (plain < text.size() && is_plain(text[plain]) && !(keep_space && text[plain] == ' ')) ++plain;
    buffer_.append(text.substr(0, plain));
    text.remove_prefix(plain);
    if (!text.empty()) text.remove_prefix(append_special(text, in_attribute, keep_space));
  }
}

std::size_t XmlWriter::append_special(std::string_view text, bool in_attribute, bool keep_space) {
  char32_t code = 0;
  const std::size_t length = sequence_length(text, code);
  if (length == 0) {
    buffer_.append(replacement);
    tell_repaired();
    // One mark for the damaged sequence, however long it is.
    std::size_t skipped = 1;
    while (skipped < text.size() && skipped < 4 && is_continuation(text[skipped])) ++skipped;
    return skipped;
  }
  switch (code) {
    case '&':
      buffer_.append("&amp;");
      return length;
    case '<':
      buffer_.append("&lt;");
      return length;
    case '>':
      buffer_.append("&gt;");
      return length;
    case '"':
      buffer_.append(in_attribute ? "&quot;" : "\"");
      return length;
    case '\r':
      buffer_.append("&#13;");
      return length;
    case '\n':
    case '\t':
    case ' ':
      if (keep_space || (in_attribute && code != ' ')) {
        buffer_.append("&#");
        append(static_cast<std::int64_t>(code));
        buffer_ += ';';
        return length;
      }
      break;
    default:
      if (code < 0x20 || code == 0xFFFE || code == 0xFFFF) {  // XML 1.0, production [2] Char
        tell_dropped();
        return length;
      }
      break;
  }
  buffer_.append(text.substr(0, length));
  return length;
}

Place XmlWriter::place() const {
  Place place;
  if (measure_ != nullptr) place.measure = *measure_;
  return place;
}

void XmlWriter::tell_dropped() {
  report_.add(EntryKind::loss, "musicxml-control-character",
              "A control character in a text cannot stand in XML and was left out.", place());
}

void XmlWriter::tell_repaired() {
  report_.add(EntryKind::repair, "musicxml-not-utf8",
              "A text is not UTF-8; what could not be read in it is written as U+FFFD.", place());
}

}  // namespace fifthpeg::musicxml::writer
