// What of a score a MIDI file holds, as plain lists in time from the beginning of the piece: the same for the
// score that was written and for the one that was read.
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <numeric>
#include <optional>
#include <ostream>
#include <string>
#include <vector>

#include "fifthpeg/score.hpp"

namespace fifthpeg::testing {

// One note, ties joined.
struct HeldNote {
  Fraction onset;
  bool grace = false;  // then only where it leads is held
  // Nothing for notes left to ring: their sound goes on as long as it may. Nothing either for notes that are
  // stopped early in a swung piece, where the pair decides how much of a note that is.
  std::optional<Fraction> end;
  int key = 0;
  int string = 0;  // 0 where strings are not held
  Brush brush = Brush::none;
  bool slides_out = false;
  std::optional<Choke> choke;
  friend bool operator==(const HeldNote&, const HeldNote&) = default;
};

// Something said at a time: "meter 4/4", "key 1 minor", "tempo 500000", "chord G", "words softly".
struct HeldMark {
  Fraction at;
  std::string text;
  friend bool operator==(const HeldMark&, const HeldMark&) = default;
};

struct Held {
  Work work;
  std::string part_name;
  Banjo banjo;
  std::optional<Swing> swing;
  std::vector<Fraction> barlines;  // and where the last measure ends
  std::vector<HeldMark> marks;
  std::vector<HeldNote> notes;
};

inline std::ostream& operator<<(std::ostream& out, const HeldMark& mark) {
  return out << "[" << to_string(mark.at) << " " << mark.text << "]";
}
inline std::ostream& operator<<(std::ostream& out, const HeldNote& note) {
  out << "[" << to_string(note.onset) << (note.grace ? " grace" : "") << " key " << note.key;
  if (note.end) out << " to " << to_string(*note.end);
  if (note.string > 0) out << " string " << note.string;
  if (note.brush != Brush::none) out << " brush " << static_cast<int>(note.brush);
  if (note.slides_out) out << " slides";
  if (note.choke) out << " choke " << note.choke->cents << note.choke->before << note.choke->release;
  return out << "]";
}

// Collects a Held. `strings`: the file has a channel for each string.
class Holder {
 public:
  Holder(const Score& score, bool strings) : score_(score), strings_(strings) {}

  Held run() {
    held_.work = score_.work;
    held_.part_name = score_.part_name;
    held_.banjo = score_.banjo;
    held_.banjo.frets = Banjo{}.frets;  // the length of the neck is not said
    held_.swing = score_.swing;
    for (const Measure& measure : score_.measures) {
      held_.barlines.push_back(start_);
      take_marks(measure);
      for (const Stroke& stroke : measure.strokes) take(stroke);
      start_ += measure.length;
    }
    held_.barlines.push_back(start_);
    for (const auto& index : last_) {
      if (index) held_.notes[*index].slides_out = false;  // to nowhere
    }
    std::stable_sort(held_.notes.begin(), held_.notes.end(), [](const HeldNote& a, const HeldNote& b) {
      if (a.onset != b.onset) return a.onset < b.onset;
      if (a.grace != b.grace) return a.grace;
      return a.grace ? false : a.key > b.key;
    });
    fill_small_gaps();
    std::stable_sort(held_.marks.begin(), held_.marks.end(), [](const HeldMark& a, const HeldMark& b) {
      return a.at != b.at ? a.at < b.at : a.text < b.text;
    });
    return std::move(held_);
  }

 private:
  void mark(Fraction at, const std::string& text) { held_.marks.push_back({start_ + at, text}); }

  void take_marks(const Measure& measure) {
    std::int64_t beats = 0;
    for (const int group : measure.meter.beats) beats += group;
    std::int64_t unit = measure.meter.unit;
    if (start_ > 0 && measure.length != measure.meter.length()) {
      // A pickup that is played again has a time signature of its own.
      unit = std::lcm(unit, measure.length.den());
      beats = (measure.length * unit).num();
    }
    const std::string meter = "meter " + std::to_string(beats) + "/" + std::to_string(unit);
    if (meter != meter_) mark(0, meter);
    meter_ = meter;
    take_key(0, measure.key);
    for (const KeyChange& change : measure.key_changes) take_key(change.at, change.key);
    for (const Tempo& tempo : measure.tempos) {
      const Fraction quarter = Fraction(60'000'000) / tempo.quarters_per_minute;
      const std::int64_t microseconds = (quarter + Fraction(1, 2)).floor();
      if (microseconds != microseconds_) mark(tempo.at, "tempo " + std::to_string(microseconds));
      microseconds_ = microseconds;
      if (!tempo.words.empty()) mark(tempo.at, "words " + tempo.words);
    }
    for (const ChordSymbol& chord : measure.chords) mark(chord.at, "chord " + to_string(chord));
    for (const Direction& direction : measure.directions) {
      if (direction.kind == Direction::Kind::words) mark(direction.at, "words " + direction.text);
      if (direction.kind == Direction::Kind::rehearsal) mark(direction.at, "rehearsal " + direction.text);
    }
  }

  // MIDI knows two modes.
  void take_key(Fraction at, const Key& key) {
    const bool minor = key.mode == Mode::minor || key.mode == Mode::aeolian;
    const std::string text = "key " + std::to_string(key.fifths) + (minor ? " minor" : "");
    if (text != key_) mark(at, text);
    key_ = text;
  }

  void take(const Stroke& stroke) {
    const bool grace = stroke.grace != Grace::none;
    std::vector<std::size_t> tied;
    for (const Note& note : stroke.notes) {
      std::size_t index = held_.notes.size();
      if (note.tied_from_previous) index = continued(note);
      if (index == held_.notes.size()) begin(note, stroke);
      HeldNote& held = held_.notes[index];
      const Fraction end = start_ + stroke.onset + stroke.duration;
      held.end = end_of(note, stroke, end);
      // A string bends one way at a time: a choke hides the slide after it.
      held.slides_out = note.out_of == Technique::slide && !held.choke;
      if (grace) {
        held.end.reset();
        held.slides_out = false;  // read as a grace note, with or without its slide
      }
      if (note.tied_to_next) tied.push_back(index);
    }
    if (!grace) ties_ = std::move(tied);
    // A syllable under a note that only goes on has no note to be sung to.
    if (stroke.is_rest() || stroke.notes.front().tied_from_previous) return;
    for (const Lyric& lyric : stroke.lyrics) mark(stroke.onset, "lyric " + lyric.text);
  }

  std::size_t continued(const Note& note) const {
    for (const std::size_t index : ties_) {
      if (held_.notes[index].key == note.pitch.midi()) return index;
    }
    return held_.notes.size();
  }

  void begin(const Note& note, const Stroke& stroke) {
    HeldNote held;
    held.onset = start_ + stroke.onset;
    held.grace = stroke.grace != Grace::none;
    held.key = note.pitch.midi();
    if (strings_ && note.placement) held.string = note.placement->string;
    // Two notes are struck together; three and more are spread.
    if (stroke.notes.size() > 2) held.brush = stroke.brush;
    held.choke = note.choke;
    // A repeat may lead elsewhere than the slide before it: then there is none.
    const auto string = static_cast<std::size_t>(note.placement ? note.placement->string : 0);
    const bool elsewhere = !held.grace && note.into != Technique::slide;
    if (last_.at(string) && (elsewhere || too_far(held_.notes[*last_.at(string)].key, held.key)))
      held_.notes[*last_.at(string)].slides_out = false;
    last_.at(string) = held_.notes.size();
    held_.notes.push_back(held);
  }

  // Bends reach an octave.
  static bool too_far(int from, int to) { return from - to > 12 || to - from > 12; }

  // A gap that is shorter than any rest that people write is no rest.
  void fill_small_gaps() {
    std::optional<Fraction> next;
    for (std::size_t i = held_.notes.size(); i-- > 0;) {
      HeldNote& note = held_.notes[i];
      if (note.end && next && *next > *note.end && *next - *note.end < Fraction(1, 32)) note.end = *next;
      const bool last_of_stroke = i == 0 || held_.notes[i - 1].onset != note.onset;
      if (last_of_stroke) next = note.onset;
    }
  }

  // As write/smf/performance.hpp states it; the reader finds a shorter note and a rest.
  std::optional<Fraction> end_of(const Note& note, const Stroke& stroke, Fraction end) const {
    if (note.ring == Ring::let_ring) return std::nullopt;
    const Fraction half = note.out_of == Technique::slide ? Fraction(0) : stroke.duration / 2;
    Fraction gap;
    if (stroke.articulations.staccato) gap = half;
    if (note.ring == Ring::damp) gap = std::min(half, Fraction(1, 16));
    if (gap > 0 && score_.swing) return std::nullopt;
    return end - gap;
  }

  const Score& score_;
  bool strings_;
  Held held_;
  Fraction start_;
  std::string meter_, key_;
  std::int64_t microseconds_ = 0;
  std::vector<std::size_t> ties_;
  std::array<std::optional<std::size_t>, string_count + 1> last_;  // by string
};

inline Held held_by_midi(const Score& score, bool strings) {
  return Holder(score, strings).run();
}

}  // namespace fifthpeg::testing
