// What a file asks to be silent about.
#include <algorithm>

#include "base/occurrences.hpp"
#include "check/families.hpp"
#include "formats/midi/scan.hpp"

namespace fifthpeg::check {
namespace {

constexpr std::string_view silence_word = "fifthpeg-check";

// The rules and families named, each once. Of other names there can be as many as the file has bytes.
class Silenced {
 public:
  // Names stand apart by blanks, commas or quotation marks.
  void add_all(std::string_view text) {
    constexpr std::string_view letters = "abcdefghijklmnopqrstuvwxyz0123456789-";
    for (std::size_t at = text.find_first_of(letters); at != text.npos;) {
      const std::size_t end = std::min(text.find_first_not_of(letters, at), text.size());
      add(text.substr(at, end - at));
      at = text.find_first_of(letters, end);
    }
  }
  std::vector<std::string> take() { return std::move(names_); }

 private:
  void add(std::string_view name) {
    if (is_rule_or_family(name) && std::find(names_.begin(), names_.end(), name) == names_.end())
      names_.emplace_back(name);
  }

  std::vector<std::string> names_;
};

}  // namespace

// What a MIDI file asks to be silent about: text events.
std::vector<std::string> silenced_by(const midi::Scan& scan) {
  Silenced silenced;
  for (const midi::ScannedTrack& track : scan.tracks) {
    for (const midi::MetaEvent& meta : track.metas) {
      if (!midi::is_text(meta.type)) continue;
      const std::string_view text = meta.data;
      if (!text.starts_with(silence_word)) continue;
      const std::size_t colon = text.find(':');
      if (colon != std::string_view::npos) silenced.add_all(text.substr(colon + 1));
    }
  }
  return silenced.take();
}

// What MusicXML asks to be silent about: processing instructions. One that never ends is none.
std::vector<std::string> silenced_by(std::string_view text) {
  Silenced silenced;
  const std::string start = "<?" + std::string(silence_word);
  constexpr std::string_view attribute = "silence=";
  base::Occurrences ends(text, "?>");
  for (std::size_t at = text.find(start); at != std::string_view::npos;) {
    const std::size_t end = ends.from(at);
    if (end == std::string_view::npos) break;
    const std::string_view inside = text.substr(at, end - at);
    const std::size_t names = inside.find(attribute);
    if (names != std::string_view::npos) silenced.add_all(inside.substr(names + attribute.size()));
    at = text.find(start, end);
  }
  return silenced.take();
}

}  // namespace fifthpeg::check
