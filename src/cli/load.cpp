#include "cli/load.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <string>

#include "cli/chord_chart.hpp"
#include "cli/hints.hpp"
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
  constexpr std::array<OutputFormat, 4> formats{OutputFormat::midi, OutputFormat::musicxml, OutputFormat::mxl,
                                                OutputFormat::text};
  const OutputFormat found = formats.at(static_cast<std::size_t>(content));
  const auto promised = format_by_extension(input);
  if (!promised || *promised == found) return;
  report.add(EntryKind::repair, "wrong-extension",
             "the name says " + std::string(name(*promised)) + ", the content is " +
                 std::string(name(found)) + ", which it was read as");
}

// Half steps that the capo asked for raises the tab of a file by.
int raised_by_capo(const Loaded& reading, const InputOptions& options) {
  if (!reading.has_places || options.keep_pitches || !options.banjo.capo) return 0;
  return *options.banjo.capo - reading.score.banjo.capo;
}

// A capo is for the hands to have: whoever only advises or describes weighs capos, or has none.
Report with_capo_hint(const KeyMove& move, const Loaded& reading, const InputOptions& options,
                      const HandsOptions* hands) {
  if (hands == nullptr || hands->transpose || options.banjo.capo || options.keep_pitches) return move.report;
  if (move.half_steps == 0) return move.report;
  const Banjo& banjo = reading.score.banjo;
  const bool tab_stays = reading.has_places && hands->refinger == Refinger::missing && !options.banjo.tuning;
  const std::string hint =
      tab_stays
          ? hint_of_capo_for_tab(*options.key, move.half_steps, banjo.capo)
          : hint_of_capo_for_shapes(*options.key, options.banjo.tuning.value_or(banjo.tuning), hands->style);
  Report report;
  for (Entry entry : move.report.entries()) {
    entry.text += hint;
    report.add(entry);
  }
  return report;
}

// Notes that only a grid has put together are no chord that a hand should hold.
void blame_coarse_grid(const Report& report, const Place& place) {
  for (const Entry& entry : report.entries()) {
    if (entry.slug == "midi-grid-too-coarse") throw UnplayableError(entry.slug, entry.text, place);
  }
}

// A chart of chords in the place of the music.
Format sniffed(const std::string& bytes) {
  try {
    return sniff(bytes);
  } catch (const ReadError& error) {
    if (error.code() != "not-music" || !is_chord_chart(bytes)) throw;
    throw ReadError("chart-for-music", "this is a chart of chords, and music is needed", error.place());
  }
}

// The number of another part that has notes of one of the roles; 0 for none.
std::size_t part_with(const std::vector<Role>& roles, const std::string& bytes, ReadOptions options,
                      const Inventory& inventory) {
  for (std::size_t part = 0; part < inventory.parts.size(); ++part) {
    if (part == inventory.chosen) continue;
    options.part = std::to_string(part + 1);
    const Score score = read(bytes, options).score;
    const auto has = [&score](Role role) { return has_role(score, role); };
    if (std::any_of(roles.begin(), roles.end(), has)) return part + 1;
  }
  return 0;
}

void keep_roles(Reading& reading, const std::string& bytes, const InputOptions& options) {
  try {
    keep_only(reading.score, options.only);
  } catch (const UsageError& error) {
    const std::size_t part =
        error.code() == "no-such-role" ? part_with(options.only, bytes, options.read, reading.inventory) : 0;
    if (part == 0) throw;
    throw UsageError(error.code(), error.what() + hint_of_part(part, reading.inventory.parts[part - 1].name),
                     error.place());
  }
}

}  // namespace

Loaded load(const std::string& input, const InputOptions& options, const HandsOptions* hands) {
  const std::optional<int> transpose = hands == nullptr ? std::nullopt : hands->transpose;
  const std::string bytes = read_input(input, options.read.max_bytes);
  const Format format = sniffed(bytes);
  Loaded reading{read(bytes, options.read), false};
  if (options.chart) reading.report.merge(set_chords(reading.score, *options.chart));
  if (!options.only.empty()) keep_roles(reading, bytes, options);
  reading.has_places = hands::source_fingering(reading.score).placements;
  if (input != standard_stream) report_wrong_name(input, format, reading.report);
  if (options.fold_repeats) {
    Report folded = fold_repeats(reading.score, reading.is_take ? PieceEnd::open : PieceEnd::written);
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
    reading.report.merge(with_capo_hint(move, reading, options, hands));
  }
  if (options.infer_chords) reading.report.merge(add_inferred_chords(reading.score));
  SetUp wanted = options.banjo;
  wanted.half_steps = transpose;
  wanted.music_moves_along = reading.has_places && !transpose && !options.keep_pitches && !moved_to_key;
  reading.report.merge(set_up(reading.score, wanted));
  return reading;
}

Loaded load_melody(const std::string& input, InputOptions options) {
  options.key.reset();
  options.keep_pitches = true;
  return load(input, options);
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
