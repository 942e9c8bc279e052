#include "formats/musicxml/zip_archive.hpp"

namespace fifthpeg::musicxml {

Archive open_archive(std::string_view bytes) {
  zip_error_t error;
  zip_error_init(&error);
  zip_source_t* source = zip_source_buffer_create(bytes.data(), bytes.size(), 0, &error);
  zip_t* archive = source == nullptr ? nullptr : zip_open_from_source(source, ZIP_RDONLY, &error);
  if (archive == nullptr && source != nullptr) zip_source_free(source);
  zip_error_fini(&error);
  return Archive(archive);
}

}  // namespace fifthpeg::musicxml
