// Strums: what the hand of a clawhammer player does over one beat. A measure is made of them in pairs, the
// first for the tune and the second for the accompaniment: "bum" and "ditty". The table is data: a row reads
// as a player would say it.
#pragma once

#include <array>
#include <cstdint>
#include <string_view>
#include <vector>

namespace fifthpeg::arranging {

enum class Frail : std::int8_t {
  nothing,
  nail,          // on one string, downwards
  brush,         // the nail over neighboring strings
  fifth_string,  // the thumb, which has come to rest there with the nail's stroke
  drop,          // the thumb on an inner string
  slur           // the fret hand sounds the string that was struck last
};

enum class BeatOfPair : std::int8_t { first, second, either };

inline constexpr int most_in_beat = 3;

struct Strum {
  std::array<Frail, most_in_beat> frails{};
  int count = 0;  // of slots: two to a beat, three to a dotted one
  BeatOfPair beat = BeatOfPair::either;
  int level = 1;  // from which on it is played
  int cost = 0;   // how much less usual it is than others, in units of the cost table
};

// Those over so many slots, 1 to 3. Of two that cost the same the first is the more usual.
const std::vector<Strum>& strums_of(int slots);

// "N - 5": N nail, B brush, 5 the thumb's fifth string, T the thumb dropped, h a hammer-on, pull-off or
// slide, - nothing. For the table and tests.
Strum parse_strum(std::string_view text);

}  // namespace fifthpeg::arranging
