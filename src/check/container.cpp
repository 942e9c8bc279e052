// The container: the archive of compressed MusicXML, and the encoding of XML.
#include <string>
#include <vector>

#include "base/zip.hpp"
#include "check/families.hpp"
#include "fifthpeg/errors.hpp"
#include "formats/musicxml/archive.hpp"
#include "formats/musicxml/conventions.hpp"
#include "formats/musicxml/encoding.hpp"
#include "formats/musicxml/grammar.hpp"

namespace fifthpeg::check {
namespace {

constexpr std::size_t container_bytes = 1 << 20;  // more than any container needs

// None where the list cannot be read.
std::vector<musicxml::RootFile> files_in(std::string_view list) {
  Report passed_over;
  try {
    return musicxml::root_files(list, passed_over);
  } catch (const ReadError&) {
    return {};
  }
}

void mimetype_rules(const base::ZipReader& archive, Findings& findings) {
  const auto index = archive.find("mimetype");
  if (!index) return;  // may be left out
  const auto content = archive.unpack(*index, musicxml::mxl_media_type.size());
  if (!content) return;
  if (*content != musicxml::mxl_media_type) {
    findings.add("mxl-mimetype", {},
                 "the mimetype file does not say " + std::string(musicxml::mxl_media_type));
  } else if (*index != 0) {
    findings.add("mxl-mimetype", {}, "the mimetype file is not the first in the archive");
  } else if (!archive.entry(*index).stored) {
    findings.add("mxl-mimetype", {}, "the mimetype file is compressed");
  }
}

void path_rules(const base::ZipReader& archive, Findings& findings) {
  for (std::size_t i = 0; i < archive.count(); ++i) {
    const std::string path = archive.entry(i).name;
    if (!musicxml::leads_out(path)) continue;
    findings.add("mxl-path", {}, "the entry \"" + path.substr(0, 60) + "\" leads out of the archive");
  }
}

void list_rules(const base::ZipReader& archive, Findings& findings) {
  const auto index = archive.find(std::string(musicxml::mxl_container_name));
  if (!index) {
    findings.add("mxl-no-container", {}, "there is no META-INF/container.xml");
    return;
  }
  const auto list = archive.unpack(*index, container_bytes);
  if (!list) {
    findings.add("mxl-damaged", {}, "META-INF/container.xml cannot be unpacked");
    return;
  }
  const std::vector<musicxml::RootFile> files = files_in(*list);
  if (files.empty() || files.front().path.empty()) {
    findings.add("mxl-container", {}, "META-INF/container.xml names no score");
    return;
  }
  const musicxml::grammar::GrammarVerdict verdict =
      musicxml::grammar::Grammar::of(musicxml::grammar::Grammar::Of::container).check(*list, 1);
  if (!verdict.findings.empty()) {
    findings.add("mxl-container-grammar", {},
                 "META-INF/container.xml, line " + std::to_string(verdict.findings.front().line) + ": " +
                     verdict.findings.front().message);
  }
  const auto& [score, type] = files.front();
  if (!type.empty() && type != musicxml::musicxml_media_type) {
    findings.add("mxl-media-type", {},
                 "the first rootfile has the media type \"" + type.substr(0, 60) + "\"");
  }
  if (!archive.find(score)) {
    findings.add("mxl-no-rootfile", {},
                 "the container names \"" + score.substr(0, 60) + "\", which is not in the archive");
  }
}

}  // namespace

std::string container_rules(std::string_view bytes, std::size_t max_bytes, Findings& findings) {
  if (const auto archive = base::ZipReader::open(bytes)) {
    path_rules(*archive, findings);
    mimetype_rules(*archive, findings);
    list_rules(*archive, findings);
  }
  Report passed_over;  // reported above, in other words
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
  for (const Entry& entry : report.entries()) {
    const std::string_view rule =
        entry.slug == "musicxml-encoding" ? "file-encoding-lies" : "file-encoding-broken";
    constexpr std::size_t most = 20;
    for (std::size_t i = 0; i < entry.places.size() && i < most; ++i) {
      findings.add(
          rule, entry.places[i],
          rule == "file-encoding-lies" ? entry.text : "bytes here are not valid in " + decoded.encoding);
    }
  }
  return true;
}

}  // namespace fifthpeg::check
