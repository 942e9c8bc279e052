// Which shapes the fingers of a score are: read off what it says, not off the search.
#include <algorithm>
#include <optional>
#include <string>
#include <string_view>
#include <tuple>
#include <utility>
#include <vector>

#include "fifthpeg/hands.hpp"
#include "hands/shapes.hpp"

namespace fifthpeg {
namespace {

using hands::NamedShape;
using hands::ShapeFinger;

using Stop = ShapeFinger;

bool leaves_open(const NamedShape& shape, int string) {
  return std::none_of(shape.fingers.begin(), shape.fingers.end(),
                      [&](const ShapeFinger& one) { return one.string == string; });
}

// A shape at a place of the neck.
struct Held {
  const NamedShape* shape = nullptr;
  int up = 0;  // how far from where the table has it

  bool fits(const std::vector<Stop>& stops) const {
    const auto& fingers = shape->fingers;
    return std::all_of(stops.begin(), stops.end(), [&](Stop stop) {
      stop.fret -= up;
      return std::find(fingers.begin(), fingers.end(), stop) != fingers.end();
    });
  }
};

// Strokes from the first that needs a shape to the last that fits it.
class Run {
 public:
  Run(const Banjo& banjo, std::size_t measure, std::size_t stroke)
      : banjo_(banjo), measure_(measure), stroke_(stroke) {}

  // Takes a stroke in, or leaves the run as it is and returns false: no shape has all of it.
  bool take(const std::vector<Stop>& stops, const std::vector<int>& open) {
    const auto before = std::pair(stops_, open_);
    for (const Stop& stop : stops) {
      if (std::find(stops_.begin(), stops_.end(), stop) == stops_.end()) stops_.push_back(stop);
    }
    open_.insert(open_.end(), open.begin(), open.end());
    if (stops_.empty() || best_fit()) return true;
    std::tie(stops_, open_) = before;
    return false;
  }

  // Nothing where a single finger stood on a single string, or where what sounds is part of an open chord and
  // could be another's.
  std::optional<HeldShape> held(const Key& key) const {
    if (stops_.size() < 2) return std::nullopt;
    const auto found = best_fit();
    if (!found || rank(*found) == unknown) return std::nullopt;
    return HeldShape{measure_, stroke_, text_of(*found, key)};
  }

 private:
  // What can be said of a shape: its chord and where it is, only where it is, nothing.
  enum Rank : std::int8_t { chord, place, unknown };

  // One of which something can be said before others, then that with the fewest fingers besides; the first of
  // the table on a tie.
  std::optional<Held> best_fit() const {
    std::optional<Held> best;
    for (const NamedShape& shape : hands::named_shapes()) {
      if (!hands::lies_on(banjo_.tuning, shape)) continue;
      const auto first =
          std::find_if(shape.fingers.begin(), shape.fingers.end(), [&](const ShapeFinger& one) {
            return one.finger == stops_.front().finger && one.string == stops_.front().string;
          });
      if (first == shape.fingers.end()) continue;
      const Held held{&shape, stops_.front().fret - first->fret};
      if (!shape.movable && held.up != 0) continue;
      if (!held.fits(stops_)) continue;
      const auto free = [&](int string) { return leaves_open(shape, string); };
      if (!std::all_of(open_.begin(), open_.end(), free)) continue;
      const auto order = [this](const Held& one) {
        return std::pair(rank(one) == unknown, one.shape->fingers.size());
      };
      if (!best || order(held) < order(*best)) best = held;
    }
    return best;
  }

  std::string text_of(const Held& held, const Key& key) const {
    const NamedShape& shape = *held.shape;
    const std::string where = shape.movable ? ", " + std::to_string(held.up + 1) : "";
    std::string name = std::string(shape.name) + where;
    if (rank(held) != chord) return name;
    return name_of_pitch_class(spell(root_of(held), key)) + std::string(shape.quality) + " (" + name + ")";
  }

  int root_of(const Held& held) const {
    return banjo_.open_midi(held.shape->root->string) + held.shape->root->fret + held.up;
  }

  // A chord is known by its root and by the tone that tells major from minor and a seventh from both. Two
  // notes beside the root are no chord yet; three of a movable shape are.
  Rank rank(const Held& held) const {
    const NamedShape& shape = *held.shape;
    const Rank otherwise = shape.movable ? place : unknown;
    if (!shape.root) return otherwise;
    const bool is_known = (shape.movable && stops_.size() > 2) || sounds(root_of(held));
    return is_known && sounds(root_of(held) + telling_tone(shape.quality)) ? chord : otherwise;
  }

  static int telling_tone(std::string_view quality) {
    return quality == "7" ? 10 : quality == "5" ? 7 : quality == "m" ? 3 : 4;
  }

  // Whether a note of that pitch class is in it.
  bool sounds(int pitch) const {
    const auto is_it = [&](int string, int fret) {
      return pitch_class(banjo_.open_midi(string) + fret - pitch) == 0;
    };
    return std::any_of(stops_.begin(), stops_.end(),
                       [&](const Stop& stop) { return is_it(stop.string, stop.fret); }) ||
           std::any_of(open_.begin(), open_.end(), [&](int string) { return is_it(string, 0); });
  }

  // "G", "F#": without the octave.
  static std::string name_of_pitch_class(const Pitch& pitch) {
    const std::string text = to_string(pitch);
    return text.substr(0, text.find_first_of("-0123456789"));
  }

  const Banjo& banjo_;
  std::size_t measure_;
  std::size_t stroke_;
  std::vector<Stop> stops_;
  std::vector<int> open_;
};

struct Touched {
  std::vector<Stop> stops;
  std::vector<int> open;
};

// What a stroke asks of strings 1 to 4; nothing where it does not say with which finger.
std::optional<Touched> touched_by(const Stroke& stroke) {
  Touched touched;
  for (const Note& note : stroke.notes) {
    if (!note.placement || note.placement->string == fifth_string) continue;
    const int string = note.placement->string;
    if (note.placement->fret == 0 || note.harmonic) {
      touched.open.push_back(string);
    } else if (note.finger && *note.finger != FretFinger::thumb) {
      touched.stops.push_back({static_cast<std::size_t>(*note.finger) - 1, string, note.placement->fret});
    } else {
      return std::nullopt;
    }
  }
  return touched;
}

}  // namespace

std::vector<HeldShape> held_shapes(const Score& score) {
  std::vector<HeldShape> shapes;
  std::optional<Run> run;
  Key key;
  const auto finish = [&] {
    const auto held = run ? run->held(key) : std::nullopt;
    if (held && (shapes.empty() || shapes.back().text != held->text)) shapes.push_back(*held);
    run.reset();
  };
  for (std::size_t m = 0; m < score.measures.size(); ++m) {
    const Measure& measure = score.measures[m];
    key = measure.key;
    for (std::size_t s = 0; s < measure.strokes.size(); ++s) {
      const auto touched = touched_by(measure.strokes[s]);
      if (touched && run && run->take(touched->stops, touched->open)) continue;
      finish();
      if (!touched || touched->stops.empty()) continue;
      run.emplace(score.banjo, m, s);
      if (!run->take(touched->stops, touched->open)) run.reset();
    }
  }
  finish();
  return shapes;
}

}  // namespace fifthpeg
