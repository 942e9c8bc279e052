// The table of shapes: what they sound on each tuning is what their names say.
#include "hands/shapes.hpp"

#include <algorithm>
#include <gtest/gtest.h>
#include <map>
#include <set>
#include <string>

namespace fifthpeg::hands {
namespace {

// A chord in half steps above its root: what makes it that chord, and what it may have besides.
struct ChordTones {
  std::set<int> needed;
  std::set<int> all;
};
const std::map<std::string_view, ChordTones> tones_of{
    {"", {{0, 4}, {0, 4, 7}}},
    {"m", {{0, 3}, {0, 3, 7}}},
    {"7", {{0, 10}, {0, 4, 7, 10}}},
    {"5", {{0, 7}, {0, 7}}},
};

// Pitch classes above the root, of the long strings: stopped, and in an open chord the others as they are.
std::set<int> sounds_above_its_root(const NamedShape& shape, const Tuning& tuning) {
  Banjo banjo;
  banjo.tuning = tuning;
  const int root = banjo.open_midi(shape.root->string) + shape.root->fret;
  std::set<int> tones;
  for (int string = 1; string < fifth_string; ++string) {
    int fret = shape.movable ? -1 : 0;
    for (const ShapeFinger& one : shape.fingers) {
      if (one.string == string) fret = std::max(fret, one.fret);
    }
    if (fret >= 0) tones.insert(pitch_class(banjo.open_midi(string) + fret - root));
  }
  return tones;
}

std::string text_of(const NamedShape& shape, const NamedTuning& tuning) {
  std::string text = std::string(tuning.name) + ": " + std::string(shape.name) + std::string(shape.quality);
  for (const ShapeFinger& one : shape.fingers) {
    text += " " + std::to_string(one.string) + ":" + std::to_string(one.fret);
  }
  return text;
}

TEST(Shapes, SoundTheChordThatTheirNameSaysOnEveryTuning) {
  for (const NamedTuning& tuning : named_tunings()) {
    int chords = 0;
    for (const NamedShape& shape : named_shapes()) {
      if (!shape.root || !lies_on(tuning.tuning, shape)) continue;
      ++chords;
      const ChordTones& tones = tones_of.at(shape.quality);
      const std::set<int> sounding = sounds_above_its_root(shape, tuning.tuning);
      EXPECT_TRUE(std::includes(sounding.begin(), sounding.end(), tones.needed.begin(), tones.needed.end()))
          << text_of(shape, tuning);
      EXPECT_TRUE(std::includes(tones.all.begin(), tones.all.end(), sounding.begin(), sounding.end()))
          << text_of(shape, tuning);
    }
    EXPECT_GE(chords, 5) << tuning.name;
  }
}

// Of two fingers the one nearer the nut is the lower one, and a finger is at one fret.
TEST(Shapes, CanBeFingeredAsTheTableSays) {
  for (const NamedShape& shape : named_shapes()) {
    for (const ShapeFinger& a : shape.fingers) {
      ASSERT_LT(a.finger, thumb_index) << shape.name;
      for (const ShapeFinger& b : shape.fingers) {
        if (a.finger == b.finger) {
          EXPECT_EQ(a.fret, b.fret) << shape.name;
        } else if (a.fret < b.fret) {
          EXPECT_LT(a.finger, b.finger) << shape.name << " " << a.string << " " << b.string;
        }
      }
    }
  }
}

// A fifth string tuned otherwise, or all strings a step lower, change no shape.
TEST(Shapes, LieOnATuningWhoseStringsAreAsFarApart) {
  const auto open_chords_on = [](const Tuning& tuning) {
    return std::count_if(named_shapes().begin(), named_shapes().end(), [&](const NamedShape& shape) {
      return shape.root && !shape.movable && lies_on(tuning, shape);
    });
  };
  EXPECT_EQ(open_chords_on(*parse_tuning("f4 C3 F3 A3 C4")), open_chords_on(open_g()));
  EXPECT_EQ(open_chords_on(*parse_tuning("aDGBD")), open_chords_on(open_g()));
  EXPECT_EQ(open_chords_on(*parse_tuning("open-d")), open_chords_on(*parse_tuning("d")));
  EXPECT_EQ(open_chords_on(*parse_tuning("gDGAD")), 0);
}

}  // namespace
}  // namespace fifthpeg::hands
