#include "cli/option_values.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <chrono>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <utility>

#include "base/text.hpp"
#include "cli/messages.hpp"
#include "fifthpeg/check.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/read.hpp"

namespace fifthpeg::cli {
namespace {

[[noreturn]] void refuse(std::string_view option, std::string_view text, const std::string& problem) {
  throw UsageError(std::string(option) + ": '" + printable(text) + "' is " + problem);
}

template <typename Number>
std::optional<Number> number(std::string_view text) {
  Number value{};
  if (text.starts_with('+')) {
    text.remove_prefix(1);
    if (text.starts_with('-')) return std::nullopt;
  }
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc() || end != text.data() + text.size()) return std::nullopt;
  return value;
}

// The words that an option takes, and what they mean.
template <typename Value, std::size_t Size>
using Words = std::array<std::pair<std::string_view, Value>, Size>;

constexpr Words<Refinger, 3> refinger_words{
    {{"missing", Refinger::missing}, {"all", Refinger::all}, {"frets-only", Refinger::frets_only}}};
constexpr Words<NeckPart, 3> neck_words{
    {{"any", NeckPart::any}, {"low", NeckPart::low}, {"high", NeckPart::high}}};
constexpr Words<bool, 2> slur_words{{{"keep", false}, {"suggest", true}}};
constexpr Words<Staves, 3> staff_words{
    {{"both", Staves::both}, {"notation", Staves::notation}, {"tab", Staves::tab}}};
constexpr Words<FifthFrets, 2> fifth_fret_words{
    {{"long-nut", FifthFrets::from_long_nut}, {"own-nut", FifthFrets::from_own_nut}}};
constexpr Words<Severity, 3> severity_words{
    {{"note", Severity::note}, {"warning", Severity::warning}, {"error", Severity::error}}};
constexpr Words<OutputFormat, 4> format_words{{{"musicxml", OutputFormat::musicxml},
                                               {"mxl", OutputFormat::mxl},
                                               {"mid", OutputFormat::midi},
                                               {"txt", OutputFormat::text}}};

template <typename Value, std::size_t Size>
std::vector<std::string> list(const Words<Value, Size>& words) {
  std::vector<std::string> list;
  for (const auto& [word, value] : words) list.emplace_back(word);
  return list;
}

// "both, notation or tab".
std::string alternatives(const std::vector<std::string>& words) {
  std::string text;
  for (const std::string& word : words) {
    text += (text.empty() ? "" : &word == &words.back() ? " or " : ", ") + word;
  }
  return text;
}

// The meaning of a word, or a refusal that lists the words.
template <typename Value, std::size_t Size>
Value one_of(std::string_view option, std::string_view text, const Words<Value, Size>& words) {
  const auto found =
      std::find_if(words.begin(), words.end(), [&](const auto& one) { return one.first == text; });
  if (found == words.end()) refuse(option, text, "not valid; choose " + alternatives(list(words)));
  return found->second;
}

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
  if (!digits.empty()) {
    switch (base::upper_case(digits.back())) {
      case 'K':
        shift = 10;
        break;
      case 'M':
        shift = 20;
        break;
      case 'G':
        shift = 30;
        break;
      default:
        break;
    }
    if (shift != 0) digits.remove_suffix(1);
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
  const std::size_t slash = text.find('/');
  if (slash != std::string_view::npos) {
    const auto above = number<std::int64_t>(text.substr(0, slash));
    const auto below = number<std::int64_t>(text.substr(slash + 1));
    if (above && below && *above == 1 && *below >= 1 && is_grid_step({*above, *below}))
      return {*above, *below};
  }
  refuse(option, text,
         "not a note value; give one from 1/1 to 1/512, such as 1/16, or that of a tuplet of 3, 5, 7 or 9, "
         "such as "
         "1/24 for triplets of sixteenths");
}

Fraction note_length(std::string_view option, std::string_view text) {
  const std::size_t slash = text.find('/');
  const auto above = number<int>(text.substr(0, slash));
  const auto below = slash == std::string_view::npos ? std::optional(1) : number<int>(text.substr(slash + 1));
  constexpr int longest = 1024;
  if (above && below && *above >= 0 && *above <= longest && *below >= 1 && *below <= longest) {
    return {*above, *below};
  }
  refuse(option, text, "not a length; give 0 or a fraction of a whole note, such as 1/8 or 3/16");
}

Tuning tuning(std::string_view option, std::string_view text) {
  if (const auto tuning = parse_tuning(text)) return *tuning;
  std::string known;
  for (const NamedTuning& named : named_tunings()) {
    known += (known.empty() ? "" : ", ") + std::string(named.slug);
    if (!named.other_name.empty()) known += " or " + std::string(named.other_name);
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

Refinger refinger(std::string_view option, std::string_view text) {
  return one_of(option, text, refinger_words);
}

Style style(std::string_view option, std::string_view text) {
  if (const auto style = parse_style(text)) return *style;
  refuse(option, text, "not a style; choose " + alternatives(choices(option)));
}

NeckPart neck(std::string_view option, std::string_view text) {
  return one_of(option, text, neck_words);
}

FretRange fret_range(std::string_view option, std::string_view text) {
  const std::size_t dash = text.find('-');
  if (dash != std::string_view::npos) {
    const auto low = number<int>(text.substr(0, dash));
    const auto high = number<int>(text.substr(dash + 1));
    // Open strings are always allowed: from 0 is from 1.
    if (low && high && *low >= 0 && *high >= 1 && *low <= *high && *high <= 36) {
      return {std::max(*low, 1), *high};
    }
  }
  refuse(option, text, "not a range of frets; give the lowest and the highest, such as 5-9");
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

bool slurs_suggested(std::string_view option, std::string_view text) {
  return one_of(option, text, slur_words);
}

Staves staves(std::string_view option, std::string_view text) {
  return one_of(option, text, staff_words);
}

FifthFrets fifth_frets(std::string_view option, std::string_view text) {
  return one_of(option, text, fifth_fret_words);
}

Severity severity(std::string_view option, std::string_view text) {
  return one_of(option, text, severity_words);
}

std::vector<std::string> rule_names(std::string_view option, std::string_view text) {
  const std::vector<std::string> known = choices("--only");
  std::vector<std::string> names;
  while (!text.empty()) {
    const std::size_t comma = std::min(text.find(','), text.size());
    const std::string name(text.substr(0, comma));
    text.remove_prefix(std::min(comma + 1, text.size()));
    if (name.empty()) continue;
    if (std::find(known.begin(), known.end(), name) == known.end()) {
      refuse(option, name, "neither a rule nor a family of rules; 'fifthpeg check --rules' lists them");
    }
    names.push_back(name);
  }
  return names;
}

OutputFormat output_format(std::string_view option, std::string_view text) {
  return one_of(option, text, format_words);
}

std::vector<std::string> choices(std::string_view option) {
  if (option == "--refinger") return list(refinger_words);
  if (option == "--neck") return list(neck_words);
  if (option == "--slurs") return list(slur_words);
  if (option == "--staves") return list(staff_words);
  if (option == "--fifth-frets") return list(fifth_fret_words);
  if (option == "--min-severity" || option == "--max-severity") return list(severity_words);
  if (option == "--to") return list(format_words);
  if (option == "--transpose") return {"auto"};
  std::vector<std::string> words;
  if (option == "--style") {
    for (const Style style :
         {Style::roll, Style::melodic, Style::single_string, Style::clawhammer, Style::automatic}) {
      words.emplace_back(slug(style));
    }
  }
  if (option == "--tuning") {
    for (const NamedTuning& named : named_tunings()) {
      words.emplace_back(named.slug);
      if (!named.other_name.empty()) words.emplace_back(named.other_name);
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

std::string_view extension(OutputFormat format) {
  return std::find_if(extensions.begin(), extensions.end(),
                      [&](const Extension& known) { return known.format == format; })
      ->suffix;
}

std::string_view name(OutputFormat format) {
  switch (format) {
    case OutputFormat::musicxml:
      return "MusicXML";
    case OutputFormat::mxl:
      return "compressed MusicXML";
    case OutputFormat::midi:
      return "MIDI";
    case OutputFormat::text:
      break;
  }
  return "text tab";
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
