// Time: measures and their meter, voices, printed values and durations.
#include <algorithm>
#include <string>

#include "check/part_rules.hpp"
#include "fifthpeg/errors.hpp"
#include "formats/musicxml/printed_value.hpp"
#include "formats/musicxml/values.hpp"

namespace fifthpeg::check {
namespace {

// "a dotted quarter note"; what has no name is counted: "2.5 quarter notes", "1/3 of a quarter note".
std::string length_text(Fraction duration, std::string_view of = "note") {
  const engraving::NoteValue value = engraving::single_value(engraving::units_in(duration));
  if (value) return spoken_name(value, of);
  return counted_as(duration * 4) + (duration < Fraction(1, 4) ? " of a quarter note" : " quarter notes");
}

// "3 of 4 quarter notes": of a measure, counted as its meter is written.
std::string held_text(Fraction extent, const Meter& meter) {
  const engraving::NoteValue unit = engraving::single_value(engraving::units_in(Fraction(1, meter.unit)));
  return counted_as(extent * meter.unit) + " of " + counted_as(meter.length() * meter.unit) + " " +
         (unit ? spoken_name(unit) : to_string(Fraction(1, meter.unit))) + " notes";
}

class TimeRules : public PartRules {
 public:
  explicit TimeRules(Findings& findings) : findings_(findings) {}

  void measure(const RawPart& part, const RawMeasure& measure) override {
    if (measure.written->without_divisions > 0 && !divisions_reported_) {
      divisions_reported_ = true;
      findings_.add("time-no-divisions", place_in(part, measure, measure.written->without_divisions),
                    "a duration stands here, and no divisions before it");
    }
    for (const auto& backup : measure.written->backups_too_far) {
      findings_.add("time-backup-too-far", place_in(part, measure, backup.line),
                    "the notes of the staff or voice before this are " + length_text(backup.beyond) +
                        " shorter than what the file goes back by to begin the next one (<backup>)");
    }
    for (const std::int64_t line : measure.written->chords_alone) {
      findings_.add("time-chord-alone", place_in(part, measure, line),
                    "this note of a chord does not follow the chord's first note");
    }
    if (!measure.timed) return;
    meter_ = measure.meter();
    try {
      notes(part, measure);
      voices(part, measure);
      sum(part, measure);
    } catch (const TimeError&) {
      pending_.reset();  // times beyond all music
    }
  }

  void finish(const RawPart& /*part*/, bool complete) override {
    // What is short at the very end is no fault of the measure: see teaching-ends-inside-measure.
    if (complete) return;
    pending_.reset();
  }

 private:
  struct Short {
    Place place;
    Fraction extent;
    Fraction length;
    std::string held;
    bool made_up = false;       // a pickup or another short measure has what is missing
    bool ends_section = false;  // and may well follow
  };

  void notes(const RawPart& part, const RawMeasure& measure) {
    Fraction chord_duration;
    for (const RawNote& note : measure.notes) {
      if (note.grace != Grace::none) continue;
      if (!note.chord) chord_duration = note.duration;
      if (note.chord && note.duration > chord_duration) {
        findings_.add("time-chord-longer", place_at(part, measure, note),
                      "this note lasts " + length_text(note.duration) + ", the first of its chord " +
                          length_text(chord_duration));
      }
      printed(part, measure, note);
    }
  }

  void printed(const RawPart& part, const RawMeasure& measure, const RawNote& note) {
    if (note.duration == 0 || note.measure_rest || note.tremolo || note.cue) return;
    if (!note.typed) {
      if (note.kind != RawNote::Kind::rest && plain_value(note)) {
        findings_.add(
            "time-no-type", place_at(part, measure, note),
            "this note is as long as " + length_text(note.duration) + ", and no value is printed for it");
      }
      return;
    }
    if (!musicxml::reader::contradicting_value(note, measure, part.divisions.value_or(1))) return;
    const std::string tuplet = note.actual == note.normal
                                   ? std::string()
                                   : " in a tuplet of " + std::to_string(note.actual) + " in the time of " +
                                         std::to_string(note.normal);
    const std::string_view of = note.kind == RawNote::Kind::rest ? "rest" : "note";
    const engraving::NoteValue value{note.type.type, static_cast<std::int8_t>(std::min<int>(note.dots, 2))};
    findings_.add(
        "time-type-contradicts-duration", place_at(part, measure, note),
        spoken_name(value, of) + tuplet + " is printed, but it lasts " + length_text(note.duration, of));
  }

  struct Voice {
    std::uint16_t index = 0;
    int staff = 1;
    Fraction end;
    bool hole = false;
    Fraction hole_at;
    std::int64_t hole_line = 0;
  };

  void voices(const RawPart& part, const RawMeasure& measure) {
    voices_.clear();
    bool overlap_reported = false;
    for (const RawNote& note : measure.notes) {
      if (note.grace != Grace::none || note.chord || note.cue) continue;
      Voice& voice = voice_of(note);
      if (note.onset < voice.end && !overlap_reported) {
        overlap_reported = true;
        findings_.add("time-voices-overlap", place_at(part, measure, note),
                      "voice " + part.voice_name(note.voice) + " is still busy here");
      }
      if (note.onset > voice.end && !voice.hole) {
        voice.hole = true;
        voice.hole_at = voice.end;
        voice.hole_line = note.line;
      }
      voice.end = std::max(voice.end, note.end());
    }
    if (meter_ == nullptr || overlap_reported) return;
    if (measure.notes.empty()) voices_.emplace_back();  // it is there all the same
    if (voices_.size() != 1) return;
    const Voice& only = voices_.front();
    const Fraction at = only.hole ? only.hole_at : only.end;
    if (!only.hole && only.end >= measure.extent) return;
    Place place = place_in(part, measure, only.hole ? only.hole_line : measure.line);
    place.beat = beat_at(measure.measure, at);
    findings_.add("time-voice-hole", place, "neither a note nor a rest stands here");
  }

  Voice& voice_of(const RawNote& note) {
    for (Voice& voice : voices_) {
      if (voice.index == note.voice && voice.staff == note.staff) return voice;
    }
    if (voices_.size() >= 64) return voices_.back();
    voices_.push_back({note.voice, note.staff, {}, false, {}, 0});
    return voices_.back();
  }

  // Whether measures add up; a short one waits for the measure behind it.
  void sum(const RawPart& part, const RawMeasure& measure) {
    const bool first = measure.index == 0;
    if (meter_ == nullptr || measure.notes.empty()) {
      settle(measure, std::nullopt);
      return;
    }
    const bool rests = std::all_of(measure.notes.begin(), measure.notes.end(),
                                   [](const RawNote& n) { return n.measure_rest; });
    const Fraction length = meter_->length();
    if (rests || measure.extent == length) {
      settle(measure, std::nullopt);
      if (pickup_to_report_ && measure.index == 1) report_pickup();
      return;
    }
    if (measure.extent > length) {
      settle(measure, std::nullopt);
      findings_.add("time-measure-too-long", place_in(part, measure, measure.line),
                    "the measure holds " + held_text(measure.extent, *meter_));
      return;
    }
    const Fraction missing = length - measure.extent;
    if (first) {
      keep_gap(measure.extent);
      if (!measure.measure.implicit) {
        pickup_to_report_ = true;
        pickup_ = place_in(part, measure, measure.line);
        pickup_text_ = "the measure holds " + held_text(measure.extent, *meter_);
      }
      return;
    }
    const bool completes = pending_ && pending_->extent == missing;
    settle(measure, measure.extent);
    if (completes || measure.measure.implicit) {
      keep_gap(measure.extent);  // its other half may follow
      return;
    }
    const bool made_up = std::find(gaps_.begin(), gaps_.end(), missing) != gaps_.end();
    pending_ = Short{place_in(part, measure, measure.line), measure.extent, length,
                     held_text(measure.extent, *meter_),    made_up,        ends_section(measure)};
  }

  void keep_gap(Fraction extent) {
    constexpr std::size_t most = 64;
    if (gaps_.size() < most && std::find(gaps_.begin(), gaps_.end(), extent) == gaps_.end())
      gaps_.push_back(extent);
  }

  // Where music may go on elsewhere, so that a pickup makes up for what is missing.
  static bool ends_section(const RawMeasure& measure) {
    const auto& lines = measure.written->barlines;
    const auto& directions = measure.directions;
    return std::any_of(lines.begin(), lines.end(),
                       [](const RawBarline& line) { return line.repeat_backward || line.ending_stops; }) ||
           std::any_of(directions.begin(), directions.end(), [](const auto& one) {
             using Kind = Direction::Kind;
             const Kind kind = one.direction.kind;
             return kind == Kind::fine || kind == Kind::da_capo || kind == Kind::dal_segno ||
                    kind == Kind::to_coda;
           });
  }

  void report_pickup() {
    findings_.add("time-pickup-unmarked", pickup_, pickup_text_ + " and is not marked as a pickup");
    pickup_to_report_ = false;
  }

  // The measure after a short one has come: `extent` is its length where it is short too.
  void settle(const RawMeasure& next, std::optional<Fraction> extent) {
    if (!pending_) return;
    const Short& was = *pending_;
    const bool split = extent && *extent + was.extent == was.length;
    const bool apart = was.ends_section || next.measure.implicit || next.measure.repeat_starts;
    if (was.made_up && apart) keep_gap(was.extent);
    if (!split && !(was.made_up && apart)) {
      findings_.add("time-measure-too-short", was.place, "the measure holds " + was.held);
    }
    pending_.reset();
  }

  Findings& findings_;
  const Meter* meter_ = nullptr;  // of the measure that is looked at; null where none is in force
  std::optional<Short> pending_;
  std::vector<Fraction> gaps_;  // lengths of short measures that others may make up for
  std::vector<Voice> voices_;
  Place pickup_;
  std::string pickup_text_;
  bool pickup_to_report_ = false;
  bool divisions_reported_ = false;
};

}  // namespace

std::unique_ptr<PartRules> time_rules(Findings& findings) {
  return std::make_unique<TimeRules>(findings);
}

}  // namespace fifthpeg::check
