// Words for what reasons speak of.
#pragma once

#include <string>

#include "fifthpeg/banjo.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::licks {

// "1 beat", "2.5 beats".
std::string beats_in_words(Fraction length, const Meter& meter);
// Of a shape, as it sounds on a banjo: "G", "Am".
std::string chord_name(int shape, const Banjo& banjo, const Key& key);
std::string tone_name(int midi, const Key& key);

}  // namespace fifthpeg::licks
