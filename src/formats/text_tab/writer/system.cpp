#include "formats/text_tab/writer/system.hpp"

#include <algorithm>
#include <iterator>

#include "base/display_width.hpp"
#include "base/text.hpp"
#include "engraving/wording.hpp"
#include "formats/text_tab/conventions.hpp"

namespace fifthpeg::text_tab {
namespace {

constexpr std::size_t most_verse_rows = 20;

std::string joined(const std::vector<std::string>& texts) {
  std::string all;
  for (const std::string& text : texts) all += (all.empty() || text.empty() ? "" : "  ") + text;
  return all;
}

// How far a column reaches, with the texts that stand over and under it and are to stand nowhere else.
int reach_of(const Column& column) {
  int texts = base::display_width(column.unplaced);
  for (const auto* over : {&column.words, &column.chords})
    texts = std::max(texts, base::display_width(joined(*over)));
  return std::max(column.room + right_bar, column.lead + texts);
}

int reach_of(const std::vector<Column>& columns) {
  int reach = right_bar;
  int at = 0;
  for (const Column& column : columns) {
    reach = std::max(reach, at + reach_of(column));
    at += column.room;
  }
  return reach;
}

}  // namespace

System::System(const Tuning& tuning, int width, Sink& sink) : width_(width), sink_(sink) {
  for (int string = 1; string <= string_count; ++string) {
    std::string& name = names_.at(static_cast<std::size_t>(string - 1));
    name = engraving::string_name(tuning, string);
    name_width_ = std::max(name_width_, static_cast<int>(name.size()));
  }
  for (std::string& name : names_) name.resize(static_cast<std::size_t>(name_width_), ' ');
  start_line();
}

void System::start_line() {
  for (std::size_t line = 0; line < strings_.size(); ++line) strings_.at(line) = names_.at(line) + "|";
  for (std::string* row : {&brackets_, &marks_, &count_, &picking_, &fingers_, &roles_}) row->clear();
  for (AnnotationRows* rows : {&words_, &chords_, &numbers_, &shapes_, &unplaced_}) rows->clear();
  lyrics_.clear();
  bracket_start_ = -1;
  empty_ = true;
}

bool System::add(const Measure& measure, const std::vector<Column>& columns,
                 const std::vector<std::string>& at_end) {
  const int needed = first_dash + (measure.repeat_starts ? 1 : 0) + reach_of(columns);
  if (!empty_ && column() + needed > width_) flush();
  open(measure);
  if (column() + reach_of(columns) <= width_) {
    for (const Column& one : columns) append(one);
    close(measure, at_end);
    return false;
  }
  // Too wide for any line: as many beats as fit, or as many columns where a beat does not fit.
  bool broken = false;
  for (std::size_t i = 0; i < columns.size();) {
    std::size_t end = i;
    std::size_t beat = i;
    int used = column();
    while (end < columns.size() && used + reach_of(columns[end]) <= width_) {
      used += columns[end].room;
      ++end;
      if (end == columns.size() || columns[end].on_beat) beat = end;
    }
    if (beat > i) end = beat;
    if (end == i) ++end;  // one column at least
    for (; i < end; ++i) append(columns[i]);
    if (i < columns.size()) {
      end_bracket(measure, false);
      break_measure();
      if (measure.ending) {
        bracket_start_ = column();
        put(brackets_, name_width_, "[");
      }
      broken = true;
    }
  }
  close(measure, at_end);
  return broken;
}

void System::open(const Measure& measure) {
  const int bar = column() - 1;
  if (measure.repeat_starts) append_bar("-", ":");
  if (!measure.number.empty() && !measure.implicit)
    numbers_.place(base::one_line(measure.number), bar, width_);
  if (measure.ending) {
    bracket_start_ = bar;
    const std::string goes_on = brackets_.empty() ? "[" : "-";
    put(brackets_, bar, measure.ending->starts ? "[" + engraving::ending_text(*measure.ending) : goes_on);
  }
  append_dashes(first_dash);
  empty_ = false;
}

void System::close(const Measure& measure, const std::vector<std::string>& at_end) {
  end_bracket(measure, true);
  if (measure.repeat_times > 0) append_bar("-", ":");
  append_bar("|", "|");
  if (measure.right_bar == BarStyle::light_light || measure.right_bar == BarStyle::light_heavy)
    append_bar("|", "|");
  const std::string words = joined(at_end);
  words_.place(words, std::max(0, column() - base::display_width(words)), width_);
}

// The bracket over an ending is drawn to where the line now is.
void System::end_bracket(const Measure& measure, bool last) {
  if (!measure.ending || bracket_start_ < 0) return;
  const auto to = static_cast<std::size_t>(column());
  if (brackets_.size() < to) brackets_.resize(to, '-');
  if (last && measure.ending->stop == Ending::Stop::closed) brackets_ += "]";
  bracket_start_ = -1;
}

void System::break_measure() {
  append_bar(">", ">");
  flush();
  for (std::string& line : strings_) line.back() = '>';
  append_dashes(first_dash);
  empty_ = false;
}

void System::append(const Column& column_text) {
  const int start = column();
  const int at = start + column_text.lead;
  const auto to = strings_.front().size() + static_cast<std::size_t>(column_text.room);
  for (std::size_t line = 0; line < strings_.size(); ++line) {
    strings_.at(line) += column_text.strings.at(line);
    strings_.at(line).resize(to, '-');
  }
  put(count_, at, column_text.count);
  put(marks_, at, column_text.marks);
  put(picking_, at, column_text.picking);
  put(fingers_, at, column_text.fingers);
  put(roles_, at, column_text.roles);
  words_.place(joined(column_text.words), at, width_);
  chords_.place(joined(column_text.chords), at, width_);
  shapes_.place(column_text.shape, at, width_);
  unplaced_.place(column_text.unplaced, at, width_);
  for (const Lyric* lyric : column_text.lyrics) {
    const bool goes_on = lyric->syllabic == Syllabic::begin || lyric->syllabic == Syllabic::middle;
    auto verse = lyrics_.find(lyric->verse);
    if (verse == lyrics_.end()) {
      // A line with more verses than this is no song; they share the last row.
      if (lyrics_.size() >= most_verse_rows) {
        verse = std::prev(lyrics_.end());
      } else {
        verse = lyrics_.emplace(lyric->verse, AnnotationRows(1, 3)).first;
      }
    }
    verse->second.place(base::one_line(lyric->text) + (goes_on ? "-" : ""), at, width_);
  }
}

void System::append_dashes(int count) {
  for (std::string& line : strings_) line.append(static_cast<std::size_t>(count), '-');
}

void System::append_bar(const std::string& plain, const std::string& dotted) {
  for (std::size_t line = 0; line < strings_.size(); ++line)
    strings_.at(line) += has_repeat_dot(static_cast<int>(line) + 1) ? dotted : plain;
}

void System::put(std::string& row, int at, const std::string& text) {
  if (text.empty()) return;
  const auto size = static_cast<std::size_t>(at);
  if (row.size() < size) row.resize(size, ' ');
  row += text;
}

void System::write_row(const std::string& row) {
  const auto end = row.find_last_not_of(' ');
  if (end == std::string::npos) return;
  sink_.write(std::string_view(row).substr(0, end + 1));
  sink_.write("\n");
}

void System::flush() {
  if (empty_) return;
  for (const std::string& row : words_.rows()) write_row(row);
  write_row(brackets_);
  for (const std::string& row : numbers_.rows()) write_row(row);
  for (const std::string& row : chords_.rows()) write_row(row);
  write_row(marks_);
  for (const std::string& row : strings_) write_row(row);
  write_row(count_);
  write_row(picking_);
  write_row(fingers_);
  if (!roles_.empty()) roles_.front() = roles_label;
  write_row(roles_);
  for (const std::string& row : shapes_.rows()) write_row(row);
  for (const std::string& row : unplaced_.rows()) write_row(row);
  for (const auto& [verse, rows] : lyrics_) {
    for (const std::string& row : rows.rows()) write_row(row);
  }
  sink_.write("\n");
  start_line();
}

}  // namespace fifthpeg::text_tab
