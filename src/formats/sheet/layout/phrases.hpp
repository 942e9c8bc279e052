// A piece in phrases, the way a lesson goes.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "fifthpeg/score.hpp"
#include "fifthpeg/sheet.hpp"

namespace fifthpeg::sheet {

struct Phrase {
  std::size_t first = 0;  // index into Score::measures
  std::size_t end = 0;
  std::string name;  // "A: measures 1 to 4"
};

// A phrase begins at each rehearsal letter and behind each double bar and repeat sign; with `length` above 0,
// after each so many measures that are counted instead. A single one is none: it would be the whole again.
std::vector<Phrase> phrases_of(const Score& score, int length);
// Those that the options ask for of a piece; none of one that is kept whole.
std::vector<Phrase> phrases_asked_for(const std::vector<Score>& pieces, std::size_t piece,
                                      const SheetOptions& options);

}  // namespace fifthpeg::sheet
