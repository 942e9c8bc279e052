// Compares the chord symbols of files with those that are inferred from their notes:
//
//   arguments:       MusicXML files
//   standard output: for each file its name on a line, then for each half measure, or what else has one
//   chord, a line: the file's chord that lasts longest there or -, what is inferred, the second best, how
//   sure it is
#include <algorithm>
#include <fstream>
#include <iostream>
#include <iterator>
#include <string>
#include <vector>

#include "fifthpeg/harmony.hpp"
#include "fifthpeg/read.hpp"

namespace {

using fifthpeg::ChordSymbol;
using fifthpeg::Fraction;
using fifthpeg::InferredChord;
using fifthpeg::Measure;
using fifthpeg::Score;

// The chord in force before a measure.
std::string chord_before(const Score& score, std::size_t measure) {
  for (std::size_t m = measure; m > 0; --m) {
    const auto& chords = score.measures[m - 1].chords;
    if (!chords.empty()) return to_string(chords.back());
  }
  return "-";
}

std::string chord_of(const Score& score, const InferredChord& unit) {
  const Measure& measure = score.measures[unit.measure];
  const Fraction end = unit.at + unit.length;
  std::string longest;
  Fraction most;
  const auto consider = [&](const std::string& chord, Fraction from, Fraction to) {
    const Fraction length = std::min(to, end) - std::max(from, unit.at);
    if (length <= most) return;
    most = length;
    longest = chord;
  };
  std::string chord = chord_before(score, unit.measure);
  Fraction from;
  for (const ChordSymbol& next : measure.chords) {
    consider(chord, from, next.at);
    chord = to_string(next);
    from = next.at;
  }
  consider(chord, from, measure.length);
  return longest;
}

}  // namespace

int main(int count, char** arguments) {
  for (int i = 1; i < count; ++i) {
    std::ifstream file(arguments[i], std::ios::binary);
    const std::string bytes{std::istreambuf_iterator<char>(file), {}};
    const Score score = fifthpeg::read(bytes).score;
    std::cout << arguments[i] << '\n';
    for (const InferredChord& unit : fifthpeg::infer_chords(score)) {
      std::cout << chord_of(score, unit) << ' ' << to_string(unit.chord) << ' ' << to_string(unit.second)
                << ' ' << unit.sure << '\n';
    }
  }
  return 0;
}
