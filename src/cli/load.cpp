#include "cli/load.hpp"

#include <optional>
#include <string>
#include <string_view>

#include "cli/input.hpp"
#include "cli/option_values.hpp"
#include "fifthpeg/errors.hpp"
#include "hands/source_fingering.hpp"

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

void report_wrong_name(const std::string& input, Format found, Report& report) {
  const std::optional<Format> promised = promised_by(input);
  if (!promised || *promised == found) return;
  report.add(EntryKind::repair, "wrong-extension",
             "the name says " + std::string(name(*promised)) + ", the content is " +
                 std::string(name(found)) + ", which it was read as");
}

Report put_on_banjo(Score& score, const SetUp& wanted) {
  const SetUpResult done = set_up(score, wanted);
  if (!done.keeps_shapes) return done.report;
  Report report;
  for (Entry entry : done.report.entries()) {
    entry.text += "; --transpose " + std::to_string(*done.keeps_shapes) +
                  " keeps the shapes and moves the pitches instead";
    report.add(entry);
  }
  return report;
}

}  // namespace

Loaded load(const std::string& input, const InputOptions& options, std::optional<int> transpose) {
  const std::string bytes = read_input(input, options.read.max_bytes);
  const Format format = sniff(bytes);
  Loaded reading{read(bytes, options.read), false};
  reading.has_places = hands::source_fingering(reading.score).placements;
  if (input != standard_stream) report_wrong_name(input, format, reading.report);
  SetUp wanted = options.banjo;
  wanted.half_steps = transpose;
  reading.report.merge(put_on_banjo(reading.score, wanted));
  return reading;
}

}  // namespace fifthpeg::cli
