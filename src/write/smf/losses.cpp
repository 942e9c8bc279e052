#include "write/smf/losses.hpp"

#include <algorithm>
#include <array>
#include <string_view>
#include <vector>

#include "write/smf/performance.hpp"

namespace fifthpeg::smf {
namespace {

struct Loss {
  std::string_view slug;
  std::string_view text;
};
constexpr Loss placement{"midi-placement", "strings and frets are lost"};
constexpr Loss finger{"midi-finger", "fingers of the fret hand are lost"};
constexpr Loss digit{"midi-digit", "digits of the picking hand are lost"};
constexpr Loss technique{"midi-technique", "a hammer-on, pull-off or slur is heard only as a softer note"};
constexpr Loss damp{"midi-damp", "a damp mark is heard only as a shorter note"};
constexpr Loss harmonic{"midi-harmonic", "a harmonic is written as a plain note"};
constexpr Loss dead{"midi-dead-note", "a dead note is written as a plain note"};
constexpr Loss spelled{"midi-spelling", "a pitch is spelled otherwise than its key suggests"};
constexpr Loss plain_brush{"midi-brush", "a brush without direction is played from low to high"};
constexpr Loss small_brush{"midi-brush", "a brush of two notes is struck together"};
constexpr Loss staccato{"midi-staccato", "a staccato mark is heard only as a shorter note"};
constexpr Loss tenuto{"midi-tenuto", "a tenuto mark is lost"};
constexpr Loss fermata{"midi-fermata", "a fermata is lost"};
constexpr Loss dynamics{"midi-dynamics", "a dynamic mark that has no loudness of its own is lost"};
constexpr Loss lyric{"midi-lyric", "a verse of the lyrics that is never reached is lost"};
constexpr Loss chord{"midi-chord-symbol", "a chord symbol that its written name does not tell in full"};
constexpr Loss repeat{"midi-repeat", "a repeat sign, ending or jump is lost"};
constexpr Loss additive{"midi-additive-meter", "the grouping of an additive meter is lost"};
constexpr Loss symbol{"midi-meter-symbol", "the common or cut time sign becomes numbers"};

class Teller {
 public:
  Teller(const Score& score, const SmfOptions& options, const Clock& clock, Report& report)
      : score_(score), options_(options), report_(report), plays_(score.measures.size(), 0) {
    for (const Played& played : clock.played()) ++plays_[played.index];
    for (std::size_t i = 1; i < clock.played().size(); ++i) {
      unfolded_ = unfolded_ || clock.played()[i].index != clock.played()[i - 1].index + 1;
    }
  }

  void run() {
    if (unfolded_) {
      report_.tell(Telling::choice, "midi-unfolded", "repeats and jumps are written out in playing order");
    }
    const Meter* previous = nullptr;
    for (std::size_t i = 0; i < score_.measures.size(); ++i) {
      measure_ = &score_.measures[i];
      in_measure(previous);
      previous = &measure_->meter;
      for (const Stroke& stroke : measure_->strokes) in_stroke(stroke, plays_[i]);
    }
  }

 private:
  void lose(const Loss& loss, Fraction at) {
    report_.tell(Telling::loss, loss.slug, loss.text, {{}, measure_->number, beat_at(measure_->meter, at)});
  }

  void in_measure(const Meter* previous) {
    const Measure& measure = *measure_;
    if (previous == nullptr || *previous != measure.meter) {
      if (measure.meter.beats.size() > 1) lose(additive, 0);
      if (measure.meter.symbol != Meter::Symbol::numbers) lose(symbol, 0);
    }
    if (!options_.unfold_repeats && (measure.repeat_starts || measure.repeat_times > 0 || measure.ending)) {
      lose(repeat, 0);
    }
    for (const ChordSymbol& printed : measure.chords) {
      auto read = parse_chord_symbol(to_string(printed));
      if (read) {
        read->at = printed.at;
        read->text = printed.text;
      }
      if (read != printed) lose(chord, printed.at);
    }
    for (const Direction& direction : measure.directions) in_direction(direction);
    find_spelling(measure.key);
    next_key_ = 0;
  }

  void in_direction(const Direction& direction) {
    switch (direction.kind) {
      case Direction::Kind::words:
      case Direction::Kind::rehearsal:
        break;
      case Direction::Kind::dynamics:
        if (velocity_of(direction.text) == 0) lose(dynamics, direction.at);
        break;
      case Direction::Kind::segno:
      case Direction::Kind::coda:
      case Direction::Kind::to_coda:
      case Direction::Kind::da_capo:
      case Direction::Kind::dal_segno:
      case Direction::Kind::fine:
        if (!options_.unfold_repeats) lose(repeat, direction.at);
        break;
    }
  }

  // The spelling that a reader finds for each pitch class in a key.
  void find_spelling(const Key& key) {
    if (key == key_ && known_) return;
    key_ = key;
    known_ = true;
    for (int pitch_class = 0; pitch_class < 12; ++pitch_class) {
      places_.at(static_cast<std::size_t>(pitch_class)) = line_of_fifths(spell(60 + pitch_class, key));
    }
  }

  void in_stroke(const Stroke& stroke, int plays) {
    const auto& changes = measure_->key_changes;
    for (; next_key_ < changes.size() && changes[next_key_].at <= stroke.onset; ++next_key_) {
      find_spelling(changes[next_key_].key);
    }
    if (stroke.brush != Brush::none && stroke.notes.size() < 3) {
      lose(small_brush, stroke.onset);
    } else if (stroke.brush == Brush::plain) {
      lose(plain_brush, stroke.onset);
    }
    if (stroke.articulations.staccato) lose(staccato, stroke.onset);
    if (stroke.articulations.tenuto) lose(tenuto, stroke.onset);
    if (stroke.articulations.fermata) lose(fermata, stroke.onset);
    if (!stroke.lyrics.empty()) in_lyrics(stroke, plays);
    for (const Note& note : stroke.notes) in_note(note, stroke.onset);
  }

  void in_lyrics(const Stroke& stroke, int plays) {
    std::vector<bool> reached(stroke.lyrics.size(), false);
    const int passes =
        std::min(plays, static_cast<int>(std::min<std::size_t>(stroke.lyrics.size(), 1000)) + 1);
    for (int pass = 1; pass <= passes && stroke.grace == Grace::none; ++pass) {
      reached[static_cast<std::size_t>(sung(stroke, pass) - stroke.lyrics.data())] = true;
    }
    for (const bool one : reached) {
      if (!one) lose(lyric, stroke.onset);
    }
  }

  void in_note(const Note& note, Fraction at) {
    if (note.placement && !options_.channel_per_string) lose(placement, at);
    if (note.finger) lose(finger, at);
    if (note.digit) lose(digit, at);
    const bool sounded_by_hand =
        note.into == Technique::hammer_on || note.into == Technique::pull_off || note.into == Technique::slur;
    if (sounded_by_hand) lose(technique, at);
    if (note.ring == Ring::damp) lose(damp, at);
    if (note.harmonic) lose(harmonic, at);
    if (note.dead) lose(dead, at);
    const int pitch_class = ((note.pitch.midi() % 12) + 12) % 12;
    if (line_of_fifths(note.pitch) != places_.at(static_cast<std::size_t>(pitch_class))) lose(spelled, at);
  }

  const Score& score_;
  const SmfOptions& options_;
  Report& report_;
  std::vector<std::int32_t> plays_;
  bool unfolded_ = false;
  const Measure* measure_ = nullptr;
  std::size_t next_key_ = 0;
  Key key_;
  bool known_ = false;
  std::array<int, 12> places_{};
};

}  // namespace

void tell_losses(const Score& score, const SmfOptions& options, const Clock& clock, Report& report) {
  Teller(score, options, clock, report).run();
}

}  // namespace fifthpeg::smf
