#include "cli/load.hpp"

#include <array>
#include <optional>
#include <string>

#include "cli/input.hpp"
#include "cli/option_values.hpp"
#include "fifthpeg/banjo.hpp"
#include "fifthpeg/edit.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/harmony.hpp"
#include "hands/source_fingering.hpp"

namespace fifthpeg::cli {
namespace {

void report_wrong_name(const std::string& input, Format content, Report& report) {
  // By Format.
  constexpr std::array<OutputFormat, 3> formats{OutputFormat::midi, OutputFormat::musicxml,
                                                OutputFormat::mxl};
  const OutputFormat found = formats.at(static_cast<std::size_t>(content));
  const auto promised = format_by_extension(input);
  if (!promised || *promised == OutputFormat::text || *promised == found) return;
  report.add(EntryKind::repair, "wrong-extension",
             "the name says " + std::string(name(*promised)) + ", the content is " +
                 std::string(name(found)) + ", which it was read as");
}

// Half steps that the capo asked for raises the tab of a file by.
int raised_by_capo(const Loaded& reading, const InputOptions& options) {
  if (!reading.has_places || options.keep_pitches || !options.banjo.capo) return 0;
  return *options.banjo.capo - reading.score.banjo.capo;
}

// Notes that only a grid has put together are no chord that a hand should hold.
void blame_coarse_grid(const Report& report, const Place& place) {
  for (const Entry& entry : report.entries()) {
    if (entry.slug == "midi-grid-too-coarse") throw UnplayableError(entry.slug, entry.text, place);
  }
}

}  // namespace

Loaded load(const std::string& input, const InputOptions& options, std::optional<int> transpose) {
  const std::string bytes = read_input(input, options.read.max_bytes);
  const Format format = sniff(bytes);
  Loaded reading{read(bytes, options.read), false};
  reading.has_places = hands::source_fingering(reading.score).placements;
  if (input != standard_stream) report_wrong_name(input, format, reading.report);
  if (options.fold_repeats) {
    Report folded = fold_repeats(reading.score);
    if (folded.entries().empty()) {
      folded.add(EntryKind::decision, "nothing-folded",
                 "nothing is folded: no part of four measures or more comes twice in a row, or the repeats "
                 "have signs");
    }
    reading.report.merge(folded);
  }
  if (options.source_key && reading.score.key_estimated) state_key(reading.score, *options.source_key);
  bool moved_to_key = false;
  if (options.key) {
    const int raised = raised_by_capo(reading, options);
    const KeyMove move = move_to_key(reading.score, *options.key, options.source_key, raised);
    moved_to_key = move.half_steps != raised;
    reading.report.merge(move.report);
  }
  if (options.infer_chords) reading.report.merge(add_inferred_chords(reading.score));
  SetUp wanted = options.banjo;
  wanted.half_steps = transpose;
  wanted.music_moves_along = reading.has_places && !transpose && !options.keep_pitches && !moved_to_key;
  reading.report.merge(set_up(reading.score, wanted));
  return reading;
}

UnplayableError about_source(const Inventory& inventory, const UnplayableError& error) {
  ErrorData data = error.data();
  data.only_part = inventory.parts.size() == 1;
  data.several_lines = inventory.staves.size() > 1 || inventory.voices.size() > 1;
  return {error.code(), error.what(), error.place(), data};
}

FingeringResult finger_loaded(Loaded& reading, const InputOptions& options, HandsOptions hands) {
  try {
    if (!hands.fold) require_places(reading.score, hands.transpose);
    hands.easiest_octave = !reading.has_places;
    FingeringResult fingered = finger(reading.score, hands);
    fingered.source.neck = !options.banjo.frets;
    return fingered;
  } catch (const UnplayableError& error) {
    if (error.code() == "stroke-cannot-be-held") blame_coarse_grid(reading.report, error.place());
    throw about_source(reading.inventory, error);
  }
}

}  // namespace fifthpeg::cli
