#include "fifthpeg/errors.hpp"
#include "fifthpeg/write.hpp"
#include "formats/musicxml/writer/score_writer.hpp"

namespace fifthpeg {

Report write_musicxml(const Score& score, const MusicXmlOptions& options, Sink& sink) {
  Report report;
  try {
    musicxml::writer::ScoreWriter(score, options, sink, report).write();
  } catch (const TimeError&) {
    throw WriteError("time-overflow",
                     "a time in the score is too fine or too long to be written as MusicXML");
  }
  return report;
}

}  // namespace fifthpeg
