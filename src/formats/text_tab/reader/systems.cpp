#include "formats/text_tab/reader/systems.hpp"

#include <algorithm>
#include <optional>
#include <string>

#include "base/text.hpp"
#include "base/utf8.hpp"
#include "fifthpeg/banjo.hpp"
#include "fifthpeg/errors.hpp"
#include "formats/text_tab/conventions.hpp"

namespace fifthpeg::text_tab::reader {
namespace {

constexpr std::size_t most_lines = 2'000'000;  // that are not blank: what is known of each takes memory
constexpr std::size_t most_over = 24;          // lines that belong to one system
constexpr std::size_t most_under = 40;

enum class LineKind : std::int8_t { text, rule, tab };  // rule: hyphens and nothing else

// Nothing for a line that is blank, or is when a mail program's marks of what it quotes are taken off.
std::optional<LineKind> kind_of(const Line& line, bool utf8) {
  if (line.bytes.find_first_not_of(" \t\xA0\xC2") == std::string_view::npos) return std::nullopt;
  const Row row = read_row(line.bytes, line.number, utf8);
  if (row.columns.empty()) return std::nullopt;
  const auto tab = as_tab_line(row);
  if (!tab) return LineKind::text;
  if (row.columns.size() >= most_columns) {
    throw ReadError("text-tab-line-too-long",
                    "the line of tab is longer than " + std::to_string(most_columns) + " columns; break it",
                    {{}, {}, {}, line.number}, {{}, {}, static_cast<std::int64_t>(most_columns)});
  }
  const bool rule = tab->label.empty() && row.columns.find_first_not_of("-=_ ") == std::string::npos;
  return rule ? LineKind::rule : LineKind::tab;
}

class SystemFinder {
 public:
  explicit SystemFinder(std::string_view bytes) {
    layout_.utf8 = base::is_utf8(bytes);
    std::int64_t number = 0;
    while (!bytes.empty()) {
      const std::string_view line = take_line(bytes);
      ++number;
      const auto kind = kind_of({line, number}, layout_.utf8);
      if (!kind) continue;
      if (layout_.lines.size() == most_lines) {
        throw ReadError("text-tab-too-many-lines",
                        "the text has more than " + std::to_string(most_lines) + " lines; split it",
                        {{}, {}, {}, number}, {{}, {}, static_cast<std::int64_t>(most_lines)});
      }
      layout_.lines.push_back({line, number});
      kinds_.push_back(*kind);
    }
  }

  Layout run() {
    measure_spacing();
    const std::size_t count = kinds_.size();
    for (std::size_t i = 0; i < count;) {
      if (kinds_[i] == LineKind::text) {
        ++i;
        continue;
      }
      std::size_t end = i + 1;
      while (end < count && kinds_[end] != LineKind::text && follows(end)) ++end;
      add_run(i, end);
      i = end;
    }
    add_rows();
    return std::move(layout_);
  }

 private:
  // In a text whose lines a mail program has set apart, with a blank one after each, two lines are neighbors
  // too.
  void measure_spacing() {
    std::size_t close = 0;
    std::size_t apart = 0;
    for (std::size_t i = 1; i < kinds_.size(); ++i) {
      if (kinds_[i] != LineKind::tab || kinds_[i - 1] != LineKind::tab) continue;
      const std::int64_t distance = layout_.lines[i].number - layout_.lines[i - 1].number;
      if (distance == 1) ++close;
      if (distance == 2) ++apart;
    }
    if (apart > close) spacing_ = 2;
  }

  // Whether a line follows the one before it without a gap.
  bool follows(std::size_t index) const {
    return index > 0 && layout_.lines[index].number - layout_.lines[index - 1].number <= spacing_;
  }

  void add_run(std::size_t begin, std::size_t end) {
    // A rule over or under tab, or between texts, is none of its lines.
    const auto rules = static_cast<std::size_t>(
        std::count(kinds_.begin() + static_cast<std::ptrdiff_t>(begin),
                   kinds_.begin() + static_cast<std::ptrdiff_t>(end), LineKind::rule));
    if (rules == end - begin) return;
    while ((end - begin) % string_count != 0 && kinds_[begin] == LineKind::rule) ++begin;
    while ((end - begin) % string_count != 0 && kinds_[end - 1] == LineKind::rule) --end;
    if ((end - begin) % string_count != 0) {
      throw ReadError(
          "text-tab-line-count",
          base::counted(end - begin, "line") +
              " of tab without a gap; the five strings of a banjo are five lines, with an empty one "
              "before the next system",
          {{}, {}, {}, layout_.lines[begin].number});
    }
    for (; begin < end; begin += string_count)
      layout_.systems.push_back({begin, begin, begin + string_count, begin + string_count});
  }

  // Whether a text is what stands under a tab: counts, fingers.
  static bool is_under(std::string_view text) {
    if (text.starts_with(roles_label)) {
      const std::string_view letters = text.substr(1);
      return letters.find_first_not_of(' ') != std::string_view::npos &&
             letters.find_first_not_of(std::string(role_letters) + " ") == std::string_view::npos;
    }
    return text.find_first_not_of(" \t0123456789&+ea.,TIMRLNr*^v") == std::string_view::npos;
  }

  void add_rows() {
    for (std::size_t i = 0; i < layout_.systems.size(); ++i) {
      SystemLines& system = layout_.systems[i];
      const std::size_t next =
          i + 1 < layout_.systems.size() ? layout_.systems[i + 1].strings : layout_.lines.size();
      while (system.end < next && system.end - system.under < most_under && follows(system.end)) ++system.end;
      if (system.end == next && next < layout_.lines.size() && follows(next)) {
        // No empty line before the next system: what is not plainly of this one is of that one.
        std::size_t end = system.under;
        while (end < next && is_under(layout_.lines[end].bytes)) ++end;
        system.end = end;
      }
      const std::size_t free = i == 0 ? 0 : layout_.systems[i - 1].end;
      while (system.over > free && system.strings - system.over < most_over && follows(system.over))
        --system.over;
    }
  }

  Layout layout_;
  std::vector<LineKind> kinds_;
  std::int64_t spacing_ = 1;
};

}  // namespace

Layout find_systems(std::string_view bytes) {
  return SystemFinder(bytes).run();
}

}  // namespace fifthpeg::text_tab::reader
