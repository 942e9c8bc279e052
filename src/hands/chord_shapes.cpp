#include "hands/chord_shapes.hpp"

#include <algorithm>
#include <tuple>
#include <utility>
#include <vector>

#include "fifthpeg/hands.hpp"
#include "hands/model.hpp"
#include "hands/queries.hpp"
#include "hands/shapes.hpp"
#include "score/chord_tones.hpp"

namespace fifthpeg::hands {
namespace {

// The quality that rows of the table have; nothing for what the table does not know.
std::optional<std::string_view> quality_in_table(const ChordSymbol& chord) {
  if (!chord.degrees.empty()) return std::nullopt;
  if (chord.kind == "major") return "";
  if (chord.kind == "minor") return "m";
  if (chord.kind == "dominant") return "7";
  if (chord.kind == "power") return "5";
  return std::nullopt;
}

class ShapeFinder {
 public:
  ShapeFinder(const Banjo& banjo, const ChordSymbol& chord, const ChordTones& tones)
      : banjo_(banjo), chord_(chord), tones_(tones), model_(banjo, {}, Style::roll) {}

  std::optional<ChordShape> find() const {
    std::optional<ChordShape> shape = all_open();
    if (!shape) shape = from_table(false);
    if (!shape) shape = from_table(true);
    if (!shape) shape = found();
    if (shape && tones_.has(banjo_.open_midi(fifth_string))) shape->on(fifth_string).fret = 0;
    return shape;
  }

 private:
  static constexpr int highest_tried = 15;  // beyond it comes what was an octave below
  static constexpr int low_frets = 5;       // of the first position

  std::optional<ChordShape> all_open() const {
    unsigned sounding = 0;
    ChordShape shape;
    for (int string = 1; string < fifth_string; ++string) {
      sounding |= ChordTones::bit(banjo_.open_midi(string));
      shape.on(string).fret = 0;
    }
    if (!is_chord(sounding)) return std::nullopt;
    return shape;
  }
  bool is_chord(unsigned sounding) const {
    return (sounding & ~tones_.all) == 0 && (tones_.needed & ~sounding) == 0;
  }

  std::optional<ChordShape> from_table(bool movable) const {
    const auto quality = quality_in_table(chord_);
    if (!quality) return std::nullopt;
    const int root = Pitch{chord_.root.step, chord_.root.alter, 4}.midi();
    std::optional<std::pair<int, ChordShape>> lowest;  // with its highest fret
    for (const NamedShape& named : named_shapes()) {
      if (!named.root || named.movable != movable || named.quality != *quality) continue;
      if (!lies_on(banjo_.tuning, named)) continue;
      const int up = pitch_class(root - banjo_.open_midi(named.root->string) - named.root->fret);
      if (!movable && up != 0) continue;
      const ChordShape shape = at_place(named, up);
      const int highest = highest_fret_of(shape);
      if ((!lowest || highest < lowest->first) && can_be_held(shape)) lowest = {highest, shape};
      if (!movable && lowest) break;  // of open ones the usual one stands first
    }
    if (!lowest) return std::nullopt;
    return lowest->second;
  }

  // Strings without a finger are played if they belong to the chord.
  ChordShape at_place(const NamedShape& named, int up) const {
    ChordShape shape;
    for (const ShapeFinger& one : named.fingers) {
      StringHold& hold = shape.on(one.string);
      // Behind a bar a finger stops the string.
      if (hold.fret.value_or(0) > one.fret + up) continue;
      hold = {one.fret + up, static_cast<FretFinger>(one.finger + 1)};
    }
    for (int string = 1; string < fifth_string; ++string) {
      if (!shape.on(string).fret && tones_.has(banjo_.open_midi(string))) shape.on(string).fret = 0;
    }
    return shape;
  }

  static int highest_fret_of(const ChordShape& shape) {
    int highest = 0;
    for (const StringHold& hold : shape.strings) highest = std::max(highest, hold.fret.value_or(0));
    return highest;
  }

  // All that the long strings can give of the chord, the easiest first that the hand can hold.
  std::optional<ChordShape> found() const {
    std::vector<ChordShape> shapes{ChordShape{}};
    for (int string = 1; string < fifth_string; ++string) {
      std::vector<ChordShape> longer;
      for (const ChordShape& shape : shapes) {
        for (int fret = 0; fret <= std::min(highest_tried, banjo_.last_fret()); ++fret) {
          if (!tones_.has(banjo_.open_midi(string) + fret)) continue;
          longer.push_back(shape);
          longer.back().on(string).fret = fret;
        }
      }
      shapes = std::move(longer);
    }
    std::erase_if(shapes, [this](const ChordShape& shape) {
      return !is_chord(sounding(shape)) || least_fingers(shape) > static_cast<int>(thumb_index);
    });
    const auto easier = [this](const ChordShape& a, const ChordShape& b) { return effort(a) < effort(b); };
    std::sort(shapes.begin(), shapes.end(), easier);
    for (ChordShape& shape : shapes) {
      if (!can_be_held(shape)) continue;
      finger_shape(shape);
      return shape;
    }
    return std::nullopt;
  }

  unsigned sounding(const ChordShape& shape) const {
    unsigned tones = 0;
    for (int string = 1; string < fifth_string; ++string) {
      tones |= ChordTones::bit(banjo_.open_midi(string) + *shape.on(string).fret);
    }
    return tones;
  }

  // What the hand has to do, the weightiest first. Of what is alike, that with the lower frets on the low
  // strings comes first: G7 is the third fret of string 1 in open G, not of string 4 (common practice).
  using Effort = std::tuple<bool, int, bool, int, int, std::array<int, string_count>>;
  Effort effort(const ChordShape& shape) const {
    const auto [low, high] = stopped_frets(shape);
    const bool strained =
        low > 0 && model_.neck().span_mm(low, high) > model_.neck().limits(1, 4).comfortable;
    const bool incomplete = sounding(shape) != tones_.all;
    std::array<int, string_count> frets{};
    for (int string = 1; string < fifth_string; ++string) {
      frets.at(static_cast<std::size_t>(fifth_string - string)) = *shape.on(string).fret;
    }
    return {strained, high <= low_frets ? 0 : high, incomplete, least_fingers(shape), high - low, frets};
  }

  // The lowest and the highest; 0 where all strings ring open.
  static std::pair<int, int> stopped_frets(const ChordShape& shape) {
    int low = 0;
    for (const StringHold& hold : shape.strings) {
      if (hold.fret.value_or(0) > 0) low = low == 0 ? *hold.fret : std::min(low, *hold.fret);
    }
    return {low, highest_fret_of(shape)};
  }

  // With a bar at the lowest fret where nothing rings open under it.
  static int least_fingers(const ChordShape& shape) {
    const int low = stopped_frets(shape).first;
    int stopped = 0;
    int at_low = 0;
    bool open_under_bar = false;
    bool open_since = false;
    for (int string = 1; string < fifth_string; ++string) {
      const int fret = *shape.on(string).fret;
      open_since = at_low > 0 && (open_since || fret == 0);
      if (fret > 0) ++stopped;
      if (fret == 0 || fret != low) continue;
      open_under_bar = open_under_bar || open_since;
      ++at_low;
    }
    return open_under_bar || at_low == 0 ? stopped : stopped - at_low + 1;
  }

  Stroke stroke_of(const ChordShape& shape) const {
    Stroke stroke;
    stroke.duration = {1, 1};
    stroke.brush = Brush::up;
    for (int string = 1; string < fifth_string; ++string) {
      const StringHold& hold = shape.on(string);
      if (!hold.fret) continue;
      Note note;
      note.placement = Placement{static_cast<std::int8_t>(string), static_cast<std::int8_t>(*hold.fret)};
      note.pitch = spell(banjo_.open_midi(string) + *hold.fret, {});
      note.finger = hold.finger;
      stroke.notes.push_back(note);
    }
    return stroke;
  }

  bool can_be_held(const ChordShape& shape) const {
    return judge_hold(stroke_of(shape), model_).fault == HoldFault::none;
  }

  void finger_shape(ChordShape& shape) const {
    Score score;
    score.banjo = banjo_;
    Measure measure;
    measure.number = "1";
    measure.length = {1, 1};
    measure.strokes.push_back(stroke_of(shape));
    score.measures.push_back(measure);
    normalize(score);
    HandsOptions options;
    options.transpose = 0;
    finger(score, options);
    for (const Note& note : score.measures.front().strokes.front().notes) {
      if (note.placement->fret > 0) shape.on(note.placement->string).finger = note.finger;
    }
  }

  const Banjo& banjo_;
  const ChordSymbol& chord_;
  const ChordTones tones_;
  Model model_;
};

}  // namespace

std::optional<ChordShape> chord_shape(const Banjo& banjo, const ChordSymbol& chord) {
  const auto tones = chord_tones(chord);
  if (!tones) return std::nullopt;
  return ShapeFinder(banjo, chord, *tones).find();
}

}  // namespace fifthpeg::hands
