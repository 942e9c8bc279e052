// Text of any length that stands over or under places in the tab, in as many rows as it takes.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace fifthpeg::text_tab {

class AnnotationRows {
 public:
  // Two texts stand at least `gap` columns apart. One that would come nearer to the one before it may move
  // right by `shift` columns before it takes another row.
  AnnotationRows(int gap, int shift) : gap_(gap), shift_(shift) {}

  // Places one_line() text at a column, moved left where it would pass `width`, broken where it is longer.
  void place(std::string_view text, int column, int width);
  bool empty() const { return rows_.empty(); }
  const std::vector<std::string>& rows() const { return rows_; }
  void clear();

 private:
  void put(std::string_view text, int text_width, int column, int width);

  int gap_;
  int shift_;
  std::vector<std::string> rows_;
  std::vector<int> ends_;  // the first free column of each row
};

}  // namespace fifthpeg::text_tab
