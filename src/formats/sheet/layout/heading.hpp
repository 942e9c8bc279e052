// What stands over a piece and what explains its signs under it.
#pragma once

#include <string>
#include <vector>

#include "formats/sheet/layout/pages.hpp"
#include "formats/sheet/layout/system.hpp"

namespace fifthpeg::sheet {

// Title, names, tuning, capo, key and tempo. In a handout its title stands at the left, under that of all.
Block heading(const Score& score, bool in_handout, const Sizes& sizes, double width, TextFace& face);

// Over a handout.
Block title_of_all(const SheetOptions& options, const Sizes& sizes, double width, TextFace& face);

// Paragraphs, one under the other, each broken where it is wider.
Block paragraphs(Kind kind, const std::vector<std::string>& texts, TextStyle style, double width,
                 TextFace& face);

// What the letters and signs of pieces mean, those alone that they have; nothing where there are none.
Block legend(const std::vector<Score>& pieces, const SheetOptions& options, const Sizes& sizes, double width,
             TextFace& face);

}  // namespace fifthpeg::sheet
