// The music in a folder, for whatever takes a folder where it takes files.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

namespace fifthpeg::cli {

struct MusicFolder {
  // All that is named like music (.musicxml, .xml, .mxl, .mid, .midi, .txt), whatever it holds, in the order
  // of names; and folders that cannot be looked into, which say why when they are read.
  std::vector<std::string> files;
  std::size_t others = 0;          // files of other kinds
  std::size_t linked_folders = 0;  // that are not followed, as they may lead back
};

// Looks into a folder and all folders in it; what has a name that begins with a dot is hidden, and passed
// over. Throws ReadError where the folder itself cannot be looked into.
MusicFolder music_folder(const std::string& folder);

// Whether a file that is named like music may be some: .txt and .xml are other people's endings too, and are
// looked into.
bool may_be_music(const std::string& path);

bool is_folder(const std::string& path);

// Of inputs, each folder replaced by the music in it. One that has none stays, and fails when it is read.
std::vector<std::string> with_folders_opened(const std::vector<std::string>& inputs);

}  // namespace fifthpeg::cli
