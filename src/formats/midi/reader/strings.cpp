#include "formats/midi/reader/strings.hpp"

#include <algorithm>

namespace fifthpeg::midi::reader {
namespace {

// A string that is let go a little late still is one note at a time.
constexpr double late_share = 0.2;

bool one_at_a_time(const PlayedPart& part) {
  for (std::size_t i = 1; i < part.notes.size(); ++i) {
    const PlayedNote& before = part.notes[i - 1];
    const PlayedNote& note = part.notes[i];
    const auto over = static_cast<double>(before.off - note.on);
    if (note.on == before.on || over > late_share * static_cast<double>(note.on - before.on)) return false;
  }
  return true;
}

bool fits_string(const PlayedPart& part, const Banjo& banjo, int string) {
  return std::all_of(part.notes.begin(), part.notes.end(),
                     [&](const PlayedNote& note) { return banjo.fret_for(string, note.key).has_value(); });
}

std::optional<StringParts> strings_of(const std::vector<PlayedPart>& parts,
                                      const std::array<std::size_t, string_count>& candidates,
                                      const Banjo& banjo) {
  StringParts result;
  int found = 0;
  int program = -1;
  for (int string = 1; string <= string_count; ++string) {
    const std::size_t index = candidates.at(static_cast<std::size_t>(string - 1));
    if (index == StringParts::no_part) continue;
    const PlayedPart& part = parts[index];
    if (found > 0 && part.program != program) return std::nullopt;
    program = part.program;
    if (!fits_string(part, banjo, string) || !one_at_a_time(part)) return std::nullopt;
    result.parts.at(static_cast<std::size_t>(string - 1)) = index;
    ++found;
  }
  // A chain of accompaniment parts fits by chance more easily than five of one instrument do.
  if (found < 4) return std::nullopt;
  return result;
}

}  // namespace

std::optional<StringParts> find_strings(const std::vector<PlayedPart>& parts, const Banjo& banjo,
                                        std::optional<std::size_t> stated_track) {
  // Channels 1 to 5 of one track.
  for (std::size_t i = 0; i < parts.size();) {
    std::size_t last = i;
    std::array<std::size_t, string_count> candidates{};
    candidates.fill(StringParts::no_part);
    StringParts stated;
    bool fits = true;
    for (; last < parts.size() && parts[last].track == parts[i].track; ++last) {
      if (parts[last].channel < string_count) {
        candidates.at(static_cast<std::size_t>(parts[last].channel)) = last;
        fits = fits && fits_string(parts[last], banjo, parts[last].channel + 1);
      } else if (parts[last].channel == string_count) {
        stated.unplaced = last;
      }
    }
    if (stated_track == parts[i].track) {
      stated.parts = candidates;
      return fits ? std::optional(stated) : std::nullopt;
    }
    if (!stated_track) {
      if (auto result = strings_of(parts, candidates, banjo)) return result;
    }
    i = last;
  }
  if (stated_track) return std::nullopt;
  // Five tracks in a row, channels 1 to 5 in order.
  for (std::size_t i = 0; i < parts.size(); ++i) {
    std::array<std::size_t, string_count> candidates{};
    candidates.fill(StringParts::no_part);
    std::size_t count = 0;
    while (i + count < parts.size() && count < string_count &&
           parts[i + count].track == parts[i].track + count &&
           parts[i + count].channel == parts[i].channel + static_cast<int>(count)) {
      candidates.at(count) = i + count;
      ++count;
    }
    if (count == string_count && parts[i].channel == 0) {
      if (auto result = strings_of(parts, candidates, banjo)) return result;
    }
  }
  return std::nullopt;
}

}  // namespace fifthpeg::midi::reader
