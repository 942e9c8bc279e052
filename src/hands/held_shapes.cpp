// Which shapes the fingers of a score are: read off what it says, not off the search.
#include <algorithm>
#include <optional>
#include <string>
#include <vector>

#include "fifthpeg/hands.hpp"
#include "hands/shapes.hpp"

namespace fifthpeg {
namespace {

using hands::NamedShape;
using hands::ShapeFinger;

// A finger on a string.
struct Stop {
  std::size_t finger;
  int string;
  int fret;
  friend bool operator==(const Stop&, const Stop&) = default;
};

bool has(const NamedShape& shape, const Stop& stop, int up) {
  return std::any_of(shape.fingers.begin(), shape.fingers.end(), [&](const ShapeFinger& one) {
    return one.finger == stop.finger && one.string == stop.string && one.fret + up == stop.fret;
  });
}

bool leaves_open(const NamedShape& shape, int string) {
  return std::none_of(shape.fingers.begin(), shape.fingers.end(),
                      [&](const ShapeFinger& one) { return one.string == string; });
}

// A shape at a place of the neck.
struct Held {
  const NamedShape* shape = nullptr;
  int up = 0;  // how far from where the table has it

  bool fits(const std::vector<Stop>& stops) const {
    return std::all_of(stops.begin(), stops.end(), [&](const Stop& stop) { return has(*shape, stop, up); });
  }
};

// Strokes from the first that needs a shape to the last that fits it.
class Run {
 public:
  Run(const Banjo& banjo, std::size_t measure, std::size_t stroke)
      : banjo_(banjo), measure_(measure), stroke_(stroke) {}

  // Takes a stroke in, or leaves the run as it is and returns false: no shape has all of it.
  bool take(const std::vector<Stop>& stops, const std::vector<int>& open) {
    std::vector<Stop> all = stops_;
    for (const Stop& stop : stops) {
      if (std::find(all.begin(), all.end(), stop) == all.end()) all.push_back(stop);
    }
    std::vector<int> all_open = open_;
    all_open.insert(all_open.end(), open.begin(), open.end());
    if (!all.empty() && !shape_for(all, all_open)) return false;
    stops_ = std::move(all);
    open_ = std::move(all_open);
    return true;
  }

  bool empty() const { return stops_.empty(); }

  // Nothing where a single finger stood on a single string.
  std::optional<HeldShape> held(const Key& key) const {
    if (stops_.size() < 2) return std::nullopt;
    const auto found = shape_for(stops_, open_);
    if (!found || found->shape->name.empty()) return std::nullopt;
    return HeldShape{measure_, stroke_, text_of(*found, key)};
  }

 private:
  // The shape with the fewest fingers besides; the first of the table on a tie.
  std::optional<Held> shape_for(const std::vector<Stop>& stops, const std::vector<int>& open) const {
    std::optional<Held> best;
    for (const NamedShape& shape : hands::named_shapes()) {
      if (!hands::lies_as_in_open_g(shape, banjo_.tuning)) continue;
      const auto first =
          std::find_if(shape.fingers.begin(), shape.fingers.end(), [&](const ShapeFinger& one) {
            return one.finger == stops.front().finger && one.string == stops.front().string;
          });
      if (first == shape.fingers.end()) continue;
      const Held held{&shape, stops.front().fret - first->fret};
      if (!shape.movable && held.up != 0) continue;
      if (!held.fits(stops)) continue;
      const auto free = [&](int string) { return leaves_open(shape, string); };
      if (!std::all_of(open.begin(), open.end(), free)) continue;
      if (!best || shape.fingers.size() < best->shape->fingers.size()) best = held;
    }
    return best;
  }

  std::string text_of(const Held& held, const Key& key) const {
    const NamedShape& shape = *held.shape;
    const std::string where = shape.movable ? ", " + std::to_string(held.up + 1) : "";
    std::string name = std::string(shape.name) + where;
    if (!shape.root || !says_chord(held)) return name;
    const Placement root{shape.root->string, static_cast<std::int8_t>(shape.root->fret + held.up)};
    const auto midi = banjo_.midi_at(root);
    if (!midi) return name;
    return name_of_pitch_class(spell(*midi, key)) + std::string(shape.quality) + " (" + name + ")";
  }

  // Two notes beside the root are no chord yet.
  bool says_chord(const Held& held) const {
    const auto is_root = [&](const Stop& stop) { return stop.string == held.shape->root->string; };
    return !held.shape->movable || stops_.size() > 2 || std::any_of(stops_.begin(), stops_.end(), is_root);
  }

  // "G", "F#": without the octave.
  static std::string name_of_pitch_class(const Pitch& pitch) {
    std::string text = to_string(pitch);
    while (!text.empty() && (text.back() == '-' || (text.back() >= '0' && text.back() <= '9')))
      text.pop_back();
    return text;
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
