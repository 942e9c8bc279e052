#include "formats/musicxml/archive.hpp"

#include <algorithm>
#include <cctype>
#include <cstdint>
#include <filesystem>
#include <optional>
#include <utility>
#include <vector>

#include "base/text.hpp"
#include "base/zip.hpp"
#include "fifthpeg/errors.hpp"
#include "formats/musicxml/conventions.hpp"
#include "formats/musicxml/encoding.hpp"
#include "formats/musicxml/measure_splitter.hpp"
#include "formats/musicxml/sanitize.hpp"
#include "formats/musicxml/values.hpp"

namespace fifthpeg::musicxml {
namespace {

// DEFLATE cannot honestly do better than about 1032 to 1 (RFC 1951: 258 bytes for two bits); XML reaches
// about 40 to 1. In between lie archives made to burst.
constexpr std::uint64_t most_ratio = 400;
constexpr std::uint64_t small = 1 << 20;  // bytes that do no harm at any ratio

class Unpacker {
 public:
  Unpacker(const base::ZipReader& archive, std::size_t max_bytes, Report& report)
      : archive_(archive), left_(max_bytes), report_(report) {}

  std::string run() {
    report_names();
    if (const auto container = archive_.find(std::string(mxl_container_name))) {
      if (const auto path = first_score(unpack(*container))) {
        if (const auto score = archive_.find(*path)) return unpack(*score);
        report_.add(EntryKind::repair, "mxl-rootfile-missing",
                    "the archive's container names a score that is not in the archive");
      } else {
        report_.add(EntryKind::repair, "mxl-container-broken", "the archive's container names no score");
      }
    } else {
      report_.add(EntryKind::repair, "mxl-container-missing",
                  "the archive has no META-INF/container.xml; the one MusicXML file in it was taken");
    }
    return unpack(only_score());
  }

 private:
  void report_names() {
    for (std::size_t i = 0; i < archive_.count(); ++i) {
      if (leads_out(archive_.entry(i).name)) {
        report_.add(EntryKind::repair, "mxl-path",
                    "the archive has an entry whose path leads out of it; nothing is written there");
      }
    }
  }

  std::string unpack(std::size_t index) {
    const base::ZipEntry entry = archive_.entry(index);
    if (!entry.size) throw ReadError("the .mxl archive is damaged");
    if (entry.encrypted) throw ReadError("the .mxl archive is encrypted; save it without a password");
    if (*entry.size > left_) throw_too_large();
    if (entry.packed_size && *entry.size > small && *entry.size / most_ratio > *entry.packed_size) {
      throw ReadError("the .mxl archive is compressed far more than a score can be; it was not read");
    }
    auto content = archive_.unpack(index, left_);
    if (!content) throw ReadError("the .mxl archive is damaged, or compressed in an unsupported way");
    if (content->size() > left_) throw_too_large();
    left_ -= content->size();
    return std::move(*content);
  }

  [[noreturn]] static void throw_too_large() {
    throw ReadError("the .mxl archive unpacks to more than the limit; raise the limit if it is meant to");
  }

  // The path of the first rootfile that is a score: by the standard, the first one without a media type or
  // with that of MusicXML.
  std::optional<std::string> first_score(std::string_view list) {
    for (RootFile& file : root_files(list, report_)) {
      if (!file.path.empty() && (file.media_type.empty() || file.media_type == musicxml_media_type))
        return std::move(file.path);
    }
    return std::nullopt;
  }

  std::size_t only_score() const {
    std::optional<std::size_t> found;
    for (std::size_t i = 0; i < archive_.count(); ++i) {
      const std::string name = archive_.entry(i).name;
      if (name.starts_with("META-INF/")) continue;
      if (!base::ends_with_ignoring_case(name, ".xml") && !base::ends_with_ignoring_case(name, ".musicxml"))
        continue;
      if (found) throw ReadError("the .mxl archive holds several files and does not say which is the score");
      found = i;
    }
    if (!found) throw ReadError("there is no MusicXML file in the archive");
    return *found;
  }

  const base::ZipReader& archive_;
  std::size_t left_;
  Report& report_;
};

}  // namespace

std::string unpack_score(std::string_view archive, std::size_t max_bytes, Report& report) {
  const auto opened = base::ZipReader::open(archive);
  if (!opened) throw ReadError("the .mxl archive is damaged or cut off");
  return Unpacker(*opened, max_bytes, report).run();
}

std::vector<RootFile> root_files(std::string_view container, Report& report) {
  std::vector<RootFile> files;
  Decoded decoded;
  decode(container, decoded, report);
  std::string owned;
  const std::string_view text = sanitize(decoded.text, owned, report);
  refuse_crowded_tags(text);
  tinyxml2::XMLDocument xml;
  if (xml.Parse(text.data(), text.size()) != tinyxml2::XML_SUCCESS) return files;
  const Element* root = xml.RootElement();
  const Element* list = root == nullptr ? nullptr : root->FirstChildElement("rootfiles");
  if (list == nullptr) return files;
  for (const Element* file = list->FirstChildElement("rootfile"); file != nullptr;
       file = file->NextSiblingElement("rootfile")) {
    files.push_back(
        {std::string(attribute(*file, "full-path")), std::string(attribute(*file, "media-type"))});
  }
  return files;
}

bool leads_out(std::string_view name) {
  std::string slashed(name);
  std::replace(slashed.begin(), slashed.end(), '\\', '/');
  const bool drive =
      name.size() > 1 && name[1] == ':' && std::isalpha(static_cast<unsigned char>(name[0])) != 0;
  const std::filesystem::path path(slashed);
  return drive || path.is_absolute() || std::find(path.begin(), path.end(), "..") != path.end();
}

}  // namespace fifthpeg::musicxml
