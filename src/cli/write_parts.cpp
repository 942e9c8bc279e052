#include "cli/write_parts.hpp"

#include <algorithm>
#include <string_view>
#include <unistd.h>
#include <utility>

#include "cli/messages.hpp"
#include "fifthpeg/errors.hpp"
#include "formats/musicxml/archive.hpp"

namespace fifthpeg::cli {
namespace {

Report write_parts(const Parts& parts, const WritingOptions& options, Sink& sink) {
  switch (options.format) {
    case OutputFormat::musicxml:
      return write_musicxml(parts.score, parts.further, options.musicxml, sink);
    case OutputFormat::mxl:
      return write_mxl(parts.score, parts.further, options.musicxml, sink);
    case OutputFormat::midi:
      return write_midi(parts.score, parts.further, options.midi, sink);
    case OutputFormat::text:
      break;
  }
  Report report = write_text_tab(parts.score, options.text, sink);
  if (!parts.further.empty()) {
    report.add(EntryKind::loss, "text-one-part",
               "text tab has one part: the backup is not in it; MusicXML and MIDI have both");
  }
  return report;
}

// An archive that the limits for reading one would keep out is of no use to anybody.
void require_readable(std::string_view archive, std::size_t max_bytes) {
  Report passed_over;
  try {
    musicxml::unpack_score(archive, max_bytes, passed_over);
  } catch (const ReadError& error) {
    throw OutputError("would be refused when it is read again (" + std::string(error.what()) +
                      "); raise --max-bytes, or write .musicxml");
  }
}

// Writes the score, and reports what it loses by that. Where nothing may be lost, that is known only in the
// end: into an output that cannot be taken back, the first byte then goes after the last has been made.
void produce(const Parts& parts, const WritingOptions& options, const SourceFingering& source,
             const Destination& destination, Sink& sink, bool can_be_taken_back, Report& report) {
  const bool ahead = (options.strict && !can_be_taken_back) || options.format == OutputFormat::mxl;
  StringSink whole;
  Sink& to = ahead ? whole : sink;
  Report written = write_parts(parts, options, to);
  // What was made a moment ago has roles, and --roles shows them: no news, unless nothing may be lost.
  if (destination.made_roles && !options.strict) written.erase("tab-role");
  report.merge(losses_of_source(std::move(written), source));
  refuse_losses(report, options.strict);
  if (options.format == OutputFormat::mxl) require_readable(whole.str(), destination.max_bytes);
  if (ahead) sink.write(whole.str());
}

}  // namespace

bool is_telling_loss(const Entry& entry) {
  return entry.kind == EntryKind::loss && !is_of_recordings(entry);
}

void refuse_losses(const Report& report, bool strict) {
  if (!strict || !report.has_losses()) return;
  const auto& entries = report.entries();
  const auto is_loss = [](const Entry& one) { return one.kind == EntryKind::loss; };
  const auto kinds = std::count_if(entries.begin(), entries.end(), is_loss);
  const auto telling = std::find_if(entries.begin(), entries.end(), is_telling_loss);
  const Entry& first =
      telling != entries.end() ? *telling : *std::find_if(entries.begin(), entries.end(), is_loss);
  const std::string others = kinds > 1 ? " (and other losses)" : "";
  throw UnplayableError("nothing was written because of --strict: " + first.text + others,
                        first.places.empty() ? Place{} : first.places.front());
}

void write_output(const Parts& parts, const WritingOptions& options, const SourceFingering& source,
                  const Destination& to, Report& report) {
  if (to.path == standard_stream) {
    DescriptorSink out(STDOUT_FILENO);
    produce(parts, options, source, to, out, false, report);
    out.flush();
    return;
  }
  OutputFile file(to.path, options.force, to.disk);
  produce(parts, options, source, to, file, file.can_be_taken_back(), report);
  file.commit();
}

}  // namespace fifthpeg::cli
