#include "formats/midi/reader/strings.hpp"

#include <algorithm>

#include "formats/midi/conventions.hpp"

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

// Whether parts that may be the strings of one banjo are.
bool are_strings(const std::vector<PlayedPart>& parts, const StringParts& candidates, const Banjo& banjo) {
  int found = 0;
  std::optional<int> program;
  for (int string = 1; string <= string_count; ++string) {
    const std::size_t index = candidates.parts.at(static_cast<std::size_t>(string - 1));
    if (index == StringParts::no_part) continue;
    const PlayedPart& part = parts[index];
    const bool same_program = part.program == program.value_or(part.program);
    if (!same_program || !fits_string(part, banjo, string) || !one_at_a_time(part)) return false;
    program = part.program;
    ++found;
  }
  // A chain of accompaniment parts fits by chance more easily than five of one instrument do.
  return found >= 4;
}

}  // namespace

bool StringParts::any() const {
  return unplaced != no_part ||
         std::any_of(parts.begin(), parts.end(), [](std::size_t part) { return part != no_part; });
}

std::optional<int> string_of_channel(int channel, int first_channel) {
  for (int n = 0; n < channels_a_banjo; ++n) {
    if (channel_behind(first_channel, n) == channel) return n;
  }
  return std::nullopt;
}

std::optional<StringParts> find_strings(const std::vector<PlayedPart>& parts, const Banjo& banjo,
                                        const std::optional<StatedStrings>& stated) {
  // Channels 1 to 5 of one track.
  for (std::size_t i = 0; i < parts.size();) {
    const std::size_t track = parts[i].track;
    StringParts found;
    bool fits = true;
    for (; i < parts.size() && parts[i].track == track; ++i) {
      const auto string = string_of_channel(parts[i].channel, stated ? stated->first_channel : 0);
      if (!string) continue;
      if (*string < string_count) {
        found.parts.at(static_cast<std::size_t>(*string)) = i;
        fits = fits && fits_string(parts[i], banjo, *string + 1);
      } else if (stated) {
        found.unplaced = i;
      }
    }
    if (stated && stated->track == track) return fits ? std::optional(found) : std::nullopt;
    if (!stated && are_strings(parts, found, banjo)) return found;
  }
  if (stated) return std::nullopt;

  // Five tracks in a row, channels 1 to 5 in order.
  for (std::size_t i = 0; i < parts.size(); ++i) {
    StringParts found;
    std::size_t count = 0;
    for (; count < string_count && i + count < parts.size(); ++count) {
      const PlayedPart& part = parts[i + count];
      if (part.track != parts[i].track + count || part.channel != static_cast<int>(count)) break;
      found.parts.at(count) = i + count;
    }
    if (count == string_count && are_strings(parts, found, banjo)) return found;
  }
  return std::nullopt;
}

}  // namespace fifthpeg::midi::reader
