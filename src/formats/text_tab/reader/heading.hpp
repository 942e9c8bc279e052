// What stands before the tab: title, names, tuning, capo, key, meter, tempo, swing; and the legend behind it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "formats/text_tab/tab_line.hpp"

namespace fifthpeg::text_tab::reader {

struct Heading {
  Work work;
  std::string part_name;
  std::optional<Tuning> tuning;
  std::optional<int> capo;
  std::optional<int> fifth_capo;
  std::optional<Key> key;
  bool key_estimated = false;
  std::optional<Meter> meter;
  std::optional<Tempo> tempo;
  std::optional<Swing> swing;
  bool everything_rings = false;
  bool chords_sound = false;           // it says that chord names are not those of the shapes under a capo
  std::vector<std::int64_t> left_out;  // lines of text that say nothing of the tab
};

// Throws ReadError for a tuning, capo, key or meter that cannot be.
Heading read_heading(const std::vector<Row>& texts, Report& report);

// Whether a line explains signs, as the writer ends a tab.
bool is_legend(const Row& row);

}  // namespace fifthpeg::text_tab::reader
