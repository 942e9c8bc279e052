// A document that is open already, as a score.
#pragma once

#include "fifthpeg/read.hpp"
#include "formats/musicxml/document.hpp"

namespace fifthpeg::musicxml::reader {

// `report` has what was reported while the document was opened. Throws as read() does, and TimeError
// where times are divided too finely.
Reading read_document(const Document& document, const ReadOptions& options, Report report);

}  // namespace fifthpeg::musicxml::reader
