// write_midi: a standard MIDI file of format 1 with a conductor track and a track for each banjo.
#include <algorithm>
#include <numeric>
#include <string>
#include <string_view>
#include <vector>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/write.hpp"
#include "formats/midi/conventions.hpp"
#include "formats/midi/track_bytes.hpp"
#include "formats/midi/writer/tracks.hpp"
#include "performance/clock.hpp"
#include "performance/performance.hpp"
#include "score/parts.hpp"
#include "score/playing_order.hpp"

namespace fifthpeg {
namespace {

constexpr int highest_resolution = 32767;  // 15 bits (Standard MIDI Files 1.0)
// Where no resolution is exact: a multiple of 480 with many divisors, 2^5 * 3^3 * 5 * 7.
constexpr int finest_resolution = 30240;
constexpr std::int64_t longest_piece = std::int64_t{1} << 40;  // ticks

void report_at(const Score& score, std::size_t measure, std::size_t stroke, std::string_view slug,
               std::string_view text, Report& report) {
  const Measure& where = score.measures[measure];
  const Fraction onset = where.strokes[stroke].onset;
  report.add(EntryKind::loss, slug, text, {{}, where.number, beat_at(where, onset)});
}

void require_resolution(int wanted) {
  if (wanted >= 0 && wanted <= highest_resolution) return;
  throw UsageError("ticks-out-of-range",
                   "a MIDI file can have 1 to " + std::to_string(highest_resolution) +
                       " ticks a quarter note, not " + std::to_string(wanted),
                   {}, {{}, {}, highest_resolution});
}

// The smallest resolution that is exact for all parts; 0 where there is none.
std::int64_t exact_for(const Score& score, std::span<const Score> further) {
  std::int64_t exact = performance::exact_resolution(score, highest_resolution);
  for (const Score& part : further) {
    const std::int64_t own = performance::exact_resolution(part, highest_resolution);
    exact = exact > 0 && own > 0 ? std::lcm(exact, own) : 0;
  }
  return exact <= highest_resolution ? exact : 0;
}

void report_rounded(const Score& score, int resolution, Report& report) {
  const std::int64_t exact = performance::exact_resolution(score, highest_resolution);
  if (exact > 0 && resolution % exact == 0) return;
  for (std::size_t m = 0; m < score.measures.size(); ++m) {
    const auto& strokes = score.measures[m].strokes;
    for (std::size_t s = 0; s < strokes.size(); ++s) {
      if ((4 * std::int64_t{resolution}) % strokes[s].onset.den() == 0) continue;
      report_at(score, m, s, "midi-rounded-time",
                "the resolution cannot hold an onset exactly; the nearest tick was used", report);
    }
  }
}

void report_unheard(const Score& score, const Performance& performance, Report& report) {
  using Kind = Unheard::Kind;
  for (const Unheard& one : performance.unheard) {
    const auto lost = [&](std::string_view slug, std::string_view text) {
      report_at(score, one.measure, one.stroke, slug, text, report);
    };
    if (one.kind == Kind::pitch) lost("midi-pitch-range", "the pitch is outside MIDI's range");
    if (one.kind == Kind::slide) lost("midi-slide", "a slide that MIDI cannot show as a bend is lost");
    if (one.kind == Kind::let_ring) {
      lost("midi-let-ring", "a let-ring mark is lost where its note sounds no longer than it is written");
    }
  }
}

// A part that is played with the first, whose tempos and jumps are those of the piece.
Score as_played_with(const Score& first, Score further) {
  for (std::size_t m = 0; m < first.measures.size(); ++m) {
    Measure& measure = further.measures[m];
    measure.tempos = first.measures[m].tempos;
    std::erase_if(measure.directions, is_jump);
    for (const Direction& direction : first.measures[m].directions) {
      if (is_jump(direction)) measure.directions.push_back(direction);
    }
    std::stable_sort(measure.directions.begin(), measure.directions.end(),
                     [](const Direction& a, const Direction& b) { return a.at < b.at; });
  }
  return further;
}

class FileWriter {
 public:
  FileWriter(const Score& first, std::span<const Score> further, const MidiOptions& options)
      : first_(first), further_(further), options_(options) {
    performing_.unfold_repeats = options.unfold_repeats;
    performing_.strings_apart = options.channel_per_string;
  }

  Report write(Sink& sink) {
    require_resolution(options_.ticks_per_quarter);
    require_programs();
    require_channels();
    const std::int64_t exact = exact_for(first_, further_);
    performing_.ticks_per_quarter = options_.ticks_per_quarter > 0 ? options_.ticks_per_quarter
                                    : exact > 0                    ? static_cast<int>(exact)
                                                                   : finest_resolution;
    Report report;
    std::vector<std::string> tracks;
    tracks.reserve(3 + further_.size());
    report_rounded(first_, performing_.ticks_per_quarter, report);
    const performance::Clock clock = clock_for(first_);
    if (clock.repeats_ignored()) {
      report.add(EntryKind::loss, "midi-endless-repeats",
                 "repeats and jumps would never end; the piece is written straight through");
    }
    midi::writer::report_losses(first_, options_, clock, report);
    tracks.push_back(midi::writer::conductor_track(first_, clock, report));
    tracks.push_back(track_of(first_, clock, 0, report));
    for (std::size_t i = 0; i < further_.size(); ++i) {
      const Score& part = further_[i];
      Report of_part;
      report_rounded(part, performing_.ticks_per_quarter, of_part);
      const Score played = as_played_with(first_, part);
      const performance::Clock part_clock = clock_for(played);
      // What is no banjo has nothing of what only banjos have.
      if (is_banjo(i + 1)) midi::writer::report_losses_beside(first_, part, options_, part_clock, of_part);
      tracks.push_back(track_of(played, part_clock, i + 1, of_part));
      report.merge(in_part(of_part, part.part_name));
    }
    if (!options_.clicks.empty()) {
      const Performance performance = performance::perform(first_, clock, performing_.strings_apart);
      tracks.push_back(midi::writer::click_track(clock, performance, options_.clicks));
    }
    sink.write(midi::file_header(static_cast<unsigned>(tracks.size()),
                                 static_cast<unsigned>(performing_.ticks_per_quarter)));
    for (const std::string& track : tracks) sink.write(track);
    return report;
  }

 private:
  // Of the n-th part, from 0.
  int program_of(std::size_t number) const {
    const auto& programs = options_.further_programs;
    return number == 0 || number > programs.size() ? midi::banjo_program : programs[number - 1];
  }
  bool is_banjo(std::size_t number) const { return program_of(number) == midi::banjo_program; }
  bool by_string(std::size_t number) const { return options_.channel_per_string && is_banjo(number); }
  // Where the channels of the n-th part begin, if they all stood side by side.
  int first_channel(std::size_t number) const {
    int first = 0;
    for (std::size_t i = 0; i < number; ++i) first += by_string(i) ? midi::channels_a_banjo : 1;
    return first;
  }

  void require_programs() const {
    for (const int program : options_.further_programs) {
      if (program < 0 || program > 127) {
        throw UsageError("no-such-program",
                         "General MIDI has programs 0 to 127, not " + std::to_string(program), {},
                         {{}, {}, 127});
      }
    }
  }

  void require_channels() const {
    if (first_channel(1 + further_.size()) <= midi::most_channels) return;
    std::size_t most = 0;
    while (first_channel(most + 1) <= midi::most_channels) ++most;
    throw UsageError("too-many-parts",
                     "a MIDI file has channels for " + std::to_string(most) + " such parts, not for " +
                         std::to_string(1 + further_.size()),
                     {}, {{}, {}, static_cast<std::int64_t>(most)});
  }

  performance::Clock clock_for(const Score& score) const {
    performance::Clock clock(score, performing_);
    if (clock.end() > longest_piece) {
      throw WriteError("too-long", "the piece is longer than a MIDI file can hold");
    }
    return clock;
  }

  // Of the n-th part, from 0.
  std::string track_of(const Score& score, const performance::Clock& clock, std::size_t number,
                       Report& report) const {
    const Performance performance = performance::perform(score, clock, performing_.strings_apart);
    report_unheard(score, performance, report);
    const midi::writer::Channels channels{midi::channel_behind(0, first_channel(number)), by_string(number),
                                          program_of(number)};
    return midi::writer::banjo_track(score, clock, performance, channels, report);
  }

  const Score& first_;
  std::span<const Score> further_;
  const MidiOptions& options_;
  PerformOptions performing_;
};

}  // namespace

Report write_midi(const Score& score, const MidiOptions& options, Sink& sink) {
  return write_midi(score, {}, options, sink);
}

Report write_midi(const Score& score, std::span<const Score> further, const MidiOptions& options,
                  Sink& sink) {
  require_one_frame(score, further);
  try {
    return FileWriter(score, further, options).write(sink);
  } catch (const TimeError&) {
    throw WriteError("time-overflow", "the score holds times too long or too fine to be counted");
  }
}

}  // namespace fifthpeg
