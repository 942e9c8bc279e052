// What a file asks to be silent about.
#include "check/families.hpp"
#include "formats/midi/scan.hpp"

namespace fifthpeg::check {
namespace {

constexpr std::string_view silence_word = "fifthpeg-check";

}  // namespace

// What a MIDI file asks to be silent about: text events.
std::vector<std::string> silenced_by(const midi::Scan& scan) {
  std::vector<std::string> names;
  for (const midi::ScannedTrack& track : scan.tracks) {
    for (const midi::MetaEvent& meta : track.metas) {
      if (!midi::is_text(meta.type)) continue;
      std::string_view text = meta.data;
      if (!text.starts_with(silence_word)) continue;
      const std::size_t colon = text.find(':');
      if (colon == std::string_view::npos) continue;
      for (std::string& name : names_in(text.substr(colon + 1))) names.push_back(std::move(name));
    }
  }
  return names;
}

// What MusicXML asks to be silent about: processing instructions.
std::vector<std::string> silenced_by(std::string_view text) {
  std::vector<std::string> names;
  const std::string start = "<?" + std::string(silence_word);
  for (std::size_t at = text.find(start); at != std::string_view::npos; at = text.find(start, at + 1)) {
    const std::size_t end = text.find("?>", at);
    const std::string_view inside = text.substr(at, end == std::string_view::npos ? end : end - at);
    const std::size_t equals = inside.find("silence=");
    if (equals == std::string_view::npos) continue;
    for (std::string& name : names_in(inside.substr(equals + 8))) names.push_back(std::move(name));
  }
  return names;
}

}  // namespace fifthpeg::check
