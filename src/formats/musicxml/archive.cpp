#include "formats/musicxml/archive.hpp"

#include <cstdint>
#include <optional>
#include <utility>
#include <vector>

#include "base/text.hpp"
#include "base/zip.hpp"
#include "fifthpeg/errors.hpp"
#include "formats/musicxml/conventions.hpp"
#include "formats/musicxml/encoding.hpp"
#include "formats/musicxml/sanitize.hpp"
#include "formats/musicxml/values.hpp"

namespace fifthpeg::musicxml {
namespace {

// DEFLATE cannot honestly do better than about 1032 to 1 (RFC 1951: 258 bytes for two bits); XML reaches
// about 40 to 1. In between lie archives made to burst.
constexpr std::uint64_t most_ratio = 400;
constexpr std::uint64_t small = 1 << 20;  // bytes that do no harm at any ratio

bool climbs_out(std::string_view name) {
  return name.starts_with('/') || name.starts_with('\\') || name.find("..") != std::string_view::npos ||
         (name.size() > 1 && name[1] == ':');
}

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
      if (climbs_out(archive_.entry(i).name)) {
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
      throw ReadError("the .mxl archive is packed more densely than any score; it is not read");
    }
    auto content = archive_.unpack(index, left_);
    if (!content) throw ReadError("the .mxl archive is damaged, or packed in a way that is not read here");
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
    Decoded decoded;
    decode(list, decoded, report_);
    std::string owned;
    const std::string_view text = sanitize(decoded.text, owned, report_);
    tinyxml2::XMLDocument xml;
    if (xml.Parse(text.data(), text.size()) != tinyxml2::XML_SUCCESS) return std::nullopt;
    const Element* root = xml.RootElement();
    if (root == nullptr) return std::nullopt;
    const Element* rootfiles = root->FirstChildElement("rootfiles");
    if (rootfiles == nullptr) return std::nullopt;
    for (const Element* file = rootfiles->FirstChildElement("rootfile"); file != nullptr;
         file = file->NextSiblingElement("rootfile")) {
      const char* path = file->Attribute("full-path");
      const char* type = file->Attribute("media-type");
      if (path != nullptr && (type == nullptr || *type == 0 || type == musicxml_media_type))
        return std::string(path);
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

}  // namespace fifthpeg::musicxml
