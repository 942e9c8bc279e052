#include "formats/text_tab/reader/measures.hpp"

#include <algorithm>

#include "base/number.hpp"
#include "base/text.hpp"
#include "fifthpeg/errors.hpp"
#include "formats/text_tab/conventions.hpp"
#include "formats/text_tab/reader/heading.hpp"
#include "formats/text_tab/reader/rows.hpp"
#include "score/limits.hpp"

namespace fifthpeg::text_tab::reader {
namespace {

constexpr std::size_t most_notes = 1'000'000;  // a note takes some hundred bytes until it is in the score
constexpr int most_verses = 20;
constexpr std::size_t shortest_legend = 4;

class SystemAssembler {
 public:
  SystemAssembler(const Layout& layout, const SystemLines& lines, TabText& text, bool first, Report& report)
      : layout_(layout), lines_(lines), text_(text), is_first_(first), report_(report) {}

  void run() {
    tab_ = read_system(layout_, lines_, report_);
    text_.labels.push_back(tab_.labels);
    text_.label_lines.push_back(tab_.line);
    text_.left_out.insert(text_.left_out.end(), tab_.comments.begin(), tab_.comments.end());
    count_notes();
    make_slots();
    for (const Slot& slot : slots_) struck_.push_back(slot.column);
    for (std::size_t i = lines_.under; i < lines_.end; ++i) take_under(layout_.row(i));
    bool rows_end = false;  // what stands over a text is text
    for (std::size_t i = lines_.strings; i-- > lines_.over;) {
      Row row = layout_.row(i);
      if (rows_end || !take_over(row)) {
        rows_end = true;
        left_.push_back(std::move(row));
      }
    }
    std::reverse(left_.begin(), left_.end());
    for (Row& row : left_) leave(std::move(row));
    append_measures();
  }

 private:
  void count_notes() {
    text_.notes += tab_.notes.size();
    if (text_.notes > most_notes) {
      throw ReadError("text-tab-too-long",
                      "the text has more than " + std::to_string(most_notes) + " notes; split it",
                      {{}, {}, {}, tab_.line}, {{}, {}, static_cast<std::int64_t>(most_notes)});
    }
  }

  // Frets that stand upon one another are one stroke, of two figures also where one of them stands over the
  // other.
  void make_slots() {
    for (TabNote& note : tab_.notes) {
      note.system = text_.labels.size() - 1;
      const bool joins = !slots_.empty() && note.grace == slots_.back().grace && note.column < reach_ &&
                         std::none_of(slots_.back().notes.begin(), slots_.back().notes.end(),
                                      [&](const TabNote& other) { return other.row == note.row; });
      if (joins && span_at(note.column) == span_at(slots_.back().column)) {
        reach_ = std::max(reach_, note.column + note.width);
        slots_.back().notes.push_back(note);
        continue;
      }
      Slot slot;
      slot.column = note.column;
      slot.grace = note.grace;
      reach_ = note.column + note.width;
      slot.notes.push_back(note);
      slots_.push_back(std::move(slot));
    }
    tab_.notes.clear();
  }

  // The span that a column lies in; the one before where it lies on a bar.
  std::size_t span_at(std::size_t column) const {
    const auto after = std::upper_bound(tab_.spans.begin(), tab_.spans.end(), column,
                                        [](std::size_t at, const Span& span) { return at < span.begin; });
    return after == tab_.spans.begin() ? 0 : static_cast<std::size_t>(after - tab_.spans.begin()) - 1;
  }

  // ---- what stands under the tab ----------------------------------------------------------------

  void take_under(Row row) {
    if (!take_roles(row) && !take_counts(row) && !take_hands(row) && !take_names(row))
      left_.push_back(std::move(row));
  }

  bool take_counts(const Row& row) {
    if (!counted_ && !valued_) {
      if (const auto labels = as_count(row, tab_.spans)) {
        counted_ = true;
        for (const Item& label : *labels) add_count(label);
        settle_added();
        return true;
      }
      if (const auto values = as_values(row, struck_)) {
        valued_ = true;
        for (const auto& [column, value] : *values) slot_near(column).value = value;
        settle_added();
        return true;
      }
    }
    return false;
  }

  void add_count(const Item& label) {
    Slot& slot = slot_near(label.begin, true);
    slot.count = label.text;
  }

  // The slot at a column, or a new one without notes.
  Slot& slot_near(std::size_t column, bool for_count = false) {
    if (const auto near = index_near(struck_, column)) {
      Slot& slot = slots_[*near];
      const bool taken = for_count && (!slot.count.empty() || slot.grace);
      if (slot.column == column || !taken) return slot;
    }
    Slot slot;
    slot.column = column;
    added_.push_back(std::move(slot));
    return added_.back();
  }

  void settle_added() {
    if (added_.empty()) return;
    slots_.insert(slots_.end(), std::make_move_iterator(added_.begin()),
                  std::make_move_iterator(added_.end()));
    added_.clear();
    std::stable_sort(slots_.begin(), slots_.end(),
                     [](const Slot& a, const Slot& b) { return a.column < b.column; });
    struck_.clear();
    for (const Slot& slot : slots_) struck_.push_back(slot.column);
  }

  bool take_hands(const Row& row) {
    if (!picking_) {
      if (const auto items = as_picking(row)) {
        picking_ = true;
        for (const Item& item : *items) {
          Slot& slot = slot_near(item.begin);
          if (item.text == "r") {
            slot.rest = true;
          } else {
            slot.picking = item.text;
          }
        }
        settle_added();
        return true;
      }
    }
    if (!fingers_) {
      if (const auto items = as_fingers(row)) {
        fingers_ = picking_ = true;
        for (const Item& item : *items) {
          Slot& slot = slot_near(item.begin);
          slot.fingers = item.text;
        }
        settle_added();
        return true;
      }
    }
    return false;
  }

  bool take_roles(const Row& row) {
    const auto items = as_roles(row);
    if (!items || roles_) return false;
    roles_ = true;
    for (const Item& item : *items) slot_near(item.begin).roles = item.text;
    settle_added();
    return true;
  }

  bool take_names(const Row& row) {
    if (const auto items = as_pitches(row)) {
      for (const Item& item : *items) {
        Slot& slot = slot_near(item.begin);
        slot.unplaced = item.text;
        slot.grace = slot.grace || item.text.front() == text_of(Sign::grace).front();
      }
      settle_added();
      return true;
    }
    if (is_shapes(row)) return true;  // found anew from the frets
    if (verses_ < most_verses) {
      if (const auto syllables = as_lyrics(row, struck_)) {
        ++verses_;
        for (const Item& syllable : *syllables) {
          if (const auto near = index_near(struck_, syllable.begin)) {
            slots_[*near].lyrics.emplace_back(verses_, syllable.text);
          }
        }
        return true;
      }
    }
    return false;
  }

  // ---- what stands over the tab, the lowest line first --------------------------------------------

  bool take_over(const Row& row) {
    if (over_ == Over::none) {
      if (const auto marks = as_marks(row)) {
        for (const Item& mark : *marks) slot_near(mark.begin).marks = mark.text;
        settle_added();
        over_ = Over::marks;
        return true;
      }
    }
    if (over_ < Over::numbers) {
      if (const auto numbers = as_numbers(row, tab_.spans); numbers && !as_count_over(row)) {
        over_ = Over::numbers;
        numbered_ = true;
        number(*numbers);
        return true;
      }
      if (take_counts(row)) return true;
      if (const auto chords = as_chords(row)) {
        add_over(*chords, [](Slot& slot, const Item& item) { slot.chords.push_back(item.text); });
        return true;
      }
      if (!picking_ && as_picking(row)) return take_hands(row);
    }
    if (over_ <= Over::numbers && is_bracket(row)) {
      over_ = Over::words;
      bracket(row);
      return true;
    }
    return take_words(row);
  }

  // A row of numbers over bars may be the first counts of its measures.
  bool as_count_over(const Row& row) const {
    const auto labels = counted_ || valued_ ? std::nullopt : as_count(row, tab_.spans);
    return labels && labels->size() > tab_.spans.size();
  }

  // Gives each text to the last place that does not stand behind it, in the measure that it stands over.
  template <typename Give>
  void add_over(const std::vector<Item>& items, Give give) {
    for (const Item& item : items) {
      Slot* slot = slot_over(item.begin);
      if (slot != nullptr) give(*slot, item);
    }
  }

  Slot* slot_over(std::size_t column) {
    if (tab_.spans.empty()) return nullptr;
    if (const auto near = index_near(struck_, column)) return &slots_[*near];
    std::size_t index = 0;
    const auto after = std::upper_bound(struck_.begin(), struck_.end(), column);
    if (after != struck_.begin()) index = static_cast<std::size_t>(after - struck_.begin()) - 1;
    // A text over the bar, or before the first fret, is of the measure that begins there.
    std::size_t span = span_at(column);
    if (span + 1 < tab_.spans.size() && column >= tab_.spans[span + 1].bar) ++span;
    const bool inside = !slots_.empty() && struck_[index] <= column && span_at(struck_[index]) == span;
    if (inside) return &slots_[index];
    const auto first = std::lower_bound(struck_.begin(), struck_.end(), tab_.spans[span].begin);
    if (first != struck_.end() && span_at(*first) == span)
      return &slots_[static_cast<std::size_t>(first - struck_.begin())];
    Slot slot;
    slot.column = tab_.spans[span].begin;
    added_.push_back(std::move(slot));
    settle_added();
    const auto made = std::lower_bound(struck_.begin(), struck_.end(), tab_.spans[span].begin);
    return &slots_[static_cast<std::size_t>(made - struck_.begin())];
  }

  bool take_words(const Row& row) {
    const std::vector<Item> items = items_of(row, 2);
    // Prose begins where the line does; a tab's own words stand over its measures.
    std::size_t plain = 0;
    for (const Item& item : items) plain += is_plain_words(said(item.text)) ? 1 : 0;
    const bool over_measures = (numbered_ || counted_) && items.front().begin > tab_.spans.front().bar;
    if (plain > 0 && !over_measures) return false;
    over_ = Over::words;
    for (std::size_t i = 0; i < items.size();) {
      // Two blanks part what stands over one place.
      std::size_t end = i + 1;
      while (end < items.size() && items[end].begin == items[end - 1].end + 2) ++end;
      give_words(items, i, end);
      i = end;
    }
    return true;
  }

  void give_words(const std::vector<Item>& items, std::size_t begin, std::size_t end) {
    const Said last = said(items[end - 1].text);
    const auto* direction = std::get_if<Direction>(&last);
    const bool closes = std::holds_alternative<Plays>(last) ||
                        (direction != nullptr && direction->kind >= Direction::Kind::to_coda);
    // It ends where the measure does, or begins where the line does, if the measure is shorter.
    const auto span = std::find_if(tab_.spans.begin(), tab_.spans.end(), [&](const Span& one) {
      return one.right == items[end - 1].end || (items[begin].begin == 0 && one.right < items[end - 1].end);
    });
    for (std::size_t i = begin; i < end; ++i) {
      if (closes && span != tab_.spans.end()) {
        at_end_.emplace_back(static_cast<std::size_t>(span - tab_.spans.begin()), said(items[i].text));
      } else if (Slot* slot = slot_over(items[begin].begin)) {
        slot->words.push_back(said(items[i].text));
      }
    }
  }

  void number(const std::vector<Item>& items) {
    numbers_.resize(tab_.spans.size());
    std::size_t span = 0;
    for (const Item& item : items) {
      while (span + 1 < tab_.spans.size() && tab_.spans[span].bar + 1 < item.begin) ++span;
      numbers_[span] = item.text;
    }
  }

  struct Bracket {
    std::size_t begin = 0;
    std::size_t end = 0;
    std::vector<int> numbers;  // none: it goes on from the system before
    bool closed = false;
  };

  void bracket(const Row& row) {
    const std::string& text = row.columns;
    for (std::size_t i = 0; i < text.size();) {
      if (text[i] == ' ') {
        ++i;
        continue;
      }
      Bracket one;
      one.begin = i;
      if (text[i] == '[') ++i;
      while (i < text.size() && text[i] != ' ' && text[i] != '[' && text[i] != ']') {
        std::size_t end = i;
        while (end < text.size() && text[end] >= '0' && text[end] <= '9') ++end;
        const auto number = base::number<unsigned>(std::string_view(text).substr(i, end - i));
        if (number && *number > 0 && *number < 1000 && one.numbers.size() < 64)
          one.numbers.push_back(static_cast<int>(*number));
        i = std::max(end, i + 1);
      }
      if (i < text.size() && text[i] == ']') {
        one.closed = true;
        ++i;
      }
      one.end = i;
      brackets_.push_back(std::move(one));
    }
  }

  // ---- measures ---------------------------------------------------------------------------------

  void append_measures() {
    std::size_t slot = 0;
    std::size_t at_end = 0;
    std::stable_sort(at_end_.begin(), at_end_.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first; });
    for (std::size_t i = 0; i < tab_.spans.size(); ++i) {
      const Span& span = tab_.spans[i];
      const bool goes_on = span.goes_on && !text_.measures.empty() && text_.measures.back().continues;
      if (!goes_on) {
        if (text_.measures.size() == most_measures) {
          throw ReadError("text-tab-too-long",
                          "the text has more than " + std::to_string(most_measures) + " measures; split it",
                          {{}, {}, {}, tab_.line}, {{}, {}, static_cast<std::int64_t>(most_measures)});
        }
        text_.measures.emplace_back();
        text_.measures.back().line = tab_.line;
        text_.measures.back().unbarred = tab_.unbarred;
        text_.measures.back().repeat_starts = span.repeat_starts;
        if (i < numbers_.size()) text_.measures.back().number = numbers_[i];
      }
      TabMeasure& measure = text_.measures.back();
      measure.continues = span.continues;
      measure.repeat_ends = span.repeat_ends;
      measure.doubled = span.doubled;
      const std::size_t end = i + 1 < tab_.spans.size() ? tab_.spans[i + 1].begin : SIZE_MAX;
      for (; slot < slots_.size() && slots_[slot].column < end; ++slot) {
        slots_[slot].x = measure.width + (std::max(slots_[slot].column, span.begin) - span.begin);
        measure.slots.push_back(std::move(slots_[slot]));
      }
      measure.width += span.end - span.begin;
      for (; at_end < at_end_.size() && at_end_[at_end].first == i; ++at_end)
        measure.at_end.push_back(at_end_[at_end].second);
      take_bracket(span, measure, goes_on);
    }
    if (tab_.times > 0 && !text_.measures.empty()) {
      text_.measures.back().times = tab_.times;
      if (!text_.measures.back().repeat_ends) {
        report_.add(EntryKind::decision, "text-tab-repeat",
                    "'x" + std::to_string(tab_.times) +
                        "' behind a line is read as a repeat sign at its end: played " +
                        std::to_string(tab_.times) + " times",
                    {{}, {}, {}, tab_.line});
      }
      text_.measures.back().repeat_ends = true;
    }
  }

  void take_bracket(const Span& span, TabMeasure& measure, bool goes_on) {
    while (bracket_ < brackets_.size() && brackets_[bracket_].end <= span.begin + 1) ++bracket_;
    if (bracket_ == brackets_.size() || brackets_[bracket_].begin + 1 >= span.right) return;
    const Bracket& one = brackets_[bracket_];
    const bool closed = one.closed && one.end <= span.right + 1;
    if (goes_on && measure.ending) {
      if (closed) measure.ending->stop = Ending::Stop::closed;
      return;
    }
    Ending ending;
    ending.starts = !one.numbers.empty() && one.begin + 1 >= span.bar;
    ending.numbers = one.numbers;
    if (closed) ending.stop = Ending::Stop::closed;
    measure.ending = std::move(ending);
  }

  // A text that is none of the tab's.
  void leave(Row row) {
    if (is_first_ && row.line < tab_.line) {
      text_.texts.push_back(std::move(row));
      return;
    }
    text_.left_out.push_back(row.line);
  }

  enum class Over : std::int8_t { none, marks, numbers, words };

  const Layout& layout_;
  const SystemLines& lines_;
  TabText& text_;
  bool is_first_;
  Report& report_;
  SystemTab tab_;
  std::vector<Slot> slots_, added_;
  Columns struck_;  // of the slots
  std::size_t reach_ = 0;
  bool counted_ = false, valued_ = false, picking_ = false, fingers_ = false, roles_ = false;
  bool numbered_ = false;
  int verses_ = 0;
  Over over_ = Over::none;
  std::vector<std::string> numbers_;
  std::vector<Bracket> brackets_;
  std::size_t bracket_ = 0;
  std::vector<std::pair<std::size_t, Said>> at_end_;  // by span
  std::vector<Row> left_;
};

// Where the writer numbers measures, those without a number are not counted; people number the first of a
// line. Which of the two it is, the numbers around tell.
class Numbering {
 public:
  explicit Numbering(std::vector<TabMeasure>& measures) : measures_(measures) {}

  void run() {
    if (std::none_of(measures_.begin(), measures_.end(),
                     [](const TabMeasure& one) { return !one.number.empty(); }))
      return;
    std::size_t from = 0;
    for (std::size_t i = 0; i < measures_.size(); ++i) {
      if (measures_[i].number.empty()) continue;
      settle(from, i);
      from = i + 1;
    }
    settle(from, measures_.size());
  }

 private:
  // Those in [from, to), which have no number.
  void settle(std::size_t from, std::size_t to) {
    if (from == to) return;
    const auto before =
        from == 0 ? std::optional<std::int64_t>(0) : base::number<std::int64_t>(measures_[from - 1].number);
    const auto after =
        to < measures_.size() ? base::number<std::int64_t>(measures_[to].number) : std::nullopt;
    const auto count = static_cast<std::int64_t>(to - from);
    const bool counted = before && (after ? *after == *before + count + 1 : sparse_);
    sparse_ = sparse_ || counted;
    for (std::size_t i = from; i < to; ++i) {
      measures_[i].uncounted = !counted;
      if (counted) measures_[i].number = std::to_string(*before + static_cast<std::int64_t>(i - from) + 1);
    }
  }

  std::vector<TabMeasure>& measures_;
  bool sparse_ = false;  // a measure that is counted has had no number
};

// A bracket without a number goes on from the measure before, or is the next one. Those without a right hook
// are open where nothing goes on.
void settle_brackets(std::vector<TabMeasure>& measures, Report& report) {
  const Ending* before = nullptr;
  for (TabMeasure& measure : measures) {
    if (measure.ending && !measure.ending->starts) {
      Ending& ending = *measure.ending;
      const bool goes_on = before != nullptr && before->stop == Ending::Stop::none;
      ending.starts = !goes_on;
      if (ending.numbers.empty() && goes_on) ending.numbers = before->numbers;
      if (ending.numbers.empty()) {
        ending.numbers = {before != nullptr ? before->numbers.back() + 1 : 1};
        report.add(
            EntryKind::repair, "text-tab-ending-number",
            "an ending without a number was read as the one after the ending before it, or as the first",
            {{}, measure.number, {}, measure.line});
      }
    }
    before = measure.ending ? &*measure.ending : nullptr;
  }
  for (std::size_t i = 0; i < measures.size(); ++i) {
    if (!measures[i].ending || measures[i].ending->stop == Ending::Stop::closed) continue;
    const bool goes_on = i + 1 < measures.size() && measures[i + 1].ending && !measures[i + 1].ending->starts;
    if (!goes_on) measures[i].ending->stop = Ending::Stop::open;
  }
}

}  // namespace

TabText read_measures(const Layout& layout, Report& report) {
  TabText text;
  std::size_t next = 0;  // the first line that is of no system yet
  for (std::size_t i = 0; i < layout.systems.size(); ++i) {
    const SystemLines& lines = layout.systems[i];
    for (; next < lines.over; ++next) {
      Row row = layout.row(next);
      if (i == 0) {
        if (text.texts.size() < 200) text.texts.push_back(std::move(row));
      } else {
        text.left_out.push_back(row.line);
      }
    }
    SystemAssembler(layout, lines, text, i == 0, report).run();
    next = lines.end;
  }
  Numbering(text.measures).run();
  settle_brackets(text.measures, report);
  bool legend = false;
  for (; next < layout.lines.size(); ++next) {
    const Row row = layout.row(next);
    // A narrow page may break it anywhere.
    const bool goes_on = legend && row.columns.size() < shortest_legend;
    legend = is_legend(row) && (goes_on || row.columns.size() >= shortest_legend);
    if (legend) continue;
    text.left_out.push_back(row.line);
  }
  return text;
}

}  // namespace fifthpeg::text_tab::reader
