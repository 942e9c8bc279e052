// A drawing as a file. The same drawing gives the same bytes, as long as the machine's fonts are the same.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "fifthpeg/write.hpp"
#include "formats/sheet/drawing.hpp"

namespace fifthpeg::sheet {

// Throw WriteError, and what the sink throws.
void write_pdf(const Drawing& drawing, Sink& sink);
void write_png(const Page& page, double dots_per_mm, Sink& sink);

// For a style sheet and a program of the page that it stands in: each run of marks of a kind is a group of
// that class ("fret-finger"), marks of a stroke have data-stroke="PIECE.MEASURE.STROKE", the ground has the
// class "paper", and ink has the color of the root.
void write_svg(const Page& page, const Drawing& drawing, Sink& sink);

// A page as an element of a document: without a ground or a size of its own, read aloud as `label`. Its
// measures are rectangles of the class "measure" with data-measure="PIECE.MEASURE", under all marks. What it
// is drawn with, svg_signs() gives, once for a document.
std::string svg_element(const Page& page, const Drawing& drawing, std::string_view label);
std::string svg_signs(const std::vector<Drawing>& drawings);

}  // namespace fifthpeg::sheet
