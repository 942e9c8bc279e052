// write_midi: a standard MIDI file of format 1 with a conductor track and a banjo track.
#include <string>
#include <string_view>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/write.hpp"
#include "formats/midi/track_bytes.hpp"
#include "formats/midi/writer/tracks.hpp"
#include "performance/clock.hpp"
#include "performance/performance.hpp"

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

int resolution_for(const Score& score, int wanted, Report& report) {
  if (wanted < 0 || wanted > highest_resolution) {
    throw UsageError("ticks-out-of-range",
                     "a MIDI file can have 1 to " + std::to_string(highest_resolution) +
                         " ticks a quarter note, not " + std::to_string(wanted),
                     {}, {{}, {}, highest_resolution});
  }
  const std::int64_t exact = performance::exact_resolution(score, highest_resolution);
  const int resolution = wanted > 0 ? wanted : exact > 0 ? static_cast<int>(exact) : finest_resolution;
  if (exact > 0 && resolution % exact == 0) return resolution;
  for (std::size_t m = 0; m < score.measures.size(); ++m) {
    const auto& strokes = score.measures[m].strokes;
    for (std::size_t s = 0; s < strokes.size(); ++s) {
      if ((4 * std::int64_t{resolution}) % strokes[s].onset.den() == 0) continue;
      report_at(score, m, s, "midi-rounded-time",
                "the resolution cannot hold an onset exactly; the nearest tick was used", report);
    }
  }
  return resolution;
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

Report write(const Score& score, const MidiOptions& options, Sink& sink) {
  Report report;
  PerformOptions performing;
  performing.unfold_repeats = options.unfold_repeats;
  performing.strings_apart = options.channel_per_string;
  performing.ticks_per_quarter = resolution_for(score, options.ticks_per_quarter, report);
  const performance::Clock clock(score, performing);
  if (clock.end() > longest_piece) {
    throw WriteError("too-long", "the piece is longer than a MIDI file can hold");
  }
  if (clock.repeats_ignored()) {
    report.add(EntryKind::loss, "midi-endless-repeats",
               "repeats and jumps would never end; the piece is written straight through");
  }
  midi::writer::report_losses(score, options, clock, report);
  const std::string conductor = midi::writer::conductor_track(score, clock, report);
  const Performance performance = performance::perform(score, clock, performing.strings_apart);
  report_unheard(score, performance, report);
  const std::string banjo =
      midi::writer::banjo_track(score, clock, performance, options.channel_per_string, report);
  sink.write(midi::file_header(2, static_cast<unsigned>(clock.ticks_per_quarter())));
  sink.write(conductor);
  sink.write(banjo);
  return report;
}

}  // namespace

Report write_midi(const Score& score, const MidiOptions& options, Sink& sink) {
  try {
    return write(score, options, sink);
  } catch (const TimeError&) {
    throw WriteError("time-overflow", "the score holds times too long or too fine to be counted");
  }
}

}  // namespace fifthpeg
