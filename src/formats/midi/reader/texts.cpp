#include "formats/midi/reader/texts.hpp"

#include <algorithm>
#include <array>
#include <string_view>

#include "base/text.hpp"
#include "base/utf8.hpp"
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

// Text in MIDI files has no stated encoding: UTF-8 if it is valid UTF-8, otherwise read as Latin-1 and
// reported. Control characters become spaces; ends are trimmed.
std::string decode_text(const MetaEvent& meta, Report& report) {
  std::string text(meta.data);
  if (!base::is_utf8(text)) {
    report.add(EntryKind::decision, "midi-text-encoding", "text that is not UTF-8 was read as Latin-1",
               at_byte(meta.byte));
    text.clear();
    for (const char c : meta.data) base::append_utf8(text, static_cast<unsigned char>(c));
  }
  for (char& c : text) {
    if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) c = ' ';
  }
  return std::string(base::trimmed(text));
}

bool names_an_instrument(const std::string& name) {
  const std::string lower = base::lower_case(name);
  return std::any_of(instrument_words.begin(), instrument_words.end(),
                     [&](std::string_view word) { return lower.find(word) != std::string::npos; });
}

class TextReader {
 public:
  TextReader(const Scan& scan, const Timeline& timeline, const std::vector<PlayedPart>& parts, Report& report)
      : scan_(scan), timeline_(timeline), report_(report), has_notes_(scan.tracks.size(), false) {
    for (const PlayedPart& part : parts) has_notes_.at(part.track) = true;
  }

  Texts run() {
    texts_.tracks.resize(scan_.tracks.size());
    texts_.banjos.resize(scan_.tracks.size());
    for (std::size_t track = 0; track < scan_.tracks.size(); ++track) {
      for (const MetaEvent& meta : scan_.tracks[track].metas) {
        if (is_text(meta.type)) read(meta, track);
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
    std::string text = decode_text(meta, report_);
    if (text.empty()) return;
    const std::int64_t tick = timeline_.at(track, meta.tick);
    switch (meta.type) {
      case Meta::text:
        plain(std::move(text), meta, track, tick);
        break;
      case Meta::copyright:
        texts_.work.rights += (texts_.work.rights.empty() ? "" : "; ") + text;
        break;
      case Meta::track_name:
        name(texts_.tracks[track].name, std::move(text), meta);
        break;
      case Meta::instrument_name:
        name(texts_.tracks[track].instrument, std::move(text), meta);
        break;
      case Meta::lyric:
        texts_.lyrics.push_back({tick, track, std::move(text)});
        break;
      case Meta::marker:
        texts_.markers.push_back({tick, track, std::move(text)});
        break;
      case Meta::cue_point:
        texts_.words.push_back({tick, track, std::move(text)});
        break;
      default:  // program and device names
        lose("midi-device-name", "names of programs and devices were ignored", meta);
        break;
    }
  }

  // A track has one name and one instrument: the first that is given.
  void name(std::string& of_track, std::string text, const MetaEvent& meta) {
    if (of_track.empty()) {
      of_track = std::move(text);
    } else if (of_track != text) {
      lose("midi-another-name", "another name of a track or its instrument was ignored", meta);
    }
  }

  void plain(std::string text, const MetaEvent& meta, std::size_t track, std::int64_t tick) {
    if (const auto banjo = parse_banjo_text(text)) {
      texts_.banjos[track] = banjo;
      return;
    }
    if (const auto swing = parse_swing_text(text)) {
      texts_.swing = swing;
      return;
    }
    const std::string lower = base::lower_case(text.substr(0, 12));
    for (const auto& [label, field] : work_labels) {
      if (!lower.starts_with(label) || !(texts_.work.*field).empty()) continue;
      texts_.work.*field = text.substr(label.size());
      return;
    }
    if (track == 0 && scan_.format == 1 && !has_notes_[0]) {
      texts_.words.push_back({tick, track, std::move(text)});
    } else {
      lose("midi-text", "texts beside the music were ignored", meta);
    }
  }

  void lose(std::string_view slug, std::string_view text, const MetaEvent& meta) {
    report_.add(EntryKind::loss, slug, text, at_byte(meta.byte));
  }

  void choose_title() {
    if (texts_.tracks.empty()) return;
    const std::string& name = texts_.tracks.front().name;
    const bool conductor = scan_.format == 1 && !has_notes_.front();
    // What a track without notes is called is the name of the piece, whatever its words.
    if (conductor ? !is_filler(name) : !names_an_instrument(name)) texts_.work.title = name;
  }

  static bool is_filler(const std::string& name) {
    constexpr std::array<std::string_view, 7> fillers{
        "tempo", "tempo track", "conductor", "conductor track", "control track", "untitled", "track 1"};
    return std::find(fillers.begin(), fillers.end(), base::lower_case(name)) != fillers.end();
  }

  const Scan& scan_;
  const Timeline& timeline_;
  Report& report_;
  std::vector<bool> has_notes_;
  Texts texts_;
};

}  // namespace

const BanjoText* Texts::banjo(std::size_t track) const {
  if (track < banjos.size() && banjos[track]) return &*banjos[track];
  const auto last =
      std::find_if(banjos.rbegin(), banjos.rend(), [](const auto& one) { return one.has_value(); });
  return last == banjos.rend() ? nullptr : &**last;
}

Texts read_texts(const Scan& scan, const Timeline& timeline, const std::vector<PlayedPart>& parts,
                 Report& report) {
  return TextReader(scan, timeline, parts, report).run();
}

}  // namespace fifthpeg::midi::reader
