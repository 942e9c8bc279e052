#include "arrange/kick_off.hpp"

#include <algorithm>
#include <array>
#include <string>

#include "arrange/licks.hpp"
#include "score/chord_tones.hpp"

namespace fifthpeg::arranging {
namespace {

constexpr Fraction kick_off_note(1, 8);
constexpr std::size_t led_from = 2;  // notes of the chord, where the table has nothing

// The note of the melody that a score begins with.
const Note* first_note(const Score& score) {
  const auto& strokes = score.measures.front().strokes;
  const auto first = std::find_if(strokes.begin(), strokes.end(),
                                  [](const Stroke& stroke) { return stroke.grace == Grace::none; });
  if (first == strokes.end()) return nullptr;
  for (const Note& note : first->notes) {
    if (note.role == Role::melody && note.placement) return &note;
  }
  return nullptr;
}

bool is_of_scale(int midi, const Key& key) {
  constexpr std::array<int, 7> major{0, 2, 4, 5, 7, 9, 11};
  constexpr std::array<int, 9> minor{0, 2, 3, 5, 7, 8, 9, 10, 11};
  const int above = pitch_class(midi - 7 * tonic(key));
  return is_minor(key.mode) ? std::find(minor.begin(), minor.end(), above) != minor.end()
                            : std::find(major.begin(), major.end(), above) != major.end();
}

// What the table has for the place of the first note, if all of it belongs to the key.
std::vector<Note> from_table(const Banjo& banjo, Placement to, const Key& key) {
  if (!lies_as_open_g(banjo)) return {};
  const std::string place = std::to_string(to.string) + ":" + std::to_string(to.fret);
  for (const KickOffRow& row : kick_off_table()) {
    if (row.to != place) continue;
    std::vector<Note> notes;
    const Candidate played = parse_lick(row.words);
    for (std::size_t s = 0; s < static_cast<std::size_t>(played.count); ++s) {
      Note& note = notes.emplace_back();
      note.placement = Placement{played.slots.at(s).notes[0].string, played.slots.at(s).notes[0].fret};
      note.pitch = spell(banjo.midi_at(*note.placement).value_or(0), key);
    }
    const bool all = std::all_of(notes.begin(), notes.end(),
                                 [&](const Note& note) { return is_of_scale(note.pitch.midi(), key); });
    if (all) return notes;
  }
  return {};
}

// Notes of the chord from below, or where the banjo has none, from above.
std::vector<Note> from_chord(const Score& score, int to, const Key& key) {
  const auto& measures = score.measures;
  const auto with_chord = std::find_if(measures.begin(), measures.end(),
                                       [](const Measure& measure) { return !measure.chords.empty(); });
  const auto tones = with_chord == measures.end() ? std::nullopt : chord_tones(with_chord->chords.front());
  if (!tones) return {};
  for (const int step : {-1, 1}) {
    std::vector<Note> notes;
    const int end = to + step * 13;
    for (int midi = to + step; midi != end && notes.size() < led_from; midi += step) {
      if (!tones->has(midi) || !has_place(score.banjo, {midi})) continue;
      notes.emplace_back().pitch = spell(midi, key);
    }
    if (notes.size() < led_from) continue;
    std::reverse(notes.begin(), notes.end());
    return notes;
  }
  return {};
}

}  // namespace

// Steps of the scale, nearly all from below; in the shapes of open G. Common practice, and our own.
const std::vector<KickOffRow>& kick_off_table() {
  static const std::vector<KickOffRow> table{
      {"4:0", "3:2 3:0 4:2"}, {"4:2", "3:0 4:4"},     {"4:2", "3:0 4:3"},     {"4:3", "4:0 4:2"},
      {"4:4", "4:0 4:2"},     {"3:0", "4:0 4:2 4:4"}, {"3:0", "4:0 4:2 4:3"}, {"3:2", "4:2 4:4 3:0"},
      {"3:2", "4:2 4:3 3:0"}, {"2:0", "4:4 3:0 3:2"}, {"2:0", "3:0 3:2"},     {"3:4", "4:4 3:0 3:2"},
      {"2:1", "3:0 3:2 2:0"}, {"2:2", "3:2 2:0"},     {"2:3", "3:2 2:0 2:1"}, {"1:0", "3:2 2:0 2:1"},
      {"1:0", "3:2 2:0 2:2"}, {"1:2", "2:0 2:1 1:0"}, {"1:2", "2:0 2:2 1:0"}, {"1:3", "2:1 1:0 1:2"},
      {"1:4", "2:1 1:0 1:2"}, {"1:4", "2:2 1:0 1:2"}, {"1:5", "1:0 1:2 1:4"}, {"1:5", "1:0 1:2 1:3"},
      {"5:0", "1:0 1:2 1:4"}, {"5:0", "1:0 1:2 1:3"},
  };
  return table;
}

std::optional<Measure> kick_off_for(const Score& arrangement, const Key& key) {
  const Measure& first = arrangement.measures.front();
  const Note* const to = first_note(arrangement);
  if (first.implicit || first.length < first.meter.length() || to == nullptr) return std::nullopt;
  std::vector<Note> notes = from_table(arrangement.banjo, *to->placement, key);
  if (notes.empty()) notes = from_chord(arrangement, to->pitch.midi(), key);
  if (notes.empty() || kick_off_note * Fraction(static_cast<std::int64_t>(notes.size())) >= first.length)
    return std::nullopt;
  Measure measure;
  measure.number = "0";
  measure.implicit = true;
  measure.meter = first.meter;
  measure.key = first.key;
  for (Note& note : notes) {
    note.role = Role::kick_off;
    Stroke& stroke = measure.strokes.emplace_back();
    stroke.onset = measure.length;
    stroke.duration = kick_off_note;
    stroke.notes.push_back(note);
    measure.length += kick_off_note;
  }
  return measure;
}

}  // namespace fifthpeg::arranging
