#include <string>
#include <utility>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/write.hpp"
#include "formats/musicxml/conventions.hpp"
#include "formats/musicxml/writer/head_writer.hpp"
#include "formats/musicxml/writer/part_writer.hpp"
#include "score/parts.hpp"

namespace fifthpeg {
namespace {

Report write_document(const Score& score, std::span<const Score> further, const MusicXmlOptions& options,
                      Sink& sink) {
  Report report;
  musicxml::writer::XmlWriter xml(sink, report);
  write_head(score, further, options, xml, report);
  const auto write_part = [&](const Score& part, std::size_t number) {
    musicxml::writer::PartWriter(part, options, xml, report).write(musicxml::part_id(number));
  };
  write_part(score, 1);
  Report all = std::exchange(report, {});
  for (std::size_t i = 0; i < further.size(); ++i) {
    write_part(further[i], i + 2);
    all.merge(in_part(std::exchange(report, {}), further[i].part_name));
  }
  xml.close();
  xml.flush();
  all.merge(report);
  return all;
}

}  // namespace

Report write_musicxml(const Score& score, const MusicXmlOptions& options, Sink& sink) {
  return write_musicxml(score, {}, options, sink);
}

Report write_musicxml(const Score& score, std::span<const Score> further, const MusicXmlOptions& options,
                      Sink& sink) {
  require_one_frame(score, further);
  try {
    return write_document(score, further, options, sink);
  } catch (const TimeError&) {
    throw WriteError("time-overflow",
                     "a time in the score is too fine or too long to be written as MusicXML");
  }
}

}  // namespace fifthpeg
