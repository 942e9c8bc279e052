// Licks for where the melody rests: at the end of a phrase, from the chord that it ends on to the next.
#pragma once

#include <string_view>
#include <vector>

#include "arrange/candidates.hpp"

namespace fifthpeg::arranging {

// A row of the table, as a player would write it. A word is a slot: "3:0T" string, fret and picking finger,
// "3:2/4T" slid or hammered into at once, "3:h2" hammered on, pulled off or slid to from the slot before,
// "5:0T+1:0M" a pinch, "-" nothing.
struct LickRow {
  std::string_view from;  // chord, as the shapes of open G without capo have it
  std::string_view to;
  int level;  // from which on
  std::string_view words;
};
const std::vector<LickRow>& lick_table();

struct Lick {
  Candidate played;
  int cost = 0;
};

// Those that fill a unit from its chord to the next, on a banjo whose long strings lie as in open G.
std::vector<Lick> licks_for(const Unit& unit, const Neckwork& neck);

// For the table and tests; nothing where it cannot be read.
Candidate parse_lick(std::string_view words);

// Whether the strings of two banjos lie as far apart, whatever raises them; as in open G.
bool lie_alike(const Banjo& one, const Banjo& other);
bool lies_as_open_g(const Banjo& banjo);
// A chord, as hands::chord_of() numbers it, as the shapes of open G without capo have it on such a banjo.
int shape_of(int chord, const Banjo& banjo);
// The same of a name: "Am".
int chord_number(std::string_view name);

}  // namespace fifthpeg::arranging
