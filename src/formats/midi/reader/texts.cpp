#include "formats/midi/reader/texts.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <string_view>

#include "base/text.hpp"
#include "formats/midi/text.hpp"

namespace fifthpeg::midi::reader {
namespace {

// Words that make a name one of an instrument or a role, not of a tune (common practice).
constexpr std::array<std::string_view, 42> instrument_words{
    "piano",    "banjo",   "guitar",    "fiddle",     "violin",     "mandolin",  "bass",
    "drum",     "flute",   "voice",     "vocal",      "organ",      "string",    "cello",
    "viola",    "trumpet", "sax",       "clarinet",   "choir",      "synth",     "lead",
    "melody",   "chord",   "pad",       "track",      "staff",      "channel",   "midi",
    "untitled", "tempo",   "conductor", "control",    "accordion",  "harmonica", "whistle",
    "dobro",    "ukulele", "part ",     "instrument", "percussion", "accomp",    "rhythm"};

bool names_an_instrument(const std::string& name) {
  const std::string lower = base::lower_case(name);
  return std::any_of(instrument_words.begin(), instrument_words.end(),
                     [&](std::string_view word) { return lower.find(word) != std::string::npos; });
}

std::optional<int> whole_number(std::string_view text) {
  int value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size()) return std::nullopt;
  return value;
}

// "1/8 2 1".
std::optional<Swing> parse_swing(std::string_view text) {
  const std::size_t slash = text.find('/');
  const std::size_t first_space = text.find(' ');
  if (slash == std::string_view::npos || first_space == std::string_view::npos || slash > first_space) {
    return std::nullopt;
  }
  const std::size_t second_space = text.find(' ', first_space + 1);
  if (second_space == std::string_view::npos) return std::nullopt;
  const auto num = whole_number(text.substr(0, slash));
  const auto den = whole_number(text.substr(slash + 1, first_space - slash - 1));
  const auto first = whole_number(text.substr(first_space + 1, second_space - first_space - 1));
  const auto second = whole_number(text.substr(second_space + 1));
  if (num != 1 || (den != 4 && den != 8 && den != 16 && den != 32)) return std::nullopt;
  if (!first || !second || *first < 1 || *second < 1 || *first > 16 || *second > 16) return std::nullopt;
  return Swing{Fraction(1, *den), *first, *second};
}

class TextReader {
 public:
  TextReader(const Scan& scan, const Timeline& timeline, const std::vector<PlayedPart>& parts, Report& report)
      : scan_(scan), timeline_(timeline), report_(report), has_notes_(scan.tracks.size(), false) {
    for (const PlayedPart& part : parts) has_notes_.at(part.track) = true;
  }

  Texts run() {
    texts_.tracks.resize(scan_.tracks.size());
    for (std::size_t track = 0; track < scan_.tracks.size(); ++track) {
      for (const MetaEvent& meta : scan_.tracks[track].metas) {
        if (meta.type >= 1 && meta.type <= 9) read(meta, track);
      }
    }
    choose_title();
    const auto by_tick = [](const TimedText& a, const TimedText& b) { return a.tick < b.tick; };
    std::stable_sort(texts_.markers.begin(), texts_.markers.end(), by_tick);
    std::stable_sort(texts_.words.begin(), texts_.words.end(), by_tick);
    return std::move(texts_);
  }

 private:
  void read(const MetaEvent& meta, std::size_t track) {
    // Blanks matter in lyrics: "word " ends a word where others go on.
    std::string text = decode_text(meta.data, meta.byte, report_);
    if (text.empty()) return;
    const std::int64_t tick = timeline_.at(track, meta.tick);
    switch (meta.type) {
      case 0x01:
        plain(std::move(text), meta, track, tick);
        break;
      case 0x02:
        texts_.work.rights += (texts_.work.rights.empty() ? "" : "; ") + text;
        break;
      case 0x03:
        name(texts_.tracks[track].name, std::move(text), meta);
        break;
      case 0x04:
        name(texts_.tracks[track].instrument, std::move(text), meta);
        break;
      case 0x05:
        texts_.lyrics.push_back({tick, track, std::move(text)});
        break;
      case 0x06:
        texts_.markers.push_back({tick, track, std::move(text)});
        break;
      case 0x07:
        texts_.words.push_back({tick, track, std::move(text)});
        break;
      default:  // program and device names
        lose("midi-device-name", "names of programs and devices were passed over", meta);
        break;
    }
  }

  // A track has one name and one instrument: the first that is given.
  void name(std::string& of_track, std::string text, const MetaEvent& meta) {
    if (of_track.empty()) {
      of_track = std::move(text);
    } else if (of_track != text) {
      lose("midi-another-name", "another name of a track or its instrument was passed over", meta);
    }
  }

  void plain(std::string text, const MetaEvent& meta, std::size_t track, std::int64_t tick) {
    if (text.starts_with("fifthpeg: ")) {
      if (const auto banjo = parse_banjo_text(text)) {
        texts_.banjo = banjo;
        texts_.banjo_track = track;
        return;
      }
      if (const auto swing =
              parse_swing(std::string_view(text).substr(std::min(text.size(), swing_label.size())));
          swing && text.starts_with(swing_label)) {
        texts_.swing = swing;
        return;
      }
    }
    const std::array<std::pair<std::string_view, std::string*>, 4> labels{
        {{"composer: ", &texts_.work.composer},
         {"arranger: ", &texts_.work.arranger},
         {"lyricist: ", &texts_.work.lyricist},
         {"source: ", &texts_.work.source}}};
    const std::string lower = base::lower_case(text.substr(0, 12));
    for (const auto& [label, field] : labels) {
      if (!lower.starts_with(label) || !field->empty()) continue;
      *field = text.substr(label.size());
      return;
    }
    if (track == 0 && scan_.format == 1 && !has_notes_[0]) {
      texts_.words.push_back({tick, track, std::move(text)});
    } else {
      lose("midi-text", "texts beside the music were passed over", meta);
    }
  }

  void lose(std::string_view slug, std::string_view text, const MetaEvent& meta) {
    Place place;
    place.byte = static_cast<std::int64_t>(meta.byte);
    report_.add(EntryKind::loss, slug, text, place);
  }

  void choose_title() {
    if (texts_.tracks.empty()) return;
    const std::string& name = texts_.tracks.front().name;
    const bool conductor = scan_.format == 1 && !has_notes_.front();
    // What a track without notes is called is the name of the piece, whatever its words.
    if (conductor ? !is_filler(name) : !names_an_instrument(name)) texts_.work.title = name;
  }

  static bool is_filler(const std::string& name) {
    const std::string lower = base::lower_case(name);
    return lower == "tempo" || lower == "tempo track" || lower == "conductor" || lower == "conductor track" ||
           lower == "control track" || lower == "untitled" || lower == "track 1";
  }

  static constexpr std::string_view swing_label = "fifthpeg: swing ";

  const Scan& scan_;
  const Timeline& timeline_;
  Report& report_;
  std::vector<bool> has_notes_;
  Texts texts_;
};

}  // namespace

Texts read_texts(const Scan& scan, const Timeline& timeline, const std::vector<PlayedPart>& parts,
                 Report& report) {
  return TextReader(scan, timeline, parts, report).run();
}

}  // namespace fifthpeg::midi::reader
