#include "score/chord_tones.hpp"

#include <algorithm>
#include <array>
#include <map>
#include <string_view>

namespace fifthpeg {
namespace {

struct KindDegrees {
  std::string_view kind;     // kind-value of MusicXML 4.0
  std::string_view degrees;  // over the root, as steps of its major scale
};

// As the documentation of MusicXML 4.0 describes each kind-value.
constexpr std::array degrees_of_kinds{
    KindDegrees{"major", "3 5"},
    KindDegrees{"minor", "b3 5"},
    KindDegrees{"dominant", "3 5 b7"},
    KindDegrees{"augmented", "3 #5"},
    KindDegrees{"diminished", "b3 b5"},
    KindDegrees{"major-seventh", "3 5 7"},
    KindDegrees{"minor-seventh", "b3 5 b7"},
    KindDegrees{"diminished-seventh", "b3 b5 bb7"},
    KindDegrees{"augmented-seventh", "3 #5 b7"},
    KindDegrees{"half-diminished", "b3 b5 b7"},
    KindDegrees{"major-minor", "b3 5 7"},
    KindDegrees{"major-sixth", "3 5 6"},
    KindDegrees{"minor-sixth", "b3 5 6"},
    KindDegrees{"dominant-ninth", "3 5 b7 9"},
    KindDegrees{"major-ninth", "3 5 7 9"},
    KindDegrees{"minor-ninth", "b3 5 b7 9"},
    KindDegrees{"dominant-11th", "3 5 b7 9 11"},
    KindDegrees{"major-11th", "3 5 7 9 11"},
    KindDegrees{"minor-11th", "b3 5 b7 9 11"},
    KindDegrees{"dominant-13th", "3 5 b7 9 11 13"},
    KindDegrees{"major-13th", "3 5 7 9 11 13"},
    KindDegrees{"minor-13th", "b3 5 b7 9 11 13"},
    KindDegrees{"suspended-second", "2 5"},
    KindDegrees{"suspended-fourth", "4 5"},
    KindDegrees{"power", "5"},
};

constexpr int perfect_fifth = 7;

// Half steps of a step of the major scale over its first.
int half_steps_of(int degree) {
  constexpr std::array scale{0, 2, 4, 5, 7, 9, 11};
  return scale.at(static_cast<std::size_t>(degree - 1) % 7);
}

using Degrees = std::map<int, int>;  // half steps over the root, by degree

Degrees read_degrees(std::string_view text) {
  Degrees degrees{{1, 0}};
  int alter = 0;
  int degree = 0;
  const auto take = [&] {
    if (degree > 0) degrees[degree] = half_steps_of(degree) + alter;
    alter = degree = 0;
  };
  for (const char c : text) {
    if (c == ' ') take();
    if (c == 'b') --alter;
    if (c == '#') ++alter;
    if (c >= '0' && c <= '9') degree = 10 * degree + (c - '0');
  }
  take();
  return degrees;
}

// What is added is counted from a seventh chord: its seventh is minor (MusicXML 4.0, degree-alter).
void change(const ChordDegree& degree, Degrees& degrees) {
  const int plain = half_steps_of(degree.value) - (degree.value == 7 ? 1 : 0);
  const auto there = degrees.find(degree.value);
  switch (degree.kind) {
    case ChordDegree::Kind::subtract:
      degrees.erase(degree.value);
      return;
    case ChordDegree::Kind::alter:
      degrees[degree.value] = (there != degrees.end() ? there->second : plain) + degree.alter;
      return;
    case ChordDegree::Kind::add:
      degrees[degree.value] = plain + degree.alter;
      return;
  }
}

}  // namespace

std::optional<ChordTones> chord_tones(const ChordSymbol& chord) {
  const auto row = std::find_if(degrees_of_kinds.begin(), degrees_of_kinds.end(),
                                [&](const KindDegrees& one) { return one.kind == chord.kind; });
  if (row == degrees_of_kinds.end()) return std::nullopt;
  Degrees degrees = read_degrees(row->degrees);
  for (const ChordDegree& degree : chord.degrees) {
    if (degree.value < 1) return std::nullopt;
    change(degree, degrees);
  }
  const int root = Pitch{chord.root.step, chord.root.alter, 4}.midi();
  ChordTones tones;
  for (const auto& [degree, half_steps] : degrees) {
    tones.all |= ChordTones::bit(root + half_steps);
    // Four strings leave it out first (common practice); a sixth chord without it is another root's triad.
    const bool spare =
        degree == 5 && half_steps == perfect_fifth && degrees.size() > 3 && !degrees.contains(6);
    if (!spare) tones.needed |= ChordTones::bit(root + half_steps);
  }
  return tones;
}

}  // namespace fifthpeg
