// The lines of a text as columns of characters, and which of them are a string of tab.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace fifthpeg::text_tab {

// Tab lines that are longer than this are refused: no page is so wide.
inline constexpr std::size_t most_columns = 100'000;

// How wide hyphens are that a program has made of several: "--" may have become one dash.
struct DashWidths {
  std::size_t en = 1;
  std::size_t em = 1;
};

struct Row {
  std::int64_t line = 0;  // in the file, from 1
  // A character of ASCII for each column: what looks like a hyphen or a bar is one, what else is not ASCII is
  // `other`.
  std::string columns;
  std::vector<char32_t> codes;         // what stands in each column of the file
  std::vector<std::uint32_t> sources;  // the character of the line, from 1, that stands in a column
  bool has_dashes = false;             // typographic ones, whose width is not certain

  static constexpr char other = '\x7f';

  std::int64_t source_column(std::size_t column) const {
    return column < sources.size() ? sources[column] : static_cast<std::int64_t>(sources.size()) + 1;
  }
  // UTF-8 of the columns [from, to), without blanks around it.
  std::string text(std::size_t from, std::size_t to) const;
};

// Reads a line, without its end, in UTF-8 or else in Latin-1 with the dashes of Windows. Tab stops are eight
// columns apart; the marks of a quoted mail ("> ") are left out. Columns beyond the most are, too.
Row read_row(std::string_view bytes, std::int64_t line, bool utf8, DashWidths widths = {});

struct TabLine {
  std::string label;      // the name of the string; may be empty
  std::size_t begin = 0;  // where its bars and frets begin
};
// A line that mostly consists of hyphens, frets and bars.
std::optional<TabLine> as_tab_line(const Row& row);

// Takes the next line off a text: ended by a line feed, a carriage return, or both.
std::string_view take_line(std::string_view& text);

// Whether at least two lines of tab stand one upon the other.
bool holds_tab(std::string_view bytes);

}  // namespace fifthpeg::text_tab
