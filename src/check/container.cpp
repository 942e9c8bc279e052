// The container: the archive of compressed MusicXML, and the encoding of XML.
#include <optional>

#include "check/families.hpp"
#include "fifthpeg/errors.hpp"
#include "formats/musicxml/archive.hpp"
#include "formats/musicxml/conventions.hpp"
#include "formats/musicxml/encoding.hpp"
#include "formats/musicxml/grammar/grammar.hpp"
#include "formats/musicxml/zip_archive.hpp"

namespace fifthpeg::check {
namespace {

using musicxml::Archive;
using musicxml::ArchivedFile;
using musicxml::container_name;
using musicxml::open_archive;

constexpr std::size_t container_bytes = 1 << 20;  // more than any container needs

std::optional<std::string> small_entry(zip_t* archive, zip_int64_t index) {
  const ArchivedFile file(zip_fopen_index(archive, static_cast<zip_uint64_t>(index), 0));
  if (!file) return std::nullopt;
  std::string content(container_bytes, '\0');
  const zip_int64_t got = zip_fread(file.get(), content.data(), content.size());
  if (got < 0) return std::nullopt;
  content.resize(static_cast<std::size_t>(got));
  return content;
}

// None where the list cannot be read.
std::vector<musicxml::RootFile> files_in(std::string_view list) {
  Report passed_over;
  try {
    return musicxml::root_files(list, passed_over);
  } catch (const ReadError&) {
    return {};
  }
}

void mimetype_rules(zip_t* archive, Findings& findings) {
  const zip_int64_t index = zip_name_locate(archive, "mimetype", 0);
  if (index < 0) return;  // may be left out
  zip_stat_t stat;
  zip_stat_init(&stat);
  if (zip_stat_index(archive, static_cast<zip_uint64_t>(index), 0, &stat) != 0) return;
  const auto content = small_entry(archive, index);
  if (!content) return;
  if (*content != musicxml::mxl_media_type) {
    findings.add("mxl-mimetype", {},
                 "the mimetype file does not say " + std::string(musicxml::mxl_media_type));
  } else if (index != 0) {
    findings.add("mxl-mimetype", {}, "the mimetype file is not the first in the archive");
  } else if ((stat.valid & ZIP_STAT_COMP_METHOD) != 0 && stat.comp_method != ZIP_CM_STORE) {
    findings.add("mxl-mimetype", {}, "the mimetype file is packed");
  }
}

void path_rules(zip_t* archive, Findings& findings) {
  const zip_int64_t count = zip_get_num_entries(archive, 0);
  for (zip_int64_t i = 0; i < count; ++i) {
    const char* name = zip_get_name(archive, static_cast<zip_uint64_t>(i), ZIP_FL_ENC_GUESS);
    const std::string_view path = name == nullptr ? "" : name;
    if (musicxml::leads_out(path)) {
      findings.add("mxl-path", {},
                   "the entry \"" + std::string(path.substr(0, 60)) + "\" leads out of the archive");
    }
  }
}

void list_rules(zip_t* archive, Findings& findings) {
  const zip_int64_t index = zip_name_locate(archive, container_name, ZIP_FL_ENC_GUESS);
  if (index < 0) {
    findings.add("mxl-no-container", {}, "there is no META-INF/container.xml");
    return;
  }
  const auto list = small_entry(archive, index);
  if (!list) {
    findings.add("mxl-damaged", {}, "META-INF/container.xml cannot be unpacked");
    return;
  }
  const musicxml::grammar::GrammarVerdict verdict =
      musicxml::grammar::Grammar::of(musicxml::grammar::Grammar::Of::container).check(*list, 1);
  const std::vector<musicxml::RootFile> files = files_in(*list);
  if (files.empty() || files.front().path.empty()) {
    findings.add("mxl-container", {}, "META-INF/container.xml names no score");
    return;
  }
  if (!verdict.findings.empty()) {
    findings.add("mxl-container-grammar", {},
                 "META-INF/container.xml, line " + std::to_string(verdict.findings.front().line) + ": " +
                     verdict.findings.front().message);
  }
  const auto& [score, type] = files.front();
  if (!type.empty() && type != musicxml::score_media_type) {
    findings.add("mxl-media-type", {},
                 "the first rootfile has the media type \"" + type.substr(0, 60) + "\"");
  }
  if (zip_name_locate(archive, score.c_str(), ZIP_FL_ENC_GUESS) < 0) {
    findings.add("mxl-no-rootfile", {},
                 "the container names \"" + score.substr(0, 60) + "\", which is not in the archive");
  }
}

}  // namespace

std::string container_rules(std::string_view bytes, std::size_t max_bytes, Findings& findings) {
  const Archive archive = open_archive(bytes);
  if (archive != nullptr) {
    path_rules(archive.get(), findings);
    mimetype_rules(archive.get(), findings);
    list_rules(archive.get(), findings);
  }
  Report passed_over;  // told above, in other words
  try {
    return musicxml::unpack_score(bytes, max_bytes, passed_over);
  } catch (const ReadError& error) {
    const std::string_view what = error.what();
    const bool large = what.find("limit") != std::string_view::npos;
    findings.add(large ? "file-too-large" : "mxl-damaged", error.place(), error.what());
    return {};
  }
}

bool encoding_rules(std::string_view bytes, musicxml::Decoded& decoded, Findings& findings) {
  Report report;
  try {
    musicxml::decode(bytes, decoded, report);
  } catch (const ReadError& error) {
    findings.add("file-encoding-unknown", error.place(), error.what());
    return false;
  }
  for (const Entry& told : report.entries()) {
    const std::string_view rule =
        told.slug == "musicxml-encoding" ? "file-encoding-lies" : "file-encoding-broken";
    constexpr std::size_t most = 20;
    for (std::size_t i = 0; i < told.places.size() && i < most; ++i) {
      findings.add(
          rule, told.places[i],
          rule == "file-encoding-lies" ? told.text : "bytes here are no character of " + decoded.encoding);
    }
  }
  return true;
}

}  // namespace fifthpeg::check
