// Licks by the files and folders that they are in.
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

// Licks of several folders and files, which are music of any format, as `find` takes it. Throws ReadError as
// above, and for a file that cannot be read.
LickFolder licks_in(std::string_view option, const std::vector<std::string>& paths,
                    const ReadOptions& options);

}  // namespace fifthpeg::cli
