#include "check/raw.hpp"

#include <algorithm>
#include <limits>

#include "base/text.hpp"
#include "fifthpeg/errors.hpp"
#include "formats/musicxml/conventions.hpp"
#include "formats/musicxml/values.hpp"

namespace fifthpeg::check {
namespace {

namespace values = musicxml;

std::optional<int> number_of(std::string_view text) {
  return values::whole_number(text);
}

std::optional<Pitch> pitch_of(const Tree& tree, const Element& parent, std::string_view prefix) {
  const std::string start(prefix);
  const auto step = values::step(tree.child_text(parent, start + "step"));
  const auto octave = number_of(tree.child_text(parent, start + "octave"));
  if (!step || !octave || *octave < 0 || *octave > 9) return std::nullopt;
  const std::string_view alter_text = tree.child_text(parent, start + "alter");
  const int alter = number_of(alter_text).value_or(0);
  if (alter < -3 || alter > 3) return std::nullopt;
  return Pitch{*step, static_cast<std::int8_t>(alter), static_cast<std::int8_t>(*octave)};
}

std::optional<Meter> meter_of(const Tree& tree, const Element& time) {
  if (tree.child(time, "senza-misura") != nullptr) return std::nullopt;
  Meter meter;
  meter.beats.clear();
  meter.unit = 0;
  bool sound = true;
  int pairs = 0;
  tree.each(time, [&](const Element& child) {
    if (child.name == "beats") {
      ++pairs;
      std::string_view rest = trimmed_text(child);
      while (!rest.empty()) {
        const std::size_t plus = rest.find('+');
        const auto beats = number_of(rest.substr(0, plus));
        if (!beats || *beats < 1 || *beats > 1000) sound = false;
        meter.beats.push_back(beats.value_or(1));
        rest = plus == std::string_view::npos ? std::string_view{} : rest.substr(plus + 1);
      }
    } else if (child.name == "beat-type") {
      const auto unit = number_of(trimmed_text(child));
      if (!unit || *unit < 1 || *unit > 256) sound = false;
      meter.unit = unit.value_or(4);
    }
  });
  // Two meters in one signature: their sum is not told apart here.
  if (!sound || pairs != 1 || meter.beats.empty() || meter.unit == 0 || meter.beats.size() > 20)
    return std::nullopt;
  return meter;
}

// The miscellaneous fields of this library.
void read_field(RawHead& head, std::string_view name, std::string_view value) {
  if (name == musicxml::field_fifth_frets) head.own_nut = value == musicxml::own_nut;
  const auto number = number_of(value);
  if (!number || *number < 1 || *number > 60) return;
  if (name == musicxml::field_fifth_capo) head.fifth_capo = *number;
  if (name == musicxml::field_frets) head.frets = *number;
}

class MeasureReader {
 public:
  MeasureReader(RawPart& part, RawMeasure& measure, const Tree& tree)
      : part_(part), measure_(measure), tree_(tree) {}

  void run() {
    measure_.meter = part_.meter;
    for (std::size_t i = tree_.root().first; i != Element::none; i = at(i).next) child(at(i), i);
    measure_.extent = std::max(measure_.extent, now_);
  }

 private:
  const Element& at(std::size_t index) const { return tree_.elements()[index]; }

  void child(const Element& element, std::size_t index) {
    if (element.name == "note") {
      note(element, index);
    } else if (element.name == "backup") {
      move(element, -1);
    } else if (element.name == "forward") {
      move(element, 1);
      last_was_note_ = false;
    } else if (element.name == "attributes") {
      attributes(element);
    } else if (element.name == "direction") {
      direction(element);
    } else if (element.name == "sound") {
      sound(element);
    } else if (element.name == "harmony") {
      measure_.has_harmony = true;
    } else if (element.name == "barline") {
      barline(element);
    }
  }

  std::optional<Fraction> duration_of(const Element& element) {
    const auto value = values::decimal(tree_.child_text(element, "duration"));
    if (!value || *value < 0) return std::nullopt;
    if (!part_.divisions) {
      if (measure_.without_divisions == 0) measure_.without_divisions = element.line;
      measure_.timed = false;
      return std::nullopt;
    }
    return *value / Fraction(*part_.divisions * 4);
  }

  void move(const Element& element, int way) {
    const auto duration = duration_of(element);
    if (!duration) return;
    now_ += way > 0 ? *duration : -*duration;
    if (now_ < 0) {
      measure_.backups_too_far.push_back(element.line);
      now_ = 0;
    }
    if (way < 0) last_was_note_ = false;
    measure_.extent = std::max(measure_.extent, now_);
  }

  void attributes(const Element& element) {
    tree_.each(element, [&](const Element& child) {
      const int number = std::clamp(number_of(attribute(child, "number")).value_or(1), 1, 64);
      if (child.name == "divisions") {
        const auto divisions = values::decimal(trimmed_text(child));
        if (divisions && divisions->is_whole() && divisions->num() > 0) part_.divisions = divisions->num();
      } else if (child.name == "time") {
        part_.meter = meter_of(tree_, child);
        part_.meter_seen = true;
        measure_.meter = part_.meter;
      } else if (child.name == "key") {
        part_.key_seen = true;
      } else if (child.name == "clef") {
        RawStaff& staff = part_.staves[number];
        staff.clef = true;
        staff.tab = tree_.child_text(child, "sign") == "TAB";
        if (staff.clef_line == 0) staff.clef_line = child.line;
        if (tree_.child_text(child, "sign") == "percussion") part_.percussion = true;
      } else if (child.name == "staff-details") {
        staff_details(child, part_.staves[number]);
      } else if (child.name == "transpose") {
        const int half_steps = number_of(tree_.child_text(child, "chromatic")).value_or(0) +
                               12 * number_of(tree_.child_text(child, "octave-change")).value_or(0);
        if (half_steps < -60 || half_steps > 60) return;
        if (has_attribute(child, "number")) {
          part_.staves[number].transpose = half_steps;
        } else {
          part_.transpose = half_steps;
          for (auto& [staff_number, staff] : part_.staves) staff.transpose = half_steps;
        }
      }
    });
  }

  void staff_details(const Element& element, RawStaff& staff) {
    tree_.each(element, [&](const Element& child) {
      if (child.name == "staff-lines") {
        staff.lines = number_of(trimmed_text(child));
      } else if (child.name == "capo") {
        const auto capo = number_of(trimmed_text(child));
        if (capo && *capo >= 0 && *capo <= 24) staff.capo = capo;
      } else if (child.name == "staff-tuning") {
        const int line = number_of(attribute(child, "line")).value_or(0);
        const auto pitch = pitch_of(tree_, child, "tuning-");
        if (line < 1 || line > static_cast<int>(staff.tuning.size()) || !pitch) return;
        auto& slot = staff.tuning.at(static_cast<std::size_t>(line - 1));
        if (!slot) ++staff.tuned;
        slot = pitch->midi();
        if (staff.tuning_line == 0) staff.tuning_line = child.line;
      }
    });
  }

  void direction(const Element& element) {
    tree_.each(element, [&](const Element& child) {
      if (child.name == "sound") sound(child);
      if (child.name != "direction-type") return;
      tree_.each(child, [&](const Element& type) {
        if (type.name == "segno") measure_.jumps.segno = type.line;
        if (type.name == "coda") measure_.jumps.coda = type.line;
        if (type.name == "metronome") measure_.has_tempo = true;
        if (type.name == "words") words(type);
      });
    });
  }

  void words(const Element& element) {
    measure_.texts.emplace_back(element.line, element.text);
    const std::string text = base::lower_case(trimmed_text(element));
    const auto begins = [&text](std::string_view start) { return text.starts_with(start); };
    if (begins("d.s.") || begins("dal segno")) measure_.jumps.dal_segno = element.line;
    if (begins("d.c.") || begins("da capo")) measure_.jumps.da_capo = element.line;
    if (text == "fine") measure_.jumps.fine = element.line;
    if (begins("to coda")) measure_.jumps.to_coda = element.line;
  }

  void sound(const Element& element) {
    const auto set = [&element](std::string_view name, std::int64_t& line) {
      if (has_attribute(element, name) && attribute(element, name) != "no") line = element.line;
    };
    if (has_attribute(element, "tempo")) measure_.has_tempo = true;
    set("segno", measure_.jumps.segno);
    set("coda", measure_.jumps.coda);
    set("tocoda", measure_.jumps.to_coda);
    set("dacapo", measure_.jumps.da_capo);
    set("dalsegno", measure_.jumps.dal_segno);
    set("fine", measure_.jumps.fine);
  }

  void barline(const Element& element) {
    RawBarline line;
    line.line = element.line;
    line.right = attribute(element, "location") != "left";
    tree_.each(element, [&](const Element& child) {
      if (child.name == "repeat") {
        line.repeat_forward = attribute(child, "direction") == "forward";
        line.repeat_backward = attribute(child, "direction") == "backward";
      } else if (child.name == "ending") {
        line.ending_number = std::string(attribute(child, "number"));
        line.ending_type = std::string(attribute(child, "type"));
      } else if (child.name == "segno") {
        measure_.jumps.segno = child.line;
      } else if (child.name == "coda") {
        measure_.jumps.coda = child.line;
      }
    });
    if (has_attribute(element, "segno")) measure_.jumps.segno = element.line;
    if (has_attribute(element, "coda")) measure_.jumps.coda = element.line;
    measure_.repeat_backward = measure_.repeat_backward || line.repeat_backward;
    measure_.barlines.push_back(std::move(line));
  }

  void note(const Element& element, std::size_t index) {
    RawNote note;
    note.line = element.line;
    note.element = index;
    note.begin = element.begin;
    note.voice = "1";
    tree_.each(element, [&](const Element& child) { part_of_note(note, child); });
    RawStaff& staff = staff_of(note.staff);
    if (note.written) note.midi = note.written->midi() + staff.transpose;
    if (!note.grace) {
      if (const auto duration = duration_of(element)) note.duration = *duration;
    }
    if (note.chord) {
      if (!last_was_note_ || last_was_rest_) measure_.chords_alone.push_back(note.line);
      note.onset = last_onset_;
    } else {
      note.onset = now_;
      last_onset_ = now_;
      now_ += note.duration;
    }
    last_was_note_ = true;
    last_was_rest_ = note.rest;
    measure_.extent = std::max({measure_.extent, now_, note.end()});
    measure_.notes.push_back(std::move(note));
  }

  RawStaff& staff_of(int number) {
    const auto [found, is_new] = part_.staves.try_emplace(number);
    if (is_new) found->second.transpose = part_.transpose;
    return found->second;
  }

  void part_of_note(RawNote& note, const Element& child) {
    if (child.name == "grace") note.grace = true;
    if (child.name == "cue") note.cue = true;
    if (child.name == "chord") note.chord = true;
    if (child.name == "rest") {
      note.rest = true;
      note.measure_rest = attribute(child, "measure") == "yes";
    }
    if (child.name == "unpitched") note.unpitched = true;
    if (child.name == "pitch") note.written = pitch_of(tree_, child, "");
    if (child.name == "voice") note.voice = std::string(trimmed_text(child));
    if (child.name == "staff") note.staff = std::clamp(number_of(trimmed_text(child)).value_or(1), 1, 64);
    if (child.name == "type") note.type = std::string(trimmed_text(child));
    if (child.name == "dot") note.dots = std::min(note.dots + 1, 8);
    if (child.name == "notehead" && trimmed_text(child) == "x") note.dead = true;
    if (child.name == "tie") mark(note, child, Mark::Kind::tie);
    if (child.name == "lyric") {
      const Element* text = tree_.child(child, "text");
      if (text != nullptr) measure_.texts.emplace_back(text->line, text->text);
    }
    if (child.name == "time-modification") {
      const int actual = number_of(tree_.child_text(child, "actual-notes")).value_or(1);
      const int normal = number_of(tree_.child_text(child, "normal-notes")).value_or(1);
      if (actual >= 1 && normal >= 1 && actual <= 10'000 && normal <= 10'000) {
        note.actual = actual;
        note.normal = normal;
      }
    }
    if (child.name == "notations") notations(note, child);
  }

  void notations(RawNote& note, const Element& element) {
    tree_.each(element, [&](const Element& child) {
      if (child.name == "tied") mark(note, child, Mark::Kind::tied);
      if (child.name == "slur") mark(note, child, Mark::Kind::slur);
      if (child.name == "slide" || child.name == "glissando") mark(note, child, Mark::Kind::slide);
      if (child.name == "tuplet") mark(note, child, Mark::Kind::tuplet);
      if (child.name == "technical") technical(note, child);
      if (child.name == "ornaments") {
        const Element* tremolo = tree_.child(child, "tremolo");
        if (tremolo != nullptr && attribute(*tremolo, "type") != "single") note.tremolo = true;
      }
    });
  }

  void technical(RawNote& note, const Element& element) {
    tree_.each(element, [&](const Element& child) {
      if (child.name == "string" && !note.string) note.string = number_of(trimmed_text(child));
      if (child.name == "fret" && !note.fret) note.fret = number_of(trimmed_text(child));
      if (child.name == "pluck") note.plucks.emplace_back(trimmed_text(child));
      if (child.name == "bend") note.bend = true;
      if (child.name == "harmonic") note.harmonic = true;
      if (child.name == "hammer-on") mark(note, child, Mark::Kind::hammer_on);
      if (child.name == "pull-off") mark(note, child, Mark::Kind::pull_off);
    });
  }

  static void mark(RawNote& note, const Element& element, Mark::Kind kind) {
    const std::string_view type = attribute(element, "type");
    if (type != "start" && type != "stop") return;
    Mark made;
    made.kind = kind;
    made.end = type == "start" ? Mark::End::start : Mark::End::stop;
    made.number = number_of(attribute(element, "number")).value_or(1);
    made.line = element.line;
    note.marks.push_back(made);
  }

  RawPart& part_;
  RawMeasure& measure_;
  const Tree& tree_;
  Fraction now_;
  Fraction last_onset_;
  bool last_was_note_ = false;
  bool last_was_rest_ = false;
};

void read_identification(RawHead& head, const Tree& tree, const Element& element) {
  tree.each(element, [&](const Element& child) {
    const bool said = !trimmed_text(child).empty();
    if (child.name == "creator" && said) head.credit = true;
    if (child.name == "rights" && said) head.rights = true;
    if (child.name == "creator" || child.name == "rights") head.texts.emplace_back(child.line, child.text);
    if (child.name == "miscellaneous") {
      tree.each(child, [&](const Element& field) {
        read_field(head, attribute(field, "name"), trimmed_text(field));
      });
    }
  });
}

void read_credit(RawHead& head, const Tree& tree, const Element& element) {
  const std::string_view type = tree.child_text(element, "credit-type");
  tree.each(element, [&](const Element& child) {
    if (child.name != "credit-words") return;
    head.texts.emplace_back(child.line, child.text);
    if (type == "title") head.title = true;
    if (type == "composer" || type == "lyricist" || type == "arranger") head.credit = true;
    if (type == "rights") head.rights = true;
  });
}

void read_score_part(RawHead& head, const Tree& tree, const Element& element) {
  RawPart part;
  part.id = std::string(attribute(element, "id"));
  part.described = true;
  tree.each(element, [&](const Element& child) {
    if (child.name == "part-name") part.name = std::string(trimmed_text(child));
    if (child.name == "score-instrument") {
      part.instruments += ' ' + base::lower_case(tree.child_text(child, "instrument-name"));
      part.instruments += ' ' + base::lower_case(tree.child_text(child, "instrument-sound"));
    }
    if (child.name == "midi-instrument" && tree.child_text(child, "midi-channel") == "10")
      part.percussion = true;
  });
  part.instruments += ' ' + base::lower_case(part.name);
  head.texts.emplace_back(element.line, part.name);
  head.parts.push_back(std::move(part));
}

}  // namespace

RawHead read_head(const Tree& tree) {
  RawHead head;
  if (tree.empty()) return head;
  tree.each(tree.root(), [&](const Element& element) {
    if (element.name == "work") {
      head.title = head.title || !tree.child_text(element, "work-title").empty();
      if (const Element* title = tree.child(element, "work-title"))
        head.texts.emplace_back(title->line, title->text);
    } else if (element.name == "movement-title") {
      head.title = head.title || !trimmed_text(element).empty();
      head.texts.emplace_back(element.line, element.text);
    } else if (element.name == "identification") {
      read_identification(head, tree, element);
    } else if (element.name == "credit") {
      read_credit(head, tree, element);
    } else if (element.name == "part-list") {
      tree.each(element, [&](const Element& child) {
        if (child.name == "score-part") read_score_part(head, tree, child);
      });
    }
  });
  return head;
}

RawMeasure read_measure(RawPart& part, const Element& label, const Tree& tree) {
  RawMeasure measure;
  measure.number = std::string(attribute(label, "number"));
  measure.implicit = attribute(label, "implicit") == "yes";
  measure.line = label.line;
  measure.index = part.measures++;
  try {
    MeasureReader(part, measure, tree).run();
  } catch (const TimeError&) {
    measure.timed = false;  // durations beyond all music
  }
  return measure;
}

Place place_in(const RawPart& part, const RawMeasure& measure, std::int64_t line) {
  Place place;
  place.part = part.label();
  place.measure = measure.number;
  place.line = line;
  return place;
}

Place place_at(const RawPart& part, const RawMeasure& measure, const RawNote& note) {
  Place place = place_in(part, measure, note.line);
  if (measure.timed && measure.meter) place.beat = beat_at(*measure.meter, note.onset);
  return place;
}

std::optional<PrintedValue> plain_value(const RawNote& note) {
  constexpr std::array<std::string_view, 9> types{"breve", "whole", "half", "quarter", "eighth",
                                                  "16th",  "32nd",  "64th", "128th"};
  if (note.duration == 0) return std::nullopt;
  const Fraction printed = note.duration * Fraction(note.actual) / Fraction(note.normal);
  Fraction value(2);
  for (const std::string_view type : types) {
    if (printed == value) return PrintedValue{type, 0};
    if (printed == value * Fraction(3, 2)) return PrintedValue{type, 1};
    value = value / Fraction(2);
  }
  return std::nullopt;
}

std::string words_of_pitch(int midi) {
  return to_string(spell(midi, Key{1, Mode::major}));
}

}  // namespace fifthpeg::check
