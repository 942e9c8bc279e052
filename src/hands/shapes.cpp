#include "hands/shapes.hpp"

#include <bit>
#include <string_view>

namespace fifthpeg::hands {
namespace {

struct ShapeRow {
  std::string_view tuning;
  std::string_view name;
  bool movable;
  std::string_view fingers;  // string:fret and i, m, r or l; index finger at fret 1 where it can be moved
  std::string_view root;     // string:fret of the chord's root; empty where it is no whole chord
  std::string_view quality;  // as a chord symbol has it
};

// The open chords, the movable shapes and the double stops of each tuning. Common practice.
constexpr std::array shape_rows{
    ShapeRow{"open-g", "open", false, "4:2m 2:1i 1:2r", "2:1", ""},
    ShapeRow{"open-g", "open", false, "3:2m 2:1i", "4:0", "7"},
    ShapeRow{"open-g", "open", false, "4:4l 3:2m 2:1i", "1:0", "7"},
    ShapeRow{"open-g", "open", false, "3:2i 2:3m 1:4l 4:4r", "2:3", ""},
    ShapeRow{"open-g", "open", false, "4:2r 3:2m 2:1i 1:2l", "3:2", "m"},
    ShapeRow{"open-g", "open", false, "4:2m 1:2r", "4:2", "m"},
    ShapeRow{"open-g", "", false, "3:2m 3:3r", "", ""},  // for hammer-ons and slides into the third
    ShapeRow{"open-g", "bar", true, "4:1i 3:1i 2:1i 1:1i", "3:1", ""},
    ShapeRow{"open-g", "F shape", true, "4:3r 3:2m 2:1i 1:3l", "4:3", ""},
    ShapeRow{"open-g", "D shape", true, "4:3r 3:1i 2:2m 1:3l", "2:2", ""},
    ShapeRow{"open-g", "D shape, root low", true, "4:1i 3:3m 2:4r 1:5l", "4:1", ""},
    ShapeRow{"open-g", "minor shape", true, "4:3r 3:1i 2:1i 1:3l", "4:3", "m"},

    // The first three strings of open G over a low C: the F and D shapes without their fourth string.
    ShapeRow{"c", "open", false, "2:1i 1:2m", "2:1", ""},
    ShapeRow{"c", "open", false, "4:2m", "3:0", ""},
    ShapeRow{"c", "open", false, "4:2m 1:3r", "3:0", "7"},
    ShapeRow{"c", "open", false, "3:2m 2:1i", "1:0", "7"},
    ShapeRow{"c", "open", false, "4:2m 3:2r 2:1i", "4:2", "7"},
    ShapeRow{"c", "open", false, "3:2m 2:1i 1:2r", "3:2", "m"},
    ShapeRow{"c", "open", false, "4:2i 3:2m 2:3r 1:3l", "4:2", "m"},
    ShapeRow{"c", "bar", true, "3:1i 2:1i 1:1i", "3:1", ""},
    ShapeRow{"c", "F shape", true, "3:2m 2:1i 1:3r", "1:3", ""},
    ShapeRow{"c", "D shape", true, "3:1i 2:2m 1:3r", "2:2", ""},
    ShapeRow{"c", "minor shape", true, "3:1i 2:1i 1:3r", "1:3", "m"},

    ShapeRow{"double-c", "open", false, "1:2m", "4:0", ""},
    ShapeRow{"double-c", "open", false, "3:2m 1:3r", "1:3", ""},
    ShapeRow{"double-c", "open", false, "4:2m 2:2r", "3:0", "5"},
    ShapeRow{"double-c", "open", false, "4:2i 2:2m 1:3r", "3:0", "7"},
    ShapeRow{"double-c", "open", false, "3:2m 1:2r", "3:2", "m"},
    ShapeRow{"double-c", "bar", true, "4:1i 3:1i 2:1i 1:3r", "4:1", ""},
    ShapeRow{"double-c", "minor bar", true, "4:1i 3:1i 2:1i 1:2m", "4:1", "m"},

    ShapeRow{"modal-g", "open", false, "2:2m", "3:0", "5"},
    ShapeRow{"modal-g", "open", false, "4:2m 1:2r", "2:0", ""},
    ShapeRow{"modal-g", "open", false, "4:3r 3:2m 1:3l", "4:3", ""},
    ShapeRow{"modal-g", "open", false, "4:2i 3:2m 1:2r", "3:2", "m"},
    ShapeRow{"modal-g", "open", false, "3:2i 2:2m 1:3r", "4:0", "m"},
    ShapeRow{"modal-g", "bar", true, "4:1i 3:1i 2:1i 1:1i", "", ""},

    ShapeRow{"open-d", "open", false, "3:1i 2:2m", "3:1", ""},
    ShapeRow{"open-d", "open", false, "4:2m 3:1i 1:2r", "2:0", "7"},
    ShapeRow{"open-d", "open", false, "2:2m", "2:2", "m"},
    ShapeRow{"open-d", "bar", true, "4:1i 3:1i 2:1i 1:1i", "4:1", ""},
    ShapeRow{"open-d", "minor shape", true, "4:2m 3:1i 2:2r 1:2l", "4:2", "m"},

    // Double stops, on any tuning whose two strings lie as far apart.
    ShapeRow{"open-g", "two-finger bar", true, "2:2m 1:2r", "", ""},
    ShapeRow{"open-g", "third on 1 and 2", true, "2:1i 1:2m", "", ""},
    ShapeRow{"open-g", "third on 2 and 3", true, "3:2m 2:1i", "", ""},
    ShapeRow{"open-g", "sixth on 1 and 3", true, "3:1i 1:2m", "", ""},
    ShapeRow{"open-g", "sixth on 1 and 3", true, "3:1i 1:3r", "", ""},
    ShapeRow{"open-g", "sixth on 2 and 4", true, "4:2m 2:1i", "", ""},
    ShapeRow{"open-g", "sixth on 2 and 4", true, "4:1i 2:1m", "", ""},
    ShapeRow{"double-c", "third on 1 and 2", true, "2:1i 1:2m", "", ""},
    ShapeRow{"double-c", "third on 1 and 2", true, "2:1i 1:3r", "", ""},
    ShapeRow{"double-c", "third on 2 and 3", true, "3:2m 2:1i", "", ""},
    ShapeRow{"double-c", "third on 2 and 3", true, "3:3r 2:1i", "", ""},
    ShapeRow{"open-d", "third on 1 and 2", true, "2:2m 1:1i", "", ""},
    ShapeRow{"open-d", "third on 1 and 2", true, "2:3r 1:1i", "", ""},
    ShapeRow{"open-d", "third on 2 and 3", true, "3:1i 2:1m", "", ""},
    ShapeRow{"open-d", "third on 2 and 3", true, "3:1i 2:2m", "", ""},
    ShapeRow{"open-d", "sixth on 1 and 3", true, "3:1i 1:2m", "", ""},
};

NamedShape shape_of(const ShapeRow& row) {
  NamedShape shape{*parse_tuning(row.tuning), row.name, row.movable, {}, {}, row.quality};
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

bool lies_on(const Tuning& tuning, const NamedShape& shape) {
  const auto apart = [&](int string) {
    return tuning.open(string).midi() - shape.tuning.open(string).midi();
  };
  unsigned strings = 0;
  for (const ShapeFinger& finger : shape.fingers) strings |= string_bit(finger.string);
  if (shape.root) strings = string_bit(fifth_string) - 1U;
  const int moved = apart(std::countr_zero(strings) + 1);
  for (int string = 1; string < fifth_string; ++string) {
    if ((strings & string_bit(string)) != 0 && apart(string) != moved) return false;
  }
  return true;
}

// At every place of the neck where the shape stands.
void Shapes::add_to_chords(const NamedShape& shape, const Banjo& banjo) {
  if (!shape.root) return;
  const int root = banjo.open_midi(shape.root->string) + shape.root->fret;
  const bool minor = shape.quality.starts_with('m');
  const bool without_third = shape.quality == "5";
  for (int up = 0; up <= (shape.movable ? highest_in_chord : 0); ++up) {
    for (const int number : {pitch_class(root + up), pitch_class(root + up) + 12}) {
      if (!without_third && (number >= 12) != minor) continue;
      auto& chord = in_chord_.at(static_cast<std::size_t>(number));
      for (const ShapeFinger& one : shape.fingers) {
        const int fret = one.fret + up;
        if (fret > highest_in_chord) continue;
        chord.at(one.finger).at(static_cast<std::size_t>(fret)) |= string_bit(one.string);
      }
    }
  }
}

Shapes::Shapes(const Banjo& banjo) {
  for (const NamedShape& shape : named_shapes()) {
    if (!lies_on(banjo.tuning, shape)) continue;
    add_to_chords(shape, banjo);
    for (const ShapeFinger& a : shape.fingers) {
      for (const ShapeFinger& b : shape.fingers) {
        if (a.finger == b.finger) continue;
        Pairs& pairs = shape.movable ? movable_ : at_the_nut_.at(static_cast<std::size_t>(a.fret));
        pairs[slot_of(a.finger, a.string, b.finger, b.fret - a.fret)] |= string_bit(b.string);
      }
    }
  }
}

}  // namespace fifthpeg::hands
