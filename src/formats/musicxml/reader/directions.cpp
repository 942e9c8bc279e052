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
  bool da_capo = false;
  bool dal_segno = false;
  bool to_coda = false;
  bool fine = false;
  bool segno = false;
  bool coda = false;
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
    each_attribute(element_,
                   [&](const Attribute& attribute, Name) { state_.diagnostics.unread(attribute, element_); });
    each_child(element_, [&](const Element& child, Name name) {
      switch (name) {
        case Name::direction_type:
          state_.diagnostics.attributes_unread(child);
          each_child(child, [&](const Element& type, Name kind) { read_type(type, kind); });
          break;
        case Name::offset:
          offset_ = duration_of(child, state_).value_or(0);
          break;
        case Name::staff:
          staff_ = whole_number(token_of(child)).value_or(1);
          break;
        case Name::voice:
          break;
        case Name::sound:
          read_sound(child);
          break;
        default:
          state_.diagnostics.unread(child);
      }
    });
    if (heard_.offset != 0 && heard_.offset != offset_) {
      state_.diagnostics.loss("musicxml-sound-offset",
                              "an offset of the sound from its direction is left out: both have one place",
                              state_.diagnostics.line_of(element_));
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
  void read_type(const Element& type, Name name) {
    switch (name) {
      case Name::words:
        read_words(type);
        break;
      case Name::rehearsal:
        state_.diagnostics.attributes_unread(type);
        add(Kind::rehearsal, text_of(type), type);
        break;
      case Name::segno:
        state_.diagnostics.attributes_unread(type);
        segno_ = state_.diagnostics.line_of(type);
        break;
      case Name::coda:
        state_.diagnostics.attributes_unread(type);
        coda_ = state_.diagnostics.line_of(type);
        break;
      case Name::dynamics:
        add(Kind::dynamics, dynamics_text(type, state_), type);
        break;
      case Name::metronome:
        read_metronome(type);
        break;
      case Name::damp:
      case Name::damp_all:
        state_.diagnostics.attributes_unread(type);
        damp_ = true;
        break;
      default:
        state_.diagnostics.unread(type);
    }
  }

  void read_words(const Element& element) {
    Words words{state_.written_text(element), {}};
    each_attribute(element, [&](const Attribute& attribute, Name) {
      if (std::string_view(attribute.Name()) == "xml:lang") {
        words.language = attribute.Value();
      } else {
        state_.diagnostics.unread(attribute, element);
      }
    });
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
    each_attribute(element, [&](const Attribute& attribute, Name name) {
      if (name == Name::print_object) {
        mark.shown = std::string_view(attribute.Value()) != "no";
      } else {
        state_.diagnostics.unread(attribute, element);
      }
    });
    Fraction unit;  // the part of the unit being read
    int dots = 0;
    int units = 0;
    const auto add_unit = [&] {
      mark.beat_unit += dotted(unit, dots);
      unit = 0;
      dots = 0;
    };
    bool known = true;
    each_child(element, [&](const Element& child, Name name) {
      switch (name) {
        case Name::beat_unit:
          add_unit();
          ++units;
          unit = note_value(token_of(child)).value_or(0);
          known = known && unit > 0 && units < 2;  // a second one: this note equals that note
          break;
        case Name::beat_unit_dot:
          ++dots;
          break;
        case Name::beat_unit_tied:
          add_unit();
          each_child(child, [&](const Element& tied, Name kind) {
            if (kind == Name::beat_unit) unit = note_value(token_of(tied)).value_or(0);
            if (kind == Name::beat_unit_dot) ++dots;
          });
          break;
        case Name::per_minute: {
          state_.diagnostics.attributes_unread(child);
          std::string_view text = token_of(child);  // "120", "c. 120", "120-132"
          while (!text.empty() && (text.front() < '0' || text.front() > '9')) text.remove_prefix(1);
          text = text.substr(0, text.find_first_not_of("0123456789."));
          mark.per_minute = tempo_of(text);
          known = known && mark.per_minute.has_value();
          break;
        }
        default:
          state_.diagnostics.unread(child);
          known = false;
      }
    });
    add_unit();
    constexpr int longest_unit = 64;
    if (!known || mark.beat_unit <= 0 || mark.beat_unit > longest_unit) {
      state_.diagnostics.loss("musicxml-metronome", "a tempo mark that states no notes a minute is left out",
                              state_.diagnostics.line_of(element));
      return;
    }
    mark_ = mark;
  }

  void read_sound(const Element& element) {
    heard_.line = state_.diagnostics.line_of(element);
    each_attribute(element, [&](const Attribute& attribute, Name name) {
      const std::string_view value(attribute.Value());
      switch (name) {
        case Name::tempo:
          heard_.tempo = tempo_of(value);
          if (!heard_.tempo) {
            state_.diagnostics.repair("musicxml-tempo",
                                      "a tempo that is not a number, or out of range, was ignored",
                                      state_.diagnostics.line_of(element));
          }
          break;
        case Name::dacapo:
          heard_.da_capo = is_yes(value);
          break;
        case Name::dalsegno:
          heard_.dal_segno = true;
          break;
        case Name::tocoda:
          heard_.to_coda = true;
          break;
        case Name::fine:
          heard_.fine = value != "no";
          break;
        case Name::segno:
          heard_.segno = true;
          break;
        case Name::coda:
          heard_.coda = true;
          break;
        case Name::dynamics:  // how loud the mark beside it is
          if (std::none_of(found_.begin(), found_.end(),
                           [](const RawDirection& one) { return one.direction.kind == Kind::dynamics; })) {
            state_.diagnostics.unread(attribute, element);
          }
          break;
        case Name::divisions:  // repeats the divisions of the place that a token names
          break;
        case Name::forward_repeat:  // says again that a repeat starts here
          if (!is_yes(value)) break;
          if (state_.position == 0) {
            state_.measure->measure.repeat_starts = true;
          } else {
            state_.diagnostics.unread(attribute, element);
          }
          break;
        default:
          state_.diagnostics.unread(attribute, element);
      }
    });
    each_child(element, [&](const Element& child, Name name) {
      switch (name) {
        case Name::swing:
          read_swing(child);
          break;
        case Name::offset:
          heard_.offset = duration_of(child, state_).value_or(0);
          break;
        default:
          state_.diagnostics.unread(child);
      }
    });
  }

  void read_swing(const Element& element) {
    Swing swing;
    bool straight = false;
    bool known = true;
    each_child(element, [&](const Element& child, Name name) {
      switch (name) {
        case Name::straight:
          straight = true;
          break;
        case Name::first:
          swing.first = whole_number(token_of(child)).value_or(0);
          break;
        case Name::second:
          swing.second = whole_number(token_of(child)).value_or(0);
          break;
        case Name::swing_type:
          if (const auto unit = note_value(token_of(child))) swing.unit = *unit;
          break;
        default:
          state_.diagnostics.unread(child);
      }
    });
    if (straight) {
      if (!state_.part.swing) return;
      state_.diagnostics.loss("musicxml-swing-changes",
                              "a swing that changes inside the piece holds throughout",
                              state_.diagnostics.line_of(element));
      return;
    }
    constexpr int most = 100;
    known = swing.first >= 1 && swing.second >= 1 && swing.first <= most && swing.second <= most;
    if (!known) {
      state_.diagnostics.repair("musicxml-swing", "a swing without a ratio was ignored",
                                state_.diagnostics.line_of(element));
    } else if (state_.part.swing && *state_.part.swing != swing) {
      state_.diagnostics.loss("musicxml-swing-changes",
                              "a swing that changes inside the piece holds throughout",
                              state_.diagnostics.line_of(element));
    } else {
      state_.part.swing = swing;
    }
  }

  // The words of a jump; empty where they are only the usual ones, put in by the writer.
  std::string jump_words(const musicxml::UsualWord& usual) {
    words_taken_ = true;
    if (!words_) return {};
    if (words_->text == usual.text && words_->language == usual.language) return {};
    return words_->text;
  }

  void add(Kind kind, std::string text, std::int64_t line) {
    found_.push_back({{0, kind, std::move(text)}, 1, line});
  }
  void add(Kind kind, std::string text, const Element& element) {
    add(kind, std::move(text), state_.diagnostics.line_of(element));
  }

  void finish() {
    if (heard_.da_capo) add(Kind::da_capo, jump_words(musicxml::usual_da_capo), heard_.line);
    if (heard_.dal_segno) add(Kind::dal_segno, jump_words(musicxml::usual_dal_segno), heard_.line);
    if (heard_.to_coda) add(Kind::to_coda, jump_words(musicxml::usual_to_coda), heard_.line);
    if (heard_.fine) add(Kind::fine, jump_words(musicxml::usual_fine), heard_.line);
    if (segno_ > 0 || heard_.segno) add(Kind::segno, sign_words(), heard_.segno ? heard_.line : segno_);
    if (coda_ > 0 || heard_.coda) add(Kind::coda, sign_words(), heard_.coda ? heard_.line : coda_);
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
    if (damp_) state_.measure->damps.push_back(at);
  }

  void report_jump_words() {
    const std::string_view text = trimmed(words_->text);
    const bool is_jump = std::any_of(jump_beginnings.begin(), jump_beginnings.end(),
                                     [text](std::string_view jump) { return text.starts_with(jump); });
    if (!is_jump) return;
    state_.diagnostics.choice(
        "musicxml-jump-words",
        "words that name a jump, without the `sound` that makes them one, are words only",
        state_.diagnostics.line_of(element_));
  }

  std::string sign_words() {
    if (!words_ || words_taken_) return {};
    words_taken_ = true;
    return words_->text;
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

std::string dynamics_text(const Element& dynamics, PartState& state) {
  std::string text;
  state.diagnostics.attributes_unread(dynamics);
  each_child(dynamics, [&](const Element& child, Name name) {
    if (!text.empty()) text += ' ';
    if (name == Name::other_dynamics) {
      text += text_of(child);
      state.diagnostics.attributes_unread(child);
    } else {
      text += child.Name();
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
