#include "performance/backing.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <utility>
#include <vector>

#include "fifthpeg/edit.hpp"
#include "performance/beats.hpp"
#include "score/chord_tones.hpp"

namespace fifthpeg::performance {
namespace {

constexpr int lowest_bass = 40;   // E2
constexpr int lowest_chord = 55;  // G3: below the tune, mostly
constexpr std::size_t most_chord_notes = 4;
constexpr std::size_t fewest_brushed = 3;
constexpr char softer[] = "mp";  // than the tune

// The lowest note of a pitch class that is not below another.
int at_or_above(int lowest, int pitch_class_wanted) {
  return lowest + pitch_class(pitch_class_wanted - lowest);
}

int class_of(const ChordTone& tone) {
  return pitch_class(Pitch{tone.step, tone.alter, 4}.midi());
}

// A moment of the measure, and how long what is struck there lasts.
struct Beat {
  Fraction at;
  Fraction length;
};

// Which moments of a measure have the bass, and which the chords.
struct Pattern {
  std::vector<Beat> bass;
  std::vector<Beat> chords;
};

Pattern pattern_of(const Measure& measure) {
  Pattern pattern;
  if (counted_before(measure) > 0) return pattern;
  std::vector<Fraction> counted = beats(measure);
  const std::size_t count = counted.size();
  counted.push_back(measure.length);
  const bool of_two = count <= 2 || measure.meter.is_compound();
  for (std::size_t i = 0; i < count; ++i) {
    const Beat beat{counted[i], counted[i + 1] - counted[i]};
    if (of_two) {
      const Fraction part = beat.length / (measure.meter.is_compound() ? 3 : 2);
      pattern.bass.push_back({beat.at, beat.length - part});
      pattern.chords.push_back({beat.at + beat.length - part, part});
    } else if (i == 0 || (count % 2 == 0 && i == count / 2)) {
      pattern.bass.push_back(beat);
    } else {
      pattern.chords.push_back(beat);
    }
  }
  return pattern;
}

Note note_of(int midi, const Key& key, Ring ring) {
  Note note;
  note.pitch = spell(midi, key);
  note.ring = ring;
  note.role = Role::backup;
  return note;
}

Stroke stroke_at(const Beat& beat, std::vector<Note> notes) {
  Stroke stroke;
  stroke.onset = beat.at;
  stroke.duration = beat.length;
  stroke.notes = std::move(notes);
  return stroke;
}

class Accompanist {
 public:
  explicit Accompanist(Report& report) : report_(report) {}

  void in_measure(const Measure& measure, std::vector<Stroke>& bass, std::vector<Stroke>& chords) {
    const Pattern pattern = pattern_of(measure);
    auto next_bass = pattern.bass.begin();
    auto next_chord = pattern.chords.begin();
    auto symbol = measure.chords.begin();
    while (next_bass != pattern.bass.end() || next_chord != pattern.chords.end()) {
      const bool is_bass = next_chord == pattern.chords.end() ||
                           (next_bass != pattern.bass.end() && next_bass->at < next_chord->at);
      const Beat& beat = is_bass ? *next_bass++ : *next_chord++;
      for (; symbol != measure.chords.end() && symbol->at <= beat.at; ++symbol) follow(*symbol, measure);
      if (!tones_) continue;
      if (is_bass) {
        bass.push_back(stroke_at(beat, {note_of(next_of_bass(), measure.key, Ring::natural)}));
      } else {
        chords.push_back(stroke_at(beat, chord(measure.key)));
        if (chords.back().notes.size() >= fewest_brushed) chords.back().brush = Brush::up;
      }
    }
    for (; symbol != measure.chords.end(); ++symbol) follow(*symbol, measure);
  }

 private:
  void follow(const ChordSymbol& symbol, const Measure& measure) {
    tones_ = chord_tones(symbol);
    symbol_ = symbol;
    bass_notes_ = 0;
    if (!tones_ && symbol.kind != "none") {
      report_.add(EntryKind::loss, "backing-unknown-chord",
                  "the accompaniment rests where a chord symbol does not say its notes",
                  {{}, measure.number, beat_at(measure, symbol.at)});
    }
  }

  // The note under the slash or the root first; then the fifth that the chord has.
  int next_of_bass() {
    const int root = class_of(symbol_.root);
    const int lowest = symbol_.bass ? class_of(*symbol_.bass) : root;
    if (bass_notes_++ % 2 == 0) return at_or_above(lowest_bass, lowest);
    constexpr std::array fifths{7, 6, 8};
    const auto fifth = std::find_if(fifths.begin(), fifths.end(),
                                    [&](int half_steps) { return tones_->has(root + half_steps); });
    const int other = symbol_.bass ? root : fifth != fifths.end() ? root + *fifth : root;
    return at_or_above(lowest_bass, other);
  }

  // Highest first, as notes stand in a stroke.
  std::vector<Note> chord(const Key& key) const {
    std::vector<Note> notes;
    for (const unsigned wanted : {tones_->needed, tones_->all}) {
      for (int midi = lowest_chord; midi < lowest_chord + 12 && notes.size() < most_chord_notes; ++midi) {
        if ((wanted & ChordTones::bit(midi)) == 0) continue;
        const Note note = note_of(midi, key, Ring::damp);
        if (std::find(notes.begin(), notes.end(), note) == notes.end()) notes.push_back(note);
      }
    }
    std::sort(notes.begin(), notes.end(),
              [](const Note& a, const Note& b) { return a.pitch.midi() > b.pitch.midi(); });
    return notes;
  }

  Report& report_;
  std::optional<ChordTones> tones_;
  ChordSymbol symbol_;
  int bass_notes_ = 0;  // under this chord
};

// The measures of a piece without what is in them.
Score frame_of(const Score& piece, const char* name) {
  Score frame = piece;
  frame.part_name = name;
  for (Measure& measure : frame.measures) {
    measure.strokes.clear();
    measure.directions.clear();
    measure.chords.clear();
  }
  if (!frame.measures.empty()) {
    frame.measures.front().directions.push_back({0, Direction::Kind::dynamics, softer});
  }
  return frame;
}

}  // namespace

Backing backing_for(const Score& piece, Report& report) {
  Backing backing{frame_of(piece, "Bass"), frame_of(piece, "Chords")};
  Accompanist accompanist(report);
  for (std::size_t m = 0; m < piece.measures.size(); ++m) {
    accompanist.in_measure(piece.measures[m], backing.bass.measures[m].strokes,
                           backing.chords.measures[m].strokes);
    refill(backing.bass, m);
    refill(backing.chords, m);
  }
  return backing;
}

}  // namespace fifthpeg::performance
