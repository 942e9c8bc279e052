// libzip's archives, their entries and what they are made from, let go of by themselves: for whatever reads
// or writes compressed MusicXML.
#pragma once

#include <memory>
#include <zip.h>

namespace fifthpeg::base {

struct DiscardArchive {
  void operator()(zip_t* archive) const { zip_discard(archive); }
};
struct CloseFile {
  void operator()(zip_file_t* file) const { zip_fclose(file); }
};
struct FreeSource {
  void operator()(zip_source_t* source) const { zip_source_free(source); }
};
using Archive = std::unique_ptr<zip_t, DiscardArchive>;
using ArchivedFile = std::unique_ptr<zip_file_t, CloseFile>;
using Source = std::unique_ptr<zip_source_t, FreeSource>;

}  // namespace fifthpeg::base
