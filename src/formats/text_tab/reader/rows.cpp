#include "formats/text_tab/reader/rows.hpp"

#include <algorithm>
#include <array>

#include "base/number.hpp"
#include "base/text.hpp"
#include "fifthpeg/score.hpp"
#include "formats/text_tab/conventions.hpp"

namespace fifthpeg::text_tab::reader {
namespace {

constexpr unsigned most_counted = 64;

bool consists_of(std::string_view text, std::string_view characters) {
  return text.find_first_not_of(characters) == std::string_view::npos;
}

// Items that all consist of some characters; nothing where one does not, or where there is none.
std::optional<std::vector<Item>> items_with(const Row& row, std::string_view characters) {
  std::vector<Item> items = items_of(row, 1);
  const bool all = std::all_of(items.begin(), items.end(),
                               [&](const Item& item) { return consists_of(item.text, characters); });
  return all && !items.empty() ? std::optional(std::move(items)) : std::nullopt;
}

// A label as the writer has it; empty for none.
std::string_view label_called(std::string_view text) {
  struct Called {
    std::string_view name, label;
  };
  constexpr std::array<Called, 12> all{{{"&", "&"},
                                        {"+", "&"},
                                        {"and", "&"},
                                        {"an", "&"},
                                        {"n", "&"},
                                        {"e", "e"},
                                        {"ee", "e"},
                                        {"a", "a"},
                                        {"ah", "a"},
                                        {"uh", "a"},
                                        {".", "."},
                                        {",", ","}}};
  for (const Called& called : all)
    if (base::same_ignoring_case(called.name, text)) return called.label;
  return {};
}

// "1&2&", "1e&a" without blanks, and what may stand between counts.
std::optional<std::vector<Item>> labels_of(const Row& row) {
  std::vector<Item> labels;
  const std::string& text = row.columns;
  for (std::size_t i = 0; i < text.size();) {
    std::size_t end = i + 1;
    const char c = text[i];
    if (c == ' ' || c == '-' || c == '|') {
      ++i;
      continue;
    }
    if (c >= '0' && c <= '9') {
      while (end < text.size() && text[end] >= '0' && text[end] <= '9') ++end;
      const auto number = base::number<unsigned>(std::string_view(text).substr(i, end - i));
      if (!number || *number == 0 || *number > most_counted) return std::nullopt;
      labels.push_back({i, end, std::to_string(*number)});
      i = end;
      continue;
    }
    const auto is_letter = [](char letter) {
      return base::lower_case(letter) >= 'a' && base::lower_case(letter) <= 'z';
    };
    while (is_letter(c) && end < text.size() && is_letter(text[end])) ++end;
    const std::string_view label = label_called(std::string_view(text).substr(i, end - i));
    if (label.empty()) return std::nullopt;
    labels.push_back({i, end, std::string(label)});
    i = end;
  }
  return labels;
}

bool is_number(const std::string& label) {
  return label.front() >= '0' && label.front() <= '9';
}

// A note value of a rhythm line: W H Q E S T as letters, the lower number of its fraction, or the fraction;
// with dots.
std::optional<Fraction> value_called(std::string_view text) {
  int dots = 0;
  while (text.size() > 1 && text.back() == '.' && dots < 2) {
    text.remove_suffix(1);
    ++dots;
  }
  std::int64_t den = 0;
  constexpr std::string_view letters = "whqest";  // whole, half, quarter, eighth, sixteenth, thirty-second
  if (const auto letter =
          text.size() == 1 ? letters.find(base::lower_case(text.front())) : std::string_view::npos;
      letter != std::string_view::npos) {
    den = std::int64_t{1} << letter;
  } else {
    if (text.starts_with("1/")) text.remove_prefix(2);
    den = base::number<unsigned>(text).value_or(0);
  }
  if (den < 1 || den > 64 || (den & (den - 1)) != 0) return std::nullopt;
  Fraction value(1, den);
  if (dots > 0) value *= dots == 1 ? Fraction(3, 2) : Fraction(7, 4);
  return value;
}

}  // namespace

std::optional<std::size_t> index_near(const Columns& columns, std::size_t column) {
  const auto found = std::lower_bound(columns.begin(), columns.end(), column);
  const auto index = static_cast<std::size_t>(found - columns.begin());
  if (found != columns.end() && *found == column) return index;
  if (index > 0 && columns[index - 1] + 1 == column) return index - 1;
  if (found != columns.end() && *found == column + 1) return index;
  return std::nullopt;
}

std::optional<std::vector<Item>> as_count(const Row& row, const std::vector<Span>& spans) {
  auto labels = labels_of(row);
  if (!labels || labels->empty()) return std::nullopt;
  // Counts rise by one until the next barline; fingers and note values do not.
  std::size_t span = 0;
  unsigned last = 0;
  bool number_seen = false;
  bool between_seen = false;
  for (const Item& label : *labels) {
    while (span < spans.size() && spans[span].right <= label.begin) {
      ++span;
      last = 0;
    }
    if (!is_number(label.text)) {
      between_seen = true;
      continue;
    }
    const unsigned number = base::number<unsigned>(label.text).value_or(0);
    if (last != 0 && number != last + 1) return std::nullopt;
    last = number;
    number_seen = true;
  }
  // Letters alone may be a chord or a word, and with a figure, as in "A  E7", chords.
  const bool only_letters =
      !number_seen && std::all_of(labels->begin(), labels->end(),
                                  [](const Item& label) { return label.text == "e" || label.text == "a"; });
  const bool capitals = row.columns.find_first_of("EA") != std::string::npos;
  if (capitals && (only_letters || as_chords(row))) return std::nullopt;
  return number_seen || between_seen ? labels : std::nullopt;
}

std::optional<std::vector<std::pair<std::size_t, Fraction>>> as_values(const Row& row,
                                                                       const Columns& struck) {
  std::vector<std::pair<std::size_t, Fraction>> values;
  std::size_t met = 0;
  for (const Item& item : items_of(row, 1)) {
    if (item.text == "|") continue;
    const auto value = value_called(item.text);
    if (!value) return std::nullopt;
    values.emplace_back(item.begin, *value);
    if (index_near(struck, item.begin)) ++met;
  }
  if (values.empty() || struck.empty()) return std::nullopt;
  if (met == struck.size()) return values;
  // As many as there are notes: in their order, wherever they stand.
  if (values.size() != struck.size()) return std::nullopt;
  for (std::size_t i = 0; i < values.size(); ++i) values[i].first = struck[i];
  return values;
}

std::optional<std::vector<Item>> as_picking(const Row& row) {
  if (auto items = items_with(row, "TIMRLNr*^v.")) return items;
  auto items = items_with(row, "tim");
  if (!items) return std::nullopt;
  for (Item& item : *items) item.text = base::upper_case(item.text);
  return items;
}

std::optional<std::vector<Item>> as_fingers(const Row& row) {
  return items_with(row, "01234T.");
}

std::optional<std::vector<Item>> as_roles(const Row& row) {
  if (!row.columns.starts_with(roles_label)) return std::nullopt;
  Row notes = row;
  notes.columns.front() = ' ';
  return items_with(notes, role_letters);
}

std::optional<std::vector<Item>> as_pitches(const Row& row) {
  auto items = items_of(row, 1);
  for (const Item& item : items) {
    std::string_view rest = item.text;
    while (true) {
      const auto plus = rest.find('+');
      std::string_view one = rest.substr(0, plus);
      if (one.starts_with('g')) one.remove_prefix(1);  // a grace note
      if (one.starts_with('(') && one.ends_with(')')) one = one.substr(1, one.size() - 2);
      if (!parse_pitch(one)) return std::nullopt;
      if (plus == std::string_view::npos) break;
      rest.remove_prefix(plus + 1);
    }
  }
  return items.empty() ? std::nullopt : std::optional(std::move(items));
}

std::optional<std::vector<Item>> as_marks(const Row& row) {
  return items_with(row, ">^._U");
}

std::optional<std::vector<Item>> as_chords(const Row& row) {
  auto items = items_of(row, 1);
  const bool all = std::all_of(items.begin(), items.end(),
                               [](const Item& item) { return parse_chord_symbol(item.text).has_value(); });
  return all && !items.empty() ? std::optional(std::move(items)) : std::nullopt;
}

std::optional<std::vector<Item>> as_numbers(const Row& row, const std::vector<Span>& spans) {
  auto items = items_of(row, 1);
  std::size_t span = 0;
  for (const Item& item : items) {
    while (span < spans.size() && spans[span].bar + 1 < item.begin) ++span;
    const bool over_bar =
        span < spans.size() && item.begin + 1 >= spans[span].bar && item.begin <= spans[span].bar + 1;
    if (!over_bar || item.text.find_first_of("0123456789") == std::string::npos) return std::nullopt;
    if (item.text.find_first_of("[]") != std::string::npos) return std::nullopt;
  }
  return items.empty() ? std::nullopt : std::optional(std::move(items));
}

bool is_bracket(const Row& row) {
  const std::string& text = row.columns;
  if (!consists_of(text, " -_[].,0123456789")) return false;
  if (text.find("--") == std::string::npos && text.find("__") == std::string::npos) return false;
  return text.find_first_of("[].") != std::string::npos || consists_of(text, " -");
}

bool is_shapes(const Row& row) {
  const std::string& text = row.columns;
  // "C (open)", "G (D shape, 7)"
  const std::vector<Item> items = items_of(row, 1);
  if (items.size() > 1 && items[1].text.front() == '(' && parse_chord_symbol(items[0].text)) return true;
  // "bar, 12"
  const auto comma = text.find(", ");
  if (comma == std::string::npos || comma + 2 >= text.size()) return false;
  const char fret = text[comma + 2];
  return fret >= '0' && fret <= '9';
}

std::optional<std::vector<Item>> as_lyrics(const Row& row, const Columns& struck) {
  auto words = items_of(row, 1);
  std::vector<Item> syllables;
  std::size_t met = 0;
  for (Item& word : words) {
    const bool here = std::binary_search(struck.begin(), struck.end(), word.begin);
    if (here) ++met;
    if (here || syllables.empty()) {
      syllables.push_back(std::move(word));
    } else {
      syllables.back().text += " " + word.text;
      syllables.back().end = word.end;
    }
  }
  // Most words of a text that is no song stand beside the notes.
  if (met == 0 || met * 2 < words.size() || row.columns.front() != ' ') return std::nullopt;
  if (!std::binary_search(struck.begin(), struck.end(), syllables.front().begin)) return std::nullopt;
  return syllables;
}

}  // namespace fifthpeg::text_tab::reader
