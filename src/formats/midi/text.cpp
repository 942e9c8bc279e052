#include "formats/midi/text.hpp"

#include "base/text.hpp"
#include "base/utf8.hpp"
#include "formats/midi/meta.hpp"

namespace fifthpeg::midi {
namespace {

std::string from_latin_1(std::string_view text) {
  std::string result;
  for (const char c : text) base::append_utf8(result, static_cast<unsigned char>(c));
  return result;
}

}  // namespace

std::string decode_text(std::string_view bytes, std::size_t at, Report& report) {
  std::string text;
  if (base::is_utf8(bytes)) {
    text = bytes;
  } else {
    report.add(EntryKind::decision, "midi-text-encoding", "text that is not UTF-8 was read as Latin-1",
               at_byte(at));
    text = from_latin_1(bytes);
  }
  for (char& c : text) {
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) c = ' ';
  }
  return std::string(base::trimmed(text));
}

}  // namespace fifthpeg::midi
