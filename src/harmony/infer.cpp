#include <algorithm>
#include <cstdint>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "fifthpeg/harmony.hpp"
#include "harmony/key.hpp"
#include "harmony/path.hpp"

namespace fifthpeg::harmony {
namespace {

ChordSymbol symbol_of(const Degree& degree, const Key& key, Fraction at) {
  const int place = fifthpeg::tonic(key) + degree.fifths;
  const Pitch root = pitch_at(place, 7 * place);
  return {at, {root.step, root.alter}, degree.minor ? "minor" : "major", degree.minor ? "m" : "", {}, {}};
}

// Whether the melody has the flat seventh of the chord over some units.
bool has_seventh(std::span<const Unit> units, const Degree& degree, int tonic) {
  constexpr int flat_seventh = 10;
  std::int64_t all = 0;
  std::int64_t seventh = 0;
  for (const Unit& unit : units) {
    for (const std::int64_t weight : unit.weight) all += weight;
    seventh += unit.weight.at(pitch_class_of(tonic + degree.half_steps + flat_seventh));
  }
  return seventh * 100 > all * seventh_share;
}

// Chords that are dominants become sevenths where the melody has it.
void add_sevenths(std::span<const Unit> units, const std::vector<std::size_t>& path, const Key& key,
                  std::span<InferredChord> chords) {
  const auto degrees = degrees_of(key);
  for (std::size_t from = 0; from < path.size();) {
    std::size_t to = from + 1;
    while (to < path.size() && path[to] == path[from]) ++to;
    const Degree& degree = degrees[path[from]];
    if (degree.takes_seventh &&
        has_seventh(units.subspan(from, to - from), degree, 7 * fifthpeg::tonic(key))) {
      for (InferredChord& chord : chords.subspan(from, to - from)) {
        chord.chord.kind = "dominant";
        chord.chord.text = "7";
      }
    }
    from = to;
  }
}

// Measures in one signature.
struct Stretch {
  std::size_t first = 0;
  std::size_t count = 0;
};

std::vector<Stretch> stretches_of(const Score& score) {
  std::vector<Stretch> stretches;
  for (std::size_t m = 0; m < score.measures.size(); ++m) {
    const bool goes_on = m > 0 && score.measures[m].key == score.measures[m - 1].key;
    if (!goes_on) stretches.push_back({m, 0});
    ++stretches.back().count;
  }
  return stretches;
}

// "G major", "G major, then D major".
std::string keys_text(const Score& score) {
  std::string text;
  std::string last;
  for (const Stretch& stretch : stretches_of(score)) {
    std::string name = to_string(key_of(score, stretch.first, stretch.count, KeyFrom::notes));
    if (name != last) text += (text.empty() ? "" : ", then ") + name;
    last = std::move(name);
  }
  return text;
}

// Adds the chords of a stretch to those of the stretches before it.
void infer_stretch(const Score& score, const Stretch& stretch, std::vector<InferredChord>& chords) {
  const std::vector<Unit> units = units_of(score, stretch.first, stretch.first + stretch.count);
  if (units.empty()) return;
  const Key key = key_of(score, stretch.first, stretch.count, KeyFrom::notes);
  const Path path(units, key);
  const std::vector<std::size_t> best = path.best();
  const auto degrees = degrees_of(key);
  const std::size_t before = chords.size();
  for (std::size_t i = 0; i < units.size(); ++i) {
    const Unit& unit = units[i];
    chords.push_back({unit.measure, unit.at, unit.length, symbol_of(degrees[best[i]], key, unit.at),
                      symbol_of(degrees[path.second(i, best[i])], key, unit.at), path.sureness(i, best[i])});
  }
  add_sevenths(units, best, key, std::span(chords).subspan(before));
}

bool has_notes(const Score& score) {
  return std::any_of(score.measures.begin(), score.measures.end(), [](const Measure& measure) {
    return std::any_of(measure.strokes.begin(), measure.strokes.end(), [](const Stroke& stroke) {
      return std::any_of(stroke.notes.begin(), stroke.notes.end(),
                         [](const Note& note) { return !note.dead; });
    });
  });
}

bool has_chords(const Score& score) {
  return std::any_of(score.measures.begin(), score.measures.end(),
                     [](const Measure& measure) { return !measure.chords.empty(); });
}

bool is_same_chord(const ChordSymbol& a, const ChordSymbol& b) {
  return a.root == b.root && a.kind == b.kind;
}

}  // namespace
}  // namespace fifthpeg::harmony

namespace fifthpeg {

std::vector<InferredChord> infer_chords(const Score& score) {
  std::vector<InferredChord> chords;
  if (!harmony::has_notes(score)) return chords;
  for (const auto& stretch : harmony::stretches_of(score)) harmony::infer_stretch(score, stretch, chords);
  return chords;
}

Report add_inferred_chords(Score& score) {
  Report report;
  if (harmony::has_chords(score)) {
    report.add(EntryKind::decision, "chords-kept",
               "the chord symbols of the file were kept, and none inferred");
    return report;
  }
  const std::vector<InferredChord> chords = infer_chords(score);
  if (chords.empty()) {
    report.add(EntryKind::decision, "no-notes-for-chords", "there are no notes to infer chords from");
    return report;
  }
  report.add(EntryKind::decision, "chords-inferred",
             "the chord symbols were inferred from the notes, in " + harmony::keys_text(score));
  const ChordSymbol* last = nullptr;
  for (const InferredChord& inferred : chords) {
    const bool changes = last == nullptr || !harmony::is_same_chord(*last, inferred.chord);
    if (changes) score.measures[inferred.measure].chords.push_back(inferred.chord);
    last = &inferred.chord;
  }
  return report;
}

}  // namespace fifthpeg
