#include "formats/musicxml/encoding.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstdint>
#include <iconv.h>
#include <memory>
#include <optional>

#include "base/text.hpp"
#include "base/utf8.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::musicxml {
namespace {

constexpr std::size_t declaration_bytes = 256;  // an XML declaration is never longer

// encoding="..." of an XML declaration in single bytes; empty if there is none.
std::string declared_encoding(std::string_view text) {
  if (!text.starts_with("<?xml")) return {};
  text = text.substr(0, std::min(text.find("?>"), declaration_bytes));
  const auto word = text.find("encoding");
  if (word == std::string_view::npos) return {};
  const auto open = text.find_first_of("\"'", word);
  if (open == std::string_view::npos) return {};
  const auto close = text.find(text[open], open + 1);
  if (close == std::string_view::npos) return {};
  return std::string(text.substr(open + 1, close - open - 1));
}

struct Utf8Survey {
  std::size_t sequences = 0;  // of more than one byte, well formed
  std::size_t broken = 0;
};

Utf8Survey survey_utf8(std::string_view text) {
  Utf8Survey survey;
  for (std::size_t i = base::skip_ascii(text, 0); i < text.size(); i = base::skip_ascii(text, i)) {
    const std::size_t length = base::first_character(text.substr(i)).length;
    if (length == 0) {
      ++survey.broken;
      ++i;
    } else {
      ++survey.sequences;
      i += length;
    }
  }
  return survey;
}

std::string shown(std::string_view name) {
  return base::printable(name.substr(0, 40));
}

struct CloseConverter {
  void operator()(void* converter) const { iconv_close(converter); }
};

class Decoder {
 public:
  Decoder(std::string_view bytes, Decoded& decoded, Report& report)
      : bytes_(bytes), decoded_(decoded), report_(report) {}

  void run() {
    if (bytes_.starts_with(std::string_view("\xFF\xFE\0\0", 4)) ||
        bytes_.starts_with(std::string_view("\0\0\xFE\xFF", 4)) ||
        bytes_.starts_with(std::string_view("<\0\0\0", 4)) ||
        bytes_.starts_with(std::string_view("\0\0\0<", 4))) {
      throw ReadError("the file is in UTF-32, which is not supported; save it as UTF-8");
    }
    if (bytes_.starts_with("\xFF\xFE")) return utf16(bytes_.substr(2), false);
    if (bytes_.starts_with("\xFE\xFF")) return utf16(bytes_.substr(2), true);
    if (bytes_.starts_with(std::string_view("<\0", 2))) return utf16(bytes_, false);
    if (bytes_.starts_with(std::string_view("\0<", 2))) return utf16(bytes_, true);
    if (bytes_.starts_with("\xEF\xBB\xBF")) {
      bytes_.remove_prefix(3);
      const std::string name = base::upper_case(declared_encoding(bytes_));
      if (!name.empty() && name != "UTF-8" && name != "UTF8") lies(name, "UTF-8");
      return utf8();
    }
    single_bytes();
  }

 private:
  void lies(const std::string& declared, const std::string& real) {
    decoded_.repaired = true;
    report_.add(EntryKind::repair, "musicxml-encoding",
                "the file says that its encoding is " + shown(declared) + ", but its bytes are " + real,
                at_line(1));
  }

  void broken_at(std::int64_t line) {
    decoded_.repaired = true;
    report_.add(EntryKind::repair, "musicxml-encoding-broken",
                "bytes not valid in the file's encoding became the replacement character", at_line(line));
  }

  void utf16(std::string_view bytes, bool big_endian) {
    convert(bytes, big_endian ? "UTF-16BE" : "UTF-16LE", 2);
    decoded_.encoding = "UTF-16";
    const std::string name = base::upper_case(declared_encoding(decoded_.text));
    if (!name.empty() && !name.starts_with("UTF-16") && !name.starts_with("UTF16") && name != "UCS-2" &&
        name != "ISO-10646-UCS-2") {
      lies(name, "UTF-16");
    }
  }

  void utf8() {
    decoded_.encoding = "UTF-8";
    const Utf8Survey survey = survey_utf8(bytes_);
    if (survey.broken == 0) {
      decoded_.text = bytes_;
      return;
    }
    std::string& out = decoded_.owned;
    out.reserve(bytes_.size() + survey.broken * 2);
    std::int64_t line = 1;
    std::size_t counted = 0;
    for (std::size_t i = 0; i < bytes_.size();) {
      const std::size_t plain = base::skip_ascii(bytes_, i);
      out.append(bytes_, i, plain - i);
      i = plain;
      if (i == bytes_.size()) break;
      const std::size_t length = base::first_character(bytes_.substr(i)).length;
      if (length > 0) {
        out.append(bytes_, i, length);
        i += length;
      } else {
        line += line_of(bytes_.substr(counted), i - counted) - 1;
        counted = i;
        broken_at(line);
        out += base::replacement_character;
        ++i;
      }
    }
    decoded_.text = out;
  }

  // ISO 8859-1, with the characters of Windows where that has controls.
  void latin1(const std::string& name) {
    convert(bytes_, "WINDOWS-1252", 1);
    decoded_.encoding = name;
  }

  void single_bytes() {
    const std::string declared = declared_encoding(bytes_);
    const std::string name = base::upper_case(declared);
    if (name.empty() || name == "UTF-8" || name == "UTF8") {
      const Utf8Survey survey = survey_utf8(bytes_);
      if (survey.broken > 0 && survey.sequences == 0) {
        lies(name.empty() ? "UTF-8 (by saying nothing)" : name, "windows-1252");
        return latin1("windows-1252");
      }
      return utf8();
    }
    if (name.starts_with("UTF-16") || name.starts_with("UTF-32") || name.starts_with("UCS-")) {
      lies(name, "single bytes");
      return survey_utf8(bytes_).broken == 0 ? utf8() : latin1("windows-1252");
    }
    const bool is_ascii = name == "US-ASCII" || name == "ASCII";
    const bool is_latin1 =
        name == "ISO-8859-1" || name == "ISO8859-1" || name == "LATIN1" || name == "LATIN-1";
    const bool is_windows = name == "WINDOWS-1252" || name == "CP1252";
    if (is_ascii || is_latin1 || is_windows) {
      const Utf8Survey survey = survey_utf8(bytes_);
      if (survey.sequences > 0 && survey.broken == 0) {
        lies(name, "UTF-8");
        return utf8();
      }
      if (is_ascii && survey.broken > 0) {
        lies(name, "windows-1252");
        return latin1("windows-1252");
      }
      return latin1(is_ascii ? "US-ASCII" : is_latin1 ? "ISO-8859-1" : "windows-1252");
    }
    other(declared, name);
  }

  // The rest of the encodings in which such files are met.
  void other(const std::string& declared, const std::string& name) {
    static constexpr std::array<std::string_view, 27> known{
        "ISO-8859-2",   "ISO-8859-3",   "ISO-8859-4",   "ISO-8859-5",   "ISO-8859-7",   "ISO-8859-9",
        "ISO-8859-10",  "ISO-8859-13",  "ISO-8859-14",  "ISO-8859-15",  "ISO-8859-16",  "WINDOWS-1250",
        "WINDOWS-1251", "WINDOWS-1253", "WINDOWS-1254", "WINDOWS-1255", "WINDOWS-1256", "WINDOWS-1257",
        "WINDOWS-1258", "SHIFT_JIS",    "EUC-JP",       "EUC-KR",       "GBK",          "GB2312",
        "BIG5",         "KOI8-R",       "MACINTOSH"};
    if (std::find(known.begin(), known.end(), name) == known.end()) throw_unknown(declared);
    convert(bytes_, name.c_str(), 1);
    decoded_.encoding = declared;
  }

  [[noreturn]] static void throw_unknown(std::string_view encoding) {
    throw ReadError("unknown encoding " + shown(encoding) + "; save the file as UTF-8", at_line(1));
  }

  // Through iconv (POSIX.1-2017). `unit`: the bytes of the shortest character.
  void convert(std::string_view bytes, const char* encoding, std::size_t unit) {
    // The failure value of iconv_open is (iconv_t)-1 (POSIX).
    void* const opened = iconv_open("UTF-8", encoding);
    // NOLINTNEXTLINE(performance-no-int-to-ptr)
    if (opened == reinterpret_cast<iconv_t>(-1)) throw_unknown(encoding);
    const std::unique_ptr<void, CloseConverter> converter(opened);
    std::string& out = decoded_.owned;
    out.reserve(bytes.size() / unit + bytes.size() / 4);
    std::string input(bytes);  // iconv does not write to its input, but asks for a char*
    char* from = input.data();
    std::size_t left = input.size();
    std::array<char, 4096> buffer{};
    std::int64_t line = 1;
    std::size_t counted = 0;
    while (left > 0) {
      char* to = buffer.data();
      std::size_t room = buffer.size();
      const std::size_t result = iconv(converter.get(), &from, &left, &to, &room);
      const int why = result == static_cast<std::size_t>(-1) ? errno : 0;
      out.append(buffer.data(), buffer.size() - room);
      if (why == 0 || why == E2BIG) continue;
      line += line_of(std::string_view(out).substr(counted), out.size() - counted) - 1;
      counted = out.size();
      broken_at(line);
      if (why == EINVAL) break;  // half a character at the end
      out += base::replacement_character;
      const std::size_t skipped = std::min(unit, left);
      from += skipped;
      left -= skipped;
    }
    decoded_.text = out;
  }

  std::string_view bytes_;
  Decoded& decoded_;
  Report& report_;
};

}  // namespace

std::int64_t line_of(std::string_view text, std::size_t offset) {
  const auto end = text.begin() + static_cast<std::ptrdiff_t>(std::min(offset, text.size()));
  return 1 + std::count(text.begin(), end, '\n');
}

Place at_line(std::int64_t line) {
  Place place;
  place.line = line;
  return place;
}

void decode(std::string_view bytes, Decoded& decoded, Report& report) {
  Decoder(bytes, decoded, report).run();
}

}  // namespace fifthpeg::musicxml
