// Reading text tab, from the bytes to the score. Each step is in a file of its own; this one says in which
// order they follow.
#include <set>
#include <string>
#include <utility>

#include "base/text.hpp"
#include "base/utf8.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/read.hpp"
#include "formats/text_tab/reader/build_score.hpp"
#include "formats/text_tab/reader/heading.hpp"
#include "formats/text_tab/reader/measures.hpp"
#include "formats/text_tab/reader/strings.hpp"
#include "formats/text_tab/reader/systems.hpp"
#include "formats/text_tab/reader/times.hpp"

namespace fifthpeg {
namespace text_tab::reader {
namespace {

void require_options(std::string_view bytes, const ReadOptions& options) {
  if (bytes.size() > options.max_bytes) {
    throw ReadError("input-too-large",
                    "the input is larger than " + std::to_string(options.max_bytes) + " bytes", {},
                    {{}, {}, static_cast<std::int64_t>(options.max_bytes)});
  }
  if (options.unit && !is_grid_step(*options.unit)) {
    throw UsageError(
        "a column can stand for a note value, such as 1/16, or for one of a tuplet of 3, 5, 7 or 9, not " +
        to_string(*options.unit));
  }
}

void require_part(const Inventory& inventory, const std::string& part) {
  if (part.empty() || part == "1" || base::same_ignoring_case(part, inventory.parts.front().name)) return;
  throw UsageError("no part is called '" + base::one_line(part) + "'; a text tab has one");
}

// In the order of the file, in which the steps do not find them.
void report_left_out(const TabText& text, const Heading& heading, Report& report) {
  std::set<std::int64_t> lines(heading.left_out.begin(), heading.left_out.end());
  lines.insert(text.left_out.begin(), text.left_out.end());
  for (const std::int64_t line : lines) {
    report.add(EntryKind::loss, "text-tab-text", "text that is no part of the tab was left out",
               {{}, {}, {}, line});
  }
}

Inventory inventory_of(const Score& score, bool utf8) {
  Inventory inventory;
  inventory.format = "text tab";
  inventory.encoding = utf8 ? "UTF-8" : "ISO-8859-1";
  PartSummary part;
  part.id = "tab";
  part.name = score.part_name;
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) part.notes += stroke.notes.size();
  }
  if (const auto span = span_of(score)) {
    part.lowest = span->lowest.midi();
    part.highest = span->highest.midi();
  }
  inventory.parts.push_back(std::move(part));
  inventory.reason = "the only part";
  return inventory;
}

}  // namespace
}  // namespace text_tab::reader

Reading read_text_tab(std::string_view bytes, const ReadOptions& options) {
  using namespace text_tab::reader;
  require_options(bytes, options);
  Reading reading;
  try {
    const Layout layout = find_systems(bytes);
    if (layout.systems.empty())
      throw ReadError("text-tab-none", "no five lines of tab stand one upon the other in this text");
    TabText text = read_measures(layout, reading.report);
    const Heading heading = read_heading(text.texts, reading.report);
    report_left_out(text, heading, reading.report);
    const StringOrder strings = find_strings(text, heading, reading.report);
    TimeOptions times;
    times.meter = options.meter ? options.meter : heading.meter;
    times.meter_is_asked = options.meter.has_value();
    times.unit = options.unit;
    settle_times(text, times, reading.report);
    reading.score = build_score(text, heading, strings, reading.report);
    reading.inventory = inventory_of(reading.score, layout.utf8);
  } catch (const TimeError&) {
    throw ReadError("time-overflow", "the tab holds times too long or too fine to be counted");
  }
  require_part(reading.inventory, options.part);
  return reading;
}

}  // namespace fifthpeg
