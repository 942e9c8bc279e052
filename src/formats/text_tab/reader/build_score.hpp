// The score, once strings and times are known.
#pragma once

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "formats/text_tab/reader/heading.hpp"
#include "formats/text_tab/reader/measures.hpp"
#include "formats/text_tab/reader/strings.hpp"

namespace fifthpeg::text_tab::reader {

// In normal form.
Score build_score(const TabText& text, const Heading& heading, const StringOrder& strings, Report& report);

}  // namespace fifthpeg::text_tab::reader
