#include "cli/option_values.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <chrono>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <utility>

#include "base/number.hpp"
#include "base/text.hpp"
#include "cli/input.hpp"
#include "cli/messages.hpp"
#include "fifthpeg/check.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/licks.hpp"
#include "fifthpeg/read.hpp"
#include "fifthpeg/summary.hpp"

namespace fifthpeg::cli {
namespace {

constexpr int highest_fret_asked = 36;

[[noreturn]] void refuse(std::string_view option, std::string_view text, const std::string& problem) {
  throw UsageError(std::string(option) + ": '" + printable(text) + "' is " + problem);
}

template <typename Number>
std::optional<Number> number(std::string_view text) {
  if (text.starts_with('+') && !text.starts_with("+-")) text.remove_prefix(1);
  return base::number<Number>(text);
}

// "1/16", "5-9": two whole numbers with a sign between them.
std::optional<std::pair<int, int>> two_numbers(std::string_view text, char separator) {
  const std::size_t at = std::min(text.find(separator), text.size());
  const auto first = number<int>(text.substr(0, at));
  const auto second = number<int>(text.substr(std::min(at + 1, text.size())));
  return first && second ? std::optional(std::pair(*first, *second)) : std::nullopt;
}

// What stands between commas, but for nothing.
std::vector<std::string_view> between_commas(std::string_view text) {
  std::vector<std::string_view> names;
  while (!text.empty()) {
    const std::size_t comma = std::min(text.find(','), text.size());
    if (comma > 0) names.push_back(text.substr(0, comma));
    text.remove_prefix(std::min(comma + 1, text.size()));
  }
  return names;
}

struct Word {
  std::string_view option;
  std::string_view word;
  int value;
};

template <typename Value>
constexpr Word means(std::string_view option, std::string_view word, Value value) {
  return {option, word, static_cast<int>(value)};
}

// The words that options take, and what they mean.
constexpr std::array option_words{means("--refinger", "missing", Refinger::missing),
                                  means("--refinger", "all", Refinger::all),
                                  means("--refinger", "frets-only", Refinger::frets_only),
                                  means("--neck", "any", NeckPart::any),
                                  means("--neck", "low", NeckPart::low),
                                  means("--neck", "high", NeckPart::high),
                                  means("--chords", "given", false),
                                  means("--chords", "infer", true),
                                  means("--repeats", "given", false),
                                  means("--repeats", "fold", true),
                                  means("--slurs", "keep", false),
                                  means("--slurs", "suggest", true),
                                  means("--staves", "both", Staves::both),
                                  means("--staves", "notation", Staves::notation),
                                  means("--staves", "tab", Staves::tab),
                                  means("--fifth-frets", "long-nut", FifthFrets::from_long_nut),
                                  means("--fifth-frets", "own-nut", FifthFrets::from_own_nut),
                                  means("--picking-fingers", "technical", PickingFingers::technical),
                                  means("--picking-fingers", "lyrics", PickingFingers::lyrics),
                                  means("--min-severity", "note", Severity::note),
                                  means("--min-severity", "warning", Severity::warning),
                                  means("--min-severity", "error", Severity::error),
                                  means("--max-severity", "note", Severity::note),
                                  means("--max-severity", "warning", Severity::warning),
                                  means("--max-severity", "error", Severity::error),
                                  means("--to", "musicxml", OutputFormat::musicxml),
                                  means("--to", "mxl", OutputFormat::mxl),
                                  means("--to", "mid", OutputFormat::midi),
                                  means("--to", "txt", OutputFormat::text),
                                  means("--paper", "a4", Paper::a4),
                                  means("--paper", "letter", Paper::letter),
                                  means("--transpose", "auto", 0)};

struct Extension {
  std::string_view suffix;
  OutputFormat format;
};
// The first of a format is the one that we give to files.
constexpr std::array<Extension, 6> extensions{{{".musicxml", OutputFormat::musicxml},
                                               {".xml", OutputFormat::musicxml},
                                               {".mxl", OutputFormat::mxl},
                                               {".mid", OutputFormat::midi},
                                               {".midi", OutputFormat::midi},
                                               {".txt", OutputFormat::text}}};

}  // namespace

std::string alternatives(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) {
    text += (text.empty() ? "" : &word == &words.back() ? " or " : ", ") + word;
  }
  return text;
}

int word_value(std::string_view option, std::string_view text) {
  for (const Word& one : option_words) {
    if (one.option == option && one.word == text) return one.value;
  }
  refuse(option, text, "not valid; choose " + alternatives(choices(option)));
}
int whole_number(std::string_view option, std::string_view text, int lowest, int highest) {
  const auto value = number<int>(text);
  if (!value || *value < lowest || *value > highest) {
    refuse(option, text,
           "not a whole number from " + std::to_string(lowest) + " to " + std::to_string(highest));
  }
  return *value;
}

std::size_t byte_count(std::string_view option, std::string_view text) {
  std::string_view digits = text;
  unsigned shift = 0;
  constexpr std::string_view units = "KMG";
  const std::size_t unit = digits.empty() ? units.npos : units.find(base::upper_case(digits.back()));
  if (unit != units.npos) {
    shift = static_cast<unsigned>(10 * (unit + 1));
    digits.remove_suffix(1);
  }
  const auto value = number<std::uint64_t>(digits);
  // Far above every memory, and far below where sums of sizes would overflow.
  constexpr std::uint64_t most = std::uint64_t{1} << 50;
  if (!value || *value == 0 || *value > (most >> shift)) {
    refuse(option, text, "not a size; give a number of bytes, or one followed by K, M or G, such as 256M");
  }
  return static_cast<std::size_t>(*value << shift);
}

Fraction grid_step(std::string_view option, std::string_view text) {
  const auto parts = two_numbers(text, '/');
  if (parts && parts->first == 1 && parts->second >= 1 && is_grid_step({1, parts->second}))
    return {1, parts->second};
  refuse(option, text,
         "not a note value; give one from 1/1 to 1/512, such as 1/16, or that of a tuplet of 3, 5, 7 or 9, "
         "such as "
         "1/24 for triplets of sixteenths");
}

Fraction note_length(std::string_view option, std::string_view text) {
  const bool whole = text.find('/') == std::string_view::npos;
  const auto parts = two_numbers(whole ? std::string(text) + "/1" : text, '/');
  constexpr int longest = 1024;
  if (parts && parts->first >= 0 && parts->first <= longest && parts->second >= 1 && parts->second <= longest)
    return {parts->first, parts->second};
  refuse(option, text, "not a length; give 0 or a fraction of a whole note, such as 1/8 or 3/16");
}

Meter meter(std::string_view option, std::string_view text) {
  const auto parts = two_numbers(text, '/');
  constexpr int most_beats = 64;
  constexpr int shortest_unit = 64;
  const bool fits = parts && parts->first >= 1 && parts->first <= most_beats && parts->second >= 1 &&
                    parts->second <= shortest_unit;
  if (!fits || !std::has_single_bit(static_cast<unsigned>(parts->second)))
    refuse(option, text, "not a meter; give one such as 4/4, 3/4 or 6/8");
  Meter result;
  result.beats = {static_cast<int>(parts->first)};
  result.unit = static_cast<int>(parts->second);
  return result;
}

Tuning tuning(std::string_view option, std::string_view text) {
  if (const auto tuning = parse_tuning(text)) return *tuning;
  std::string known;
  for (const NamedTuning& named : named_tunings()) {
    known += (known.empty() ? "" : ", ") + std::string(named.slug);
    if (!named.other_names.empty()) known += " or " + std::string(named.other_names.front());
    known += " (" + std::string(named.spelling) + ")";
  }
  throw UsageError(std::string(option) + ": unknown tuning '" + printable(text) + "'; choose " + known +
                   ", or give its pitches, fifth string first: gDGBD, or with octaves 'g4 D3 G3 B3 D4'");
}

std::optional<int> transposition(std::string_view option, std::string_view text) {
  if (text == "auto") return std::nullopt;
  constexpr int most = 60;
  const auto value = number<int>(text);
  if (!value || *value < -most || *value > most) {
    refuse(option, text, "neither auto nor a number of half steps from -60 to 60");
  }
  return *value;
}

Style style(std::string_view option, std::string_view text) {
  if (const auto style = parse_style(text)) return *style;
  refuse(option, text, "not a style; choose " + alternatives(choices(option)));
}

Style one_style(std::string_view option, std::string_view text) {
  const auto style = parse_style(text);
  if (style && *style != Style::automatic) return *style;
  std::vector<std::string> words = choices(option);
  std::erase(words, std::string(slug(Style::automatic)));
  refuse(option, text, "not a style; choose " + alternatives(words));
}

ChordSymbol chord(std::string_view option, std::string_view text) {
  const auto chord = parse_chord_symbol(text);
  if (chord && chord->kind != "none") return *chord;
  refuse(option, text, "not a chord; give one such as G, Am or D7");
}

Fraction beats(std::string_view option, std::string_view text) {
  constexpr int most = 1000;
  constexpr int finest = 48;  // of a beat, where it is written as a decimal
  Fraction value;
  if (const auto parts = two_numbers(text, '/'); parts && parts->second >= 1 && parts->second <= most) {
    value = {parts->first, parts->second};
  } else if (const auto plain = number<double>(text); plain && *plain > 0 && *plain <= most) {
    const double parts_of_beat = *plain * finest;
    if (std::abs(parts_of_beat - std::round(parts_of_beat)) < 1e-9) {
      value = {static_cast<std::int64_t>(std::round(parts_of_beat)), finest};
    }
  }
  if (value <= 0 || value > most)
    refuse(option, text, "not a number of beats; give one such as 4, 3.5 or 10/3");
  return value;
}

LickUse lick_use(std::string_view option, std::string_view text) {
  if (const auto use = parse_lick_use(text)) return *use;
  refuse(option, text, "not what a lick is for; choose " + alternatives(choices(option)));
}

std::vector<std::string> techniques(std::string_view option, std::string_view text) {
  std::vector<std::string> found;
  for (const std::string_view one : between_commas(text)) {
    const auto known = technique_names();
    const auto name = std::find_if(known.begin(), known.end(), [&](std::string_view known_name) {
      return base::same_name(known_name, one);
    });
    if (name == known.end()) refuse(option, one, "not a technique; choose " + alternatives(choices(option)));
    found.emplace_back(*name);
  }
  if (found.empty()) refuse(option, text, "no technique; give one or several, such as slide,pinch");
  return found;
}

LevelRange level_range(std::string_view option, std::string_view text) {
  const auto is_level = [](int level) { return level >= easiest_difficulty && level <= greatest_difficulty; };
  if (const auto one = number<int>(text); one && is_level(*one)) return {*one, *one};
  if (const auto range = two_numbers(text, '-');
      range && is_level(range->first) && is_level(range->second) && range->first <= range->second) {
    return {range->first, range->second};
  }
  refuse(option, text,
         "not a level; give one from " + std::to_string(easiest_difficulty) + " to " +
             std::to_string(greatest_difficulty) + ", or the lowest and the highest, such as 1-3");
}

Key key(std::string_view option, std::string_view text) {
  if (const auto key = parse_key(text)) return *key;
  refuse(option, text, "not a key; give one such as A, F#m, Bb or 'D mixolydian'");
}

std::string key_text(const Key& key) {
  if (key.mode != Mode::none) return to_string(key);
  const std::string major = to_string(Key{key.fifths, Mode::major});
  return major.substr(0, major.find(' '));
}

FretRange fret_range(std::string_view option, std::string_view text) {
  if (const auto range = two_numbers(text, '-')) {
    const auto [low, high] = *range;
    // Open strings are always allowed: from 0 is from 1.
    if (low >= 0 && high >= 1 && low <= high && high <= highest_fret_asked) return {std::max(low, 1), high};
  }
  refuse(option, text, "not a range of frets; give the lowest and the highest, such as 5-9");
}

FretRange stopped_frets(std::string_view option, std::string_view text) {
  auto range = two_numbers(text, '-');
  if (const auto one = number<int>(text)) range = std::pair(*one, *one);
  if (range) {
    const auto [low, high] = *range;
    if (low == 0 && high == 0) return {0, 0};
    if (low >= 0 && low <= high && high <= highest_fret_asked) return {std::max(low, 1), high};
  }
  refuse(option, text,
         "not a range of frets; give the lowest and the highest, such as 5-9, or one, such as 5");
}

MeasureRange measure_range(std::string_view option, std::string_view text) {
  const std::size_t at = std::min(text.find('-'), text.size());
  const std::string_view first = base::trimmed(text.substr(0, at));
  const std::string_view last = at == text.size() ? first : base::trimmed(text.substr(at + 1));
  if (first.empty() || last.empty()) {
    refuse(option, text, "not a range of measures; give the first and the last, such as 3-4");
  }
  return {std::string(first), std::string(last)};
}

std::vector<int> speeds(std::string_view option, std::string_view text) {
  std::vector<int> result;
  for (const std::string_view one : between_commas(text)) {
    result.push_back(whole_number(option, one, slowest_practice, fastest_practice));
  }
  if (result.empty()) refuse(option, text, "no speed; give percents, such as 50,65,80,100");
  return result;
}

double decimal(std::string_view option, std::string_view text, double lowest, double highest) {
  const auto value = number<double>(text);
  if (!value || !(*value >= lowest) || !(*value <= highest)) {
    std::array<char, 80> problem{};
    std::snprintf(problem.data(), problem.size(), "not a number from %g to %g", lowest, highest);
    refuse(option, text, problem.data());
  }
  return *value;
}

std::vector<std::string> paragraphs(std::string_view option, std::string_view text) {
  std::string from_file;
  if (text.starts_with('@')) text = from_file = read_option_file(option, text.substr(1));
  std::vector<std::string> result(1);
  while (!text.empty()) {
    const std::size_t end = std::min(text.find('\n'), text.size());
    const std::string_view line = base::trimmed(text.substr(0, end));
    text.remove_prefix(std::min(end + 1, text.size()));
    if (line.empty()) {
      if (!result.back().empty()) result.emplace_back();
    } else {
      result.back() += (result.back().empty() ? "" : " ") + std::string(line);
    }
  }
  if (result.back().empty()) result.pop_back();
  return result;
}

std::vector<Role> roles(std::string_view option, std::string_view text) {
  std::vector<Role> found;
  for (const std::string_view name : between_commas(text)) {
    const auto role = parse_role(name);
    if (!role) refuse(option, name, "not what a note can be for; choose " + alternatives(role_words()));
    found.push_back(*role);
  }
  if (found.empty()) refuse(option, text, "no role; give one or several, such as melody,lick");
  return found;
}

std::vector<std::string> role_words() {
  std::vector<std::string> words;
  for (const Role role : {Role::melody, Role::fill, Role::drone, Role::lick, Role::kick_off, Role::backup}) {
    words.emplace_back(to_string(role));
  }
  return words;
}

std::vector<std::string> rule_names(std::string_view option, std::string_view text) {
  const std::vector<std::string> known = choices("--only");
  std::vector<std::string> names;
  for (const std::string_view name : between_commas(text)) {
    if (std::find(known.begin(), known.end(), name) == known.end()) {
      refuse(option, name, "neither a rule nor a family of rules; 'fifthpeg check --rules' lists them");
    }
    names.emplace_back(name);
  }
  return names;
}

std::vector<std::string> choices(std::string_view option) {
  std::vector<std::string> words;
  for (const Word& one : option_words) {
    if (one.option == option) words.emplace_back(one.word);
  }
  if (option == "--style") {
    for (const Style style :
         {Style::roll, Style::melodic, Style::single_string, Style::clawhammer, Style::automatic}) {
      words.emplace_back(slug(style));
    }
  }
  if (option == "--use") {
    for (std::size_t use = 0; use < lick_uses; ++use) words.emplace_back(slug(static_cast<LickUse>(use)));
  }
  if (option == "--technique") {
    for (const std::string_view name : technique_names()) {
      std::string& word = words.emplace_back(name);
      std::replace(word.begin(), word.end(), ' ', '-');
    }
  }
  if (option == "--tuning") {
    for (const NamedTuning& named : named_tunings()) {
      words.emplace_back(named.slug);
      if (!named.other_names.empty()) words.emplace_back(named.other_names.front());
    }
  }
  if (option == "--only" || option == "--skip") {
    for (const Rule& rule : rules()) {
      const std::string family(slug(rule.family));
      if (std::find(words.begin(), words.end(), family) == words.end()) words.push_back(family);
    }
    for (const Rule& rule : rules()) words.emplace_back(rule.slug);
  }
  return words;
}

std::optional<OutputFormat> format_by_extension(std::string_view path) {
  for (const Extension& known : extensions) {
    if (base::ends_with_ignoring_case(path, known.suffix)) return known.format;
  }
  return std::nullopt;
}

std::optional<SheetFormat> sheet_format_by_extension(std::string_view path) {
  constexpr std::array<std::pair<std::string_view, SheetFormat>, 4> suffixes{{{".pdf", SheetFormat::pdf},
                                                                              {".svg", SheetFormat::svg},
                                                                              {".png", SheetFormat::png},
                                                                              {".html", SheetFormat::html}}};
  for (const auto& [suffix, format] : suffixes) {
    if (base::ends_with_ignoring_case(path, suffix)) return format;
  }
  return std::nullopt;
}

std::optional<PracticeFormat> practice_format_by_extension(std::string_view path) {
  constexpr std::array<std::pair<std::string_view, PracticeFormat>, 4> suffixes{
      {{".mid", PracticeFormat::midi},
       {".midi", PracticeFormat::midi},
       {".wav", PracticeFormat::wav},
       {".flac", PracticeFormat::flac}}};
  for (const auto& [suffix, format] : suffixes) {
    if (base::ends_with_ignoring_case(path, suffix)) return format;
  }
  return std::nullopt;
}

std::string_view extension(OutputFormat format) {
  return std::find_if(extensions.begin(), extensions.end(),
                      [&](const Extension& known) { return known.format == format; })
      ->suffix;
}

std::string_view name(OutputFormat format) {
  constexpr std::array<std::string_view, 4> names{"MusicXML", "compressed MusicXML", "MIDI", "text tab"};
  return names.at(static_cast<std::size_t>(format));
}

std::string encoding_date() {
  using namespace std::chrono;
  sys_seconds now = floor<seconds>(system_clock::now());
  if (const char* fixed = std::getenv("SOURCE_DATE_EPOCH"); fixed != nullptr && *fixed != '\0') {
    // The last second of the year 9999: MusicXML dates have four digits for the year.
    constexpr std::int64_t last = 253402300799;
    const auto since_epoch = number<std::int64_t>(fixed);
    if (!since_epoch || *since_epoch < 0 || *since_epoch > last) {
      refuse("SOURCE_DATE_EPOCH", fixed, "not a number of seconds since 1970; set it to one or unset it");
    }
    now = sys_seconds(seconds(*since_epoch));
  }
  const year_month_day date(floor<days>(now));
  char text[32];
  std::snprintf(text, sizeof text, "%04d-%02u-%02u", static_cast<int>(date.year()),
                static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()));
  return text;
}

}  // namespace fifthpeg::cli
