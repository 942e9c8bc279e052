// When each stroke of a tab is struck.
#pragma once

#include <cstdint>
#include <optional>

#include "formats/text_tab/reader/measures.hpp"

namespace fifthpeg::text_tab::reader {

struct TimeOptions {
  std::optional<Meter> meter;    // of the heading
  bool meter_is_asked = false;   // it holds for all measures
  std::optional<Fraction> unit;  // what a column stands for
};

// Settles the meter and the length of each measure and the onset of each slot: by the counts that stand under
// it, by note values, or else by spacing. Throws ReadError for what fits no meter.
void settle_times(TabText& text, const TimeOptions& options, Report& report);

// ---- the three ways, for a measure whose meter is known --------------------------------------------

// Whether a measure has counts, or values, to be read by.
bool is_counted(const TabMeasure& measure);
bool is_valued(const TabMeasure& measure);

// What of the piece a measure has to be known to read its counts.
struct CountContext {
  bool first = false;
  std::optional<Fraction> to_fill;  // of the last measure, and before a repeat: what the pickup lacks
};
void time_by_count(TabMeasure& measure, const CountContext& context, Report& report);
void time_by_values(TabMeasure& measure, bool first, bool last);
// Of the measures that have neither, all together.
void time_by_spacing(std::vector<TabMeasure>& measures, std::optional<Fraction> unit, Report& report);

// How fine a grid those measures need at least in a meter: the lower, the likelier it is.
std::int64_t spacing_cost(std::vector<TabMeasure>& measures, const Meter& meter);

// Puts grace notes to the stroke that they stand before, and what has no time of its own between its
// neighbors. `known` says which slots have a time.
void time_between(TabMeasure& measure, const std::vector<bool>& known, Report& report);

}  // namespace fifthpeg::text_tab::reader
