#include "cli/load.hpp"

#include <algorithm>
#include <optional>
#include <string>
#include <string_view>

#include "cli/input.hpp"
#include "cli/option_values.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::cli {
namespace {

std::string_view name(Format format) {
  switch (format) {
    case Format::midi:
      return "MIDI";
    case Format::musicxml:
      return "MusicXML";
    case Format::mxl:
      break;
  }
  return "compressed MusicXML";
}

std::optional<Format> promised_by(std::string_view path) {
  const std::optional<OutputFormat> format = format_by_extension(path);
  if (!format) return std::nullopt;
  switch (*format) {
    case OutputFormat::midi:
      return Format::midi;
    case OutputFormat::musicxml:
      return Format::musicxml;
    case OutputFormat::mxl:
      return Format::mxl;
    case OutputFormat::text:
      break;
  }
  return std::nullopt;
}

void tell_wrong_name(const std::string& input, Format found, Report& report) {
  const std::optional<Format> promised = promised_by(input);
  if (!promised || *promised == found) return;
  report.add(EntryKind::repair, "wrong-extension",
             "the name says " + std::string(name(*promised)) + ", the content is " +
                 std::string(name(found)) + ", which it was read as");
}

void require_on_neck(const Banjo& banjo) {
  const auto refuse = [&](const std::string& what) {
    throw UsageError(what + " is off a neck of " + std::to_string(banjo.frets) +
                     " frets; change it, or give --frets");
  };
  if (banjo.capo >= banjo.frets) refuse("a capo at fret " + std::to_string(banjo.capo));
  if (banjo.fifth_capo >= banjo.frets) {
    refuse("a fifth-string capo at fret " + std::to_string(banjo.fifth_capo));
  }
}

// Half steps that the strings, all of them alike, have been raised by; nothing where they are not alike.
std::optional<int> raised_by(const Banjo& before, const Banjo& after) {
  const int raised = after.open_midi(fifth_string) - before.open_midi(fifth_string);
  for (int string = 1; string < fifth_string; ++string) {
    if (after.open_midi(string) - before.open_midi(string) != raised) return std::nullopt;
  }
  return raised;
}

bool has_wrong_placement(const Banjo& banjo, const Stroke& stroke) {
  return std::any_of(stroke.notes.begin(), stroke.notes.end(), [&](const Note& note) {
    return note.placement && !gives(banjo, note, *note.placement);
  });
}

// The places of a stroke are one shape: where one of them goes, the others go with it. Where the music goes
// up with the strings, every place stays right: the hands keep them.
void take_out_wrong_placements(Score& score, const Banjo& before, Report& report) {
  std::string advice;
  const std::optional<int> raised = raised_by(before, score.banjo);
  if (raised && *raised != 0) {
    advice = "; --transpose " + std::to_string(*raised) + " keeps the shapes and moves the pitches instead";
  }
  for (Measure& measure : score.measures) {
    for (Stroke& stroke : measure.strokes) {
      if (!has_wrong_placement(score.banjo, stroke)) continue;
      for (Note& note : stroke.notes) {
        note.placement.reset();
        note.finger.reset();
      }
      report.add(EntryKind::decision, "placement-replaced",
                 "a place in the file does not give its pitch with the tuning, capo and frets asked for; its "
                 "stroke is placed anew" +
                     advice,
                 {{}, measure.number, beat_at(measure.meter, stroke.onset)});
    }
  }
}

void set_up(Score& score, const BanjoOptions& options, std::optional<int> transpose, Report& report) {
  const Banjo before = score.banjo;
  Banjo& banjo = score.banjo;
  if (options.tuning) banjo.tuning = *options.tuning;
  if (options.frets) banjo.frets = *options.frets;
  if (options.capo) {
    banjo.capo = *options.capo;
    banjo.fifth_capo = usual_fifth_capo(*options.capo);
  }
  if (options.fifth_capo) banjo.fifth_capo = *options.fifth_capo;
  if (banjo == before) return;
  require_on_neck(banjo);
  if (transpose && raised_by(before, banjo) == transpose) return;
  take_out_wrong_placements(score, before, report);
}

}  // namespace

Reading load(const std::string& input, const InputOptions& options, std::optional<int> transpose) {
  const std::string bytes = read_input(input, options.read.max_bytes);
  const Format format = sniff(bytes);
  Reading reading = read(bytes, options.read);
  if (input != standard_stream) tell_wrong_name(input, format, reading.report);
  set_up(reading.score, options.banjo, transpose, reading.report);
  return reading;
}

}  // namespace fifthpeg::cli
