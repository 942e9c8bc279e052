#include "formats/musicxml/archive.hpp"

#include <algorithm>
#include <cctype>
#include <cstdint>
#include <optional>
#include <utility>
#include <vector>

#include "fifthpeg/errors.hpp"
#include "formats/musicxml/encoding.hpp"
#include "formats/musicxml/sanitize.hpp"
#include "formats/musicxml/values.hpp"
#include "formats/musicxml/zip_archive.hpp"

namespace fifthpeg::musicxml {
namespace {

// DEFLATE cannot honestly do better than about 1032 to 1 (RFC 1951: 258 bytes for two bits); XML reaches
// about 40 to 1. In between lie archives made to burst.
constexpr std::uint64_t most_ratio = 400;
constexpr std::uint64_t small = 1 << 20;  // bytes that do no harm at any ratio

bool ends_with_ignoring_case(std::string_view name, std::string_view end) {
  if (name.size() < end.size()) return false;
  return std::equal(end.begin(), end.end(), name.end() - static_cast<std::ptrdiff_t>(end.size()),
                    [](unsigned char a, unsigned char b) { return std::tolower(a) == std::tolower(b); });
}

class Unpacker {
 public:
  Unpacker(Archive archive, std::size_t max_bytes, Report& report)
      : archive_(std::move(archive)), left_(max_bytes), report_(report) {}

  std::string run() {
    tell_names();
    const zip_int64_t container = zip_name_locate(archive_.get(), container_name, ZIP_FL_ENC_GUESS);
    if (container >= 0) {
      const std::string list = unpack(static_cast<zip_uint64_t>(container));
      if (const auto path = first_score(list)) {
        const zip_int64_t score = zip_name_locate(archive_.get(), path->c_str(), ZIP_FL_ENC_GUESS);
        if (score >= 0) return unpack(static_cast<zip_uint64_t>(score));
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
  const char* name_of_entry(zip_uint64_t index) const {
    const char* name = zip_get_name(archive_.get(), index, ZIP_FL_ENC_GUESS);
    return name == nullptr ? "" : name;
  }
  zip_uint64_t count() const {
    const zip_int64_t entries = zip_get_num_entries(archive_.get(), 0);
    return entries < 0 ? 0 : static_cast<zip_uint64_t>(entries);
  }

  void tell_names() {
    for (zip_uint64_t i = 0; i < count(); ++i) {
      if (leads_out(name_of_entry(i))) {
        report_.add(EntryKind::repair, "mxl-path",
                    "the archive has an entry whose path leads out of it; nothing is written there");
      }
    }
  }

  std::string unpack(zip_uint64_t index) {
    zip_stat_t stat;
    zip_stat_init(&stat);
    if (zip_stat_index(archive_.get(), index, 0, &stat) != 0 || (stat.valid & ZIP_STAT_SIZE) == 0) {
      throw ReadError("the .mxl archive is damaged");
    }
    if ((stat.valid & ZIP_STAT_ENCRYPTION_METHOD) != 0 && stat.encryption_method != ZIP_EM_NONE) {
      throw ReadError("the .mxl archive is encrypted; save it without a password");
    }
    if (stat.size > left_) {
      throw ReadError("the .mxl archive unpacks to more than the limit; raise the limit if it is meant to");
    }
    if ((stat.valid & ZIP_STAT_COMP_SIZE) != 0 && stat.size > small &&
        stat.size / most_ratio > stat.comp_size) {
      throw ReadError("the .mxl archive is packed more densely than any score; it is not read");
    }
    const ArchivedFile file(zip_fopen_index(archive_.get(), index, 0));
    if (!file) throw ReadError("the .mxl archive is damaged, or packed in a way that is not read here");
    // The stated size may lie: the buffer grows with what really comes.
    std::string content;
    constexpr std::size_t step = 1 << 16;
    while (true) {
      const std::size_t had = content.size();
      content.resize(had + step);
      const zip_int64_t got = zip_fread(file.get(), content.data() + had, step);
      if (got < 0) throw ReadError("the .mxl archive is damaged");
      content.resize(had + static_cast<std::size_t>(got));
      if (got == 0) break;
      if (content.size() > left_) {
        throw ReadError("the .mxl archive unpacks to more than the limit; raise the limit if it is meant to");
      }
    }
    left_ -= content.size();
    return content;
  }

  // The path of the first rootfile that is a score: by the standard, the first one without a media type or
  // with that of MusicXML.
  std::optional<std::string> first_score(std::string_view list) {
    for (RootFile& file : root_files(list, report_)) {
      if (!file.path.empty() && (file.media_type.empty() || file.media_type == score_media_type))
        return std::move(file.path);
    }
    return std::nullopt;
  }

  zip_uint64_t only_score() const {
    std::optional<zip_uint64_t> found;
    for (zip_uint64_t i = 0; i < count(); ++i) {
      const std::string_view name = name_of_entry(i);
      if (name.starts_with("META-INF/")) continue;
      if (!ends_with_ignoring_case(name, ".xml") && !ends_with_ignoring_case(name, ".musicxml")) continue;
      if (found) throw ReadError("the .mxl archive holds several files and does not say which is the score");
      found = i;
    }
    if (!found) throw ReadError("there is no MusicXML file in the archive");
    return *found;
  }

  Archive archive_;
  std::uint64_t left_;
  Report& report_;
};

}  // namespace

std::string unpack_score(std::string_view archive, std::size_t max_bytes, Report& report) {
  Archive opened = open_archive(archive);
  if (!opened) throw ReadError("the .mxl archive is damaged or cut off");
  return Unpacker(std::move(opened), max_bytes, report).run();
}

std::vector<RootFile> root_files(std::string_view container, Report& report) {
  std::vector<RootFile> files;
  Decoded decoded;
  decode(container, decoded, report);
  std::string owned;
  const std::string_view text = sanitize(decoded.text, owned, report);
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
  constexpr std::string_view separators = "/\\";
  if (name.empty()) return false;
  const bool absolute = separators.find(name.front()) != std::string_view::npos;
  const bool drive =
      name.size() > 1 && name[1] == ':' && std::isalpha(static_cast<unsigned char>(name[0])) != 0;
  if (absolute || drive) return true;
  while (true) {
    const std::size_t end = name.find_first_of(separators);
    if (name.substr(0, end) == "..") return true;
    if (end == std::string_view::npos) return false;
    name.remove_prefix(end + 1);
  }
}

}  // namespace fifthpeg::musicxml
