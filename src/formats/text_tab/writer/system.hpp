// One line of the tab with everything over and under it: filled measure by measure, then written.
#pragma once

#include <array>
#include <map>
#include <string>
#include <vector>

#include "fifthpeg/score.hpp"
#include "fifthpeg/write.hpp"
#include "formats/text_tab/writer/annotation_rows.hpp"
#include "formats/text_tab/writer/columns.hpp"

namespace fifthpeg::text_tab {

class System {
 public:
  System(const Tuning& tuning, int width, Sink& sink);

  // Adds a measure, on a new line if it does not fit into this one, on several if it fits into none.
  // Returns whether it had to be broken.
  bool add(const Measure& measure, const std::vector<Column>& columns,
           const std::vector<std::string>& at_end);
  // Writes what is still there.
  void flush();

 private:
  int column() const { return static_cast<int>(strings_.front().size()); }
  void open(const Measure& measure);
  void close(const Measure& measure, const std::vector<std::string>& at_end);
  void start_line();
  void break_measure();
  void append(const Column& column);
  void append_dashes(int count);
  void append_bar(const std::string& plain, const std::string& dotted);
  void put(std::string& row, int column, const std::string& text);
  void end_bracket(const Measure& measure, bool last);
  void write_row(const std::string& row);

  std::array<std::string, string_count> names_;
  int name_width_ = 1;
  int width_;
  Sink& sink_;

  bool empty_ = true;  // nothing but the names in the line
  std::array<std::string, string_count> strings_;
  std::string brackets_, marks_, count_, picking_, fingers_, roles_;
  int bracket_start_ = -1;
  // What is read back stands exactly over its place.
  AnnotationRows words_{text_gap, 0}, chords_{text_gap, 0}, numbers_{1, 0}, shapes_{2, 2}, unplaced_{1, 0};
  std::map<std::string, AnnotationRows> lyrics_;  // by verse
};

}  // namespace fifthpeg::text_tab
