// `direction` and `sound`: words, dynamics, tempo, jumps, swing.
#include <algorithm>
#include <array>

#include "formats/musicxml/conventions.hpp"
#include "formats/musicxml/decimal.hpp"
#include "formats/musicxml/part_reader.hpp"

namespace fifthpeg::musicxml::reader {
namespace {

using Kind = Direction::Kind;

struct Words {
  std::string text;
  std::string language;
};

struct MetronomeMark {  // the tempo as printed
  Fraction beat_unit;
  std::optional<Fraction> per_minute;
  bool shown = true;
};

// What a `sound` element says.
struct Heard {
  std::int64_t line = 0;
  std::optional<Fraction> tempo;
  std::array<bool, musicxml::jumps.size()> jumps{};
  Fraction offset;
};

// Players jump at these words, but a file that means it says so in `sound`; only that is played.
constexpr std::array<std::string_view, 7> jump_beginnings{"D.C.",    "D.S.", "Da Capo", "Dal Segno",
                                                          "To Coda", "Fine", "D. C."};

// Quarters a minute; beyond a million is no tempo. Many decimal places stand for a fraction.
std::optional<Fraction> tempo_of(std::string_view text) {
  constexpr std::int64_t fastest = 1'000'000;
  const auto value = musicxml::fraction_of_decimal(trimmed(text));
  if (!value || *value <= 0 || *value > fastest) return std::nullopt;
  return value;
}

class DirectionReader {
 public:
  DirectionReader(const Element& element, PartState& state) : element_(element), state_(state) {}

  void run() {
    each_child(element_, [&](const Element& child, std::string_view name) {
      if (name == "direction-type") {
        each_child(child, [&](const Element& type, std::string_view kind) { read_type(type, kind); });
      } else if (name == "offset") {
        offset_ = duration_of(child, state_).value_or(0);
      } else if (name == "staff") {
        staff_ = whole_number(token_of(child)).value_or(1);
      } else if (name == "sound") {
        read_sound(child);
      }
    });
    if (heard_.offset != 0 && heard_.offset != offset_) {
      state_.diagnostics.loss("musicxml-sound-offset",
                              "an offset of the sound from its direction is left out: both have one place",
                              element_);
    }
    finish();
  }

  // A `sound` that stands in the measure by itself.
  void run_sound() {
    read_sound(element_);
    offset_ = heard_.offset;
    finish();
  }

 private:
  void read_type(const Element& type, std::string_view name) {
    if (name == "words") {
      read_words(type);
    } else if (name == "rehearsal") {
      add(Kind::rehearsal, text_of(type), type);
    } else if (name == "segno") {
      segno_ = state_.diagnostics.line_of(type);
    } else if (name == "coda") {
      coda_ = state_.diagnostics.line_of(type);
    } else if (name == "dynamics") {
      add(Kind::dynamics, dynamics_text(type), type);
    } else if (name == "metronome") {
      read_metronome(type);
    } else if (name == "damp" || name == "damp-all") {
      damp_ = true;
    }
  }

  void read_words(const Element& element) {
    Words words{state_.written_text(element), std::string(attribute(element, "xml:lang"))};
    if (!words_) {
      words_ = std::move(words);
      return;
    }
    // Runs of one text in several fonts.
    const auto is_blank = [](char c) { return c == ' ' || c == '\n'; };
    const bool spaced = words_->text.empty() || words.text.empty() || is_blank(words_->text.back()) ||
                        is_blank(words.text.front());
    words_->text += (spaced ? "" : " ") + words.text;
    words_->language.clear();
  }

  void read_metronome(const Element& element) {
    MetronomeMark mark;
    mark.shown = attribute(element, "print-object") != "no";
    Fraction unit;  // the part of the unit being read
    int dots = 0;
    int units = 0;
    const auto add_unit = [&] {
      mark.beat_unit += dotted(unit, dots);
      unit = 0;
      dots = 0;
    };
    bool known = true;
    each_child(element, [&](const Element& child, std::string_view name) {
      if (name == "beat-unit") {
        add_unit();
        ++units;
        unit = note_value(token_of(child)).value_or(0);
        known = known && unit > 0 && units < 2;  // a second one: this note equals that note
      } else if (name == "beat-unit-dot") {
        ++dots;
      } else if (name == "beat-unit-tied") {
        add_unit();
        unit = note_value(child_token(child, "beat-unit")).value_or(0);
        each_child(child, [&dots](const Element&, std::string_view kind) {
          if (kind == "beat-unit-dot") ++dots;
        });
      } else if (name == "per-minute") {
        std::string_view text = token_of(child);  // "120", "c. 120", "120-132"
        const std::string_view whole = text;
        text.remove_prefix(std::min(text.find_first_of("0123456789"), text.size()));
        text = text.substr(0, text.find_first_not_of("0123456789."));
        mark.per_minute = tempo_of(text);
        known = known && mark.per_minute.has_value();
        if (mark.per_minute && text != whole) {
          state_.diagnostics.loss("musicxml-metronome-text",
                                  "what stands around the number of a tempo mark is left out", child);
        }
      } else {
        known = false;
      }
    });
    add_unit();
    constexpr int longest_unit = 64;
    if (!known || mark.beat_unit <= 0 || mark.beat_unit > longest_unit) {
      state_.diagnostics.loss("musicxml-metronome", "a tempo mark that states no notes a minute is left out",
                              element);
      return;
    }
    mark_ = mark;
  }

  void read_sound(const Element& element) {
    const auto has = [&element](const char* name) { return element.Attribute(name) != nullptr; };
    heard_.line = state_.diagnostics.line_of(element);
    if (has("tempo")) {
      heard_.tempo = tempo_of(attribute(element, "tempo"));
      if (!heard_.tempo) {
        state_.diagnostics.loss("musicxml-tempo",
                                "a tempo that is not a number, or out of range, was ignored", element);
      }
    }
    for (std::size_t i = 0; i < musicxml::jumps.size(); ++i) {
      const char* const name = musicxml::jumps[i].attribute;
      heard_.jumps[i] = has(name) && trimmed(attribute(element, name)) != "no";
    }
    const bool marked = std::any_of(found_.begin(), found_.end(), [](const RawDirection& one) {
      return one.direction.kind == Kind::dynamics;
    });
    // How loud the mark beside it is.
    if (has("dynamics") && !marked) state_.diagnostics.unread_attribute("dynamics", element);
    if (is_yes(attribute(element, "forward-repeat"))) {  // says again that a repeat starts here
      if (state_.position == 0) {
        state_.measure->measure.repeat_starts = true;
      } else {
        state_.diagnostics.unread_attribute("forward-repeat", element);
      }
    }
    if (const Element* const swing = element.FirstChildElement("swing")) read_swing(*swing);
    if (const Element* const offset = element.FirstChildElement("offset"))
      heard_.offset = duration_of(*offset, state_).value_or(0);
  }

  void read_swing(const Element& element) {
    const bool straight = element.FirstChildElement("straight") != nullptr;
    Swing swing;
    swing.first = whole_number(child_token(element, "first")).value_or(0);
    swing.second = whole_number(child_token(element, "second")).value_or(0);
    swing.unit = note_value(child_token(element, "swing-type")).value_or(swing.unit);
    if (straight) {
      if (!state_.part.swing) return;
      state_.diagnostics.loss("musicxml-swing-changes",
                              "a swing that changes inside the piece holds throughout", element);
      return;
    }
    constexpr int most = 100;
    const bool known = swing.first >= 1 && swing.second >= 1 && swing.first <= most && swing.second <= most;
    if (!known) {
      state_.diagnostics.loss("musicxml-swing", "a swing without a ratio was ignored", element);
    } else if (state_.part.swing && *state_.part.swing != swing) {
      state_.diagnostics.loss("musicxml-swing-changes",
                              "a swing that changes inside the piece holds throughout", element);
    } else {
      state_.part.swing = swing;
    }
  }

  // The words of a sign or a jump; empty where they are only the usual ones, put in by the writer.
  std::string words_of(const musicxml::Jump& jump) {
    const bool sign = jump.kind == Kind::segno || jump.kind == Kind::coda;
    if (!words_ || (sign && words_taken_)) return {};
    words_taken_ = true;
    const bool usual = words_->text == jump.usual.text && words_->language == jump.usual.language;
    return usual ? std::string() : words_->text;
  }

  void add(Kind kind, std::string text, std::int64_t line) {
    found_.push_back({{0, kind, std::move(text)}, 1, line});
  }
  void add(Kind kind, std::string text, const Element& element) {
    add(kind, std::move(text), state_.diagnostics.line_of(element));
  }

  void finish() {
    for (std::size_t i = 0; i < musicxml::jumps.size(); ++i) {
      const musicxml::Jump& jump = musicxml::jumps[i];
      const std::int64_t printed = jump.kind == Kind::segno ? segno_ : jump.kind == Kind::coda ? coda_ : 0;
      if (heard_.jumps[i] || printed > 0)
        add(jump.kind, words_of(jump), heard_.jumps[i] ? heard_.line : printed);
    }
    const Fraction at = place_at(offset_, element_, state_);
    if (mark_ || heard_.tempo) {
      Tempo tempo;
      tempo.at = at;
      if (mark_) {
        tempo.beat_unit = mark_->beat_unit;
        tempo.quarters_per_minute = mark_->per_minute.value_or(120) * mark_->beat_unit * 4;
      }
      if (heard_.tempo) tempo.quarters_per_minute = *heard_.tempo;
      tempo.shown = mark_ && mark_->shown;
      // "Lively" beside a tempo mark belongs to it.
      if (mark_ && words_ && !words_taken_) {
        tempo.words = words_->text;
        words_taken_ = true;
      }
      state_.measure->measure.tempos.push_back(std::move(tempo));
    }
    if (words_ && !words_taken_) {
      report_jump_words();
      if (!words_->language.empty()) state_.diagnostics.layout_left();
      add(Kind::words, words_->text, element_);
    }
    for (RawDirection& one : found_) {
      one.direction.at = at;
      one.staff = staff_;
      state_.measure->directions.push_back(std::move(one));
    }
    if (damp_) state_.measure->damps.push_back({at, state_.diagnostics.line_of(element_)});
  }

  void report_jump_words() {
    const std::string_view text = trimmed(words_->text);
    const bool is_jump = std::any_of(jump_beginnings.begin(), jump_beginnings.end(),
                                     [text](std::string_view jump) { return text.starts_with(jump); });
    if (!is_jump) return;
    state_.diagnostics.choice(
        "musicxml-jump-words",
        "words that name a jump, without the `sound` that makes them one, are words only", element_);
  }

  const Element& element_;
  PartState& state_;
  Fraction offset_;
  int staff_ = 1;
  std::optional<Words> words_;
  bool words_taken_ = false;
  std::optional<MetronomeMark> mark_;
  Heard heard_;
  std::int64_t segno_ = 0;  // the line of the sign
  std::int64_t coda_ = 0;
  bool damp_ = false;
  std::vector<RawDirection> found_;
};

}  // namespace

std::string dynamics_text(const Element& dynamics) {
  std::string text;
  each_child(dynamics, [&text](const Element& child, std::string_view name) {
    if (!text.empty()) text += ' ';
    if (name == "other-dynamics") {
      text += text_of(child);
    } else {
      text += name;
    }
  });
  return text;
}

void read_direction(const Element& element, PartState& state) {
  DirectionReader(element, state).run();
}

void read_sound(const Element& element, PartState& state) {
  DirectionReader(element, state).run_sound();
}

}  // namespace fifthpeg::musicxml::reader
