// `attributes`: divisions, key, meter, clefs, strings, transposition.
#include <algorithm>
#include <array>
#include <cstdlib>
#include <numeric>
#include <utility>

#include "formats/musicxml/part_reader.hpp"

namespace fifthpeg::musicxml::reader {
namespace {

constexpr int most_beats = 1024;        // of a meter, and its finest unit
constexpr std::size_t most_terms = 64;  // of an additive meter
constexpr int farthest_shift = 60;      // half steps that a transposition can be believed to have

// The staff that a `number` attribute names; 0 is all of them.
int staff_number(const Element& element, PartState& state) {
  int number = 0;
  each_attribute(element, [&](const Attribute& attribute, Name name) {
    if (name == Name::number) {
      number = std::clamp(whole_number(attribute.Value()).value_or(0), 0, most_staves);
    } else if (name != Name::symbol) {
      state.diagnostics.unread(attribute, element);
    }
  });
  return number;
}

void read_divisions(const Element& element, PartState& state) {
  const auto divisions = decimal(token_of(element));
  if (!divisions || *divisions <= 0 || *divisions > 1'000'000'000) {
    state.diagnostics.repair("musicxml-divisions", "invalid divisions were ignored",
                             state.diagnostics.line_of(element));
    return;
  }
  state.part.divisions = divisions;
  state.part.divisions_stated = true;
  state.last_duration_text = {};
}

Mode mode_of(const Element& element, PartState& state) {
  using Row = std::pair<std::string_view, Mode>;
  static constexpr std::array<Row, 10> rows{{{"major", Mode::major},
                                             {"minor", Mode::minor},
                                             {"none", Mode::none},
                                             {"dorian", Mode::dorian},
                                             {"phrygian", Mode::phrygian},
                                             {"lydian", Mode::lydian},
                                             {"mixolydian", Mode::mixolydian},
                                             {"aeolian", Mode::aeolian},
                                             {"ionian", Mode::ionian},
                                             {"locrian", Mode::locrian}}};
  const std::string_view text = token_of(element);
  const auto* const row =
      std::find_if(rows.begin(), rows.end(), [&](const Row& one) { return one.first == text; });
  if (row != rows.end()) return row->second;
  state.diagnostics.loss("musicxml-mode", "a mode that is not one of the church modes is left out",
                         state.diagnostics.line_of(element));
  return Mode::none;
}

Key sounding(const Key& key, const Transposition& by) {
  if (by.half_steps % 12 == 0 && (!by.spelled || by.move.fifths == 0)) return key;
  return moved(key, by.spelled ? by.move : move_for(key, by.half_steps));
}

void read_key(const Element& element, PartState& state) {
  state.part.key_seen = true;
  const int staff = staff_number(element, state);
  Key key;
  bool traditional = false;
  each_child(element, [&](const Element& child, Name name) {
    switch (name) {
      case Name::fifths:
        if (const auto fifths = whole_number(token_of(child)); fifths && std::abs(*fifths) <= 100) {
          traditional = true;
          int folded = *fifths;
          while (folded > 7) folded -= 12;
          while (folded < -7) folded += 12;
          if (folded != *fifths) {
            state.diagnostics.repair("musicxml-key",
                                     "a key of more than seven accidentals was read as its enharmonic",
                                     state.diagnostics.line_of(child));
          }
          key.fifths = static_cast<std::int8_t>(folded);
        }
        break;
      case Name::mode:
        key.mode = mode_of(child, state);
        break;
      case Name::cancel:  // naturals before the new key
        state.diagnostics.layout_left();
        break;
      default:
        state.diagnostics.unread(child);
    }
  });
  if (!traditional) {
    state.diagnostics.loss("musicxml-key-non-traditional",
                           "a key that is not one of sharps or flats was left out",
                           state.diagnostics.line_of(element));
    return;
  }
  state.part.has_key = true;
  const Key written = state.written_key;
  state.written_key = key;
  key = sounding(key, state.transpositions.at(static_cast<std::size_t>(std::max(staff, 1))));
  Measure& measure = state.measure->measure;
  const bool first = state.position == 0 && !state.key_read;
  if (staff > 1 && !first) {
    if (key != state.key) {
      state.diagnostics.loss("musicxml-key-of-staff", "a key of its own for another staff was left out",
                             state.diagnostics.line_of(element));
      state.written_key = written;
    }
    return;
  }
  if (state.position == 0 && !state.key_read) {
    measure.key = key;
    state.key_read = true;
  } else {
    measure.key_changes.push_back({state.position, key});
  }
  state.key = key;
}

// "3+2"; nothing if it is no sum of positive numbers.
std::optional<std::vector<int>> beats_of(std::string_view text) {
  std::vector<int> beats;
  int sum = 0;
  while (true) {
    const auto plus = text.find('+');
    const auto number = whole_number(text.substr(0, plus));
    if (!number || *number < 1 || *number > most_beats) return std::nullopt;
    beats.push_back(*number);
    sum += *number;
    if (sum > most_beats || beats.size() > most_terms) return std::nullopt;
    if (plus == std::string_view::npos) return beats;
    text.remove_prefix(plus + 1);
  }
}

// Adds one beats/beat-type pair to a meter, in the finer unit of the two.
void add_pair(Meter& meter, std::vector<int> beats, int unit) {
  if (meter.beats.empty()) {
    meter.beats = std::move(beats);
    meter.unit = unit;
    return;
  }
  const int common = std::lcm(meter.unit, unit);
  for (int& count : meter.beats) count *= common / meter.unit;
  for (const int count : beats) meter.beats.push_back(count * (common / unit));
  meter.unit = common;
}

void read_time(const Element& element, PartState& state) {
  state.part.meter_seen = true;
  const auto set_metered = [&state](bool on) {
    state.metered = on;
    if (state.position == 0) state.measure->metered = on;
  };
  set_metered(false);  // until the meter is known
  Meter meter;
  meter.beats.clear();
  bool wrong = false;
  bool free = false;
  std::optional<std::vector<int>> beats;
  int pairs = 0;
  int staff = 0;
  each_attribute(element, [&](const Attribute& attribute, Name name) {
    const std::string_view value(attribute.Value());
    if (name == Name::symbol) {
      meter.symbol = value == "common" ? Meter::Symbol::common
                     : value == "cut"  ? Meter::Symbol::cut
                                       : Meter::Symbol::numbers;
      if (meter.symbol == Meter::Symbol::numbers && value != "normal") state.diagnostics.layout_left();
    } else if (name == Name::number) {
      staff = whole_number(value).value_or(0);
    } else {
      state.diagnostics.unread(attribute, element);
    }
  });
  each_child(element, [&](const Element& child, Name name) {
    switch (name) {
      case Name::beats:
        beats = beats_of(token_of(child));
        wrong = wrong || !beats;
        break;
      case Name::beat_type: {
        const auto unit = whole_number(token_of(child));
        if (!beats || !unit || *unit < 1 || *unit > most_beats) {
          wrong = true;
          break;
        }
        add_pair(meter, std::move(*beats), *unit);
        beats.reset();
        ++pairs;
        wrong = wrong || meter.unit > most_beats || meter.beats.size() > most_terms ||
                meter.length() > most_beats;
        break;
      }
      case Name::senza_misura:
        free = true;
        state.diagnostics.loss(
            "musicxml-senza-misura",
            "music without a meter keeps the meter before it; each measure is as long as its notes",
            state.diagnostics.line_of(child));
        break;
      default:  // interchangeable among them
        state.diagnostics.unread(child);
    }
  });
  if (free) return;
  if (wrong || meter.beats.empty()) {
    state.diagnostics.repair("musicxml-meter", "an invalid meter was ignored",
                             state.diagnostics.line_of(element));
    return;
  }
  if (pairs > 1) {
    state.diagnostics.choice("musicxml-meter-mixed", "a meter of several units was brought to one unit",
                             state.diagnostics.line_of(element));
  }
  set_metered(true);
  if (staff > 1 && meter.length() == state.meter.length()) return;
  state.meter = meter;
  if (state.position == 0) {
    state.measure->measure.meter = meter;
  } else {
    state.diagnostics.repair("musicxml-meter-inside",
                             "a meter that changes inside a measure holds from the next one on",
                             state.diagnostics.line_of(element));
  }
}

void read_clef(const Element& element, PartState& state) {
  const int number = staff_number(element, state);
  RawStaff& staff = state.part.staves.at(static_cast<std::size_t>(std::max(number, 1)));
  if (staff.clef_line == 0) staff.clef_line = state.diagnostics.line_of(element);
  staff.tab_clef = false;
  each_child(element, [&](const Element& child, Name name) {
    const std::string_view text = token_of(child);
    if (name == Name::sign && text == "TAB") {
      staff.tab = staff.tab_clef = true;
    } else if (name == Name::sign && text == "percussion") {
      staff.percussion = true;
      state.diagnostics.layout_left();
    } else if (text != "G" && text != "2" && text != "5") {
      state.diagnostics.layout_left();  // pitches are what they are under any clef
    }
  });
}

std::optional<Pitch> tuning_pitch(const Element& element, PartState& state) {
  std::optional<Step> letter;
  int alter = 0;
  std::optional<int> octave;
  each_child(element, [&](const Element& child, Name name) {
    switch (name) {
      case Name::tuning_step:
        letter = step(token_of(child));
        break;
      case Name::tuning_alter:
        alter = whole_number(token_of(child)).value_or(9);
        break;
      case Name::tuning_octave:
        octave = whole_number(token_of(child));
        break;
      default:
        state.diagnostics.unread(child);
    }
  });
  if (!letter || !octave || *octave < 0 || *octave > 9 || std::abs(alter) > 2) return std::nullopt;
  return Pitch{*letter, static_cast<std::int8_t>(alter), static_cast<std::int8_t>(*octave)};
}

void read_staff_tuning(const Element& element, RawStaff& staff, PartState& state) {
  int line = 0;
  each_attribute(element, [&](const Attribute& attribute, Name name) {
    if (name == Name::line) {
      line = whole_number(attribute.Value()).value_or(0);
    } else {
      state.diagnostics.unread(attribute, element);
    }
  });
  const auto pitch = tuning_pitch(element, state);
  if (!pitch || line < 1 || line > static_cast<int>(staff.tuning.size())) {
    state.diagnostics.repair("musicxml-tuning", "a string tuned to an invalid pitch was ignored",
                             state.diagnostics.line_of(element));
    return;
  }
  auto& place = staff.tuning.at(static_cast<std::size_t>(line - 1));
  staff.tuning_now.at(static_cast<std::size_t>(line - 1)) = pitch;
  if (staff.tuning_line == 0) staff.tuning_line = state.diagnostics.line_of(element);
  const bool later = state.part.measures_read > 1 || state.position > 0;
  if (later && place && *place != *pitch) {
    state.diagnostics.loss("musicxml-retuning",
                           "a tuning that changes inside the piece is left out: the first one holds",
                           state.diagnostics.line_of(element));
    return;
  }
  place = pitch;
  staff.tuned_lines = std::max(staff.tuned_lines, line);
  staff.tab = true;
}

void read_staff_details(const Element& element, PartState& state) {
  const int number = staff_number(element, state);
  RawStaff& staff = state.part.staves.at(static_cast<std::size_t>(std::max(number, 1)));
  each_child(element, [&](const Element& child, Name name) {
    switch (name) {
      case Name::staff_type:
        if (token_of(child) != "regular") state.diagnostics.unread(child);
        break;
      case Name::staff_lines:
        staff.lines = whole_number(token_of(child));
        if (staff.lines != 5) state.diagnostics.layout_left();
        break;
      case Name::staff_tuning:
        read_staff_tuning(child, staff, state);
        break;
      case Name::capo: {
        const auto capo = whole_number(token_of(child));
        const bool later = state.part.measures_read > 1 || state.position > 0;
        if (capo && *capo >= 0 && *capo <= 20) staff.capo = capo;
        if (!capo || *capo < 0 || *capo > 20) {
          state.diagnostics.repair("musicxml-capo", "a capo at an impossible fret was ignored",
                                   state.diagnostics.line_of(child));
        } else if (later && state.part.capo.value_or(0) != *capo) {
          state.diagnostics.loss("musicxml-capo-changes", "a capo that changes inside the piece is left out",
                                 state.diagnostics.line_of(child));
        } else {
          state.part.capo = capo;
        }
        break;
      }
      default:
        state.diagnostics.unread(child);
    }
  });
}

// How far something moves along the line of fifths that moves by `diatonic` steps and `chromatic` half
// steps; nothing if the two do not belong together.
std::optional<int> fifths_of(int diatonic, int chromatic) {
  static constexpr std::array<int, 7> scale{0, 2, 4, 5, 7, 9, 11};
  const int octave = diatonic >= 0 ? diatonic / 7 : -((6 - diatonic) / 7);
  const int degree = diatonic - 7 * octave;
  const int alter = chromatic - 12 * octave - scale.at(static_cast<std::size_t>(degree));
  if (std::abs(alter) > 2) return std::nullopt;
  return line_of_fifths(static_cast<Step>(degree), alter);
}

void read_transpose(const Element& element, PartState& state) {
  const int staff = staff_number(element, state);
  std::optional<int> diatonic;
  int chromatic = 0;
  int octaves = 0;
  each_child(element, [&](const Element& child, Name name) {
    switch (name) {
      case Name::diatonic:
        diatonic = whole_number(token_of(child));
        break;
      case Name::chromatic: {
        const auto exact = decimal(token_of(child)).value_or(0);
        if (!exact.is_whole()) {
          state.diagnostics.loss("musicxml-microtone",
                                 "a pitch between two half steps was read as the nearest half step",
                                 state.diagnostics.line_of(child));
        }
        chromatic = static_cast<int>(std::clamp<std::int64_t>((exact + Fraction(1, 2)).floor(), -1000, 1000));
        break;
      }
      case Name::octave_change:
        octaves = std::clamp(whole_number(token_of(child)).value_or(0), -100, 100);
        break;
      default:  // `double` among them: a part doubled at the octave
        state.diagnostics.unread(child);
    }
  });
  const int half_steps = chromatic + 12 * octaves;
  if (std::abs(half_steps) > farthest_shift) {
    state.diagnostics.repair("musicxml-transpose", "a transposition beyond five octaves was ignored",
                             state.diagnostics.line_of(element));
    return;
  }
  Transposition by;
  by.half_steps = half_steps;
  by.move.half_steps = half_steps;
  if (diatonic && std::abs(*diatonic) <= 100) {
    if (const auto fifths = fifths_of(*diatonic, chromatic)) {
      by.move.fifths = *fifths;
      by.spelled = true;
    }
  }
  if (!by.spelled && half_steps % 12 == 0) by.spelled = true;
  state.part.transposes = true;
  auto& all = state.transpositions;
  if (staff == 0) {
    all.fill(by);
  } else {
    all.at(static_cast<std::size_t>(staff)) = by;
  }
  // The key stands before `transpose` in the same element (by the schema), so it is moved only now.
  if (state.position == 0 && state.key_read && staff <= 1) {
    state.key = sounding(state.written_key, by);
    state.measure->measure.key = state.key;
  }
}

void read_measure_style(const Element& element, PartState& state) {
  state.diagnostics.attributes_unread(element);
  each_child(element, [&](const Element& child, Name) { state.diagnostics.unread(child); });
}

}  // namespace

void read_attributes(const Element& element, PartState& state) {
  state.diagnostics.attributes_unread(element);
  each_child(element, [&](const Element& child, Name name) {
    switch (name) {
      case Name::divisions:
        read_divisions(child, state);
        break;
      case Name::key:
        read_key(child, state);
        break;
      case Name::time:
        read_time(child, state);
        break;
      case Name::clef:
        read_clef(child, state);
        break;
      case Name::staff_details:
        read_staff_details(child, state);
        break;
      case Name::transpose:
        read_transpose(child, state);
        break;
      case Name::measure_style:
        read_measure_style(child, state);
        break;
      case Name::staves:
        break;
      default:
        state.diagnostics.unread(child);
    }
  });
}

}  // namespace fifthpeg::musicxml::reader
