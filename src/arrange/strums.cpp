#include "arrange/strums.hpp"

#include <iterator>

namespace fifthpeg::arranging {
namespace {

struct StrumRow {
  std::string_view strum;
  BeatOfPair beat;
  int level;
  int cost;
};

using enum BeatOfPair;

// All of it is common practice, from memory: the nail falls with every beat, the thumb plays between, and
// what beginners learn first is bum-ditty, a note and then brush and thumb. Then come slurs, which the
// picking hand waits for, then the thumb that drops to an inner string and the one that catches the fifth
// string after every note. What is usual costs nothing, what is heard now and then 4 to 8, what lets the
// drone stop 24.
constexpr StrumRow over_two[] = {
    {"N -", first, 1, 0},                                                   // bum
    {"N h", first, 2, 0},   {"N T", first, 3, 0},   {"N 5", first, 3, 0},   // double thumbing
    {"B -", first, 1, 6},   {"B 5", first, 2, 6},   {"B 5", second, 1, 0},  // ditty
    {"N 5", second, 1, 0},  {"N h", second, 2, 0},  {"N T", second, 3, 0},
    {"N -", second, 1, 24}, {"B -", second, 1, 24},
};
// In 6/8 a strum is a dotted beat. What is struck on its last third is the thumb's, since the nail is about
// to fall.
constexpr StrumRow over_three[] = {
    {"N - 5", either, 1, 0}, {"B - 5", either, 1, 4}, {"N h 5", either, 2, 0},  {"N - h", either, 2, 4},
    {"N - T", either, 3, 0}, {"N h T", either, 3, 0}, {"N h h", either, 3, 4},  {"N T h", either, 3, 8},
    {"N T -", either, 3, 8}, {"N 5 -", either, 3, 8}, {"N - -", either, 1, 24}, {"B - -", either, 1, 24},
};
// What is left of a beat in meters of five and seven eighths.
constexpr StrumRow over_one[] = {
    {"N", either, 1, 0},
    {"B", either, 1, 4},
};

std::vector<Strum> strums_from(const StrumRow* row, const StrumRow* end) {
  std::vector<Strum> strums;
  strums.reserve(static_cast<std::size_t>(end - row));
  for (; row != end; ++row) {
    Strum strum = parse_strum(row->strum);
    strum.beat = row->beat;
    strum.level = row->level;
    strum.cost = row->cost;
    strums.push_back(strum);
  }
  return strums;
}

Frail frail_of(char letter) {
  switch (letter) {
    case 'N':
      return Frail::nail;
    case 'B':
      return Frail::brush;
    case '5':
      return Frail::fifth_string;
    case 'T':
      return Frail::drop;
    case 'h':
      return Frail::slur;
    default:
      return Frail::nothing;
  }
}

}  // namespace

Strum parse_strum(std::string_view text) {
  Strum strum;
  for (std::size_t i = 0; i < text.size(); i += 2)
    strum.frails.at(static_cast<std::size_t>(strum.count++)) = frail_of(text[i]);
  return strum;
}

const std::vector<Strum>& strums_of(int slots) {
  static const std::array<std::vector<Strum>, most_in_beat> by_slots{
      strums_from(std::begin(over_one), std::end(over_one)),
      strums_from(std::begin(over_two), std::end(over_two)),
      strums_from(std::begin(over_three), std::end(over_three))};
  return by_slots.at(static_cast<std::size_t>(slots - 1));
}

}  // namespace fifthpeg::arranging
