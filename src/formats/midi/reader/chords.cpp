#include "formats/midi/reader/chords.hpp"

#include <algorithm>
#include <string>
#include <string_view>
#include <utility>

#include "formats/midi/conventions.hpp"
#include "score/chord_tones.hpp"

namespace fifthpeg::midi::reader {
namespace {

struct Shape {
  unsigned intervals;  // bit n: n half steps above the root
  ChordSymbol chord;   // on C
};

// A sixth chord has the tones of a minor seventh chord on another root: the bass settles it, and without its
// help the first that fits.
const std::vector<Shape>& shapes() {
  static const std::vector<Shape> all = [] {
    std::vector<Shape> made;
    for (const std::string_view text :
         {"", "m", "7", "maj7", "m7", "m7b5", "dim7", "6", "dim", "aug", "sus4"}) {
      ChordSymbol chord = parse_chord_symbol("C" + std::string(text)).value();
      chord.text = text;
      const unsigned intervals = chord_tones(chord).value().all;
      made.push_back({intervals, std::move(chord)});
    }
    return made;
  }();
  return all;
}

unsigned seen_from(unsigned pitch_classes, int root) {
  const auto down = static_cast<unsigned>(root);
  return (pitch_classes >> down | pitch_classes << (12U - down)) & 0xFFFU;
}

const Shape* shape_on(unsigned pitch_classes, int root) {
  const unsigned intervals = seen_from(pitch_classes, root);
  const auto found = std::find_if(shapes().begin(), shapes().end(),
                                  [&](const Shape& shape) { return shape.intervals == intervals; });
  return found == shapes().end() ? nullptr : &*found;
}

}  // namespace

std::optional<ChordPoint> name_chord(unsigned pitch_classes, int bass) {
  for (int i = 0; i < 12; ++i) {
    const int root = (bass + i) % 12;
    if ((pitch_classes & 1U << static_cast<unsigned>(root)) == 0) continue;
    if (const Shape* shape = shape_on(pitch_classes, root)) {
      ChordPoint point;
      point.root = root;
      if (root != bass) point.bass = bass;
      point.chord = shape->chord;
      return point;
    }
  }
  return std::nullopt;
}

std::vector<ChordPoint> recognize_chords(const std::vector<PlayedPart>& parts, const std::vector<bool>& taken,
                                         std::int64_t together_ticks) {
  std::vector<ChordPoint> points;
  std::vector<PlayedNote> struck;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (taken[i] || parts[i].channel == percussion_channel) continue;
    struck.insert(struck.end(), parts[i].notes.begin(), parts[i].notes.end());
  }
  std::sort(struck.begin(), struck.end(), [](const PlayedNote& a, const PlayedNote& b) {
    return a.on != b.on ? a.on < b.on : a.key < b.key;
  });
  const PlayedNote* low = nullptr;  // struck just before, and no chord: a bass note before the strum, perhaps
  for (std::size_t first = 0; first < struck.size();) {
    std::size_t last = first;
    unsigned pitch_classes = 0;
    int lowest = 127;
    for (; last < struck.size() && struck[last].on - struck[first].on <= together_ticks; ++last) {
      pitch_classes |= 1U << (struck[last].key % 12U);
      lowest = std::min<int>(lowest, struck[last].key);
    }
    // The bass leads into the strum: the chord begins with it and stands on it. That it then alternates
    // between root and fifth is no change of chord (common practice).
    const bool led = low != nullptr && low->key < lowest && (pitch_classes & 1U << (low->key % 12U)) != 0;
    if (auto point = name_chord(pitch_classes, (led ? low->key : lowest) % 12)) {
      point->tick = led ? low->on : struck[first].on;
      const bool changes = points.empty() || points.back().chord.kind != point->chord.kind ||
                           points.back().root != point->root || (!led && points.back().bass != point->bass);
      if (changes) points.push_back(*point);
      low = nullptr;
    } else {
      low = &struck[first];
    }
    first = last;
  }
  return points;
}

}  // namespace fifthpeg::midi::reader
