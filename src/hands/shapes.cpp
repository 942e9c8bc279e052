#include "hands/shapes.hpp"

#include <algorithm>
#include <string_view>

namespace fifthpeg::hands {
namespace {

struct Shape {
  std::string_view name;
  bool movable;
  std::string_view fingers;  // string:fret and i, m, r or l; index finger at fret 1 where it can be moved
};

// As they lie on strings that sound as far apart as in open G. Common practice.
constexpr std::array shapes{
    Shape{"C", false, "4:2m 2:1i 1:2r"},
    Shape{"C7", false, "4:2m 3:3r 2:1i 1:2l"},
    Shape{"D7", false, "3:2m 2:1i"},
    Shape{"D7", false, "4:4l 3:2m 2:1i"},
    Shape{"D", false, "3:2i 2:3m 1:4l 4:4r"},
    Shape{"A minor", false, "4:2r 3:2m 2:1i 1:2l"},
    Shape{"E minor", false, "4:2m 1:2r"},
    Shape{"hammer-on", false, "3:2m 3:3r"},
    Shape{"F shape", true, "4:3r 3:2m 2:1i 1:3l"},
    Shape{"D shape", true, "4:3r 3:1i 2:2m 1:3l"},
    Shape{"D shape, root on 4", true, "4:1i 3:3m 2:4r 1:5l"},
    Shape{"minor shape", true, "4:3r 3:1i 2:1i 1:3l"},
    Shape{"two-finger bar", true, "2:2m 1:2r"},
    Shape{"third on 1 and 2", true, "2:1i 1:2m"},
    Shape{"third on 2 and 3", true, "3:2m 2:1i"},
    Shape{"sixth on 1 and 3", true, "3:1i 1:2m"},
    Shape{"sixth on 1 and 3", true, "3:1i 1:3r"},
    Shape{"sixth on 2 and 4", true, "4:2m 2:1i"},
    Shape{"sixth on 2 and 4", true, "4:1i 2:1m"},
};

struct Finger {
  std::size_t finger;
  int string;
  int fret;
};

std::vector<Finger> fingers_of(const Shape& shape) {
  std::vector<Finger> fingers;
  for (std::size_t at = 0; at + 3 < shape.fingers.size(); at += 5) {
    fingers.push_back({std::string_view("imrl").find(shape.fingers[at + 3]), shape.fingers[at] - '0',
                       shape.fingers[at + 2] - '0'});
  }
  return fingers;
}

// Whether two strings lie as far apart as in open G.
bool as_in_open_g(const Tuning& tuning, int a, int b) {
  return tuning.open(a).midi() - tuning.open(b).midi() == open_g().open(a).midi() - open_g().open(b).midi();
}

}  // namespace

Shapes::Shapes(const Tuning& tuning) {
  for (const Shape& shape : shapes) {
    for (const Finger& a : fingers_of(shape)) {
      for (const Finger& b : fingers_of(shape)) {
        if (a.finger == b.finger || !as_in_open_g(tuning, a.string, b.string)) continue;
        Pairs& pairs = shape.movable ? movable_ : at_the_nut_.at(static_cast<std::size_t>(a.fret));
        pairs[slot_of(a.finger, a.string, b.finger, b.fret - a.fret)] |= string_bit(b.string);
      }
    }
  }
}

}  // namespace fifthpeg::hands
