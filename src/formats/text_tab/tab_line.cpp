#include "formats/text_tab/tab_line.hpp"

#include <algorithm>
#include <array>

#include "base/text.hpp"
#include "base/utf8.hpp"

namespace fifthpeg::text_tab {
namespace {

constexpr std::size_t tab_stop = 8;
constexpr char32_t en_dash = 0x2013;
constexpr char32_t em_dash = 0x2014;

struct LookAlike {
  char32_t code;
  char ascii;
};
// What programs put in the place of a hyphen, a bar and the signs of tab (names of the Unicode Standard).
constexpr std::array<LookAlike, 38> look_alikes{{
    {0x00a0, ' '},  {0x00a6, '|'},  {0x00ad, '-'}, {0x00af, '-'}, {0x2007, ' '},  {0x2009, ' '},
    {0x2010, '-'},  {0x2011, '-'},  {0x2012, '-'}, {0x2013, '-'}, {0x2014, '-'},  {0x2015, '-'},
    {0x2018, '\''}, {0x2019, '\''}, {0x2022, '*'}, {0x2026, '.'}, {0x202f, ' '},  {0x2044, '/'},
    {0x2191, '^'},  {0x2193, 'v'},  {0x2212, '-'}, {0x2215, '/'}, {0x2216, '\\'}, {0x223c, '~'},
    {0x2500, '-'},  {0x2501, '-'},  {0x2502, '|'}, {0x2503, '|'}, {0x2551, '|'},  {0x251c, '|'},
    {0x2524, '|'},  {0x253c, '|'},  {0x266d, 'b'}, {0x266f, '#'}, {0x23af, '-'},  {0x2758, '|'},
    {0x01c0, '|'},  {0x00d7, 'x'},
}};

char folded(char32_t code) {
  if (code < 0x80) return code < 0x20 || code == 0x7f ? ' ' : static_cast<char>(code);
  const auto found = std::find_if(look_alikes.begin(), look_alikes.end(),
                                  [code](const LookAlike& one) { return one.code == code; });
  return found == look_alikes.end() ? Row::other : found->ascii;
}

// Latin-1, with the dashes and quotes of Windows, where a mail has them, in the places of control characters.
char32_t latin_1(char byte) {
  switch (static_cast<unsigned char>(byte)) {
    case 0x85:
      return 0x2026;
    case 0x91:
      return 0x2018;
    case 0x92:
      return 0x2019;
    case 0x96:
      return en_dash;
    case 0x97:
      return em_dash;
    default:
      return static_cast<unsigned char>(byte);
  }
}

bool is_space(char c) {
  return c == ' ';
}
bool is_digit(char c) {
  return c >= '0' && c <= '9';
}
bool is_one_of(char c, std::string_view all) {
  return all.find(c) != std::string_view::npos;
}

// The end of the name of a string at `at`, or `at` where there is none: "d", "F#", "Bb3", "g4", "1".
std::size_t name_end(const std::string& text, std::size_t at) {
  std::size_t end = at;
  if (end < text.size() && text[end] >= '1' && text[end] <= '5') return end + 1;
  const char letter = end < text.size() ? base::upper_case(text[end]) : ' ';
  if (letter < 'A' || letter > 'H') return at;
  ++end;
  while (end < text.size() && end < at + 3 && is_one_of(text[end], "#b")) ++end;
  if (end + 1 < text.size() && is_digit(text[end]) && !is_digit(text[end + 1])) ++end;
  return end;
}

}  // namespace

std::string Row::text(std::size_t from, std::size_t to) const {
  std::string result;
  std::uint32_t last = 0;
  for (std::size_t i = from; i < std::min(to, codes.size()); ++i) {
    if (sources[i] == last) continue;  // a character of several columns
    last = sources[i];
    base::append_utf8(result, codes[i]);
  }
  return base::one_line(base::trimmed(result));
}

Row read_row(std::string_view bytes, std::int64_t line, bool utf8, DashWidths widths) {
  Row row;
  row.line = line;
  std::uint32_t source = 0;
  while (!bytes.empty() && row.columns.size() < most_columns) {
    char32_t code = latin_1(bytes.front());
    std::size_t length = 1;
    if (utf8) {
      const base::Character character = base::first_character(bytes);
      code = character.length == 0 ? 0xFFFD : character.code;
      length = std::max<std::size_t>(1, character.length);
    }
    bytes.remove_prefix(length);
    ++source;
    if (code == 0xFEFF) continue;  // a byte order mark
    std::size_t count = 1;
    if (code == '\t') count = tab_stop - row.columns.size() % tab_stop;
    if (code == en_dash) count = widths.en;
    if (code == em_dash) count = widths.em;
    row.has_dashes = row.has_dashes || code == en_dash || code == em_dash;
    row.columns.append(count, folded(code));
    row.codes.insert(row.codes.end(), count, code == '\t' ? ' ' : code);
    row.sources.insert(row.sources.end(), count, source);
  }
  // Quoted by a mail program.
  std::size_t quotes = 0;
  while (quotes < row.columns.size() && row.columns[quotes] == '>') {
    ++quotes;
    if (quotes < row.columns.size() && row.columns[quotes] == ' ') ++quotes;
  }
  if (quotes > 0) {
    const auto count = static_cast<std::ptrdiff_t>(quotes);
    row.columns.erase(0, quotes);
    row.codes.erase(row.codes.begin(), row.codes.begin() + count);
    row.sources.erase(row.sources.begin(), row.sources.begin() + count);
  }
  while (!row.columns.empty() && row.columns.back() == ' ') row.columns.pop_back();
  row.codes.resize(row.columns.size());
  row.sources.resize(row.columns.size());
  return row;
}

std::optional<TabLine> as_tab_line(const Row& row) {
  const std::string& text = row.columns;
  TabLine line;
  const auto skip_spaces = [&text](std::size_t at) {
    while (at < text.size() && is_space(text[at])) ++at;
    return at;
  };
  const std::size_t start = skip_spaces(0);
  line.begin = start;
  const std::size_t end = name_end(text, start);
  const std::size_t after = skip_spaces(end);
  const bool by_number = end > start && is_digit(text[start]);
  if (end > start && after < text.size() && is_one_of(text[after], by_number ? "|:)]" : "|:)]>!-")) {
    line.label = text.substr(start, end - start);
    line.begin = after;
    // What only parts the name from the line is no bar: "d: --0--", "1) |--0--".
    if (is_one_of(text[after], ":)")) line.begin = skip_spaces(after + 1);
  }
  std::size_t dashes = 0;
  std::size_t known = 0;
  std::size_t all = 0;
  for (std::size_t i = line.begin; i < text.size(); ++i) {
    if (is_space(text[i])) continue;
    ++all;
    if (text[i] == '-' || text[i] == '=' || text[i] == '_') ++dashes;
    if (is_digit(text[i]) || is_one_of(text[i], "-=_|:hps/\\^gbBcrx~.()<>X![]")) ++known;
  }
  if (line.begin >= text.size() || !is_one_of(text[line.begin], "-=_|:!0123456789(<>[]xXhpg*"))
    return std::nullopt;
  if (text[line.begin] == '[' && line.label.empty()) return std::nullopt;  // the bracket over an ending
  // Behind the name of a string and a bar it may be crowded.
  const bool named = !line.label.empty() && is_one_of(text[line.begin], "|:!>");
  if (dashes < (named ? 2U : 3U) || dashes * (named ? 8 : 5) < all * (named ? 1 : 2) || known * 4 < all * 3)
    return std::nullopt;
  return line;
}

std::string_view take_line(std::string_view& text) {
  const std::size_t end = text.find_first_of("\r\n");
  const std::string_view line = text.substr(0, end);
  if (end == std::string_view::npos) {
    text = {};
  } else {
    text.remove_prefix(end + (text.substr(end).starts_with("\r\n") ? 2 : 1));
  }
  return line;
}

bool holds_tab(std::string_view bytes) {
  if (bytes.find('\0') != std::string_view::npos) return false;
  bool last = false;
  std::size_t blank = 0;  // lines since the last one that was not
  while (!bytes.empty()) {
    const std::string_view line = take_line(bytes);
    if (line.size() > most_columns * 4 || base::trimmed(line).empty()) {
      if (++blank > 1) last = false;
      continue;
    }
    blank = 0;
    // Which of the two encodings it is makes no difference to hyphens that are ASCII.
    const bool tab = as_tab_line(read_row(line, 0, base::is_utf8(line))).has_value();
    if (tab && last) return true;
    last = tab;
  }
  return false;
}

}  // namespace fifthpeg::text_tab
