#include "formats/text_tab/reader/tokens.hpp"

#include <algorithm>
#include <string_view>

#include "base/number.hpp"
#include "base/text.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::text_tab::reader {
namespace {

constexpr int most_fret = 24;        // that any neck has
constexpr int usual_choke = 200;     // cents, where its height is not told (common practice: a whole step)
constexpr int highest_choke = 1200;  // cents

bool is_any(char c, std::string_view all) {
  return all.find(c) != std::string_view::npos;
}
bool is_figure(char c) {
  return c >= '0' && c <= '9';
}
bool is_filler(char c) {
  return is_any(c, "-=_ ");
}
bool is_bar(char c) {
  return is_any(c, "|![]");
}
bool is_dot(char c) {
  return is_any(c, ":*oO.");
}

class StringScanner {
 public:
  StringScanner(const Row& row, const TabLine& line, std::size_t index)
      : row_(row), text_(row.columns), index_(index), at_(line.begin) {
    tokens_.begin = line.begin;
    end_ = without_comment();
    tokens_.end = end_;
  }

  StringTokens run() {
    while (at_ < end_) step();
    if (pending_ != Technique::none && has_note_) last().out_of = pending_;
    return std::move(tokens_);
  }

 private:
  [[noreturn]] void refuse(const char* code, const std::string& what, std::size_t column) const {
    throw ReadError(code, what, at(row_, column));
  }
  char now() const { return at_ < end_ ? text_[at_] : '\0'; }
  char after(std::size_t count) const { return at_ + count < end_ ? text_[at_ + count] : '\0'; }
  TabNote& last() { return tokens_.notes.back(); }

  // Where the tab of the line ends: what stands behind its last bar and a blank, or as "x3", is not of it.
  std::size_t without_comment() {
    const auto bar = text_.find_last_of("|!]>");
    if (bar == std::string::npos || bar <= at_) return text_.size();
    const std::size_t behind = text_.find_first_not_of(' ', bar + 1);
    if (behind == std::string::npos) return bar + 1;
    const std::string_view rest = base::trimmed(std::string_view(text_).substr(behind));
    std::string_view figures = rest;
    while (!figures.empty() && is_any(figures.front(), "(xX ")) figures.remove_prefix(1);
    while (!figures.empty() && is_any(figures.back(), ")xX ")) figures.remove_suffix(1);
    const auto times = base::number<unsigned>(figures);
    if (times && rest.size() > figures.size() && rest.find_first_of("xX") != std::string_view::npos &&
        *times >= 2 && *times <= 99) {
      tokens_.times = static_cast<int>(*times);
      return bar + 1;
    }
    const bool comment = behind > bar + 1 && rest.find_first_of("-=0123456789") == std::string_view::npos;
    if (!comment) return text_.size();
    tokens_.has_comment = true;
    return bar + 1;
  }

  void step() {
    const char c = now();
    if (is_filler(c)) {
      ++at_;
    } else if (is_bar(c) || (is_dot(c) && is_bar(after(1)))) {
      take_bar();
    } else if (c == '>' && (at_ + 1 == end_ || at_ == tokens_.begin)) {
      tokens_.bars.push_back({at_, at_ + 1, false, false, false, true});
      ++at_;
    } else if (c == '~') {
      ++at_;
      if (has_note_) last().ring = Ring::let_ring;
    } else if (!take_technique(c)) {
      take_note();
    }
  }

  void take_bar() {
    Bar bar;
    if (is_dot(now())) {
      bar.repeat_ends = true;
      ++at_;
    }
    bar.begin = at_;
    while (is_bar(now())) ++at_;
    bar.end = at_;
    bar.doubled = bar.end - bar.begin > 1;
    if (is_dot(now())) {
      bar.repeat_starts = true;
      ++at_;
      // ":|:|" and the like: one bar.
      while (is_bar(now())) bar.end = ++at_;
    }
    tokens_.bars.push_back(bar);
  }

  // Letters between two frets: those of the legend, in upper case too, and "s" of people who write slides so.
  bool take_technique(char c) {
    switch (c) {
      case 'h':
      case 'H':
        pending_ = Technique::hammer_on;
        break;
      case 'p':
      case 'P':
        pending_ = Technique::pull_off;
        break;
      case 's':
      case 'S':
      case '/':
      case '\\':
        pending_ = Technique::slide;
        break;
      case '^':
        pending_ = Technique::slur;
        break;
      default:
        return false;
    }
    ++at_;
    return true;
  }

  void take_note() {
    TabNote note;
    note.row = index_;
    const std::size_t start = at_;
    if (now() == 'g') {
      note.grace = true;
      ++at_;
      take_technique(now());
    }
    note.in_parentheses = skip('(');
    // "(h2)" and "h(2)" are the same.
    if (note.in_parentheses) take_technique(now());
    note.harmonic = skip('<');
    note.column = at_;
    note.lead = (note.in_parentheses ? 1U : 0U) + (note.harmonic ? 1U : 0U);
    note.line = row_.line;
    note.source = row_.source_column(at_);
    if (is_any(now(), "xX")) {
      note.dead = true;
      ++at_;
    } else if (is_figure(now())) {
      note.fret = take_fret();
    } else {
      refuse_sign(start);
    }
    note.width = at_ - note.column;
    if (note.harmonic && !skip('>'))
      refuse("text-tab-sign", "a chime begins here with '<' and lacks its '>'", start);
    bool closed = !note.in_parentheses || skip(')');
    take_choke(note);
    closed = closed || skip(')');
    if (!closed) refuse("text-tab-sign", "'(' begins here and lacks its ')'", start);
    take_ring(note);
    if (pending_ != Technique::none) {
      note.into = pending_;
      if (has_note_) last().out_of = pending_;
      pending_ = Technique::none;
    }
    has_note_ = true;
    tokens_.notes.push_back(note);
  }

  bool skip(char c) {
    if (now() != c || at_ >= end_) return false;
    ++at_;
    return true;
  }

  int take_fret() {
    const std::size_t start = at_;
    while (is_figure(now())) ++at_;
    const std::string_view figures = std::string_view(text_).substr(start, at_ - start);
    const auto fret = base::number<int>(figures);
    if (figures.size() > 2 || (figures.size() == 2 && figures.front() == '0')) {
      refuse("text-tab-figures",
             "it is not plain which frets '" + std::string(figures.substr(0, 20)) +
                 "' stands for; put a hyphen between two notes",
             start);
    }
    if (!fret || *fret > most_fret) {
      refuse("text-tab-fret",
             "no banjo has a fret " + std::string(figures) + "; put a hyphen between two notes", start);
    }
    return *fret;
  }

  // "b12", "b(12)", "b10.5", "b", with an "r" behind where the string is let down again, "r10".
  void take_choke(TabNote& note) {
    if (!is_any(now(), "bcBC")) return;
    Choke choke;
    choke.before = is_any(now(), "BC");
    const std::size_t start = at_++;
    const bool parenthesis = now() == '(' && is_figure(after(1));
    if (parenthesis) ++at_;
    int cents = usual_choke;
    if (is_figure(now())) {
      cents = take_fret() * 100;
      if (now() == '.' && is_figure(after(1))) {
        ++at_;
        int share = (text_[at_++] - '0') * 10;
        if (is_figure(now())) share += text_[at_++] - '0';
        cents += share;
      }
      cents -= note.fret * 100;
      if (cents <= 0 || cents > highest_choke) {
        refuse("text-tab-choke",
               "a choke raises the string to a higher fret than the one it is held on; write 7b9", start);
      }
    } else {
      note.choke_without_height = true;
    }
    if (parenthesis && !skip(')')) refuse("text-tab-sign", "'(' begins here and lacks its ')'", start + 1);
    if (skip('r')) {
      choke.release = true;
      const std::size_t back = at_;
      if (is_figure(now()) && take_fret() != note.fret) {
        refuse("text-tab-choke", "a choke is let down to the fret that it is held on", back);
      }
    }
    choke.cents = static_cast<std::int16_t>(cents);
    note.choke = choke;
  }

  void take_ring(TabNote& note) {
    if (now() == 'x' && !is_figure(after(1))) {
      note.ring = Ring::damp;
      ++at_;
    }
    while (skip('~')) note.ring = Ring::let_ring;
  }

  [[noreturn]] void refuse_sign(std::size_t column) const {
    const std::string sign = row_.text(at_, at_ + 1);
    if (sign.empty()) refuse("text-tab-sign", "a fret should stand behind this sign", column);
    refuse(
        "text-tab-sign",
        "'" + sign +
            "' is no sign of tab that is known; known are frets, bars and h p s / \\ ^ b c r ~ x ( ) < > g",
        at_);
  }

  const Row& row_;
  const std::string& text_;
  std::size_t index_;
  std::size_t at_;
  std::size_t end_ = 0;
  StringTokens tokens_;
  Technique pending_ = Technique::none;
  bool has_note_ = false;
};

}  // namespace

Place at(const Row& row, std::size_t column) {
  return {{}, {}, {}, row.line, -1, row.source_column(column)};
}

StringTokens read_string(const Row& row, const TabLine& line, std::size_t index) {
  return StringScanner(row, line, index).run();
}

}  // namespace fifthpeg::text_tab::reader
