// What a handout says beside the music: title, who made it, who may copy it, the tempo. What the command line
// gives takes the place of what the file has.
#pragma once

#include <optional>
#include <string>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::cli {

struct Labels {
  std::optional<std::string> title;
  std::optional<std::string> composer;
  std::optional<std::string> rights;
  std::optional<std::string> credit;  // where it comes from: "Traditional"
  std::optional<std::string> part_name;
  std::optional<int> tempo;  // in beats a minute
};

// Puts them on a score that was read from `input`. One without a title takes the file's name, and a part that
// was another instrument's is called Banjo.
Report put_on(Score& score, const Labels& labels, const std::string& input);

}  // namespace fifthpeg::cli
