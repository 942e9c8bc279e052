// What people say of the banjo in the sentences before a tab.
#pragma once

#include <optional>
#include <vector>

#include "fifthpeg/banjo.hpp"
#include "formats/text_tab/tab_line.hpp"

namespace fifthpeg::text_tab::reader {

// Only what no sentence leaves in doubt.
struct Prose {
  std::optional<Tuning> tuning;
  std::optional<int> capo;
};
Prose read_prose(const std::vector<const Row*>& rows);

}  // namespace fifthpeg::text_tab::reader
