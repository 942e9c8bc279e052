#include <string>

#include "base/zip.hpp"
#include "fifthpeg/write.hpp"
#include "formats/musicxml/conventions.hpp"

namespace fifthpeg {

Report write_mxl(const Score& score, const MusicXmlOptions& options, Sink& sink) {
  return write_mxl(score, {}, options, sink);
}

Report write_mxl(const Score& score, std::span<const Score> further, const MusicXmlOptions& options,
                 Sink& sink) {
  StringSink document;
  Report report = write_musicxml(score, further, options, document);
  const std::string container =
      "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
      "<container>\n"
      "  <rootfiles>\n"
      "    <rootfile full-path=\"" +
      std::string(musicxml::mxl_score_name) + "\" media-type=\"" +
      std::string(musicxml::musicxml_media_type) +
      "\"/>\n"
      "  </rootfiles>\n"
      "</container>\n";
  // The media type comes first and is not compressed (MusicXML 4.0, container.xsd).
  sink.write(base::zip_archive({{"mimetype", musicxml::mxl_media_type, false},
                                {std::string(musicxml::mxl_container_name), container},
                                {std::string(musicxml::mxl_score_name), document.str()}}));
  return report;
}

}  // namespace fifthpeg
