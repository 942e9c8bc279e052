#include <array>
#include <string>

#include "base/text.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/read.hpp"
#include "formats/text_tab/tab_line.hpp"

namespace fifthpeg {
namespace {

struct Signature {
  std::string_view start;
  std::string_view what;
};

// First bytes of files that are mistaken for music files (their own specifications).
constexpr std::array<Signature, 12> others{{
    {"%PDF", "a PDF: a picture of music; export MIDI or MusicXML from the program that made it"},
    {"\x89PNG", "a PNG picture"},
    {"\xFF\xD8\xFF", "a JPEG picture"},
    {"GIF8", "a GIF picture"},
    {"ID3", "an MP3 recording; notes are needed, as MIDI or MusicXML"},
    {"\xFF\xFB", "an MP3 recording; notes are needed, as MIDI or MusicXML"},
    {"OggS", "an Ogg recording; notes are needed, as MIDI or MusicXML"},
    {"fLaC", "a FLAC recording; notes are needed, as MIDI or MusicXML"},
    {"\x1F\x8B", "a gzip archive; unpack it first"},
    {"7z\xBC\xAF", "a 7z archive; unpack it first"},
    {"Rar!", "a RAR archive; unpack it first"},
    {"{\\rtf", "a text document"},
}};

// The text as ASCII, if it is in UTF-16: enough to look at how it begins.
std::string narrow(std::string_view bytes) {
  std::string text;
  constexpr std::size_t enough = 2048;
  for (const char c : bytes.substr(0, enough)) {
    if (c != '\0') text += c;
  }
  return text;
}

}  // namespace

Format sniff(std::string_view bytes) {
  if (bytes.empty()) throw ReadError("input-empty", "the file is empty");
  if (bytes.starts_with("MThd")) return Format::midi;
  // A MIDI file inside a RIFF envelope (RMID).
  if (bytes.starts_with("RIFF") && bytes.substr(0, 12).ends_with("RMID")) return Format::midi;
  if (bytes.starts_with("RIFF"))
    throw ReadError("not-music", "this is a WAV recording; notes are needed, as MIDI or MusicXML");
  if (bytes.starts_with("PK\x03\x04") || bytes.starts_with("PK\x05\x06")) return Format::mxl;
  for (const Signature& other : others) {
    if (bytes.starts_with(other.start)) throw ReadError("not-music", "this is " + std::string(other.what));
  }
  std::string_view text = bytes;
  std::string narrowed;
  const bool wide = bytes.starts_with("\xFF\xFE") || bytes.starts_with("\xFE\xFF") ||
                    bytes.starts_with(std::string_view("<\0", 2)) ||
                    bytes.starts_with(std::string_view("\0<", 2));
  if (wide) {
    if (!bytes.starts_with('<') && !bytes.starts_with('\0')) text.remove_prefix(2);
    narrowed = narrow(text);
    text = narrowed;
  } else if (text.starts_with("\xEF\xBB\xBF")) {
    text.remove_prefix(3);
  }
  text = base::trimmed(text);
  if (base::starts_with_ignoring_case(text, "<!doctype html") ||
      base::starts_with_ignoring_case(text, "<html")) {
    throw ReadError("not-music", "this is an HTML page, not MusicXML; was the file downloaded completely?");
  }
  if (text.starts_with('<')) return Format::musicxml;
  if (!wide && text_tab::holds_tab(bytes)) return Format::text_tab;
  throw ReadError("not-music", "this is neither MIDI nor MusicXML nor tab; check that it is the right file");
}

}  // namespace fifthpeg
