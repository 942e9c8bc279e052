// Times by the counts that stand under the strokes: "1 & 2 &".
#include <algorithm>
#include <array>
#include <string>

#include "base/number.hpp"
#include "engraving/count.hpp"
#include "formats/text_tab/reader/times.hpp"

namespace fifthpeg::text_tab::reader {
namespace {

// Into how many parts a beat may be divided that is counted from its middle on, in the order of trying: so "&
// a" are two sixteenths. The writer says how long a measure lasts where this would mislead.
constexpr std::array<std::int64_t, 12> divisions{1, 2, 4, 8, 3, 6, 12, 9, 5, 7, 10, 11};

// The counts of one beat.
struct CountedBeat {
  std::vector<std::size_t> slots;
  std::int64_t number = 0;  // 0: it begins inside of the beat
};

class CountReader {
 public:
  CountReader(TabMeasure& measure, const CountContext& context, Report& report)
      : measure_(measure), context_(context), report_(report) {}

  void run() {
    collect();
    const int unit = measure_.meter.unit;
    const Fraction whole = measure_.meter.length();
    number_first_beat();
    // Where the measure begins, in beats from the first.
    const bool may_begin_late = context_.first || measure_.uncounted;
    const CountedBeat& front = beats_.front();
    Fraction before;
    std::vector<Fraction> inside = times_of(front, false);
    const bool late = front.number > 1 || inside.front() > 0;
    if (may_begin_late && late && measure_.lasts && *measure_.lasts < whole) {
      before = whole - *measure_.lasts;
      inside = times_cut(front, before * unit - (front.number - 1));
    } else if (may_begin_late) {
      before = (Fraction(front.number - 1) + inside.front()) / unit;
      if (before >= whole) before = 0;
    }
    std::vector<bool> known(measure_.slots.size());
    for (std::size_t i = 0; i < beats_.size(); ++i) {
      const bool last = i + 1 == beats_.size();
      if (i > 0) inside = times_of(beats_[i], last);
      for (std::size_t k = 0; k < beats_[i].slots.size(); ++k) {
        Slot& slot = measure_.slots[beats_[i].slots[k]];
        slot.onset = (Fraction(beats_[i].number - 1) + inside[k]) / unit - before;
        known[beats_[i].slots[k]] = true;
      }
    }
    measure_.length = length(before, Fraction(beats_.back().number, unit), whole);
    measure_.implicit =
        (context_.first && measure_.length < whole && before > 0 && measure_.number.empty()) ||
        measure_.uncounted;
    time_between(measure_, known, report_);
  }

 private:
  void collect() {
    for (std::size_t i = 0; i < measure_.slots.size(); ++i) {
      const std::string& label = measure_.slots[i].count;
      if (label.empty()) continue;
      const auto number = base::number<std::int64_t>(label);
      if (number || beats_.empty()) beats_.push_back({{}, number.value_or(0)});
      beats_.back().slots.push_back(i);
    }
  }

  // A beat that begins before the measure has the number before the next one's, or is the last of the meter.
  void number_first_beat() {
    CountedBeat& front = beats_.front();
    if (front.number > 0) return;
    const Fraction beats = measure_.meter.length() * measure_.meter.unit;
    front.number = beats_.size() > 1 ? std::max<std::int64_t>(1, beats_[1].number - 1) : beats.floor();
    cut_ = true;
  }

  std::vector<std::string> labels_of(const CountedBeat& beat) const {
    std::vector<std::string> labels;
    for (const std::size_t slot : beat.slots) labels.push_back(measure_.slots[slot].count);
    return labels;
  }

  // Whether labels are what the writer has at the parts [from, from + labels) of so many.
  static bool are_parts(const std::vector<std::string>& labels, std::int64_t from, std::int64_t parts,
                        bool numbered) {
    for (std::size_t i = 0; i < labels.size(); ++i) {
      const std::int64_t part = from + static_cast<std::int64_t>(i);
      if (part == 0 && numbered) continue;
      if (part == 0 || part >= parts || labels[i] != engraving::count_label(0, part, parts)) return false;
    }
    return true;
  }

  static std::vector<Fraction> divided(std::size_t count, std::int64_t from, std::int64_t parts) {
    std::vector<Fraction> times;
    for (std::size_t i = 0; i < count; ++i) times.emplace_back(from + static_cast<std::int64_t>(i), parts);
    return times;
  }

  // When its counts are, as parts of the beat.
  std::vector<Fraction> times_of(const CountedBeat& beat, bool last) {
    const std::vector<std::string> labels = labels_of(beat);
    const auto count = static_cast<std::int64_t>(labels.size());
    if (std::find(labels.begin(), labels.end(), engraving::unproportioned_label) != labels.end()) {
      report_.add(EntryKind::decision, "text-tab-uneven",
                  "a beat is divided more finely than its counts tell; its strokes are spread evenly",
                  {{}, measure_.number, {}, measure_.line});
      return divided(labels.size(), 0, count);
    }
    if (cut_ && &beat == &beats_.front()) {
      for (const std::int64_t parts : divisions) {
        if (count <= parts && are_parts(labels, parts - count, parts, false))
          return divided(labels.size(), parts - count, parts);
      }
      return named(labels);
    }
    if (last && measure_.lasts) {
      // As far as the measure lasts.
      const Fraction part_of_beat = *measure_.lasts * measure_.meter.unit - (beat.number - 1);
      if (part_of_beat > 0 && part_of_beat < 1) {
        const Fraction parts = Fraction(count) / part_of_beat;
        if (parts.is_whole() && are_parts(labels, 0, parts.num(), true))
          return divided(labels.size(), 0, parts.num());
      }
    }
    if (are_parts(labels, 0, count, true) && !(count == 3 && is_spaced_as_sixteenths(beat)))
      return divided(labels.size(), 0, count);
    return named(labels);
  }

  // Of a beat that the measure begins inside of, at a part that is known.
  std::vector<Fraction> times_cut(const CountedBeat& beat, Fraction begins) const {
    const auto count = static_cast<std::int64_t>(beat.slots.size());
    std::vector<Fraction> times;
    for (std::int64_t i = 0; i < count; ++i)
      times.push_back(begins + (Fraction(1) - begins) * Fraction(i, count));
    return times;
  }

  // "1 & a": thirds as the writer counts them, or the first, third and fourth sixteenth of people who count
  // only what they play; these stand half as far apart, and thirds never do.
  bool is_spaced_as_sixteenths(const CountedBeat& beat) const {
    const auto x = [&](std::size_t index) { return measure_.slots[beat.slots[index]].x; };
    return x(1) - x(0) >= 2 * (x(2) - x(1));
  }

  // Each label by itself; what is only a dot, halfway to what follows.
  static std::vector<Fraction> named(const std::vector<std::string>& labels) {
    std::vector<Fraction> times;
    for (const std::string& label : labels) {
      Fraction time;
      if (label == "e") time = {1, 4};
      if (label == "&") time = {1, 2};
      if (label == "a") time = {3, 4};
      if (label == ".") time = times.empty() ? Fraction(0) : (times.back() + 1) / 2;
      if (!times.empty() && time <= times.back()) time = (times.back() + 1) / 2;
      times.push_back(time);
    }
    return times;
  }

  Fraction length(Fraction before, Fraction end, Fraction whole) const {
    if (measure_.lasts) return *measure_.lasts;
    if (before > 0) return whole - before;
    if (end >= whole) return end;
    // Only what is played may be counted: the last note lasts to the bar.
    return context_.to_fill == end ? end : whole;
  }

  TabMeasure& measure_;
  const CountContext& context_;
  Report& report_;
  std::vector<CountedBeat> beats_;
  bool cut_ = false;  // the first beat begins before the measure
};

}  // namespace

void time_by_count(TabMeasure& measure, const CountContext& context, Report& report) {
  CountReader(measure, context, report).run();
}

}  // namespace fifthpeg::text_tab::reader
