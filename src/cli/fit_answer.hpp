// What `fit` says, for people and for programs.
#pragma once

#include <string>
#include <vector>

#include "cli/json.hpp"
#include "cli/write_parts.hpp"
#include "fifthpeg/licks.hpp"
#include "fifthpeg/report.hpp"

namespace fifthpeg::cli {

// Of one lick: its places, the best first, or why it has none.
struct LickAnswered {
  std::string lick;
  std::vector<LickPlace> places;
  std::string why_none;
};

// A tune with a lick in it.
struct Version {
  std::string output;
  LickPlace place;
  Parts parts;
  Report report;
};

// A line for each place, the best of all licks first.
std::string places_text(const Score& tune, const std::vector<LickAnswered>& answers);
// Those without a place, by why.
Report report_of_placeless(const std::vector<LickAnswered>& answers);
// What had to be found of a lick; what speaks for its place, and against it.
Report report_of_lick(const Score& lick);
Report report_of_place(const Score& tune, const LickPlace& place);

// Described by schemas/fit.schema.json.
Json places_json(const std::string& input, const Score& tune, const std::vector<LickAnswered>& answers,
                 const Report& report);
Json versions_json(const std::string& input, const Score& tune, const std::string& lick,
                   const std::vector<Version>& versions, const Report& report);

}  // namespace fifthpeg::cli
