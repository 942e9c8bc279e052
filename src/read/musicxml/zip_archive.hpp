// libzip's archives and their entries, let go of by themselves.
#pragma once

#include <memory>
#include <string_view>
#include <zip.h>

namespace fifthpeg::musicxml_read {

struct CloseArchive {
  void operator()(zip_t* archive) const { zip_discard(archive); }
};
struct CloseFile {
  void operator()(zip_file_t* file) const { zip_fclose(file); }
};
using Archive = std::unique_ptr<zip_t, CloseArchive>;
using ArchivedFile = std::unique_ptr<zip_file_t, CloseFile>;

// An archive of bytes that outlive it; null where they are none, or damaged.
Archive open_archive(std::string_view bytes);

}  // namespace fifthpeg::musicxml_read
