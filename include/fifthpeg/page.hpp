// Pages to play along with: scores as one HTML file that draws the tab of a sheet, plays it slowly and as
// often as it takes, and shows what sounds. It needs no network and asks for none: style, program and music
// are in it, and its content security policy forbids all else. Without a program, and printed, it is the
// sheet alone.
//
// In the library fifthpeg::sheet, whose layout it has at two widths: for a phone, and as wide as the paper of
// the options, which is also how it is printed. It plays what perform() says.
#pragma once

#include <vector>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "fifthpeg/sheet.hpp"
#include "fifthpeg/write.hpp"

namespace fifthpeg {

// Several scores stand one below the other, with a list to jump by; with `phrases` of the options, each is
// followed by its phrases. On a phone a line has as many measures as suit, whatever `measures_a_line` says.
// Returns what is not on the page, or not as it should be. The same scores and options give the same bytes.
// Throws as Sheet does and as perform() does, and what the sink throws.
Report write_page(const std::vector<Score>& pieces, const SheetOptions& options, Sink& sink);

}  // namespace fifthpeg
