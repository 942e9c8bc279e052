#include "formats/text_tab/writer/annotation_rows.hpp"

#include <algorithm>

#include "base/display_width.hpp"

namespace fifthpeg::text_tab {
namespace {
// How many of the last rows are tried before there is a new one: keeps the work for each text bounded.
constexpr std::size_t rows_tried = 4;
}  // namespace

void AnnotationRows::place(std::string_view text, int column, int width) {
  if (text.empty()) return;
  const int text_width = base::display_width(text);
  if (text_width <= width) {
    put(text, text_width, column, width);
    return;
  }
  for (const std::string& line : base::wrapped(text, width)) put(line, base::display_width(line), 0, width);
}

void AnnotationRows::put(std::string_view text, int text_width, int column, int width) {
  const int start = std::max(0, std::min(column, width - text_width));
  std::size_t row = rows_.size() > rows_tried ? rows_.size() - rows_tried : 0;
  int at = start;
  for (; row < rows_.size(); ++row) {
    at = std::max(start, ends_[row] + gap_);
    if (at <= start + shift_ && at + text_width <= width) break;
  }
  if (row == rows_.size()) {
    rows_.emplace_back();
    ends_.push_back(-gap_);
    at = start;
  }
  const int from = std::max(0, ends_[row]);
  rows_[row].append(static_cast<std::size_t>(at - from), ' ');
  rows_[row] += text;
  ends_[row] = at + text_width;
}

void AnnotationRows::clear() {
  rows_.clear();
  ends_.clear();
}

}  // namespace fifthpeg::text_tab
