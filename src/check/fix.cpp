#include "check/fix.hpp"

#include <algorithm>

#include "check/families.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/read.hpp"
#include "formats/midi/scan.hpp"
#include "formats/midi/track_bytes.hpp"
#include "formats/musicxml/encoding.hpp"

namespace fifthpeg {
namespace check {
namespace {

constexpr std::string_view end_of_track("\x00\xFF\x2F\x00", 4);

std::string little_endian(std::uint32_t number) {
  std::string bytes = midi::big_endian(number, 4);
  std::reverse(bytes.begin(), bytes.end());
  return bytes;
}

std::uint32_t little_endian_at(std::string_view bytes, std::size_t at) {
  std::uint32_t number = 0;
  for (std::size_t i = 4; i-- > 0;) number = number * 256 + static_cast<unsigned char>(bytes[at + i]);
  return number;
}

std::vector<Edit> midi_edits(std::string_view bytes, RuleSelection& selection, std::vector<Fix>& fixes) {
  const midi::Scan scan = midi::scan(bytes);
  selection.silence(silenced_by(scan));
  if (!scan.damage.empty()) {
    throw ReadError("cannot be fixed, because it cannot be read to its end: " + scan.damage.front().text,
                    midi::at_byte(scan.damage.front().byte));
  }
  std::vector<Edit> edits;
  if (!selection.takes("midi-no-end-of-track")) return edits;
  constexpr std::size_t chunk_header = 8;
  std::size_t added = 0;
  for (const midi::ScannedTrack& track : scan.tracks) {
    if (!track.lacks_end) continue;
    const std::size_t length = track.chunk_end - track.byte - chunk_header + end_of_track.size();
    edits.push_back({track.byte + 4, 4, midi::big_endian(static_cast<std::uint32_t>(length), 4)});
    edits.push_back({track.chunk_end, 0, std::string(end_of_track)});
    fixes.push_back({"midi-no-end-of-track", midi::at_byte(track.chunk_end), "added the end-of-track event"});
    added += end_of_track.size();
  }
  if (added > 0 && scan.riff_length_at > 0) {  // the chunks around the music grow with it
    constexpr std::size_t riff_length_at = 4;
    for (const std::size_t at : {riff_length_at, scan.riff_length_at}) {
      edits.push_back(
          {at, 4, little_endian(little_endian_at(bytes, at) + static_cast<std::uint32_t>(added))});
    }
  }
  return edits;
}

}  // namespace

std::string edited(std::string_view text, std::vector<Edit> edits) {
  std::stable_sort(edits.begin(), edits.end(), [](const Edit& a, const Edit& b) {
    return std::pair(a.at, a.erased > 0) < std::pair(b.at, b.erased > 0);
  });
  std::string result;
  std::size_t at = 0;
  for (const Edit& edit : edits) {
    result.append(text, at, edit.at - at);
    result += edit.text;
    at = edit.at + edit.erased;
  }
  result.append(text, at);
  return result;
}

}  // namespace check

FixResult fix(std::string_view bytes, const CheckOptions& options) {
  check::RuleSelection selection(options);
  FixResult fixed;
  if (bytes.size() > options.max_bytes) {
    throw ReadError("input-too-large", "is larger than " + std::to_string(options.max_bytes) + " bytes", {},
                    {{}, {}, static_cast<std::int64_t>(options.max_bytes)});
  }
  switch (sniff(bytes)) {
    case Format::midi:
      fixed.bytes = check::edited(bytes, check::midi_edits(bytes, selection, fixed.fixes));
      return fixed;
    case Format::mxl:
      throw ReadError(
          "an archive cannot be fixed in place; unpack it, or convert it to .musicxml, and fix that");
    case Format::text_tab:
      throw ReadError(
          "has nothing that can be fixed in place, as text tab; convert it to .musicxml, and fix that");
    case Format::musicxml:
      break;
  }
  musicxml::Decoded decoded;
  Report passed_over;
  musicxml::decode(bytes, decoded, passed_over);
  if (!decoded.owned.empty()) {
    throw ReadError("is not in UTF-8, the only encoding that can be fixed; save it as UTF-8 first");
  }
  selection.silence(check::silenced_by(decoded.text));
  const std::string_view start = bytes.substr(0, bytes.size() - decoded.text.size());  // a byte order mark
  std::string text(decoded.text);
  // What is fixed may let more be seen: without divisions nothing is known of times.
  constexpr int most_runs = 4;
  for (int run = 0; run < most_runs; ++run) {
    std::vector<check::Edit> edits = check::musicxml_edits(text, selection, fixed.fixes);
    if (edits.empty()) break;
    text = check::edited(text, std::move(edits));
  }
  fixed.bytes = std::string(start) + text;
  return fixed;
}

}  // namespace fifthpeg
