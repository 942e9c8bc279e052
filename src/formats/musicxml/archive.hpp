// Compressed MusicXML: a zip archive whose META-INF/container.xml names the score. Nothing is written to
// disk, so that names in the archive can do no harm.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

#include "fifthpeg/report.hpp"

namespace fifthpeg::musicxml {

// The bytes of the score in an archive. At most `max_bytes` are unpacked. Throws ReadError for what is no
// archive, is damaged or encrypted, holds no score, or unpacks to more than it can honestly hold.
std::string unpack_score(std::string_view archive, std::size_t max_bytes, Report& report);

// What a container lists. Texts that are not there are empty.
struct RootFile {
  std::string path;
  std::string media_type;
};
// Empty where the container is not XML, or lists nothing. How its text was repaired goes to `report`.
std::vector<RootFile> root_files(std::string_view container, Report& report);

// Whether the name of an entry leads out of the archive: an absolute path, a drive letter, a component "..".
bool leads_out(std::string_view name);

}  // namespace fifthpeg::musicxml
