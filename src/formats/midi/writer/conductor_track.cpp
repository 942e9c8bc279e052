// The first track.
#include <algorithm>
#include <array>
#include <bit>
#include <functional>
#include <numeric>
#include <optional>
#include <string_view>
#include <utility>
#include <vector>

#include "formats/midi/conventions.hpp"
#include "formats/midi/track_bytes.hpp"
#include "formats/midi/writer/tracks.hpp"
#include "score/playing_order.hpp"

namespace fifthpeg::midi::writer {
namespace {

constexpr std::int64_t microseconds_a_minute = 60'000'000;
constexpr std::int64_t longest_quarter = 0xffffff;  // microseconds in 24 bits
constexpr unsigned clocks_a_quarter = 24;           // MIDI clocks
constexpr unsigned thirty_seconds_a_quarter = 8;
constexpr std::int64_t finest_unit = 1 << 15;  // of a whole note

struct TimeSignature {
  unsigned beats = 4;
  unsigned power = 2;                  // of two: 2 is a quarter note
  unsigned clocks = clocks_a_quarter;  // to a click of the metronome
  friend bool operator==(const TimeSignature&, const TimeSignature&) = default;
};

std::optional<TimeSignature> time_signature(std::int64_t beats, std::int64_t unit, Fraction click) {
  const auto bits = static_cast<std::uint64_t>(unit);
  if (!std::has_single_bit(bits) || unit > finest_unit || beats < 1 || beats > 255) return std::nullopt;
  const Fraction clocks = click * 4 * clocks_a_quarter;
  const bool fits = clocks.is_whole() && clocks.num() >= 1 && clocks.num() <= 255;
  return TimeSignature{static_cast<unsigned>(beats), static_cast<unsigned>(std::countr_zero(bits)),
                       fits ? static_cast<unsigned>(clocks.num()) : clocks_a_quarter};
}

std::optional<TimeSignature> time_signature(const Meter& meter) {
  const std::int64_t beats = std::accumulate(meter.beats.begin(), meter.beats.end(), std::int64_t{0});
  return time_signature(beats, meter.unit, meter.beat());
}

// A measure of another length than its meter's, as a meter of its own.
std::optional<TimeSignature> time_signature(const Measure& measure) {
  const std::int64_t unit = std::lcm<std::int64_t>(measure.meter.unit, measure.length.den());
  const Fraction beats = measure.length * unit;
  return time_signature(beats.num(), unit, Fraction(1, unit));
}

class ConductorTrack {
 public:
  ConductorTrack(const Score& score, const performance::Clock& clock, Report& report)
      : score_(score), clock_(clock), report_(report), entries_(score.measures.size(), false) {}

  std::string run() {
    head();
    const auto tempos = tempos_in_force(score_);
    std::size_t expected = 0;
    for (std::size_t i = 0; i < clock_.played().size(); ++i) {
      const performance::Played& played = clock_.played()[i];
      const Measure& measure = score_.measures[played.index];
      // The rest before a pickup belongs to its meter, key and tempo.
      const std::int64_t start = i == 0 ? 0 : played.start;
      now_ = &measure;
      first_pass_ = !entries_[played.index];
      entries_[played.index] = true;
      meter(i, start);
      key(measure.key, start, 0);
      if (played.index != expected && tempos[played.index] != nullptr)
        tempo(*tempos[played.index], start, false);
      expected = played.index + 1;
      within(measure, performance::MeasureClock(score_, clock_, played), i == 0);
    }
    return track_.finish(clock_.end());
  }

 private:
  void head() {
    const Work& work = score_.work;
    if (!work.title.empty()) track_.meta(0, Meta::track_name, work.title);
    if (!work.rights.empty()) track_.meta(0, Meta::copyright, work.rights);
    for (const auto& [label, field] : work_labels) {
      if (!(work.*field).empty()) track_.meta(0, Meta::text, std::string(label) + work.*field);
    }
    if (score_.swing) track_.meta(0, Meta::text, to_text(*score_.swing));
  }

  void meter(std::size_t i, std::int64_t tick) {
    const performance::Played& played = clock_.played()[i];
    const Measure& measure = *now_;
    const bool is_short = measure.length < measure.meter.length();
    const bool pickup = is_short && i == 0;
    const bool last = is_short && i + 1 == clock_.played().size();
    const bool regular = measure.length == measure.meter.length() || played.goes_on_from_previous ||
                         played.goes_on_in_next || played.counted_from_bar || (last && !pickup);
    const auto wanted = regular ? time_signature(measure.meter) : time_signature(measure);
    if (!regular && !pickup) {
      add(0, "midi-irregular-measure",
          wanted ? "a measure of irregular length is written with a time signature of its own"
                 : "a time signature cannot express the length of a measure; barlines are lost");
    }
    if (!wanted) {
      if (regular) add(0, "midi-meter", "a MIDI time signature cannot express the meter");
      return;
    }
    if (wanted == signature_) return;
    signature_ = wanted;
    const std::array<unsigned, 4> bytes{wanted->beats, wanted->power, wanted->clocks,
                                        thirty_seconds_a_quarter};
    meta(tick, Meta::time_signature, bytes);
  }

  void key(const Key& key, std::int64_t tick, Fraction at) {
    if (key == key_) return;
    key_ = key;
    const bool minor = key.mode == Mode::minor || key.mode == Mode::aeolian;
    const std::array<unsigned, 2> bytes{static_cast<unsigned>(std::clamp<int>(key.fifths, -7, 7)) & 0xffU,
                                        minor ? 1U : 0U};
    meta(tick, Meta::key_signature, bytes);
    const bool has_mode = key.mode != Mode::none && key.mode != Mode::major && key.mode != Mode::minor;
    if (has_mode && !score_.key_estimated) {
      add(at, "midi-mode", "MIDI has no modes but major and minor");
    }
  }

  void tempo(const Tempo& tempo, std::int64_t tick, bool words) {
    if (words && !tempo.words.empty()) track_.meta(tick, Meta::text, tempo.words);
    std::int64_t quarter = longest_quarter + 1;
    if (tempo.quarters_per_minute > 0) {
      const Fraction exact = Fraction(microseconds_a_minute) / tempo.quarters_per_minute;
      quarter = (exact + Fraction(1, 2)).floor();
    }
    const std::int64_t written = std::clamp<std::int64_t>(quarter, 1, longest_quarter);
    if (written != quarter) add(tempo.at, "midi-tempo-range", "the tempo is outside MIDI's range");
    if (written == quarter_) return;
    quarter_ = written;
    const auto value = static_cast<unsigned>(written);
    const std::array<unsigned, 3> bytes{value >> 16U, value >> 8U, value};
    meta(tick, Meta::tempo, bytes);
  }

  // Tempos, keys, chord symbols and directions of a measure, in order of time.
  void within(const Measure& measure, const performance::MeasureClock& tick, bool first) {
    std::vector<std::pair<Fraction, std::function<void()>>> events;
    for (const Tempo& one : measure.tempos) {
      // The first tempo holds in the leading rest before a pickup too.
      const bool from_start = first && one.at == 0;
      events.emplace_back(one.at, [&, from_start] { tempo(one, from_start ? 0 : tick(one.at), true); });
    }
    for (const KeyChange& one : measure.key_changes)
      events.emplace_back(one.at, [&] { key(one.key, tick(one.at), one.at); });
    for (const ChordSymbol& one : measure.chords)
      events.emplace_back(one.at, [&] { track_.meta(tick(one.at), Meta::marker, to_string(one)); });
    for (const Direction& one : measure.directions)
      events.emplace_back(one.at, [&] { direct(one, tick(one.at)); });
    std::stable_sort(events.begin(), events.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first; });
    for (const auto& [at, write] : events) write();
  }

  void direct(const Direction& direction, std::int64_t tick) {
    if (direction.kind == Direction::Kind::words && !direction.text.empty()) {
      track_.meta(tick, Meta::text, direction.text);
    } else if (direction.kind == Direction::Kind::rehearsal && !direction.text.empty()) {
      const bool ambiguous =
          parse_chord_symbol(direction.text).has_value() || direction.text.starts_with(rehearsal_label);
      track_.meta(tick, Meta::marker, (ambiguous ? std::string(rehearsal_label) : "") + direction.text);
    }
  }

  template <std::size_t size>
  void meta(std::int64_t tick, Meta type, const std::array<unsigned, size>& values) {
    std::string bytes;
    for (const unsigned value : values) bytes.push_back(static_cast<char>(value & 0xffU));
    track_.meta(tick, type, bytes);
  }

  void add(Fraction at, std::string_view slug, std::string_view text) {
    if (first_pass_) {
      report_.add(EntryKind::loss, slug, text, {{}, now_->number, beat_at(*now_, at)});
    }
  }

  const Score& score_;
  const performance::Clock& clock_;
  Report& report_;
  TrackBytes track_;
  std::vector<bool> entries_;  // measures that have been played
  const Measure* now_ = nullptr;
  bool first_pass_ = true;
  std::optional<TimeSignature> signature_;
  std::optional<Key> key_;
  std::int64_t quarter_ = 0;
};

}  // namespace

std::string conductor_track(const Score& score, const performance::Clock& clock, Report& report) {
  return ConductorTrack(score, clock, report).run();
}

}  // namespace fifthpeg::midi::writer
