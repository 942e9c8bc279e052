#include "fifthpeg/pitch.hpp"

#include <array>
#include <cstdlib>

#include "base/text.hpp"
#include "score/interval.hpp"

namespace fifthpeg {
namespace {

constexpr std::string_view step_names = "CDEFGAB";
constexpr std::array<int, 7> step_half_steps{0, 2, 4, 5, 7, 9, 11};
constexpr std::array<int, 7> step_fifths{0, 2, 4, -1, 1, 3, 5};  // on the line of fifths, C is 0
// The step at each place of one turn F C G D A E B of the line of fifths.
constexpr std::array<Step, 7> fifths_steps{Step::F, Step::C, Step::G, Step::D, Step::A, Step::E, Step::B};

constexpr std::size_t index(Step step) {
  return static_cast<std::size_t>(step);
}

constexpr int floor_div(int a, int b) {
  return a / b - (a % b != 0 && (a % b < 0) != (b < 0) ? 1 : 0);
}
constexpr int floor_mod(int a, int b) {
  return a - floor_div(a, b) * b;
}

std::string step_name(Step step, int alter) {
  std::string text(1, step_names.at(index(step)));
  for (int i = 0; i < alter; ++i) text += '#';
  for (int i = 0; i > alter; --i) text += 'b';
  return text;
}

struct ModeText {
  std::string_view name;
  int tonic;  // on the line of fifths, from the tonic of the major key with the same signature
};

// In the order of Mode.
constexpr std::array<ModeText, 10> modes{{{"", 0},
                                          {"major", 0},
                                          {"minor", 3},
                                          {"dorian", 2},
                                          {"phrygian", 4},
                                          {"lydian", -1},
                                          {"mixolydian", 1},
                                          {"aeolian", 3},
                                          {"ionian", 0},
                                          {"locrian", 5}}};

const ModeText& text_of(Mode mode) {
  return modes.at(static_cast<std::size_t>(mode));
}

// The nearest place on the line of fifths, enharmonic changes aside, that is no farther than these.
int within(int lowest, int place, int highest) {
  while (place > highest) place -= 12;
  while (place < lowest) place += 12;
  return place;
}

// "A", "F#", "Bb" at the beginning of a text, which is taken off it: a place on the line of fifths.
std::optional<int> take_tonic(std::string_view& text) {
  if (text.empty()) return std::nullopt;
  constexpr std::string_view along_fifths = "FCGDAEB";
  const std::size_t letter = along_fifths.find(base::upper_case(text.front()));
  if (letter == along_fifths.npos) return std::nullopt;
  text.remove_prefix(1);
  struct Sign {
    std::string_view text;
    int place;
  };
  constexpr std::array<Sign, 4> signs{{{"#", 7}, {"\u266F", 7}, {"b", -7}, {"\u266D", -7}}};
  const int place = static_cast<int>(letter) - 1;
  for (const Sign& sign : signs) {
    if (!text.starts_with(sign.text)) continue;
    text.remove_prefix(sign.text.size());
    return place + sign.place;
  }
  return place;
}

std::optional<Mode> parse_mode(std::string_view text) {
  if (text.empty()) return Mode::none;
  if (text == "m") return Mode::minor;
  constexpr std::size_t shortest = 3;  // "mix", "dor", "min"
  const std::string word = base::lower_case(text);
  for (std::size_t mode = 1; mode < modes.size() && word.size() >= shortest; ++mode)
    if (modes[mode].name.starts_with(word)) return static_cast<Mode>(mode);
  return std::nullopt;
}

}  // namespace

int Pitch::midi() const {
  return 12 * (octave + 1) + step_half_steps.at(index(step)) + alter;
}

std::string to_string(const Pitch& pitch) {
  return step_name(pitch.step, pitch.alter) + std::to_string(pitch.octave);
}

std::optional<Pitch> parse_pitch(std::string_view text) {
  if (text.empty()) return std::nullopt;
  const std::size_t step = step_names.find(text.front());
  if (step == std::string_view::npos) return std::nullopt;
  text.remove_prefix(1);
  int alter = 0;
  while (!text.empty() && (text.front() == '#' || text.front() == 'b' || text.front() == 'x')) {
    alter += text.front() == 'b' ? -1 : text.front() == '#' ? 1 : 2;
    text.remove_prefix(1);
  }
  const bool negative = text.starts_with('-');
  if (negative) text.remove_prefix(1);
  if (std::abs(alter) > 3 || text.size() != 1 || text.front() < '0' || text.front() > '9')
    return std::nullopt;
  const int octave = text.front() - '0';
  return Pitch{static_cast<Step>(step), static_cast<std::int8_t>(alter),
               static_cast<std::int8_t>(negative ? -octave : octave)};
}

int line_of_fifths(Step step, int alter) {
  return step_fifths.at(index(step)) + 7 * alter;
}

Pitch pitch_at(int place, int midi) {
  Pitch pitch;
  pitch.step = fifths_steps.at(static_cast<std::size_t>(floor_mod(place + 1, 7)));
  pitch.alter = static_cast<std::int8_t>(floor_div(place + 1, 7));
  const int natural = midi - pitch.alter - step_half_steps.at(index(pitch.step));
  pitch.octave = static_cast<std::int8_t>(floor_div(natural, 12) - 1);
  return pitch;
}

std::string to_string(const Key& key) {
  if (key.mode == Mode::none) {
    const int count = std::abs(key.fifths);
    const std::string signature =
        count == 0 ? "no sharps or flats"
                   : std::to_string(count) + (key.fifths > 0 ? " sharp" : " flat") + (count == 1 ? "" : "s");
    return signature + " (" + to_string({key.fifths, Mode::major}) + " or " +
           to_string({key.fifths, Mode::minor}) + ")";
  }
  const Pitch root = pitch_at(tonic(key), 60);
  return step_name(root.step, root.alter) + " " + std::string(text_of(key.mode).name);
}

std::string interval_text(int half_steps) {
  const int size = std::abs(half_steps);
  if (size == 12) return "an octave";
  return size % 12 == 0 ? std::to_string(size / 12) + " octaves"
                        : std::to_string(size) + (size == 1 ? " half step" : " half steps");
}

std::optional<Key> parse_key(std::string_view text) {
  text = base::trimmed(text);
  const auto place = take_tonic(text);
  const auto mode = parse_mode(base::trimmed(text));
  if (!place || !mode) return std::nullopt;
  constexpr int most = 7;  // accidentals
  const int fifths = *place - text_of(*mode).tonic;
  if (fifths < -most || fifths > most) return std::nullopt;
  return Key{static_cast<std::int8_t>(fifths), *mode};
}

bool is_minor(Mode mode) {
  return text_of(mode).tonic > text_of(Mode::mixolydian).tonic;
}

int tonic(const Key& key) {
  return key.fifths + text_of(key.mode).tonic;
}

Pitch spell(int midi, const Key& key) {
  // The key's seven notes stand at fifths-1 .. fifths+5 on the line of fifths. The twelve places that are
  // used reach from there two down and three up; in minor, where the raised sixth and seventh are usual
  // and the lowered second is not, one down and four up. Source: common practice in tonal spelling.
  const bool minor = key.mode == Mode::minor || key.mode == Mode::aeolian;
  const int lowest = key.fifths - (minor ? 2 : 3);
  const int wanted = floor_mod(7 * floor_mod(midi, 12), 12);  // place of the pitch class, modulo 12
  const int place = lowest + floor_mod(wanted - lowest, 12);
  return pitch_at(place, midi);
}

Move move_for(const Key& from, int half_steps) {
  // A half step is seven fifths, octaves aside.
  int fifths = within(-5, from.fifths + floor_mod(7 * half_steps, 12), 6);
  if (floor_mod(half_steps, 12) == 0) fifths = from.fifths;
  return {half_steps, fifths - from.fifths};
}

Pitch moved(const Pitch& pitch, const Move& move) {
  // No more than double accidentals: they stand at places -15 (Fbb) to 19 (B##).
  const int place = within(-15, line_of_fifths(pitch) + move.fifths, 19);
  return pitch_at(place, pitch.midi() + move.half_steps);
}

Key moved(const Key& key, const Move& move) {
  return {static_cast<std::int8_t>(within(-7, key.fifths + move.fifths, 7)), key.mode};
}

}  // namespace fifthpeg
