// Archives that are read.
#pragma once

#include <string_view>

#include "base/zip_handles.hpp"

namespace fifthpeg::musicxml {

using base::Archive;
using base::ArchivedFile;

// An archive of bytes that outlive it; null where they are none, or damaged.
Archive open_archive(std::string_view bytes);

}  // namespace fifthpeg::musicxml
