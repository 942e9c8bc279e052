#include "cli/chord_chart.hpp"

#include <algorithm>
#include <optional>

#include "cli/input.hpp"
#include "cli/messages.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::cli {
namespace {

// Nothing where it is no music; a chart may look like tab, but then has no notes.
std::optional<Format> music_in(const std::string& bytes) {
  try {
    return sniff(bytes);
  } catch (const ReadError&) {
    return std::nullopt;
  }
}

bool has_chord(const ChordChart& chart) {
  return std::any_of(chart.begin(), chart.end(),
                     [](const ChartMeasure& measure) { return !measure.chords.empty(); });
}

ChordChart chart_of_music(const std::string& bytes, const ReadOptions& options) {
  ChordChart chart = chart_of(read(bytes, options).score);
  if (!has_chord(chart)) throw ReadError("no-chords", "has no chord symbols");
  return chart;
}

ChordChart chart_in(const std::string& bytes, const ReadOptions& options) {
  const auto format = music_in(bytes);
  if (format && format != Format::text_tab) return chart_of_music(bytes, options);
  try {
    return parse_chord_chart(bytes);
  } catch (const ReadError&) {
    if (!format) throw;
  }
  return chart_of_music(bytes, options);
}

}  // namespace

bool is_chord_chart(const std::string& bytes) {
  try {
    return parse_chord_chart(bytes).size() > 1;
  } catch (const ReadError&) {
    return false;
  }
}

ChordChart chord_chart_in(std::string_view option, const std::string& path, const ReadOptions& options) {
  ReadOptions of_file;
  of_file.max_bytes = options.max_bytes;
  of_file.all_parts = true;
  try {
    return chart_in(read_input(path, of_file.max_bytes), of_file);
  } catch (const ReadError& error) {
    const std::string place = to_string(error.place());
    throw ReadError(error.code(), std::string(option) + " " + printable(path) + ": " +
                                      (place.empty() ? "" : place + ": ") + error.what());
  }
}

}  // namespace fifthpeg::cli
