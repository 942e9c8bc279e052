// Zip archives in memory, through libzip.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

struct zip;

namespace fifthpeg::base {

struct ZipEntry {
  std::string name;
  std::optional<std::uint64_t> size;  // as the archive states it, which may be untrue
  std::optional<std::uint64_t> packed_size;
  bool stored = false;  // not compressed
  bool encrypted = false;
};

class ZipReader {
 public:
  // The bytes must outlive the reader. Nothing for what is not an archive, or a damaged one.
  static std::optional<ZipReader> open(std::string_view bytes);

  std::size_t count() const;
  ZipEntry entry(std::size_t index) const;
  std::optional<std::size_t> find(const std::string& name) const;
  // The content of an entry; when it is longer than `most_bytes`, only its beginning, which is then longer,
  // too. Nothing where it is damaged, encrypted or compressed in an unknown way.
  std::optional<std::string> unpack(std::size_t index, std::size_t most_bytes) const;

 private:
  struct Close {
    void operator()(zip* archive) const;
  };
  explicit ZipReader(zip* archive) : archive_(archive) {}

  std::unique_ptr<zip, Close> archive_;
};

// An entry to be written; its content must stand until it is.
struct ZipContent {
  std::string name;
  std::string_view bytes;
  bool compressed = true;
};

// Entries bear the earliest date that an archive can state, so that the same content gives the same bytes.
// Throws WriteError.
std::string zip_archive(const std::vector<ZipContent>& entries);

}  // namespace fifthpeg::base
