#include "formats/musicxml/sanitize.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cstdint>
#include <optional>
#include <utility>
#include <vector>

#include "base/occurrences.hpp"
#include "base/utf8.hpp"
#include "formats/musicxml/encoding.hpp"

namespace fifthpeg::musicxml {
namespace {

bool is_forbidden(std::uint32_t code) {  // XML 1.0, production 2
  return (code < 0x20 && code != '\t' && code != '\n' && code != '\r') || (code >= 0xD800 && code < 0xE000) ||
         code == 0xFFFE || code == 0xFFFF || code > 0x10FFFF;
}

// A piece of the text to be taken out, and what takes its place.
struct Edit {
  std::size_t from = 0;
  std::size_t to = 0;
  std::string_view with;  // if empty, a comment that holds the line ends that were there
};

// The end of the document type declaration that begins at `from`: quotes and brackets are stepped over.
// `text.size()` if it never ends.
std::size_t end_of_doctype(std::string_view text, std::size_t from) {
  std::size_t depth = 0;
  for (std::size_t i = from; i < text.size(); ++i) {
    const char c = text[i];
    if (c == '"' || c == '\'') {
      i = text.find(c, i + 1);
      if (i == std::string_view::npos) break;
    } else if (text.compare(i, 4, "<!--") == 0) {
      i = text.find("-->", i + 4);
      if (i == std::string_view::npos) break;
      i += 2;
    } else if (c == '[') {
      ++depth;
    } else if (c == ']' && depth > 0) {
      --depth;
    } else if (c == '>' && depth == 0) {
      return i + 1;
    }
  }
  return text.size();
}

// A document type declaration can only stand before the first element.
std::optional<Edit> find_doctype(std::string_view text) {
  std::size_t i = 0;
  while ((i = text.find('<', i)) != std::string_view::npos) {
    if (text.compare(i, 4, "<!--") == 0) {
      i = text.find("-->", i);
    } else if (text.compare(i, 2, "<?") == 0) {
      i = text.find("?>", i);
    } else if (text.compare(i, 9, "<!DOCTYPE") == 0) {
      return Edit{i, end_of_doctype(text, i), {}};
    } else {
      return std::nullopt;
    }
  }
  return std::nullopt;
}

// Whether a place lies in a comment or a CDATA section, where an ampersand is only that. Asked with rising
// places, so that the text is gone through once.
class Literal {
 public:
  explicit Literal(std::string_view text)
      : text_(text), comments_(text, "<!--"), sections_(text, "<![CDATA[") {}
  bool holds(std::size_t place) {
    while (end_ <= place) {
      const std::size_t comment = comments_.from(end_);
      const std::size_t cdata = sections_.from(end_);
      begin_ = std::min(comment, cdata);
      if (begin_ == std::string_view::npos) {
        end_ = std::string_view::npos;
        break;
      }
      const auto close = text_.find(begin_ == comment ? "-->" : "]]>", begin_);
      end_ = close == std::string_view::npos ? std::string_view::npos : close + 3;
    }
    return begin_ <= place && place < end_;
  }

 private:
  std::string_view text_;
  base::Occurrences comments_;
  base::Occurrences sections_;
  std::size_t begin_ = 0;
  std::size_t end_ = 0;
};

// Some programs and transfers fill the end of a file up with NUL or end-of-file characters.
std::string_view without_padding(std::string_view text) {
  const auto end = text.find_last_of('>');
  const auto is_padding = [](char c) { return is_forbidden(static_cast<unsigned char>(c)); };
  if (end == std::string_view::npos ||
      !std::all_of(text.begin() + static_cast<std::ptrdiff_t>(end) + 1, text.end(), is_padding)) {
    return text;
  }
  return text.substr(0, end + 1);
}

class Scan {
 public:
  Scan(std::string_view text, Report& report)
      : text_(text), report_(report), literal_(text), instruction_ends_(text, "?>") {}

  std::vector<Edit> run() {
    if (const auto doctype = find_doctype(text_)) edits_.push_back(*doctype);
    const std::size_t start = edits_.empty() ? 0 : edits_.front().to;
    for (std::size_t i = start; i < text_.size(); ++i) {
      const auto byte = static_cast<unsigned char>(text_[i]);
      if (!interesting()[byte]) continue;
      if (byte == '&') {
        reference(i);
      } else if (byte == '?') {
        i = after_instruction(i);
      } else if (byte == 0xEF) {  // U+FFFE and U+FFFF are EF BF BE and EF BF BF
        if (text_.compare(i, 2, "\xEF\xBF") == 0 && i + 2 < text_.size() &&
            static_cast<unsigned char>(text_[i + 2]) >= 0xBE) {
          forbidden(i, i + 3);
        }
      } else {
        forbidden(i, i + 1);
      }
    }
    return std::move(edits_);
  }

 private:
  static const std::array<bool, 256>& interesting() {
    static constexpr std::array<bool, 256> table = [] {
      std::array<bool, 256> bytes{};
      for (std::size_t i = 0; i < 0x20; ++i) bytes[i] = i != '\t' && i != '\n' && i != '\r';
      bytes['&'] = true;
      bytes['?'] = true;
      bytes[0xEF] = true;
      return bytes;
    }();
    return table;
  }

  Place place_of(std::size_t offset) {
    line_ += line_of(text_.substr(counted_), offset - counted_) - 1;
    counted_ = offset;
    return at_line(line_);
  }

  // Processing instructions become empty comments: tinyxml2 9.0 takes them for declarations, and those it
  // allows only at the top. The last place of the one whose question mark stands at `mark`, or `mark` if
  // there is none.
  std::size_t after_instruction(std::size_t mark) {
    const bool opens = mark > 0 && text_[mark - 1] == '<';
    if (!opens || mark == 1 || literal_.holds(mark)) return mark;  // at the top it is the declaration of XML
    const std::size_t close = instruction_ends_.from(mark + 1);
    if (close == std::string_view::npos) return mark;
    report_.add(EntryKind::decision, "musicxml-processing-instruction",
                "an instruction to another program is ignored", place_of(mark - 1));
    edits_.push_back({mark - 1, close + 2, {}});
    return close + 1;
  }

  void forbidden(std::size_t from, std::size_t to) {
    report_.add(EntryKind::repair, "musicxml-forbidden-character",
                "a character that XML does not allow became the replacement character", place_of(from));
    edits_.push_back({from, to, base::replacement_character});
  }

  void reference(std::size_t from) {
    constexpr std::size_t longest = 64;
    const std::string_view rest = text_.substr(from + 1, longest);
    const auto length = rest.find(';');
    const std::string_view name = rest.substr(0, length);
    if (name.starts_with('#') && length != std::string_view::npos) {
      if (const auto code = number(name.substr(1)); code && !is_forbidden(*code)) return;
      if (!literal_.holds(from)) forbidden(from, from + length + 2);
      return;
    }
    for (const std::string_view known : {"amp", "lt", "gt", "quot", "apos"}) {
      if (name == known) return;
    }
    if (literal_.holds(from)) return;
    // tinyxml2 9.0 loses the ampersand of a reference it does not know if one that it knows stands before.
    edits_.push_back({from, from + 1, "&amp;"});
    if (length == std::string_view::npos || name.find_first_of(" \t\r\n<>&\"'") != std::string_view::npos) {
      report_.add(EntryKind::repair, "musicxml-bare-ampersand",
                  "an ampersand that begins no entity was read as itself", place_of(from));
    } else {
      report_.add(
          EntryKind::loss, "musicxml-entity",
          "an entity that is not one of XML's five is not expanded: its reference stays as it is written",
          place_of(from));
    }
  }

  static std::optional<std::uint32_t> number(std::string_view digits) {
    const int base = digits.starts_with('x') ? 16 : 10;
    if (base == 16) digits.remove_prefix(1);
    std::uint32_t value = 0;
    const char* const end = digits.data() + digits.size();
    const auto [stopped, error] = std::from_chars(digits.data(), end, value, base);
    if (error != std::errc() || stopped != end) return std::nullopt;
    return value;
  }

  std::string_view text_;
  Report& report_;
  Literal literal_;
  base::Occurrences instruction_ends_;
  std::vector<Edit> edits_;
  std::int64_t line_ = 1;
  std::size_t counted_ = 0;
};

}  // namespace

std::string_view sanitize(std::string_view text, std::string& owned, Report& report) {
  text = without_padding(text);
  const std::vector<Edit> edits = Scan(text, report).run();
  // The usual declaration, without a subset, does no harm and saves the copy.
  const auto is_plain = [text](const Edit& edit) {
    const std::string_view inside = text.substr(edit.from + 1, edit.to - edit.from - 1);
    return edit.with.empty() && inside.starts_with('!') && inside.find_first_of("[<>") == inside.size() - 1;
  };
  const bool harmless = edits.empty() || (edits.size() == 1 && is_plain(edits.front()));
  if (harmless) return text;
  owned.reserve(text.size() + edits.size() * base::replacement_character.size());
  std::size_t done = 0;
  for (const Edit& edit : edits) {
    owned.append(text, done, edit.from - done);
    if (edit.with.empty()) {
      const std::string_view gone = text.substr(edit.from, edit.to - edit.from);
      constexpr std::size_t shortest = 7;
      const auto lines = static_cast<std::size_t>(std::count(gone.begin(), gone.end(), '\n'));
      owned += "<!--";  // not blanks alone, which would be part of the text around them
      owned.append(lines, '\n');
      if (gone.size() > shortest + lines) owned.append(gone.size() - shortest - lines, ' ');
      owned += "-->";
    } else {
      owned += edit.with;
    }
    done = edit.to;
  }
  owned.append(text, done);
  return owned;
}

}  // namespace fifthpeg::musicxml
