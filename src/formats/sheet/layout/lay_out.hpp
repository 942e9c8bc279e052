// Scores to pages: the whole of the layout.
#pragma once

#include <vector>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "fifthpeg/sheet.hpp"
#include "formats/sheet/drawing.hpp"

namespace fifthpeg::sheet {

// Adds to the report what is not on the pages, or not as it should be. Throws as Sheet does.
Drawing lay_out(const std::vector<Score>& pieces, const SheetOptions& options, Report& report);

// For a window that is scrolled: the same without pages, so many millimeters wide. A drawing for each piece,
// whose pages are its heading and then its lines of music, each as high as what stands on it; and a last one,
// without pages where there is nothing to explain, that says what the signs mean. The title and the
// paragraphs of a handout are not in it, nor who may copy.
std::vector<Drawing> lay_out_strips(const std::vector<Score>& pieces, const SheetOptions& options,
                                    double width, Report& report);

}  // namespace fifthpeg::sheet
