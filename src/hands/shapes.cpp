#include "hands/shapes.hpp"

#include <algorithm>
#include <string_view>

namespace fifthpeg::hands {
namespace {

struct ShapeRow {
  std::string_view name;
  bool movable;
  std::string_view fingers;  // string:fret and i, m, r or l; index finger at fret 1 where it can be moved
  std::string_view root;     // string:fret of the chord's root; empty where it is no whole chord
  std::string_view quality;  // as a chord symbol has it
};

// As they lie on strings that sound as far apart as in open G. Common practice.
constexpr std::array shape_rows{
    ShapeRow{"open", false, "4:2m 2:1i 1:2r", "2:1", ""},
    ShapeRow{"open", false, "4:2m 3:3r 2:1i 1:2l", "2:1", "7"},
    ShapeRow{"open", false, "3:2m 2:1i", "4:0", "7"},
    ShapeRow{"open", false, "4:4l 3:2m 2:1i", "4:0", "7"},
    ShapeRow{"open", false, "3:2i 2:3m 1:4l 4:4r", "2:3", ""},
    ShapeRow{"open", false, "4:2r 3:2m 2:1i 1:2l", "3:2", "m"},
    ShapeRow{"open", false, "4:2m 1:2r", "4:2", "m"},
    ShapeRow{"", false, "3:2m 3:3r", "", ""},  // for hammer-ons and slides into the third
    ShapeRow{"bar", true, "4:1i 3:1i 2:1i 1:1i", "3:1", ""},
    ShapeRow{"F shape", true, "4:3r 3:2m 2:1i 1:3l", "4:3", ""},
    ShapeRow{"D shape", true, "4:3r 3:1i 2:2m 1:3l", "2:2", ""},
    ShapeRow{"D shape, root low", true, "4:1i 3:3m 2:4r 1:5l", "4:1", ""},
    ShapeRow{"minor shape", true, "4:3r 3:1i 2:1i 1:3l", "4:3", "m"},
    ShapeRow{"two-finger bar", true, "2:2m 1:2r", "", ""},
    ShapeRow{"third on 1 and 2", true, "2:1i 1:2m", "", ""},
    ShapeRow{"third on 2 and 3", true, "3:2m 2:1i", "", ""},
    ShapeRow{"sixth on 1 and 3", true, "3:1i 1:2m", "", ""},
    ShapeRow{"sixth on 1 and 3", true, "3:1i 1:3r", "", ""},
    ShapeRow{"sixth on 2 and 4", true, "4:2m 2:1i", "", ""},
    ShapeRow{"sixth on 2 and 4", true, "4:1i 2:1m", "", ""},
};

NamedShape shape_of(const ShapeRow& row) {
  NamedShape shape{row.name, row.movable, {}, {}, row.quality};
  for (std::size_t at = 0; at + 3 < row.fingers.size(); at += 5) {
    shape.fingers.push_back({std::string_view("imrl").find(row.fingers[at + 3]), row.fingers[at] - '0',
                             row.fingers[at + 2] - '0'});
  }
  if (!row.root.empty()) {
    shape.root =
        Placement{static_cast<std::int8_t>(row.root[0] - '0'), static_cast<std::int8_t>(row.root[2] - '0')};
  }
  return shape;
}

// Whether two strings lie as far apart as in open G.
bool as_in_open_g(const Tuning& tuning, int a, int b) {
  return tuning.open(a).midi() - tuning.open(b).midi() == open_g().open(a).midi() - open_g().open(b).midi();
}

}  // namespace

const std::vector<NamedShape>& named_shapes() {
  static const std::vector<NamedShape> shapes = [] {
    std::vector<NamedShape> all;
    all.reserve(shape_rows.size());
    for (const ShapeRow& row : shape_rows) all.push_back(shape_of(row));
    return all;
  }();
  return shapes;
}

bool lies_as_in_open_g(const NamedShape& shape, const Tuning& tuning) {
  return std::all_of(shape.fingers.begin(), shape.fingers.end(), [&](const ShapeFinger& finger) {
    return as_in_open_g(tuning, finger.string, shape.fingers.front().string);
  });
}

// At every place of the neck where the shape stands.
void Shapes::add_to_chords(const NamedShape& shape, const Banjo& banjo) {
  if (!shape.root || !lies_as_in_open_g(shape, banjo.tuning)) return;
  const int root = banjo.open_midi(shape.root->string) + shape.root->fret;
  const int minor = shape.quality.starts_with('m') ? 12 : 0;
  for (int up = 0; up <= (shape.movable ? highest_in_chord : 0); ++up) {
    const int number = pitch_class(root + up) + minor;
    auto& chord = in_chord_.at(static_cast<std::size_t>(number));
    for (const ShapeFinger& one : shape.fingers) {
      const int fret = one.fret + up;
      if (fret > highest_in_chord) continue;
      chord.at(one.finger).at(static_cast<std::size_t>(fret)) |= string_bit(one.string);
    }
  }
}

Shapes::Shapes(const Banjo& banjo) {
  const Tuning& tuning = banjo.tuning;
  for (const NamedShape& shape : named_shapes()) {
    add_to_chords(shape, banjo);
    for (const ShapeFinger& a : shape.fingers) {
      for (const ShapeFinger& b : shape.fingers) {
        if (a.finger == b.finger || !as_in_open_g(tuning, a.string, b.string)) continue;
        Pairs& pairs = shape.movable ? movable_ : at_the_nut_.at(static_cast<std::size_t>(a.fret));
        pairs[slot_of(a.finger, a.string, b.finger, b.fret - a.fret)] |= string_bit(b.string);
      }
    }
  }
}

}  // namespace fifthpeg::hands
