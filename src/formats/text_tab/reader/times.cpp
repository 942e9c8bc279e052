#include "formats/text_tab/reader/times.hpp"

#include <algorithm>
#include <map>

#include "base/number.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::text_tab::reader {
namespace {

// The highest number that is counted in a measure.
int highest_count(const TabMeasure& measure) {
  int highest = 0;
  for (const Slot& slot : measure.slots)
    highest = std::max(highest, base::number<int>(slot.count).value_or(0));
  return highest;
}

Meter of_beats(int beats, int unit) {
  Meter meter;
  meter.beats = {beats};
  meter.unit = unit;
  return meter;
}

// The number that most measures count to; 0 where none counts.
template <typename Number>
Number most_common(const std::map<Number, int>& times) {
  Number best{};
  int most = 0;
  for (const auto& [number, count] : times) {
    if (count >= most) best = number;
    most = std::max(most, count);
  }
  return best;
}

Fraction sum_of_values(const TabMeasure& measure) {
  Fraction sum;
  for (const Slot& slot : measure.slots) sum += slot.value.value_or(0);
  return sum;
}

// The meter of a text that states none: of what is counted, of what values add up to, or 4/4, unless spacing
// says 3/4.
Meter found_meter(std::vector<TabMeasure>& measures, Report& report) {
  std::map<int, int> counts;
  std::map<Fraction, int> sums;
  for (const TabMeasure& measure : measures) {
    if (const int highest = highest_count(measure); highest > 1) ++counts[highest];
    if (is_valued(measure)) ++sums[sum_of_values(measure)];
  }
  Meter meter = of_beats(4, 4);
  const Meter three = of_beats(3, 4);
  if (const int beats = most_common(counts); beats > 0) {
    // Counted in six, nine or twelve: eighths (common practice).
    meter = of_beats(beats, beats >= 6 ? 8 : 4);
  } else if (const Fraction sum = most_common(sums); sum > 0) {
    const Fraction quarters = sum * 4;
    meter = quarters.is_whole() && quarters <= 16 ? of_beats(static_cast<int>(quarters.num()), 4)
            : (sum * 8).is_whole() && sum <= 4    ? of_beats(static_cast<int>((sum * 8).num()), 8)
                                                  : meter;
  } else if (spacing_cost(measures, three) < spacing_cost(measures, meter)) {
    meter = three;
  }
  report.add(EntryKind::decision, "text-tab-meter",
             "no meter is stated; the tab is read in " + to_string(meter));
  return meter;
}

void settle_meters(TabText& text, const TimeOptions& options, Report& report) {
  Meter meter;
  bool known = options.meter.has_value();
  if (known) meter = *options.meter;
  for (TabMeasure& measure : text.measures) {
    for (Slot& slot : measure.slots) {
      for (const Said& what : slot.words) {
        if (const auto* lasts = std::get_if<Lasts>(&what)) measure.lasts = lasts->length;
        const auto* change = std::get_if<Meter>(&what);
        if (change == nullptr || options.meter_is_asked) continue;
        meter = *change;
        known = true;
      }
    }
    if (!known) {
      meter = found_meter(text.measures, report);
      known = true;
    }
    measure.meter = meter;
  }
}

}  // namespace

bool is_counted(const TabMeasure& measure) {
  return std::any_of(measure.slots.begin(), measure.slots.end(),
                     [](const Slot& slot) { return !slot.count.empty(); });
}

bool is_valued(const TabMeasure& measure) {
  return std::any_of(measure.slots.begin(), measure.slots.end(),
                     [](const Slot& slot) { return slot.value.has_value(); });
}

void time_by_values(TabMeasure& measure, bool first, bool last) {
  Fraction now;
  std::vector<bool> known(measure.slots.size());
  for (std::size_t i = 0; i < measure.slots.size(); ++i) {
    Slot& slot = measure.slots[i];
    if (!slot.value) continue;
    slot.onset = now;
    now += *slot.value;
    known[i] = true;
    if (!slot.is_struck()) slot.rest = true;
  }
  const Fraction whole = measure.lasts.value_or(measure.meter.length());
  if (now != whole && !(now < whole && (first || last))) {
    throw ReadError(
        "text-tab-values",
        "the note values of a measure add up to " + to_string(now) + ", and it lasts " + to_string(whole),
        {{},
         measure.number,
         {},
         measure.line,
         -1,
         measure.slots.empty() ? 0 : static_cast<std::int64_t>(measure.slots.front().column) + 1});
  }
  measure.length = now;
  measure.implicit = first && now < whole;
  Report none;
  time_between(measure, known, none);
}

void time_between(TabMeasure& measure, const std::vector<bool>& known, Report& report) {
  std::vector<Slot>& slots = measure.slots;
  // Grace notes: the time of what they stand before.
  Fraction next = measure.length;
  for (std::size_t i = slots.size(); i-- > 0;) {
    if (slots[i].grace) {
      slots[i].onset = next;
    } else if (known[i]) {
      next = slots[i].onset;
    }
  }
  // The others: between their neighbors as they stand, on the nearest thirty-second.
  std::size_t before = 0;
  bool any_before = false;
  for (std::size_t i = 0; i < slots.size(); ++i) {
    if (slots[i].grace) continue;
    if (known[i]) {
      before = i;
      any_before = true;
      continue;
    }
    std::size_t after = i + 1;
    while (after < slots.size() && (!known[after] || slots[after].grace)) ++after;
    const Fraction t0 = any_before ? slots[before].onset : Fraction(0);
    const std::size_t x0 = any_before ? slots[before].x : 0;
    const Fraction t1 = after < slots.size() ? slots[after].onset : measure.length;
    const std::size_t x1 = after < slots.size() ? slots[after].x : std::max(measure.width, slots[i].x + 1);
    for (std::size_t k = i; k < after && k < slots.size(); ++k) {
      if (slots[k].grace) continue;
      const auto part = static_cast<std::int64_t>(slots[k].x - std::min(x0, slots[k].x));
      const auto all = static_cast<std::int64_t>(std::max(x1, x0 + 1) - x0);
      const Fraction exact = t0 + (t1 - t0) * Fraction(std::min(part, all), all);
      const Fraction thirty_second((exact * 32 + Fraction(1, 2)).floor(), 32);
      slots[k].onset = std::clamp(thirty_second, t0, t1);
      if (slots[k].is_struck()) {
        report.add(EntryKind::decision, "text-tab-uncounted",
                   "a note over no count is placed between its neighbors by where it stands",
                   {{}, measure.number, {}, measure.line});
      }
    }
    i = after - 1;
  }
}

void settle_times(TabText& text, const TimeOptions& options, Report& report) {
  settle_meters(text, options, report);
  std::vector<TabMeasure>& measures = text.measures;
  bool spaced = false;
  for (std::size_t i = 0; i < measures.size(); ++i) {
    TabMeasure& measure = measures[i];
    const bool last = i + 1 == measures.size();
    if (is_valued(measure)) {
      time_by_values(measure, i == 0, last);
    } else if (is_counted(measure)) {
      CountContext context;
      context.first = i == 0;
      if ((last || measure.repeat_ends) && i > 0 && measures[0].length > 0 &&
          measures[0].length < measures[0].meter.length())
        context.to_fill = measures[0].meter.length() - measures[0].length;
      time_by_count(measure, context, report);
    } else {
      spaced = true;
    }
  }
  if (spaced) time_by_spacing(measures, options.unit, report);
}

}  // namespace fifthpeg::text_tab::reader
