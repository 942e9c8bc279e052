#include "formats/musicxml/measure_splitter.hpp"

#include <algorithm>
#include <optional>

#include "formats/musicxml/encoding.hpp"
#include "formats/musicxml/sanitize.hpp"

namespace fifthpeg::musicxml {
namespace {

constexpr std::size_t most_attributes = 100;  // of one tag: both parsers look each up among the others
constexpr std::size_t most_tags = 2'000'000;  // in one tree, of about 200 bytes for each

std::int64_t lines_in(std::string_view text) {
  return std::count(text.begin(), text.end(), '\n');
}

bool end_at(Tag& tag, std::size_t end, std::size_t length) {
  if (end == std::string_view::npos) return false;
  tag.to = end + length;
  return true;
}

}  // namespace

bool TagScanner::next(std::size_t at, Tag& tag) const {
  tag.from = text_.find('<', at);
  if (tag.from == std::string_view::npos || tag.from + 1 == text_.size()) return false;
  tag.kind = Tag::Kind::other;
  const char c = text_[tag.from + 1];
  if (c == '!') {
    if (text_.compare(tag.from, 4, "<!--") == 0) return end_at(tag, text_.find("-->", tag.from + 4), 3);
    if (text_.compare(tag.from, 9, "<![CDATA[") == 0) return end_at(tag, text_.find("]]>", tag.from + 9), 3);
    return end_at(tag, text_.find('>', tag.from), 1);
  }
  if (c == '?') return end_at(tag, text_.find("?>", tag.from), 2);
  if (c == '/') {
    tag.kind = Tag::Kind::close;
    return end_at(tag, text_.find('>', tag.from), 1);
  }
  std::size_t i = tag.from + 1;
  std::size_t attributes = 0;
  while (true) {  // to the end of the tag, over quoted values
    i = text_.find_first_of("\"'>", i);
    if (i == std::string_view::npos) return false;
    if (text_[i] == '>') break;
    if (++attributes > most_attributes) refuse(tag.from, "a tag has more attributes than any of MusicXML");
    i = text_.find(text_[i], i + 1);
    if (i == std::string_view::npos) return false;
    ++i;
  }
  tag.kind = text_[i - 1] == '/' ? Tag::Kind::empty : Tag::Kind::open;
  tag.to = i + 1;
  return true;
}

std::string_view TagScanner::name(const Tag& tag) const {
  std::string_view inside = text_.substr(tag.from, tag.to - tag.from);
  inside.remove_prefix(tag.kind == Tag::Kind::close ? 2 : 1);
  return inside.substr(0, inside.find_first_of(" \t\r\n/>"));
}

bool TagScanner::is_music(const Tag& tag) const {
  const std::string_view inside = text_.substr(tag.from + 1);
  for (const std::string_view name : {"part", "measure"}) {
    if (inside.starts_with(name) &&
        std::string_view(" \t\r\n/>").find(inside[name.size()]) != std::string_view::npos)
      return true;
  }
  return false;
}

void TagScanner::refuse(std::size_t at, const char* what) const {
  throw ReadError(what, at_line(line_of(text_, at)));
}

Sliced slice(std::string_view text) {
  Sliced result;
  const TagScanner scanner(text);
  Tag tag;
  std::size_t copied = 0;   // of the text, into the skeleton
  std::size_t counted = 0;  // of the text, for lines
  std::int64_t line = 1;
  int depth = 0;                               // of open elements
  bool in_music = false;                       // inside a part or measure of the second level
  std::size_t start = std::string_view::npos;  // of the slice that is open
  std::size_t start_end = 0;
  std::size_t outside = 0;  // tags of the skeleton, and of the slice that is open
  std::size_t inside = 0;
  const auto finish = [&](std::size_t end) {
    line += lines_in(text.substr(counted, start - counted));
    counted = start;
    const std::string_view whole = text.substr(start, end - start);
    result.slices.push_back({whole, line});
    result.skeleton.append(text, copied, start_end - 1 - copied);  // up to the '>' of its first tag
    if (text[start_end - 2] != '/') result.skeleton += '/';
    result.skeleton += '>';
    result.skeleton.append(static_cast<std::size_t>(lines_in(text.substr(start_end, end - start_end))), '\n');
    copied = end;
    start = std::string_view::npos;
    inside = 0;
  };
  for (std::size_t at = 0; scanner.next(at, tag); at = tag.to) {
    if (++(start == std::string_view::npos ? outside : inside) > most_tags) {
      scanner.refuse(tag.from, "a measure has more elements than can be music");
    }
    switch (tag.kind) {
      case Tag::Kind::other:
        break;
      case Tag::Kind::open:
        if (depth == 1) in_music = scanner.is_music(tag);
        if (depth == 2 && in_music && scanner.is_music(tag)) {
          start = tag.from;
          start_end = tag.to;
        }
        ++depth;
        break;
      case Tag::Kind::empty:
        if (depth == 2 && in_music && scanner.is_music(tag)) {
          start = tag.from;
          start_end = tag.to;
          finish(tag.to);
        }
        break;
      case Tag::Kind::close:
        --depth;
        if (depth == 2 && start != std::string_view::npos) finish(tag.to);
        break;
    }
  }
  result.skeleton.append(text, copied);
  return result;
}

void refuse_crowded_tags(std::string_view text) {
  std::string owned;
  Report passed_over;
  const std::string_view markup = sanitize(text, owned, passed_over);  // no quotes of a document type
  const TagScanner scanner(markup);
  Tag tag;
  for (std::size_t at = 0; scanner.next(at, tag); at = tag.to) {
  }
}

std::string whole_measures(std::string_view skeleton) {
  const TagScanner scanner(skeleton);
  std::vector<std::string_view> open;
  std::size_t whole = 0;
  std::string_view outer;  // the element around the last whole measure
  Tag tag;
  for (std::size_t at = 0; scanner.next(at, tag); at = tag.to) {
    if (tag.kind == Tag::Kind::open) open.push_back(scanner.name(tag));
    if (tag.kind == Tag::Kind::close) {
      if (open.empty() || open.back() != scanner.name(tag)) break;
      open.pop_back();
    }
    if (tag.kind == Tag::Kind::empty && open.size() == 2 && scanner.is_music(tag)) {
      whole = tag.to;
      outer = open.back();
    }
  }
  if (whole == 0) return {};
  const std::string_view root = outer == "measure" ? "score-timewise" : "score-partwise";
  std::string text(skeleton.substr(0, whole));
  for (const std::string_view name : {outer, root}) text.append("</").append(name).append(">");
  return text;
}

const Element& SliceParser::parse(const Slice& slice) {
  if (const auto error = xml_.Parse(slice.text.data(), slice.text.size()); error != tinyxml2::XML_SUCCESS) {
    throw broken(error, slice.text, slice.line, xml_.ErrorLineNum());
  }
  return *xml_.RootElement();
}

namespace {

// The first element that is open where another is closed.
struct Unclosed {
  std::string_view element;
  std::string_view closed;
  std::size_t at = 0;
};

std::optional<Unclosed> find_unclosed(std::string_view text) {
  const TagScanner scanner(text);
  std::vector<Tag> open;
  Tag tag;
  for (std::size_t at = 0; scanner.next(at, tag); at = tag.to) {
    if (tag.kind == Tag::Kind::open) open.push_back(tag);
    if (tag.kind != Tag::Kind::close) continue;
    if (open.empty()) return std::nullopt;
    const std::string_view opened = scanner.name(open.back());
    if (opened != scanner.name(tag)) return Unclosed{opened, scanner.name(tag), open.back().from};
    open.pop_back();
  }
  return std::nullopt;
}

std::string what_is_wrong(tinyxml2::XMLError error) {
  switch (error) {
    case tinyxml2::XML_ERROR_EMPTY_DOCUMENT:
      return "there is no XML in the file";
    case tinyxml2::XML_ERROR_MISMATCHED_ELEMENT:
      return "the XML is broken: an element is closed that is not the one open";
    case tinyxml2::XML_ERROR_PARSING_ATTRIBUTE:
      return "the XML is broken inside an attribute";
    case tinyxml2::XML_ERROR_PARSING_ELEMENT:
      return "the XML is broken inside a tag";
    case tinyxml2::XML_ERROR_PARSING_TEXT:
      return "the XML is broken: text that never ends; is the file cut off?";
    case tinyxml2::XML_ERROR_PARSING_CDATA:
      return "the XML is broken: a CDATA section that never ends";
    case tinyxml2::XML_ERROR_PARSING_COMMENT:
      return "the XML is broken: a comment that never ends";
    case tinyxml2::XML_ERROR_PARSING_DECLARATION:
    case tinyxml2::XML_ERROR_PARSING_UNKNOWN:
      return "the XML is broken in a declaration";
    case tinyxml2::XML_ELEMENT_DEPTH_EXCEEDED:
      return "elements are nested more deeply than in any MusicXML";
    default:
      return "the XML is broken or cut off";
  }
}

}  // namespace

ReadError broken(tinyxml2::XMLError error, std::string_view text, std::int64_t line, int error_line) {
  if (error == tinyxml2::XML_ERROR_MISMATCHED_ELEMENT) {
    if (const auto unclosed = find_unclosed(text)) {
      return ReadError("the XML is broken: <" + std::string(unclosed->element) +
                           "> begins here and is not closed before </" + std::string(unclosed->closed) + ">",
                       at_line(line + lines_in(text.substr(0, unclosed->at))));
    }
  }
  return ReadError(what_is_wrong(error), at_line(line + std::max(error_line, 1) - 1));
}

}  // namespace fifthpeg::musicxml
