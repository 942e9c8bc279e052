// `attributes`: divisions, key, meter, clefs, strings, transposition.
#include <algorithm>
#include <array>
#include <cstdlib>
#include <numeric>
#include <utility>

#include "formats/musicxml/names.hpp"
#include "formats/musicxml/part_reader.hpp"

namespace fifthpeg::musicxml::reader {
namespace {

constexpr int most_beats = 1024;        // of a meter, and its finest unit
constexpr std::size_t most_terms = 64;  // of an additive meter
constexpr int farthest_shift = 60;      // half steps that a transposition can be believed to have

// The staff that a `number` attribute names; 0 is all of them.
int staff_number(const Element& element) {
  return std::clamp(whole_number(attribute(element, "number")).value_or(0), 0, most_staves);
}

void read_divisions(const Element& element, PartState& state) {
  const auto divisions = decimal(token_of(element));
  if (!divisions || *divisions <= 0 || *divisions > 1'000'000'000) {
    state.diagnostics.repair("musicxml-divisions", "invalid divisions were ignored", element);
    return;
  }
  state.part.divisions = divisions;
  state.part.divisions_stated = true;
  state.last_duration_text = {};
}

// Within seven sharps or flats.
std::int8_t folded(int fifths) {
  while (fifths > 7) fifths -= 12;
  while (fifths < -7) fifths += 12;
  return static_cast<std::int8_t>(fifths);
}

Key sounding(const Key& key, const Transposition& by) {
  return by.is_octaves() ? key : moved(key, by.move_in(key));
}

void read_key(const Element& element, PartState& state) {
  state.part.key_seen = true;
  const int staff = staff_number(element);
  Key key;
  const auto fifths = whole_number(child_token(element, "fifths"));
  const bool traditional = fifths && std::abs(*fifths) <= 100;
  if (traditional) {
    key.fifths = folded(*fifths);
    if (key.fifths != *fifths) {
      state.diagnostics.repair("musicxml-key",
                               "a key of more than seven accidentals was read as its enharmonic",
                               *element.FirstChildElement("fifths"));
    }
  }
  if (const Element* const child = element.FirstChildElement("mode")) {
    const auto mode = named<Mode>(token_of(*child), mode_names);
    if (!mode)
      state.diagnostics.loss("musicxml-mode", "a mode that is not one of the church modes is left out",
                             *child);
    key.mode = mode.value_or(Mode::none);
  }
  if (!traditional) {
    state.diagnostics.loss("musicxml-key-non-traditional",
                           "a key that is not one of sharps or flats was left out", element);
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
                             element);
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
  const int staff = whole_number(attribute(element, "number")).value_or(0);
  if (const char* const symbol = element.Attribute("symbol")) {
    const auto known = named<Meter::Symbol>(symbol, meter_symbol_names);
    if (!known) state.diagnostics.layout_left();
    meter.symbol = known.value_or(Meter::Symbol::numbers);
  }
  each_child(element, [&](const Element& child, std::string_view name) {
    if (name == "beats") {
      beats = beats_of(token_of(child));
      wrong = wrong || !beats;
    } else if (name == "beat-type") {
      const auto unit = whole_number(token_of(child));
      if (!beats || !unit || *unit < 1 || *unit > most_beats) {
        wrong = true;
        return;
      }
      if (!wrong) add_pair(meter, std::move(*beats), *unit);  // what is wrong does not grow
      beats.reset();
      ++pairs;
      wrong =
          wrong || meter.unit > most_beats || meter.beats.size() > most_terms || meter.length() > most_beats;
    } else if (name == "senza-misura") {
      free = true;
      state.diagnostics.loss(
          "musicxml-senza-misura",
          "music without a meter keeps the meter before it; each measure is as long as its notes", child);
    }
  });
  if (free) return;
  if (wrong || meter.beats.empty()) {
    state.diagnostics.loss("musicxml-meter", "an invalid meter was ignored", element);
    return;
  }
  if (pairs > 1) {
    state.diagnostics.choice("musicxml-meter-mixed", "a meter of several units was brought to one unit",
                             element);
  }
  set_metered(true);
  if (staff > 1 && meter.length() == state.meter.length()) return;
  state.meter = meter;
  if (state.position == 0) {
    state.measure->measure.meter = meter;
  } else {
    state.diagnostics.repair("musicxml-meter-inside",
                             "a meter that changes inside a measure holds from the next one on", element);
  }
}

RawStaff& staff_of(const Element& element, PartState& state) {
  return state.part.staves.at(static_cast<std::size_t>(std::max(staff_number(element), 1)));
}

void read_clef(const Element& element, PartState& state) {
  RawStaff& staff = staff_of(element, state);
  if (staff.clef_line == 0) staff.clef_line = state.diagnostics.line_of(element);
  const std::string_view sign = child_token(element, "sign");
  staff.tab_clef = sign == "TAB";
  staff.tab = staff.tab || staff.tab_clef;
  staff.percussion = staff.percussion || sign == "percussion";
  // Pitches are what they are under any clef.
  const std::string_view line = child_token(element, "line");
  const bool usual = (sign == "G" || sign == "TAB") && (line.empty() || line == "2" || line == "5");
  if (!usual || element.FirstChildElement("clef-octave-change") != nullptr) state.diagnostics.layout_left();
}

std::optional<Pitch> tuning_pitch(const Element& element) {
  const auto letter = step(child_token(element, "tuning-step"));
  const auto octave = whole_number(child_token(element, "tuning-octave"));
  const bool altered = element.FirstChildElement("tuning-alter") != nullptr;
  const auto alter = altered ? whole_number(child_token(element, "tuning-alter")) : 0;
  if (!letter || !octave || *octave < 0 || *octave > 9 || !alter || std::abs(*alter) > 2) return std::nullopt;
  return Pitch{*letter, static_cast<std::int8_t>(*alter), static_cast<std::int8_t>(*octave)};
}

// Whether what stands here changes what stood before it in the piece.
bool is_inside_piece(const PartState& state) {
  return state.part.measures_read > 1 || state.position > 0;
}

void read_staff_tuning(const Element& element, RawStaff& staff, PartState& state) {
  const int line = whole_number(attribute(element, "line")).value_or(0);
  const auto pitch = tuning_pitch(element);
  if (!pitch || line < 1 || line > static_cast<int>(staff.tuning.size())) {
    state.diagnostics.loss("musicxml-tuning", "a string tuned to an invalid pitch was ignored", element);
    return;
  }
  auto& place = staff.tuning.at(static_cast<std::size_t>(line - 1));
  staff.tuning_now.at(static_cast<std::size_t>(line - 1)) = pitch;
  if (staff.tuning_line == 0) staff.tuning_line = state.diagnostics.line_of(element);
  if (is_inside_piece(state) && place && *place != *pitch) {
    state.diagnostics.loss("musicxml-retuning",
                           "a tuning that changes inside the piece is left out: the first one holds",
                           element);
    return;
  }
  place = pitch;
  staff.tuned_lines = std::max(staff.tuned_lines, line);
  staff.tab = true;
}

void read_capo(const Element& element, RawStaff& staff, PartState& state) {
  const auto capo = whole_number(token_of(element));
  if (!capo || *capo < 0 || *capo > 20) {
    state.diagnostics.loss("musicxml-capo", "a capo at an impossible fret was ignored", element);
    return;
  }
  staff.capo = capo;
  if (is_inside_piece(state) && state.part.capo.value_or(0) != *capo) {
    state.diagnostics.loss("musicxml-capo-changes", "a capo that changes inside the piece is left out",
                           element);
  } else {
    state.part.capo = capo;
  }
}

void read_staff_details(const Element& element, PartState& state) {
  RawStaff& staff = staff_of(element, state);
  each_child(element, [&](const Element& child, std::string_view name) {
    if (name == "staff-type") {
      if (token_of(child) != "regular") state.diagnostics.unread(child);
    } else if (name == "staff-lines") {
      staff.lines = whole_number(token_of(child));
      if (staff.lines != 5) state.diagnostics.layout_left();
    } else if (name == "staff-tuning") {
      read_staff_tuning(child, staff, state);
    } else if (name == "capo") {
      read_capo(child, staff, state);
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
  const int staff = staff_number(element);
  const auto diatonic = whole_number(child_token(element, "diatonic"));
  const Fraction exact = decimal(child_token(element, "chromatic")).value_or(0);
  if (!exact.is_whole()) {
    state.diagnostics.loss("musicxml-microtone",
                           "a pitch between two half steps was read as the nearest half step",
                           *element.FirstChildElement("chromatic"));
  }
  const auto chromatic =
      static_cast<int>(std::clamp<std::int64_t>((exact + Fraction(1, 2)).floor(), -1000, 1000));
  const int octaves = std::clamp(whole_number(child_token(element, "octave-change")).value_or(0), -100, 100);
  const int half_steps = chromatic + 12 * octaves;
  if (std::abs(half_steps) > farthest_shift) {
    state.diagnostics.loss("musicxml-transpose", "a transposition beyond five octaves was ignored", element);
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

}  // namespace

void read_attributes(const Element& element, PartState& state) {
  each_child(element, [&](const Element& child, std::string_view name) {
    if (name == "divisions") {
      read_divisions(child, state);
    } else if (name == "key") {
      read_key(child, state);
    } else if (name == "time") {
      read_time(child, state);
    } else if (name == "clef") {
      read_clef(child, state);
    } else if (name == "staff-details") {
      read_staff_details(child, state);
    } else if (name == "transpose") {
      read_transpose(child, state);
    }
  });
}

}  // namespace fifthpeg::musicxml::reader
