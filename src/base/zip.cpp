#include "base/zip.hpp"

#include <new>
#include <zip.h>

#include "fifthpeg/errors.hpp"

namespace fifthpeg::base {
namespace {

constexpr zip_uint16_t first_dos_date = 1U << 5U | 1U;  // 1980-01-01
constexpr zip_uint16_t first_dos_time = 0;

struct CloseFile {
  void operator()(zip_file_t* file) const { zip_fclose(file); }
};
struct FreeSource {
  void operator()(zip_source_t* source) const { zip_source_free(source); }
};
using Source = std::unique_ptr<zip_source_t, FreeSource>;

// An archive that could not be read for want of memory is not damaged.
void throw_if_out_of_memory(zip_error_t* error) {
  constexpr int zlib_out_of_memory = -4;  // Z_MEM_ERROR
  const int code = zip_error_code_zip(error);
  if (code == ZIP_ER_MEMORY || (code == ZIP_ER_ZLIB && zip_error_code_system(error) == zlib_out_of_memory))
    throw std::bad_alloc();
}

[[noreturn]] void fail(zip_error_t* error) {
  throw_if_out_of_memory(error);
  throw WriteError(std::string("the archive could not be written: ") + zip_error_strerror(error));
}

void add(zip_t* archive, const ZipContent& content) {
  Source source(zip_source_buffer(archive, content.bytes.data(), content.bytes.size(), 0));
  if (!source) fail(zip_get_error(archive));
  const zip_int64_t added = zip_file_add(archive, content.name.c_str(), source.get(), ZIP_FL_ENC_UTF_8);
  if (added < 0) fail(zip_get_error(archive));
  source.release();  // NOLINT(bugprone-unused-return-value): the archive owns it now
  const auto index = static_cast<zip_uint64_t>(added);
  const zip_int32_t method = content.compressed ? ZIP_CM_DEFLATE : ZIP_CM_STORE;
  if (zip_set_file_compression(archive, index, method, 0) != 0 ||
      zip_file_set_dostime(archive, index, first_dos_time, first_dos_date, 0) != 0) {
    fail(zip_get_error(archive));
  }
}

std::string bytes_of(zip_source_t* source) {
  zip_stat_t stat;
  zip_stat_init(&stat);
  if (zip_source_stat(source, &stat) != 0 || zip_source_open(source) != 0) fail(zip_source_error(source));
  std::string bytes(stat.size, '\0');
  const zip_int64_t read = zip_source_read(source, bytes.data(), bytes.size());
  zip_source_close(source);
  if (read < 0) fail(zip_source_error(source));
  return bytes;
}

}  // namespace

void ZipReader::Close::operator()(zip* archive) const {
  zip_discard(archive);
}

std::optional<ZipReader> ZipReader::open(std::string_view bytes) {
  zip_error_t error;
  zip_error_init(&error);
  zip_source_t* source = zip_source_buffer_create(bytes.data(), bytes.size(), 0, &error);
  zip_t* archive = source == nullptr ? nullptr : zip_open_from_source(source, ZIP_RDONLY, &error);
  if (archive == nullptr && source != nullptr) zip_source_free(source);
  if (archive == nullptr) throw_if_out_of_memory(&error);
  zip_error_fini(&error);
  if (archive == nullptr) return std::nullopt;
  return ZipReader(archive);
}

std::size_t ZipReader::count() const {
  const zip_int64_t entries = zip_get_num_entries(archive_.get(), 0);
  return entries < 0 ? 0 : static_cast<std::size_t>(entries);
}

ZipEntry ZipReader::entry(std::size_t index) const {
  ZipEntry entry;
  const char* name = zip_get_name(archive_.get(), index, ZIP_FL_ENC_GUESS);
  if (name == nullptr) throw_if_out_of_memory(zip_get_error(archive_.get()));
  if (name != nullptr) entry.name = name;
  zip_stat_t stat;
  zip_stat_init(&stat);
  if (zip_stat_index(archive_.get(), index, 0, &stat) != 0) {
    throw_if_out_of_memory(zip_get_error(archive_.get()));
    return entry;
  }
  const auto states = [&stat](zip_uint64_t what) { return (stat.valid & what) != 0; };
  if (states(ZIP_STAT_SIZE)) entry.size = stat.size;
  if (states(ZIP_STAT_COMP_SIZE)) entry.packed_size = stat.comp_size;
  entry.stored = states(ZIP_STAT_COMP_METHOD) && stat.comp_method == ZIP_CM_STORE;
  entry.encrypted = states(ZIP_STAT_ENCRYPTION_METHOD) && stat.encryption_method != ZIP_EM_NONE;
  return entry;
}

std::optional<std::size_t> ZipReader::find(const std::string& name) const {
  const zip_int64_t index = zip_name_locate(archive_.get(), name.c_str(), ZIP_FL_ENC_GUESS);
  if (index < 0) {
    throw_if_out_of_memory(zip_get_error(archive_.get()));
    return std::nullopt;
  }
  return static_cast<std::size_t>(index);
}

std::optional<std::string> ZipReader::unpack(std::size_t index, std::size_t most_bytes) const {
  const std::unique_ptr<zip_file_t, CloseFile> file(zip_fopen_index(archive_.get(), index, 0));
  if (!file) {
    throw_if_out_of_memory(zip_get_error(archive_.get()));
    return std::nullopt;
  }
  // The stated size may be untrue: the content grows with what really comes.
  constexpr std::size_t step = 1 << 16;
  std::string content;
  while (content.size() <= most_bytes) {
    const std::size_t had = content.size();
    content.resize(had + step);
    const zip_int64_t got = zip_fread(file.get(), content.data() + had, step);
    if (got < 0) {
      throw_if_out_of_memory(zip_file_get_error(file.get()));
      return std::nullopt;
    }
    content.resize(had + static_cast<std::size_t>(got));
    if (got == 0) break;
  }
  return content;
}

std::string zip_archive(const std::vector<ZipContent>& entries) {
  zip_error_t error;
  zip_error_init(&error);
  const Source result(zip_source_buffer_create(nullptr, 0, 0, &error));
  if (!result) fail(&error);
  struct Discard {
    void operator()(zip_t* archive) const { zip_discard(archive); }
  };
  std::unique_ptr<zip_t, Discard> archive(
      zip_open_from_source(result.get(), ZIP_CREATE | ZIP_TRUNCATE, &error));
  if (!archive) fail(&error);
  zip_source_keep(result.get());  // the archive owns one reference, we the other
  for (const ZipContent& entry : entries) add(archive.get(), entry);
  if (zip_close(archive.get()) != 0) fail(zip_get_error(archive.get()));
  archive.release();  // NOLINT(bugprone-unused-return-value): closed
  return bytes_of(result.get());
}

}  // namespace fifthpeg::base
