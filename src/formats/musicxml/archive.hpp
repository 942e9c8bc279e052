// Compressed MusicXML: a zip archive whose META-INF/container.xml names the score. Nothing is written to
// disk, so that names in the archive can do no harm.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

#include "fifthpeg/report.hpp"

namespace fifthpeg::musicxml {

// The bytes of the score in an archive. At most `max_bytes` are unpacked. Throws ReadError for what is no
// archive, is damaged or encrypted, holds no score, or unpacks to more than it can honestly hold.
std::string unpack_score(std::string_view archive, std::size_t max_bytes, Report& report);

}  // namespace fifthpeg::musicxml
