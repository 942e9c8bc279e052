// Cuts tunes with chord symbols into pieces of two measures, and prints from which chord to which each leads:
//
//   arguments:       MusicXML files
//   standard output: for each piece a line with tabs: the file's chords over its first note and over its
//   last, or over the note that it lands on; what is found in the piece; and what is found in it without
//   symbols
#include <cstddef>
#include <fstream>
#include <iostream>
#include <iterator>
#include <optional>
#include <string>
#include <utility>

#include "fifthpeg/edit.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/licks.hpp"
#include "fifthpeg/read.hpp"

namespace {

using namespace fifthpeg;

constexpr std::size_t length = 2;  // measures

bool is_struck(const Stroke& stroke) {
  for (const Note& note : stroke.notes) {
    if (!note.tied_from_previous) return stroke.grace == Grace::none;
  }
  return false;
}

struct InTune {
  std::size_t measure = 0;
  Fraction at;
};

// The chord symbol in force at a time of the tune; before the first of the piece, that one.
std::optional<ChordSymbol> chord_at(const Score& tune, std::size_t end, const InTune& time) {
  std::optional<ChordSymbol> chord;
  for (std::size_t m = 0; m < end; ++m) {
    for (const ChordSymbol& one : tune.measures[m].chords) {
      const bool is_later = m > time.measure || (m == time.measure && one.at > time.at);
      if (is_later && chord) return chord;
      chord = one;
      if (is_later) return chord;
    }
  }
  return chord;
}

// Where its first note begins; and its last one, or, as that may be held under another chord, its last
// moment.
std::optional<std::pair<InTune, InTune>> ends_of(const Score& tune, std::size_t first) {
  std::optional<InTune> begin;
  InTune end;
  std::size_t in_last = 0;
  for (std::size_t m = first; m < first + length; ++m) {
    in_last = 0;
    for (const Stroke& stroke : tune.measures[m].strokes) {
      if (!is_struck(stroke)) continue;
      if (!begin) begin = InTune{m, stroke.onset};
      end = InTune{m, stroke.onset};
      ++in_last;
    }
  }
  if (!begin) return std::nullopt;
  const bool lands = in_last == 1 && end.measure == first + length - 1 && end.at == 0;
  if (!lands) end = InTune{first + length - 1, tune.measures[first + length - 1].length};
  return std::pair(*begin, end);
}

std::string found_in(const Score& lick) {
  const LickFacts facts = lick_facts(lick);
  return to_string(facts.from) + '\t' + to_string(facts.to);
}

void look_at(const Score& tune, std::size_t first) {
  const auto ends = ends_of(tune, first);
  if (!ends) return;
  const auto from = chord_at(tune, first + length, ends->first);
  const auto to = chord_at(tune, first + length, ends->second);
  if (!from || !to) return;
  Score piece = slice(tune, first, length);
  try {
    std::cout << to_string(*from) << '\t' << to_string(*to) << '\t' << found_in(piece);
    for (Measure& measure : piece.measures) measure.chords.clear();
    std::cout << '\t' << found_in(piece) << '\n';
  } catch (const UnplayableError& error) {
    std::cout << "\trefused: " << error.code() << '\n';
  }
}

}  // namespace

int main(int count, char** arguments) {
  for (int i = 1; i < count; ++i) {
    std::ifstream file(arguments[i], std::ios::binary);
    const std::string bytes{std::istreambuf_iterator<char>(file), {}};
    const Score tune = read(bytes).score;
    for (std::size_t first = 0; first + length <= tune.measures.size(); first += length) look_at(tune, first);
  }
  return 0;
}
