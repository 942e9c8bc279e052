#include "arrange/ending.hpp"

#include <algorithm>
#include <optional>
#include <utility>

#include "arrange/licks.hpp"
#include "hands/chord_shapes.hpp"
#include "hands/request.hpp"
#include "score/playing_order.hpp"

namespace fifthpeg::arranging {
namespace {

constexpr Fraction tag_slot(1, 8);
constexpr int lowest_of_shape = 4;  // string
constexpr std::size_t most_pinched = 3;

Fraction beat_of(const Meter& meter) {
  return meter.is_compound() ? meter.beat() : Fraction(1, 4);
}

bool has_melody(const Stroke& stroke) {
  return std::any_of(stroke.notes.begin(), stroke.notes.end(),
                     [](const Note& note) { return note.role == Role::melody; });
}

bool has_jump(const Score& score) {
  return std::any_of(score.measures.begin(), score.measures.end(), [](const Measure& measure) {
    return std::any_of(measure.directions.begin(), measure.directions.end(), is_jump);
  });
}

// From where on the last measure is free: the beat after the last melody note begins, at least a quarter
// later. The whole measure where it has none, nothing of one that is played again.
Fraction free_from(const Measure& measure) {
  if (measure.repeat_times > 0 || measure.ending) return measure.length;
  const Fraction beat = beat_of(measure.meter);
  Fraction from;
  for (const Stroke& stroke : measure.strokes) {
    if (!has_melody(stroke)) continue;
    from = beat * Fraction((stroke.onset / beat).floor() + 1);
    if (from - stroke.onset < Fraction(1, 4)) from += beat;
  }
  return std::min(from, measure.length);
}

ChordSymbol tonic_chord(const Key& key) {
  const Pitch root = pitch_at(tonic(key), 7 * tonic(key));
  ChordSymbol chord;
  chord.root = {root.step, root.alter};
  if (is_minor(key.mode)) {
    chord.kind = "minor";
    chord.text = "m";
  }
  return chord;
}

// ---- tags ----------------------------------------------------------------------------------------

struct TagSlot {
  std::vector<Placement> places;
  std::vector<std::optional<PickingFinger>> fingers;  // of each
};
using Tag = std::vector<TagSlot>;

Tag tag_in(std::string_view words) {
  const Candidate played = parse_lick(words);
  Tag tag(static_cast<std::size_t>(played.count));
  for (std::size_t s = 0; s < tag.size(); ++s) {
    const SlotPlay& slot = played.slots.at(s);
    for (std::size_t n = 0; n < static_cast<std::size_t>(slot.count); ++n) {
      tag[s].places.push_back({slot.notes[n].string, slot.notes[n].fret});
      tag[s].fingers.emplace_back(static_cast<PickingFinger>(slot.notes[n].finger));
    }
  }
  return tag;
}

// The longest of the table that has a place.
Tag from_table(const Banjo& banjo, const ChordSymbol& tonic, bool in_threes, std::size_t most_slots_free) {
  Tag best;
  if (!lies_as_open_g(banjo)) return best;
  const int chord = shape_of(hands::chord_of(tonic, 0), banjo);
  for (const TagRow& row : tag_table()) {
    if (row.in_threes != in_threes || chord_number(row.tonic) != chord) continue;
    Tag tag = tag_in(row.words);
    if (tag.size() <= most_slots_free && tag.size() > best.size()) best = std::move(tag);
  }
  return best;
}

// In any tuning and key: the shape of the tonic from its lower strings up, and then together.
Tag from_shape(const Banjo& banjo, const ChordSymbol& tonic, bool in_threes) {
  const auto shape = hands::chord_shape(banjo, tonic);
  std::vector<Placement> held;
  for (int string = lowest_of_shape; shape && string >= 1 && held.size() < most_pinched; --string) {
    if (const auto fret = shape->on(string).fret)
      held.push_back({static_cast<std::int8_t>(string), static_cast<std::int8_t>(*fret)});
  }
  Tag tag;
  if (held.size() < 2) return tag;
  const std::size_t single = in_threes ? 3 : 2;
  for (std::size_t s = 0; s < single; ++s) tag.push_back({{held[s % held.size()]}, {std::nullopt}});
  const std::vector<std::optional<PickingFinger>> any_fingers(held.size());
  tag.push_back({std::move(held), any_fingers});
  return tag;
}

Tag tag_for(const Banjo& banjo, const ChordSymbol& tonic, bool in_threes, Fraction free) {
  const auto slots = static_cast<std::size_t>(std::max<std::int64_t>(0, (free / tag_slot).floor()));
  Tag tag = from_table(banjo, tonic, in_threes, slots);
  if (tag.empty()) tag = from_shape(banjo, tonic, in_threes);
  return tag.size() <= slots ? tag : Tag{};
}

// ---- measures --------------------------------------------------------------------------------------

// A rest of a length, in a measure like another.
Measure rest_like(const Measure& other, Fraction length) {
  Measure measure;
  measure.meter = other.meter;
  measure.key = other.key_changes.empty() ? other.key : other.key_changes.back().key;
  measure.length = length;
  measure.strokes.emplace_back().duration = length;
  return measure;
}

// The last measure whole, where a pickup has shortened it; before it is played again, its rest follows.
void complete_last(Score& score) {
  Measure& last = score.measures.back();
  const Fraction missing = last.meter.length() - last.length;
  if (missing <= 0) return;
  if (last.repeat_times > 0 || last.ending) {
    Measure rest = rest_like(last, missing);
    rest.implicit = true;
    score.measures.push_back(std::move(rest));
    return;
  }
  last.strokes.back().duration += missing;
  last.length += missing;
}

void append_measure(Score& score) {
  Measure& last = score.measures.back();
  Measure added = rest_like(last, last.meter.length());
  std::swap(added.right_bar, last.right_bar);
  score.measures.push_back(std::move(added));
}

void write_tag(Score& score, Fraction from, const Tag& tag, const Key& key, bool with_fingers) {
  Measure& measure = score.measures.back();
  const ChordSymbol tonic = tonic_chord(key);
  std::erase_if(measure.strokes, [&](const Stroke& stroke) { return stroke.onset >= from; });
  if (!measure.strokes.empty()) {
    Stroke& before = measure.strokes.back();
    before.duration = from - before.onset;
    for (Note& note : before.notes) {
      note.out_of = Technique::none;
      note.tied_to_next = false;
    }
  }
  for (std::size_t s = 0; s < tag.size(); ++s) {
    Stroke& stroke = measure.strokes.emplace_back();
    stroke.onset = from + tag_slot * Fraction(static_cast<std::int64_t>(s));
    stroke.duration = s + 1 < tag.size() ? tag_slot : measure.length - stroke.onset;
    for (std::size_t n = 0; n < tag[s].places.size(); ++n) {
      Note& note = stroke.notes.emplace_back();
      note.placement = tag[s].places[n];
      note.pitch = spell(score.banjo.midi_at(tag[s].places[n]).value_or(0), key);
      note.role = Role::lick;
      if (with_fingers) note.picking_finger = tag[s].fingers[n];
    }
  }
  std::erase_if(measure.chords, [&](const ChordSymbol& chord) { return chord.at >= from; });
  const ChordSymbol* in_force = nullptr;
  for (const Measure& one : score.measures) {
    if (!one.chords.empty()) in_force = &one.chords.back();
  }
  if (in_force != nullptr && (in_force->root != tonic.root || in_force->kind != tonic.kind)) {
    measure.chords.push_back(tonic);
    measure.chords.back().at = from;
  }
}

}  // namespace

// Our own, and what everybody plays: down or up the scale to the tonic.
const std::vector<TagRow>& tag_table() {
  static const std::vector<TagRow> table{
      {"G", false, "4:2T 4:4I 3:0T+2:0I+1:0M"},      {"G", false, "3:0T 2:0I 4:2T 4:4I 3:0T+2:0I+1:0M"},
      {"C", false, "3:2T 2:0I 3:0T+2:1I+1:2M"},      {"C", false, "3:0T 2:1I 3:2T 2:0I 3:0T+2:1I+1:2M"},
      {"D", false, "2:0I 2:2T 4:0T+2:3I+1:4M"},      {"D", false, "4:0T 3:2I 2:0T 2:2I 4:0T+2:3I+1:4M"},
      {"Em", false, "3:0I 4:4T 4:2T+2:0I+1:2M"},     {"Em", false, "1:2M 2:0I 3:0T 4:4I 4:2T+2:0I+1:2M"},
      {"Am", false, "2:1I 2:0T 3:2T+2:1I+1:2M"},     {"Am", false, "3:2T 1:2M 2:1I 2:0T 3:2T+2:1I+1:2M"},
      {"G", true, "3:0I 4:2T 4:4I 3:0T+2:0I+1:0M"},  {"C", true, "3:0T 3:2I 2:0T 3:0T+2:1I+1:2M"},
      {"D", true, "4:0T 2:0I 2:2T 4:0T+2:3I+1:4M"},  {"Em", true, "2:0I 3:0T 4:4I 4:2T+2:0I+1:2M"},
      {"Am", true, "3:2T 2:1I 2:0T 3:2T+2:1I+1:2M"},
  };
  return table;
}

bool add_tag(Score& arrangement, const Key& key, bool with_fingers) {
  if (has_jump(arrangement)) return false;
  const ChordSymbol tonic = tonic_chord(key);
  const bool in_threes = arrangement.measures.back().meter.is_compound();
  Score made = arrangement;
  complete_last(made);
  Fraction from = free_from(made.measures.back());
  Tag tag = tag_for(made.banjo, tonic, in_threes, made.measures.back().length - from);
  if (tag.empty()) {
    append_measure(made);
    from = 0;
    tag = tag_for(made.banjo, tonic, in_threes, made.measures.back().length);
  }
  if (tag.empty()) return false;
  write_tag(made, from, tag, key, with_fingers);
  Measure& final = made.measures.back();
  if (final.right_bar == BarStyle::regular && final.repeat_times == 0)
    final.right_bar = BarStyle::light_heavy;
  count_measures(made.measures);
  normalize(made);
  arrangement = std::move(made);
  return true;
}

void end_with(Score& backup, const Score& arrangement) {
  complete_last(backup);
  if (backup.measures.size() < arrangement.measures.size()) append_measure(backup);
  const Measure& ending = arrangement.measures.back();
  Measure& measure = backup.measures.back();
  const Stroke& pinch = ending.strokes.back();
  measure.chords = ending.chords;
  measure.right_bar = ending.right_bar;
  std::erase_if(measure.strokes, [&](const Stroke& stroke) { return stroke.onset >= pinch.onset; });
  if (!measure.strokes.empty()) {
    Stroke& before = measure.strokes.back();
    before.duration = pinch.onset - before.onset;
    for (Note& note : before.notes) note.out_of = Technique::none;
  }
  measure.strokes.push_back(pinch);
  for (Note& note : measure.strokes.back().notes) {
    note.role = Role::backup;
    note.finger.reset();
  }
  count_measures(backup.measures);
  normalize(backup);
}

}  // namespace fifthpeg::arranging
