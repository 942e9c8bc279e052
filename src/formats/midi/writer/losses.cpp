// What of a score MIDI does not carry.
#include <algorithm>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "formats/midi/writer/tracks.hpp"
#include "performance/performance.hpp"
#include "score/playing_order.hpp"

namespace fifthpeg::midi::writer {
namespace {

struct Loss {
  std::string_view slug;
  std::string_view text;
};
constexpr Loss placement{"midi-placement", "strings and frets are lost"};
constexpr Loss finger{"midi-finger", "fingers of the fret hand are lost"};
constexpr Loss picking_finger{"midi-picking-finger", "picking fingers are lost"};
constexpr Loss technique{"midi-technique", "a hammer-on, pull-off or slur is heard only as a softer note"};
constexpr Loss damp{"midi-damp", "a damp mark is heard only as a shorter note"};
constexpr Loss harmonic{"midi-harmonic", "a harmonic is written as a plain note"};
constexpr Loss dead{"midi-dead-note", "a dead note is written as a plain note"};
constexpr Loss role{"midi-role", "what a note is for (melody, fill ...) is lost"};
constexpr Loss heard_role{"midi-role", "what a note is for (melody, fill ...) is heard only as loudness"};
constexpr Loss spelled{"midi-spelling", "a pitch is spelled differently from what its key suggests"};
constexpr Loss plain_brush{"midi-brush", "a brush without direction is played from low to high"};
constexpr Loss small_brush{"midi-brush", "a brush of two notes is struck together"};
constexpr Loss grace{"midi-grace", "the slash and the printed value of a grace note are lost"};
constexpr Loss accent{"midi-accent", "an accent is heard only as a louder note"};
constexpr Loss staccato{"midi-staccato", "a staccato mark is heard only as a shorter note"};
constexpr Loss tenuto{"midi-tenuto", "a tenuto mark is lost"};
constexpr Loss fermata{"midi-fermata", "a fermata is lost"};
constexpr Loss loudness{"midi-dynamics", "a dynamic mark is heard only as loudness"};
constexpr Loss dynamics{"midi-dynamics", "a dynamic mark that has no loudness of its own is lost"};
constexpr Loss lyric{"midi-lyric", "a verse of the lyrics that is never reached is lost"};
constexpr Loss verse{"midi-lyric", "the number of a verse is lost"};
constexpr Loss chord{"midi-chord-symbol", "a chord symbol whose written name does not say all of it"};
constexpr Loss wording{"midi-chord-symbol", "a chord symbol's own wording becomes the usual one"};
constexpr Loss repeat{"midi-repeat", "a repeat sign, ending or jump is lost"};
constexpr Loss additive{"midi-additive-meter", "the grouping of an additive meter is lost"};
constexpr Loss symbol{"midi-meter-symbol", "the common or cut time sign becomes numbers"};
constexpr Loss bar_style{"midi-bar-style", "the style of a barline is lost"};
constexpr Loss number{"midi-measure-number",
                      "a measure's own number is lost; MIDI has none, and measures are counted"};
constexpr Loss heard_only{"midi-tempo-mark", "the mark that a tempo is not shown is lost"};
constexpr Loss beat_unit{"midi-tempo-beat", "the note value in which a tempo is stated is lost"};
constexpr Loss only_further{"midi-further-part",
                            "a chord symbol, tempo, key or word that only a further part has is lost"};
constexpr Loss neck{"midi-neck", "the number of the neck's frets is lost"};

// What a tempo is stated in where nothing says otherwise.
Fraction usual_beat_unit(const Meter& meter) {
  return meter.is_compound() && meter.unit == 8 ? Fraction(3, 8) : Fraction(1, 4);
}

// What is written of a kind of chord after its root.
std::string usual_wording(const std::string& kind) {
  ChordSymbol example;  // on C
  example.kind = kind;
  return to_string(example).substr(kind == "none" ? 0 : 1);
}

// How a grace note is printed where nothing says otherwise (common practice).
bool is_usual_grace(const Stroke& stroke) {
  return stroke.grace == Grace::slashed && stroke.duration == Fraction(1, 16);
}

class Diagnostics {
 public:
  Diagnostics(const Score& score, const MidiOptions& options, const performance::Clock& clock, Report& report)
      : score_(score), options_(options), report_(report), plays_(score.measures.size(), 0) {
    for (const performance::Played& played : clock.played()) ++plays_[played.index];
    for (std::size_t i = 1; i < clock.played().size(); ++i) {
      unfolded_ = unfolded_ || clock.played()[i].index != clock.played()[i - 1].index + 1;
    }
  }

  void run() {
    if (unfolded_) {
      report_.add(EntryKind::decision, "midi-unfolded", "repeats and jumps are written out in playing order");
    }
    in_neck();
    const Meter* previous = nullptr;
    for (std::size_t i = 0; i < score_.measures.size(); ++i) {
      enter(score_.measures[i]);
      in_measure(previous);
      previous = &measure_->meter;
      for (const Stroke& stroke : measure_->strokes) in_stroke(stroke, plays_[i]);
    }
  }

  void run_beside(const Score& first) {
    in_neck();
    for (std::size_t i = 0; i < score_.measures.size(); ++i) {
      enter(score_.measures[i]);
      in_measure_beside(first.measures[i]);
      for (const Stroke& stroke : measure_->strokes) in_stroke(stroke, plays_[i]);
    }
  }

 private:
  void in_neck() {
    if (score_.banjo.frets != Banjo{}.frets) report_.add(EntryKind::loss, neck.slug, neck.text);
  }

  void enter(const Measure& measure) {
    measure_ = &measure;
    key_ = measure.key;
    next_key_ = 0;
  }

  void lose(const Loss& loss, Fraction at) {
    report_.add(EntryKind::loss, loss.slug, loss.text, {{}, measure_->number, beat_at(*measure_, at)});
  }

  void lose_in_measure(const Loss& loss) {
    report_.add(EntryKind::loss, loss.slug, loss.text, {{}, measure_->number, std::nullopt});
  }

  void in_measure(const Meter* previous) {
    const Measure& measure = *measure_;
    if (previous == nullptr || *previous != measure.meter) {
      if (measure.meter.beats.size() > 1) lose(additive, 0);
      if (measure.meter.symbol != Meter::Symbol::numbers) lose(symbol, 0);
    }
    in_number();
    for (const Tempo& tempo : measure.tempos) {
      if (!tempo.shown) {
        lose(heard_only, tempo.at);
      } else if (tempo.beat_unit != usual_beat_unit(measure.meter)) {
        lose(beat_unit, tempo.at);
      }
    }
    const bool last = &measure == &score_.measures.back();
    const bool usual =
        measure.right_bar == BarStyle::regular || (last && measure.right_bar == BarStyle::light_heavy);
    if (!usual) lose_in_measure(bar_style);
    if (!unfolded_ && (measure.repeat_starts || measure.repeat_times > 0 || measure.ending)) lose(repeat, 0);
    for (const ChordSymbol& printed : measure.chords) {
      auto read = parse_chord_symbol(to_string(printed));
      if (read) {
        read->at = printed.at;
        read->text = printed.text;
      }
      if (read != printed) {
        lose(chord, printed.at);
      } else if (!printed.text.empty() && printed.text != usual_wording(printed.kind)) {
        lose(wording, printed.at);
      }
    }
    for (const Direction& direction : measure.directions) in_direction(direction);
  }

  void in_measure_beside(const Measure& first) {
    const auto report_others = [this](const auto& things, const auto& firsts) {
      for (const auto& thing : things) {
        if (std::find(firsts.begin(), firsts.end(), thing) == firsts.end()) lose(only_further, thing.at);
      }
    };
    if (measure_->key != first.key) lose(only_further, 0);
    report_others(measure_->key_changes, first.key_changes);
    report_others(measure_->chords, first.chords);
    report_others(measure_->tempos, first.tempos);
    for (const Direction& direction : measure_->directions) {
      if (direction.kind == Direction::Kind::dynamics) {
        in_direction(direction);
      } else if (std::find(first.directions.begin(), first.directions.end(), direction) ==
                 first.directions.end()) {
        lose(only_further, direction.at);
      }
    }
  }

  // Measures are counted from 1, or from 0 where the number says so of a pickup; what is implicit is not.
  void in_number() {
    if (measure_->implicit) return;
    const bool pickup = counted_ == 0 && measure_->length < measure_->meter.length();
    if (pickup && measure_->number == "0") return;
    if (measure_->number != std::to_string(++counted_)) lose_in_measure(number);
  }

  void in_direction(const Direction& direction) {
    if (direction.kind == Direction::Kind::dynamics)
      lose(performance::velocity_of(direction.text) == 0 ? dynamics : loudness, direction.at);
    if (is_jump(direction) && !unfolded_) lose(repeat, direction.at);
  }

  void in_stroke(const Stroke& stroke, int plays) {
    const auto& changes = measure_->key_changes;
    for (; next_key_ < changes.size() && changes[next_key_].at <= stroke.onset; ++next_key_) {
      key_ = changes[next_key_].key;
    }
    if (stroke.brush != Brush::none && stroke.notes.size() < 3) {
      lose(small_brush, stroke.onset);
    } else if (stroke.brush == Brush::plain) {
      lose(plain_brush, stroke.onset);
    }
    if (stroke.grace != Grace::none && !is_usual_grace(stroke)) lose(grace, stroke.onset);
    if (stroke.articulations.accent || stroke.articulations.strong_accent) lose(accent, stroke.onset);
    if (stroke.articulations.staccato) lose(staccato, stroke.onset);
    if (stroke.articulations.tenuto) lose(tenuto, stroke.onset);
    if (stroke.articulations.fermata) lose(fermata, stroke.onset);
    if (!stroke.lyrics.empty()) in_lyrics(stroke, plays);
    for (const Note& note : stroke.notes) in_note(note, stroke.onset);
  }

  void in_lyrics(const Stroke& stroke, int plays) {
    std::vector<bool> reached(stroke.lyrics.size(), false);
    std::vector<bool> numbered(stroke.lyrics.size(), false);  // by the pass in which they are sung
    const int passes =
        std::min(plays, static_cast<int>(std::min<std::size_t>(stroke.lyrics.size(), 1000)) + 1);
    for (int pass = 1; pass <= passes && stroke.grace == Grace::none; ++pass) {
      const Lyric& one = *performance::sung(stroke, pass);
      const auto index = static_cast<std::size_t>(&one - stroke.lyrics.data());
      reached[index] = true;
      if (one.verse == "1" || one.verse == std::to_string(pass)) numbered[index] = true;
    }
    for (std::size_t i = 0; i < reached.size(); ++i) {
      if (!reached[i]) {
        lose(lyric, stroke.onset);
      } else if (!numbered[i]) {
        lose(verse, stroke.onset);
      }
    }
  }

  void in_note(const Note& note, Fraction at) {
    if (note.placement && !options_.channel_per_string) lose(placement, at);
    if (note.finger && !finger_is_plain(note)) lose(finger, at);
    if (note.picking_finger) lose(picking_finger, at);
    const bool sounded_by_hand =
        note.into == Technique::hammer_on || note.into == Technique::pull_off || note.into == Technique::slur;
    if (sounded_by_hand) lose(technique, at);
    if (note.ring == Ring::damp) lose(damp, at);
    if (note.harmonic) lose(harmonic, at);
    if (note.dead) lose(dead, at);
    if (note.role != Role::none) lose(has_melody_ ? heard_role : role, at);
    if (spell(note.pitch.midi(), key_) != note.pitch) lose(spelled, at);
  }

  const Score& score_;
  const MidiOptions& options_;
  Report& report_;
  std::vector<std::int32_t> plays_;
  bool has_melody_ = has_role(score_, Role::melody);
  bool unfolded_ = false;  // played otherwise than it is printed
  int counted_ = 0;        // measures so far
  const Measure* measure_ = nullptr;
  std::size_t next_key_ = 0;
  Key key_;  // in force
};

}  // namespace

void report_losses(const Score& score, const MidiOptions& options, const performance::Clock& clock,
                   Report& report) {
  Diagnostics(score, options, clock, report).run();
}

void report_losses_beside(const Score& first, const Score& further, const MidiOptions& options,
                          const performance::Clock& clock, Report& report) {
  Diagnostics(further, options, clock, report).run_beside(first);
}

}  // namespace fifthpeg::midi::writer
