#include "formats/text_tab/reader/bars.hpp"

#include <algorithm>

#include "fifthpeg/errors.hpp"

namespace fifthpeg::text_tab::reader {
namespace {

using Rows = std::array<Row, string_count>;
using Strings = std::array<StringTokens, string_count>;

// Less than this behind the last bar is no measure.
constexpr std::size_t least_measure = 3;

Rows rows_with(const Layout& layout, const SystemLines& lines, DashWidths widths) {
  Rows rows;
  for (std::size_t i = 0; i < rows.size(); ++i) rows.at(i) = layout.row(lines.strings + i, widths);
  return rows;
}

std::vector<std::size_t> bar_columns(const Row& row) {
  std::vector<std::size_t> columns;
  for (std::size_t i = row.columns.find('|'); i != std::string::npos; i = row.columns.find('|', i + 1))
    columns.push_back(i);
  return columns;
}

bool lined_up(const Rows& rows) {
  const auto bars = bar_columns(rows.front());
  return std::all_of(rows.begin() + 1, rows.end(), [&](const Row& row) {
    return bar_columns(row) == bars && row.columns.size() == rows.front().columns.size();
  });
}

// A dash that a mail program made of two or three hyphens is as wide as makes the bars stand in line.
Rows read_rows(const Layout& layout, const SystemLines& lines, Report& report) {
  Rows plain = rows_with(layout, lines, {});
  const bool dashes = std::any_of(plain.begin(), plain.end(), [](const Row& row) { return row.has_dashes; });
  if (!dashes) return plain;
  report.add(EntryKind::repair, "text-tab-dashes",
             "dashes that a program has made of hyphens were read as these",
             {{}, {}, {}, plain.front().line});
  constexpr std::array<DashWidths, 6> all{{{1, 1}, {1, 2}, {2, 2}, {2, 3}, {1, 3}, {2, 1}}};
  for (const DashWidths widths : all) {
    Rows rows = rows_with(layout, lines, widths);
    if (lined_up(rows)) return rows;
  }
  return plain;
}

class SystemReader {
 public:
  SystemReader(const Layout& layout, const SystemLines& lines, Report& report)
      : rows_(read_rows(layout, lines, report)), report_(report) {}

  SystemTab run() {
    system_.line = rows_.front().line;
    for (std::size_t i = 0; i < rows_.size(); ++i) {
      const auto line = as_tab_line(rows_.at(i));
      if (!line) throw ReadError("text-tab-sign", "this is no line of tab", at(rows_.at(i), 0));
      system_.labels.at(i) = line->label;
      strings_.at(i) = read_string(rows_.at(i), *line, i);
      system_.times = std::max(system_.times, strings_.at(i).times);
      if (strings_.at(i).has_comment) system_.comments.push_back(rows_.at(i).line);
    }
    line_up();
    for (StringTokens& string : strings_)
      system_.notes.insert(system_.notes.end(), string.notes.begin(), string.notes.end());
    std::stable_sort(system_.notes.begin(), system_.notes.end(),
                     [](const TabNote& a, const TabNote& b) { return a.column < b.column; });
    cut();
    return std::move(system_);
  }

 private:
  static bool same_columns(const StringTokens& a, const StringTokens& b) {
    return std::equal(a.bars.begin(), a.bars.end(), b.bars.begin(), b.bars.end(),
                      [](const Bar& x, const Bar& y) { return x.begin == y.begin; });
  }

  // Brings all strings to the columns of the one whose bars stand as those of the most others do.
  void line_up() {
    std::size_t most = 0;
    for (std::size_t i = 0; i < strings_.size(); ++i) {
      const auto same = static_cast<std::size_t>(
          std::count_if(strings_.begin(), strings_.end(),
                        [&](const StringTokens& other) { return same_columns(other, strings_.at(i)); }));
      if (same > most) {
        most = same;
        usual_ = i;
      }
    }
    if (most == strings_.size()) return;
    const StringTokens& usual = strings_.at(usual_);
    for (std::size_t i = 0; i < strings_.size(); ++i) {
      StringTokens& string = strings_.at(i);
      if (most + 1 == strings_.size() && mend_end(i, usual)) continue;
      if (string.bars.size() != usual.bars.size()) {
        throw ReadError("text-tab-bars",
                        "this string has " + std::to_string(string.bars.size()) +
                            " barlines, and the others of its system have " +
                            std::to_string(usual.bars.size()),
                        at(rows_.at(i), string.bars.empty() ? string.begin : string.bars.back().begin));
      }
      if (same_columns(string, usual)) continue;
      report_.add(EntryKind::repair, "text-tab-bars-apart",
                  "barlines do not stand in line; each measure of a string was read from its own",
                  at(rows_.at(i), string.begin));
      move(string, usual);
    }
  }

  // The commonest slip: the one string that differs lacks its last barline, or has one more behind it.
  bool mend_end(std::size_t index, const StringTokens& usual) {
    StringTokens& string = strings_.at(index);
    if (usual.bars.empty()) return false;
    const std::size_t shared = std::min(string.bars.size(), usual.bars.size());
    for (std::size_t i = 0; i < shared; ++i) {
      if (string.bars[i].begin != usual.bars[i].begin) return false;
    }
    const Bar& last = usual.bars.back();
    const std::size_t notes_end = string.notes.empty() ? 0 : string.notes.back().column + 1;
    if (string.bars.size() + 1 == usual.bars.size()) {
      if (notes_end > last.begin || string.end + 1 < last.begin || string.end > last.end) return false;
      string.bars.push_back(last);
      report_.add(EntryKind::repair, "text-tab-barline-missing",
                  "a string lacks the barline that the others have at the end of their lines; it was added",
                  at(rows_.at(index), last.begin));
    } else if (string.bars.size() == usual.bars.size() + 1) {
      if (notes_end > last.begin) return false;
      report_.add(EntryKind::repair, "text-tab-barline-too-many",
                  "a string has a barline at the end of its line that the others lack; it was left out",
                  at(rows_.at(index), string.bars.back().begin));
      string.bars.pop_back();
    } else {
      return false;
    }
    string.end = usual.end;
    return true;
  }

  static void move(StringTokens& string, const StringTokens& usual) {
    const auto begin_of = [](const StringTokens& one, std::size_t bar) {
      return bar == 0 ? one.begin : one.bars[bar - 1].end;
    };
    const auto end_of = [](const StringTokens& one, std::size_t bar) {
      return bar < one.bars.size() ? one.bars[bar].begin : one.end;
    };
    std::size_t note = 0;
    for (std::size_t bar = 0; bar <= string.bars.size(); ++bar) {
      const std::size_t from = begin_of(string, bar);
      const std::size_t to = begin_of(usual, bar);
      const std::size_t width = end_of(string, bar) - std::min(from, end_of(string, bar));
      const std::size_t wanted = end_of(usual, bar) - std::min(to, end_of(usual, bar));
      const std::size_t first = note;
      std::size_t wide = 0;  // second figures
      for (; note < string.notes.size() && string.notes[note].column < end_of(string, bar); ++note)
        wide += string.notes[note].width - 1;
      // Where each second figure has pushed the rest of the measure on, it is taken back.
      std::size_t pushed = 0;
      for (std::size_t i = first; i < note; ++i) {
        TabNote& moved = string.notes[i];
        const std::size_t x = moved.column - from - pushed;
        moved.column = to + std::min(x, wanted > 0 ? wanted - 1 : 0);
        if (width == wanted + wide) pushed += moved.width - 1;
      }
    }
    string.end = std::max(usual.end, string.end);
  }

  void cut() {
    const StringTokens& usual = strings_.at(usual_);
    std::size_t begin = usual.begin;
    std::size_t end = 0;
    for (const StringTokens& string : strings_) {
      begin = std::min(begin, string.begin);
      end = std::max(end, string.end);
    }
    system_.unbarred = usual.bars.empty();
    Span span;
    span.begin = begin;
    span.bar = begin;
    for (std::size_t i = 0; i < usual.bars.size(); ++i) {
      Bar bar = usual.bars[i];
      for (const StringTokens& string : strings_) {
        bar.repeat_ends = bar.repeat_ends || string.bars[i].repeat_ends;
        bar.repeat_starts = bar.repeat_starts || string.bars[i].repeat_starts;
        bar.doubled = bar.doubled || string.bars[i].doubled;
      }
      span.end = bar.begin - (bar.repeat_ends && bar.begin > span.begin ? 1 : 0);
      span.right = bar.end;
      span.continues = bar.continues;
      span.repeat_ends = bar.repeat_ends;
      span.doubled = bar.doubled;
      if (span.end > span.begin) system_.spans.push_back(span);
      span = {};
      span.begin = bar.end + (bar.repeat_starts ? 1 : 0);
      span.bar = bar.begin;
      span.goes_on = bar.continues && i == 0;
      span.repeat_starts = bar.repeat_starts;
    }
    span.end = std::max(end, span.begin);
    span.right = span.end;
    const bool notes = !system_.notes.empty() && system_.notes.back().column >= span.begin;
    if (usual.bars.empty() || notes || span.end - span.begin >= least_measure) system_.spans.push_back(span);
  }

  Rows rows_;
  Report& report_;
  Strings strings_;
  SystemTab system_;
  std::size_t usual_ = 0;
};

}  // namespace

SystemTab read_system(const Layout& layout, const SystemLines& lines, Report& report) {
  return SystemReader(layout, lines, report).run();
}

}  // namespace fifthpeg::text_tab::reader
