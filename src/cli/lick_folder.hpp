// A folder of licks, for arrangements that are to have them.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "fifthpeg/arrange.hpp"
#include "fifthpeg/read.hpp"
#include "fifthpeg/report.hpp"

namespace fifthpeg::cli {

struct LickFolder {
  std::vector<OwnLick> licks;      // in the order of their names
  std::vector<std::string> files;  // all that were read
  Report report;                   // of files that could not be
};

// Reads the MusicXML files of a folder (.musicxml, .xml, .mxl) and of the folders in it, see music_folder().
// Throws ReadError that names the option and the folder where it cannot be read or has none.
LickFolder lick_folder_in(std::string_view option, const std::string& path, const ReadOptions& options);

}  // namespace fifthpeg::cli
