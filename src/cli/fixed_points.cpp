#include "cli/fixed_points.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>

#include "base/number.hpp"
#include "base/text.hpp"
#include "cli/input.hpp"
#include "cli/messages.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::cli {
namespace {

[[noreturn]] void refuse_point(std::string_view option, std::string_view text, const std::string& problem) {
  throw UsageError(std::string(option) + ": '" + printable(text) + "': " + problem);
}

struct FingerWord {
  std::string_view letter;
  std::string_view word;
};
// By FretFinger less one, and by PickingFinger.
constexpr std::array<FingerWord, 5> fret_fingers{
    {{"1", "index"}, {"2", "middle"}, {"3", "ring"}, {"4", "little"}, {"T", "thumb"}}};
constexpr std::array<FingerWord, 6> picking_fingers{
    {{"T", "thumb"}, {"I", "index"}, {"M", "middle"}, {"R", "ring"}, {"L", "little"}, {"N", "nail"}}};

template <std::size_t Count>
std::optional<int> finger_in(const std::array<FingerWord, Count>& fingers, std::string_view text) {
  for (std::size_t f = 0; f < Count; ++f) {
    if (base::same_ignoring_case(text, fingers[f].letter) ||
        base::same_ignoring_case(text, fingers[f].word)) {
      return static_cast<int>(f);
    }
  }
  return std::nullopt;
}

std::vector<std::string_view> words_of(std::string_view text) {
  std::vector<std::string_view> words;
  while (!(text = base::trimmed(text)).empty()) {
    const std::size_t end = std::min(text.find_first_of(" \t"), text.size());
    words.push_back(text.substr(0, end));
    text.remove_prefix(end);
  }
  return words;
}

// "1/2", "3"; nothing for anything else.
std::optional<Fraction> fraction_of(std::string_view text) {
  const std::size_t bar = text.find('/');
  const auto upper = base::number<int>(text.substr(0, bar));
  const auto lower = bar == std::string_view::npos ? 1 : base::number<int>(text.substr(bar + 1));
  if (!upper || !lower || *upper < 0 || *lower < 1) return std::nullopt;
  return Fraction(*upper, *lower);
}

// "2", "2.5"; decimals are beats in 960ths, which every usual place in a beat is.
std::optional<Fraction> beat_of(std::string_view text) {
  if (text.find('.') == std::string_view::npos) return fraction_of(text);
  const auto value = base::number<double>(text);
  if (!value || !(*value >= 0.0) || *value > 10'000.0) return std::nullopt;
  return Fraction(std::llround(*value * 960.0), 960);
}

void fix_one(std::string_view option, std::string_view text, std::string_view what, std::string_view value,
             FixedPoint& point) {
  const auto number = base::number<int>(value);
  if (what == "string") {
    if (!number || *number < 1 || *number > string_count) refuse_point(option, text, "a string is 1 to 5");
    point.string = *number;
  } else if (what == "fret") {
    if (!number || *number < 0) refuse_point(option, text, "a fret is a number, 0 for the open string");
    point.fret = *number;
  } else if (what == "finger") {
    const auto finger = finger_in(fret_fingers, value);
    if (!finger)
      refuse_point(option, text, "a finger is 1 to 4 or T, or index, middle, ring, little or thumb");
    point.finger = static_cast<FretFinger>(*finger + 1);
  } else if (what == "pick") {
    const auto finger = finger_in(picking_fingers, value);
    if (!finger)
      refuse_point(option, text,
                   "a picking finger is T, I, M, R, L or N, or thumb, index, middle, ring, little or nail");
    point.picking_finger = static_cast<PickingFinger>(*finger);
  } else {
    refuse_point(option, text,
                 "string, fret, finger or pick was expected instead of '" + printable(what) + "'");
  }
}

}  // namespace

FixedPoint fixed_point(std::string_view option, std::string_view text) {
  const std::vector<std::string_view> words = words_of(text);
  const std::size_t colon = words.empty() ? std::string_view::npos : words.front().rfind(':');
  const auto beat = colon == std::string_view::npos ? std::nullopt : beat_of(words.front().substr(colon + 1));
  if (!beat || colon == 0) {
    refuse_point(option, text, "begin with the measure and the beat, such as 3:2 or 3:2.5");
  }
  FixedPoint point;
  point.measure = words.front().substr(0, colon);
  point.beat = *beat;
  std::size_t at = 1;
  if (at < words.size() && words[at].find('/') != std::string_view::npos) {
    const auto part = fraction_of(words[at++]);
    if (!part) refuse_point(option, text, "a part of a beat is a fraction, such as 1/2");
    point.beat += *part;
  }
  if (at < words.size()) {
    point.pitch = parse_pitch(words[at]);
    if (point.pitch) ++at;
  }
  if (at >= words.size()) refuse_point(option, text, "say what is fixed: string, fret, finger or pick");
  for (; at < words.size(); at += 2) {
    if (at + 1 == words.size()) refuse_point(option, text, "'" + printable(words[at]) + "' needs a value");
    fix_one(option, text, words[at], words[at + 1], point);
  }
  return point;
}

MusicPoint music_point(std::string_view option, std::string_view text) {
  const std::vector<std::string_view> words = words_of(text);
  const std::string_view first = words.empty() ? std::string_view{} : words.front();
  const std::size_t colon = first.rfind(':');
  MusicPoint point;
  point.measure = first.substr(0, colon);
  if (colon != std::string_view::npos) point.beat = beat_of(first.substr(colon + 1));
  const auto part = words.size() == 2 ? fraction_of(words.back()) : std::nullopt;
  if (part && point.beat) *point.beat += *part;
  const bool is_read = words.size() == 1 || (words.size() == 2 && part && point.beat);
  if (!is_read || point.measure.empty() || (colon != std::string_view::npos && !point.beat))
    refuse_point(option, text, "give a measure, such as 7, or a measure and a beat, such as 7:3");
  return point;
}

TunePoint tune_point(std::string_view option, std::string_view text) {
  const auto begins_place = [&](std::size_t colon) {
    return colon != std::string_view::npos && colon > 0 && colon + 1 < text.size() &&
           text[colon + 1] >= '0' && text[colon + 1] <= '9';
  };
  std::size_t colon = text.rfind(':');
  if (!begins_place(colon)) return {std::string(text), std::nullopt};
  // Of two, the first stands before the measure.
  const std::size_t before = text.rfind(':', colon - 1);
  if (begins_place(before)) colon = before;
  return {std::string(text.substr(0, colon)), music_point(option, text.substr(colon + 1))};
}

std::vector<FixedPoint> fixed_points_in(std::string_view option, std::string_view path) {
  const std::string text = read_option_file(option, path);
  std::vector<FixedPoint> points;
  int number = 0;
  for (std::string_view rest = text; !rest.empty();) {
    ++number;
    const std::size_t end = std::min(rest.find('\n'), rest.size());
    const std::string_view line = rest.substr(0, end);
    rest.remove_prefix(std::min(end + 1, rest.size()));
    const std::string_view point = base::trimmed(line.substr(0, line.find('#')));
    if (point.empty()) continue;
    points.push_back(
        fixed_point(std::string(option) + " " + printable(path) + ", line " + std::to_string(number), point));
  }
  return points;
}

}  // namespace fifthpeg::cli
