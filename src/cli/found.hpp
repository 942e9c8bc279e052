// Licks that were found, and how they are told of.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "cli/messages.hpp"
#include "cli/options.hpp"
#include "fifthpeg/licks.hpp"

namespace fifthpeg::cli {

struct FoundLick {
  std::string file;
  std::string title;
  LickFacts facts;
  Tuning tuning;
  LickAnswer answer;
  std::string identity;         // equal where the notes are the same, see licks/form.hpp
  std::optional<double> alike;  // to the lick that others are to be like
  std::string same_as;          // the file of one before it that is the same lick; empty: there is none
};

// All that was looked through.
struct Search {
  std::size_t licks = 0;           // read, whether they answer or not
  std::size_t others = 0;          // files of other kinds
  std::size_t too_long = 0;        // for licks
  std::size_t unlike = 0;          // less than half like the lick that others are to be like
  std::size_t linked_folders = 0;  // not followed
  std::vector<FoundLick> found;    // the best first
  std::vector<Failure> failures;
};

// A line for each lick.
std::string found_text(const Search& search);
// schemas/find.schema.json.
std::string found_json(const Search& search, Status status);
// The names of the files with `end` after each. Of those that are one a line, names that have a line end are
// left out; `left_out` counts them.
std::string found_files(const Search& search, char end, std::size_t& left_out);
// What was passed over, as far as somebody may miss it, and that nothing answers.
std::string search_lines(const Search& search);

}  // namespace fifthpeg::cli
