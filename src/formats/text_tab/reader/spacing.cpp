// Times by spacing: a measure takes its meter, and each column of it the same part.
#include <algorithm>
#include <array>
#include <map>
#include <optional>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/read.hpp"
#include "formats/text_tab/reader/times.hpp"
#include "score/limits.hpp"

namespace fifthpeg::text_tab::reader {
namespace {

// How a measure is laid out: columns before its first time, and columns behind its last that take no time;
// fewer than none where a last hyphen was left out.
struct Margins {
  int lead = 1;
  int tail = 0;
  friend auto operator<=>(const Margins&, const Margins&) = default;
};
constexpr int most_lead = 4;
constexpr int least_tail = -2;
constexpr int most_tail = 4;

// What cannot be: a grid that no one plays by.
constexpr int impossible = 1000;

// What a time costs that needs so fine a grid.
int cost_of(Fraction time) {
  switch (time.den()) {
    case 1:
    case 2:
    case 4:
      return 0;
    case 8:
      return 1;
    case 16:
      return 3;
    case 3:
    case 6:
    case 12:
      return 5;
    case 32:
      return 7;
    case 24:
      return 8;
    case 48:
    case 64:
      return 12;
    default:
      return impossible;
  }
}

const Margins& margins_at(int index) {
  static const std::vector<Margins> all = [] {
    std::vector<Margins> margins;
    for (int lead = 0; lead <= most_lead; ++lead) {
      for (int tail = least_tail; tail <= most_tail; ++tail) margins.push_back({lead, tail});
    }
    return margins;
  }();
  return all[static_cast<std::size_t>(index)];
}
constexpr int margin_count = (most_lead + 1) * (most_tail - least_tail + 1);

// What margins cost by themselves: those that people leave most often, the least.
int cost_of(const Margins& margins) {
  return std::abs(margins.tail) * 2 + (margins.lead > 1 ? margins.lead - 1 : 0);
}

class SpacingReader {
 public:
  SpacingReader(std::vector<TabMeasure>& measures, std::optional<Fraction> unit, Report& report)
      : measures_(measures), unit_(unit), report_(report) {}

  void run() {
    split_unbarred();
    find_spaced();
    choose_margins({});
    find_usual_rate();
    for (const std::size_t index : spaced_) time(index);
    if (rate_ == 0) return;
    report_.add(
        EntryKind::decision, "text-tab-spacing",
        "times are read from the spacing: a column stands for " + to_string(rate_) + " of a whole note");
  }

  // What it costs to read all measures in a meter; changes none of them.
  std::int64_t cost_in(const Meter& meter) {
    find_spaced();
    return choose_margins(meter.length());
  }

 private:
  void find_spaced() {
    for (std::size_t i = 0; i < measures_.size(); ++i) {
      if (!is_counted(measures_[i]) && !is_valued(measures_[i])) spaced_.push_back(i);
    }
  }

  static bool is_timed(const Slot& slot) { return !slot.grace && (slot.is_struck() || slot.rest); }

  // ---- without barlines ----------------------------------------------------------------------------

  void split_unbarred() {
    if (std::none_of(measures_.begin(), measures_.end(), [](const TabMeasure& one) { return one.unbarred; }))
      return;
    std::vector<TabMeasure> result;
    bool cut = false;
    for (TabMeasure& measure : measures_) {
      if (!measure.unbarred || is_counted(measure) || is_valued(measure)) {
        result.push_back(std::move(measure));
      } else {
        cut_by_meter(std::move(measure), result);
        cut = true;
      }
    }
    measures_ = std::move(result);
    if (cut) {
      report_.add(EntryKind::decision, "text-tab-no-bars",
                  "a system without barlines is read from its first note on, in measures of its meter");
    }
  }

  // The closest two strokes are as far apart as an eighth note takes, where nothing says otherwise.
  void cut_by_meter(TabMeasure&& whole, std::vector<TabMeasure>& result) {
    std::size_t least = 0;
    std::optional<std::size_t> first;
    std::size_t last = 0;
    for (const Slot& slot : whole.slots) {
      if (!is_timed(slot)) continue;
      if (!first) {
        first = slot.x;
      } else if (least == 0 || slot.x - last < least) {
        least = slot.x - last;
      }
      last = slot.x;
    }
    const Fraction length = whole.meter.length();
    const Fraction rate =
        unit_ ? *unit_ : Fraction(1, 8) / static_cast<std::int64_t>(std::max<std::size_t>(least, 1));
    const Fraction columns = length / rate;
    if (!first || columns < 1) {
      result.push_back(std::move(whole));
      return;
    }
    std::size_t slot = 0;
    bool more = true;
    for (std::int64_t n = 0; more; ++n) {
      TabMeasure part = n == 0 ? without_slots(whole) : TabMeasure{};
      part.line = whole.line;
      part.meter = whole.meter;
      part.unbarred = true;
      const std::int64_t begin = -(-(columns * n)).floor();
      const std::int64_t end = -(-(columns * (n + 1))).floor();
      for (; slot < whole.slots.size(); ++slot) {
        const std::int64_t x =
            static_cast<std::int64_t>(whole.slots[slot].x) - static_cast<std::int64_t>(*first);
        if (x >= end) break;
        Slot& moved = part.slots.emplace_back(std::move(whole.slots[slot]));
        moved.onset = rate * std::max<std::int64_t>(0, x) - length * n;
        moved.x = static_cast<std::size_t>(std::max<std::int64_t>(0, x - begin));
      }
      part.width = static_cast<std::size_t>(end - begin);
      part.length = length;
      more = slot < whole.slots.size();
      if (!more) take_end(whole, part);
      if (result.size() == most_measures) {
        throw ReadError("text-tab-too-long",
                        "the text has more than " + std::to_string(most_measures) + " measures",
                        {{}, {}, {}, whole.line});
      }
      result.push_back(std::move(part));
    }
    rate_ = rate;
  }

  static TabMeasure without_slots(const TabMeasure& measure) {
    TabMeasure result;
    result.number = measure.number;
    result.repeat_starts = measure.repeat_starts;
    result.ending = measure.ending;
    return result;
  }
  static void take_end(const TabMeasure& whole, TabMeasure& part) {
    part.repeat_ends = whole.repeat_ends;
    part.times = whole.times;
    part.at_end = whole.at_end;
  }

  // ---- with barlines -------------------------------------------------------------------------------

  Fraction columns_of(const TabMeasure& measure, const Margins& margins) const {
    return static_cast<std::int64_t>(measure.width) - margins.lead - margins.tail;
  }

  // Where a slot stands behind the margin. A fret in parentheses is lined up by itself or by these, whichever
  // makes more sense.
  static std::int64_t place_of(const Slot& slot, const Margins& margins, Fraction each) {
    const std::int64_t x = static_cast<std::int64_t>(slot.x) - margins.lead;
    std::int64_t best = x;
    for (const TabNote& note : slot.notes) {
      const std::int64_t lead = x - static_cast<std::int64_t>(note.lead);
      if (lead >= 0 && cost_of(each * lead) < cost_of(each * best)) best = lead;
    }
    return best;
  }

  // What it costs to read a measure with margins and, where it is known, a part of a whole note for each
  // column.
  int cost_of_reading(const TabMeasure& measure, const Margins& margins, std::optional<Fraction> rate,
                      std::optional<Fraction> length = {}) const {
    const Fraction columns = columns_of(measure, margins);
    if (columns <= 0) return impossible;
    const Fraction each = rate ? *rate : length.value_or(measure.meter.length()) / columns;
    int cost = 0;
    for (const Slot& slot : measure.slots) {
      if (!is_timed(slot)) continue;
      const std::int64_t x = place_of(slot, margins, each);
      if (x < 0 || x >= columns) return impossible;
      cost = std::max(cost, cost_of(each * x));
      if (cost >= impossible) return impossible;
    }
    return cost;
  }

  // Those with which all measures are read by the coarsest grids.
  std::int64_t choose_margins(std::optional<Fraction> length) {
    if (spaced_.empty()) return 0;
    std::int64_t least = INT64_MAX;
    for (int i = 0; i < margin_count; ++i) {
      const Margins& margins = margins_at(i);
      std::int64_t cost = 0;
      for (const std::size_t index : spaced_) {
        const TabMeasure& measure = measures_[index];
        if (measure.unbarred) continue;
        int one = cost_of_reading(measure, margins, unit_, length);
        if (unit_ && columns_of(measure, margins) * *unit_ != measure.meter.length()) one += 50;
        cost += one * 8 + cost_of(margins);
      }
      if (cost < least) {
        least = cost;
        margins_ = margins;
      }
    }
    return least;
  }

  // The part of a whole note that a column of most measures stands for.
  void find_usual_rate() {
    if (unit_) {
      rate_ = *unit_;
      return;
    }
    std::map<Fraction, int> rates;
    for (const std::size_t index : spaced_) {
      const TabMeasure& measure = measures_[index];
      if (measure.unbarred || columns_of(measure, margins_) <= 0) continue;
      if (cost_of_reading(measure, margins_, {}) < impossible)
        ++rates[measure.meter.length() / columns_of(measure, margins_)];
    }
    int most = 0;
    for (const auto& [rate, times] : rates) {
      if (times > most) rate_ = rate;
      most = std::max(most, times);
    }
    uniform_ = most > 1;
  }

  void time(std::size_t index) {
    TabMeasure& measure = measures_[index];
    if (measure.unbarred && measure.length > 0) {
      finish(measure);
      return;
    }
    measure.length = measure.meter.length();
    if (measure.lasts) measure.length = *measure.lasts;
    const bool first = index == 0;
    const bool last = index + 1 == measures_.size();
    if (unit_ ? time_by_rate(measure, first, last) : time_to_fill(measure, first, last)) return;
    round(measure);
  }

  // A pickup, or the measure that makes up for it, is as wide as it is long.
  bool is_narrow(const TabMeasure& measure) const {
    const Fraction usual = measure.meter.length() / rate_;
    return rate_ > 0 && columns_of(measure, margins_) * 5 < usual * 4;
  }

  bool time_by_rate(TabMeasure& measure, bool first, bool last) {
    const Margins* best = nullptr;
    int least = impossible;
    for (int i = 0; i < margin_count; ++i) {
      const Margins& margins = margins_at(i);
      int cost = cost_of_reading(measure, margins, rate_);
      if (cost >= impossible) continue;
      const Fraction lasts = columns_of(measure, margins) * rate_;
      if (cost_of(lasts) >= impossible) continue;
      const bool short_at_edge = (first || last) && lasts < measure.meter.length();
      if (lasts != measure.meter.length() && !short_at_edge) cost += 40;
      cost = cost * 8 + cost_of(lasts) * 4 + cost_of(margins) + (margins == margins_ ? 0 : 2);
      if (best == nullptr || cost < least) {
        best = &margins;
        least = cost;
      }
    }
    if (best == nullptr) return false;
    place(measure, *best, rate_);
    measure.length = columns_of(measure, *best) * rate_;
    settle_edge(measure, first, last);
    return true;
  }

  // Of the first measure, what is missing is before it; of the last one, its last note is held, unless it
  // makes up for the pickup.
  void settle_edge(TabMeasure& measure, bool first, bool last) {
    const Fraction whole = measure.meter.length();
    if (measure.length >= whole) return;
    if (first && measures_.size() > 1) {
      measure.implicit = true;
      report_.add(EntryKind::decision, "text-tab-pickup", "the short first measure is read as a pickup");
    } else if (last) {
      Fraction end;
      for (const Slot& slot : measure.slots) end = std::max(end, slot.onset);
      const Fraction pickup = measures_.front().implicit ? measures_.front().length : Fraction(0);
      measure.length = pickup > 0 && end < whole - pickup ? whole - pickup : whole;
    }
  }

  bool time_to_fill(TabMeasure& measure, bool first, bool last) {
    if (uniform_ && (first || last) && measures_.size() > 1 && is_narrow(measure) && !measure.lasts &&
        time_by_rate(measure, first, last)) {
      return true;
    }
    const Margins* best = nullptr;
    int least = impossible * 8;
    for (int i = 0; i < margin_count; ++i) {
      const Margins& margins = margins_at(i);
      int cost = cost_of_reading(measure, margins, {});
      if (cost >= impossible) continue;
      if (margins == margins_) {
        best = &margins;
        break;
      }
      cost = cost * 8 + cost_of(margins);
      if (best == nullptr || cost < least) {
        best = &margins;
        least = cost;
      }
    }
    if (best == nullptr) return false;
    place(measure, *best, measure.length / columns_of(measure, *best));
    return true;
  }

  void place(TabMeasure& measure, const Margins& margins, Fraction rate) {
    for (Slot& slot : measure.slots)
      slot.onset = rate * std::max<std::int64_t>(0, place_of(slot, margins, rate));
    finish(measure);
  }

  // Onto sixteenths, or thirty-seconds, where those keep all strokes apart.
  void round(TabMeasure& measure) {
    const Fraction columns = std::max(Fraction(1), columns_of(measure, margins_));
    const Fraction rate = measure.length / columns;
    for (const std::int64_t grid : {std::int64_t{16}, std::int64_t{32}}) {
      bool apart = true;
      std::optional<Fraction> last;
      for (Slot& slot : measure.slots) {
        const std::int64_t x = static_cast<std::int64_t>(slot.x) - margins_.lead;
        slot.onset = Fraction((rate * std::max<std::int64_t>(0, x) * grid + Fraction(1, 2)).floor(), grid);
        if (!is_timed(slot)) continue;
        if ((last && slot.onset <= *last) || slot.onset >= measure.length) apart = false;
        last = slot.onset;
      }
      if (!apart) continue;
      report_.add(EntryKind::repair, "text-tab-uneven-spacing",
                  "frets that stand on no even grid are read at the nearest " +
                      std::string(grid == 16 ? "sixteenth" : "thirty-second"),
                  {{}, measure.number, {}, measure.line});
      finish(measure);
      return;
    }
    const auto struck = std::find_if(measure.slots.begin(), measure.slots.end(), is_timed);
    Place place{{}, measure.number, {}, measure.line};
    if (struck != measure.slots.end() && !struck->notes.empty()) {
      place.line = struck->notes.front().line;
      place.column = struck->notes.front().source;
    }
    throw ReadError("text-tab-spacing",
                    "the spacing of this measure does not tell the times of its notes in " +
                        to_string(measure.meter) + "; put counts (1 & 2 &) or note values (Q E E) under it",
                    place);
  }

  void finish(TabMeasure& measure) {
    std::vector<bool> known;
    known.reserve(measure.slots.size());
    for (const Slot& slot : measure.slots) known.push_back(!slot.grace);
    time_between(measure, known, report_);
  }

  std::vector<TabMeasure>& measures_;
  std::optional<Fraction> unit_;
  Report& report_;
  std::vector<std::size_t> spaced_;
  Margins margins_;
  Fraction rate_;
  bool uniform_ = false;
};

}  // namespace

std::int64_t spacing_cost(std::vector<TabMeasure>& measures, const Meter& meter) {
  Report none;
  return SpacingReader(measures, {}, none).cost_in(meter);
}

void time_by_spacing(std::vector<TabMeasure>& measures, std::optional<Fraction> unit, Report& report) {
  SpacingReader(measures, unit, report).run();
}

}  // namespace fifthpeg::text_tab::reader
