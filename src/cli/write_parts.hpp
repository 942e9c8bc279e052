// From a score to an output file, as the commands that write scores do it.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "cli/options.hpp"
#include "cli/output.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::cli {

// A score, and further parts that are played with it.
struct Parts {
  Score score;
  std::vector<Score> further;
};

struct Destination {
  std::string path;  // or "-"
  OutputFile::Disk disk = OutputFile::Disk::wait;
  std::size_t max_bytes = 0;  // that a reader accepts by default or as asked
  bool made_roles = false;    // the program gave the notes their roles a moment ago
};

// Writes the score, whole or not at all, and reports what it loses by that.
void write_output(const Parts& parts, const WritingOptions& options, const SourceFingering& source,
                  const Destination& to, Report& report);

// Throws UnplayableError where something is lost already, and nothing may be.
void refuse_losses(const Report& report, bool strict);
// Whether a loss is worth a line of its own.
bool is_telling_loss(const Entry& entry);

}  // namespace fifthpeg::cli
