#include "cli/option_values.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <chrono>
#include <cstdint>
#include <cstdio>
#include <cstdlib>

#include "base/text.hpp"
#include "cli/messages.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/read.hpp"

namespace fifthpeg::cli {
namespace {

[[noreturn]] void refuse(std::string_view option, std::string_view text, const std::string& wanted) {
  throw UsageError(std::string(option) + ": '" + printable(text) + "' is " + wanted);
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

// A word of a list, or a refusal that names the list.
template <typename Value, std::size_t Size>
Value one_of(std::string_view option, std::string_view text,
             const std::array<std::pair<std::string_view, Value>, Size>& words) {
  std::string known;
  for (const auto& [word, value] : words) {
    if (word == text) return value;
    known += (known.empty() ? "" : word == words.back().first ? " or " : ", ") + std::string(word);
  }
  refuse(option, text, "not one of its words; take " + known);
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
    refuse(option, text, "not a size; give bytes, or K, M or G of them, such as 256M");
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
  refuse(
      option, text,
      "not a step of the time grid; give a note value from 1/1 to 1/512, such as 1/16, or that of a tuplet "
      "of 3, 5, 7 or 9, such as 1/24 for triplets of sixteenths");
}

Fraction note_length(std::string_view option, std::string_view text) {
  const std::size_t slash = text.find('/');
  const auto above = number<int>(text.substr(0, slash));
  const auto below = slash == std::string_view::npos ? std::optional(1) : number<int>(text.substr(slash + 1));
  constexpr int longest = 1024;
  if (above && below && *above >= 0 && *above <= longest && *below >= 1 && *below <= longest) {
    return {*above, *below};
  }
  refuse(option, text, "no length; give 0, or a part of a whole note such as 1/8 or 3/16");
}

Tuning tuning(std::string_view option, std::string_view text) {
  if (const auto tuning = parse_tuning(text)) return *tuning;
  std::string known;
  for (const NamedTuning& named : named_tunings()) {
    known += (known.empty() ? "" : ", ") + std::string(named.slug);
    if (!named.other_name.empty()) known += " or " + std::string(named.other_name);
    known += " (" + std::string(named.spelling) + ")";
  }
  refuse(option, text,
         "no tuning; named ones are " + known +
             ", or spell it, fifth string first: gDGBD, or with octaves 'g4 D3 G3 B3 D4'");
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
  constexpr std::array<std::pair<std::string_view, Refinger>, 3> words{
      {{"missing", Refinger::missing}, {"all", Refinger::all}, {"frets-only", Refinger::frets_only}}};
  return one_of(option, text, words);
}

Style style(std::string_view option, std::string_view text) {
  if (const auto style = parse_style(text)) return *style;
  refuse(option, text, "no style; take roll, melodic, single-string, clawhammer or auto");
}

NeckPart neck(std::string_view option, std::string_view text) {
  constexpr std::array<std::pair<std::string_view, NeckPart>, 3> words{
      {{"any", NeckPart::any}, {"low", NeckPart::low}, {"high", NeckPart::high}}};
  return one_of(option, text, words);
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
  refuse(option, text, "no range of frets; give the lowest and the highest, such as 5-9");
}

double decimal(std::string_view option, std::string_view text, double lowest, double highest) {
  const auto value = number<double>(text);
  if (!value || !(*value >= lowest) || !(*value <= highest)) {
    std::array<char, 80> wanted{};
    std::snprintf(wanted.data(), wanted.size(), "not a number from %g to %g", lowest, highest);
    refuse(option, text, wanted.data());
  }
  return *value;
}

bool slurs_suggested(std::string_view option, std::string_view text) {
  constexpr std::array<std::pair<std::string_view, bool>, 2> words{{{"keep", false}, {"suggest", true}}};
  return one_of(option, text, words);
}

Staves staves(std::string_view option, std::string_view text) {
  constexpr std::array<std::pair<std::string_view, Staves>, 3> words{
      {{"both", Staves::both}, {"notation", Staves::notation}, {"tab", Staves::tab}}};
  return one_of(option, text, words);
}

FifthFrets fifth_frets(std::string_view option, std::string_view text) {
  constexpr std::array<std::pair<std::string_view, FifthFrets>, 2> words{
      {{"long-nut", FifthFrets::from_long_nut}, {"own-nut", FifthFrets::from_own_nut}}};
  return one_of(option, text, words);
}

Severity severity(std::string_view option, std::string_view text) {
  constexpr std::array<std::pair<std::string_view, Severity>, 3> words{
      {{"note", Severity::note}, {"warning", Severity::warning}, {"error", Severity::error}}};
  return one_of(option, text, words);
}

OutputFormat output_format(std::string_view option, std::string_view text) {
  constexpr std::array<std::pair<std::string_view, OutputFormat>, 4> words{
      {{"musicxml", OutputFormat::musicxml},
       {"mxl", OutputFormat::mxl},
       {"mid", OutputFormat::midi},
       {"txt", OutputFormat::text}}};
  return one_of(option, text, words);
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
