#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <cstdlib>

#include "base/text.hpp"
#include "fifthpeg/banjo.hpp"

namespace fifthpeg {
namespace {

constexpr Pitch p(Step step, int alter, int octave) {
  return {step, static_cast<std::int8_t>(alter), static_cast<std::int8_t>(octave)};
}

// Fifth string first, as players say a tuning.
constexpr Tuning from_fifth(Pitch fifth, Pitch fourth, Pitch third, Pitch second, Pitch first) {
  return {{first, second, third, fourth, fifth}};
}

std::string spelled_without_octave(const Pitch& pitch, bool lower) {
  std::string text = to_string(pitch);
  text.erase(text.find_first_of("-0123456789"));
  if (lower) text.front() = base::lower_case(text.front());
  return text;
}

// The pitch whose octave puts it nearest to `usual`; at a tritone's distance, below it (strings are let
// down more often than they are pulled up).
Pitch nearest_octave(Pitch pitch, const Pitch& usual) {
  pitch.octave = usual.octave;
  int best = 100;
  Pitch result = pitch;
  for (int shift = -1; shift <= 1; ++shift) {
    Pitch candidate = pitch;
    candidate.octave = static_cast<std::int8_t>(usual.octave + shift);
    const int distance = std::abs(candidate.midi() - usual.midi());
    if (distance < best) {
      best = distance;
      result = candidate;
    }
  }
  return result;
}

// One name with its accidentals and, if there is one, its octave, taken off the front of the text. In an
// unspaced spelling "b" after a letter could be a string B in lower case; only the first string named may
// be in lower case, so that there "b" is a flat everywhere else.
std::optional<Pitch> take_pitch(std::string_view& text, bool& has_octave) {
  std::string name;
  if (text.empty() || std::isalpha(static_cast<unsigned char>(text.front())) == 0) return std::nullopt;
  name += base::upper_case(text.front());
  text.remove_prefix(1);
  while (!text.empty() && (text.front() == '#' || text.front() == 'b')) {
    name += text.front();
    text.remove_prefix(1);
  }
  std::string octave;
  if (!text.empty() && text.front() == '-') {
    octave += '-';
    text.remove_prefix(1);
  }
  if (!text.empty() && std::isdigit(static_cast<unsigned char>(text.front())) != 0) {
    octave += text.front();
    text.remove_prefix(1);
  } else if (!octave.empty()) {
    return std::nullopt;
  }
  has_octave = !octave.empty();
  return parse_pitch(name + (has_octave ? octave : "4"));
}

std::optional<Tuning> parse_spelling(std::string_view text) {
  Tuning tuning;
  for (int string = string_count; string >= 1; --string) {
    while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
    bool has_octave = false;
    const auto pitch = take_pitch(text, has_octave);
    if (!pitch) return std::nullopt;
    tuning.strings.at(static_cast<std::size_t>(string - 1)) =
        has_octave ? *pitch : nearest_octave(*pitch, open_g().open(string));
  }
  while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
  if (!text.empty()) return std::nullopt;
  return tuning;
}

}  // namespace

const std::vector<NamedTuning>& named_tunings() {
  using enum Step;
  static const std::vector<NamedTuning> tunings{
      {"open-g",
       "open G",
       "gDGBD",
       from_fifth(p(G, 0, 4), p(D, 0, 3), p(G, 0, 3), p(B, 0, 3), p(D, 0, 4)),
       {"standard", "standard-g"}},
      {"double-c", "double C", "gCGCD",
       from_fifth(p(G, 0, 4), p(C, 0, 3), p(G, 0, 3), p(C, 0, 4), p(D, 0, 4))},
      {"c", "C", "gCGBD", from_fifth(p(G, 0, 4), p(C, 0, 3), p(G, 0, 3), p(B, 0, 3), p(D, 0, 4)), {"drop-c"}},
      {"modal-g",
       "modal G",
       "gDGCD",
       from_fifth(p(G, 0, 4), p(D, 0, 3), p(G, 0, 3), p(C, 0, 4), p(D, 0, 4)),
       {"sawmill", "mountain-minor"}},
      {"open-d", "open D", "f#DF#AD", from_fifth(p(F, 1, 4), p(D, 0, 3), p(F, 1, 3), p(A, 0, 3), p(D, 0, 4))},
      {"d", "D", "aDF#AD", from_fifth(p(A, 0, 4), p(D, 0, 3), p(F, 1, 3), p(A, 0, 3), p(D, 0, 4))},
  };
  return tunings;
}

const Tuning& open_g() {
  return named_tunings().front().tuning;
}

std::optional<Tuning> parse_tuning(std::string_view text) {
  const auto is_called = [text](std::string_view name) { return base::same_name(text, name); };
  for (const NamedTuning& named : named_tunings()) {
    if (is_called(named.slug) || std::any_of(named.other_names.begin(), named.other_names.end(), is_called))
      return named.tuning;
  }
  // Where the strings of double C stand with a capo at 2 (common practice).
  return parse_spelling(is_called("double-d") ? "aDADE" : text);
}

std::string spelling(const Tuning& tuning) {
  std::string plain;
  std::string with_octaves;
  for (int string = string_count; string >= 1; --string) {
    const bool lower = string == fifth_string;
    const Pitch& pitch = tuning.open(string);
    plain += spelled_without_octave(pitch, lower);
    std::string full = to_string(pitch);
    if (lower) full.front() = base::lower_case(full.front());
    with_octaves += (with_octaves.empty() ? "" : " ") + full;
  }
  return parse_spelling(plain) == tuning ? plain : with_octaves;
}

std::string to_string(const Tuning& tuning) {
  for (const NamedTuning& named : named_tunings()) {
    if (named.tuning == tuning) {
      return std::string(named.name) + " (" + std::string(named.spelling) + ")";
    }
  }
  return spelling(tuning);
}

double fret_position_mm(int fret, double scale_length_mm) {
  return scale_length_mm * (1.0 - std::exp2(-static_cast<double>(fret) / 12.0));
}

}  // namespace fifthpeg
