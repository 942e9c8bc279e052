// Places in music as people write them: "7:3"; and fixed points: "3:2 string 4 finger middle".
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "fifthpeg/hands.hpp"

namespace fifthpeg::cli {

// MEASURE:BEAT, a pitch where several notes are struck there, then what is fixed: string 1 to 5, fret, finger
// (1 to 4 or T, or its name) and pick (T, I, M or the finger's name). Beats are written as reports have them,
// 2 or 2 1/2, or 2.5.
FixedPoint fixed_point(std::string_view option, std::string_view text);

// "7", "7:3", "7:2.5", "7:2 1/2": a place in music.
struct MusicPoint {
  std::string measure;           // its printed number
  std::optional<Fraction> beat;  // counted from 1
};
MusicPoint music_point(std::string_view option, std::string_view text);

// "tune.mid", "tune.mid:7", "tune.mid:7:3": a file, and perhaps a place in its music.
struct TunePoint {
  std::string tune;
  std::optional<MusicPoint> point;
};
TunePoint tune_point(std::string_view option, std::string_view text);

// A file with one on each line; what follows # is a comment.
std::vector<FixedPoint> fixed_points_in(std::string_view option, std::string_view path);

}  // namespace fifthpeg::cli
