#include <algorithm>
#include <array>
#include <bitset>
#include <charconv>
#include <concepts>
#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <variant>

#include "base/utf8.hpp"
#include "formats/sheet/strokes.hpp"
#include "formats/sheet/text_layout.hpp"
#include "formats/sheet/writers.hpp"

namespace fifthpeg::sheet {

namespace {

constexpr std::string_view class_of(Kind kind) {
  switch (kind) {
    case Kind::title:
      return "title";
    case Kind::subtitle:
      return "subtitle";
    case Kind::credit:
      return "credit";
    case Kind::rights:
      return "rights";
    case Kind::set_up:
      return "set-up";
    case Kind::about:
      return "about";
    case Kind::page_number:
      return "page-number";
    case Kind::tempo:
      return "tempo";
    case Kind::staff_line:
      return "staff-line";
    case Kind::ledger_line:
      return "ledger-line";
    case Kind::barline:
      return "barline";
    case Kind::repeat_dot:
      return "repeat-dot";
    case Kind::clef:
      return "clef";
    case Kind::meter:
      return "meter";
    case Kind::key_signature:
      return "key-signature";
    case Kind::string_name:
      return "string-name";
    case Kind::fret:
      return "fret";
    case Kind::melody:
      return "melody";
    case Kind::note_head:
      return "note-head";
    case Kind::accidental:
      return "accidental";
    case Kind::stem:
      return "stem";
    case Kind::beam:
      return "beam";
    case Kind::flag:
      return "flag";
    case Kind::dot:
      return "dot";
    case Kind::rest:
      return "rest";
    case Kind::tie:
      return "tie";
    case Kind::tuplet:
      return "tuplet";
    case Kind::slur:
      return "slur";
    case Kind::slide:
      return "slide";
    case Kind::technique:
      return "technique";
    case Kind::choke:
      return "choke";
    case Kind::ring:
      return "ring";
    case Kind::stop:
      return "stop";
    case Kind::brush:
      return "brush";
    case Kind::role:
      return "role";
    case Kind::articulation:
      return "articulation";
    case Kind::picking_finger:
      return "picking-finger";
    case Kind::fret_finger:
      return "fret-finger";
    case Kind::shape:
      return "shape";
    case Kind::chord_symbol:
      return "chord-symbol";
    case Kind::chord_grid:
      return "chord-grid";
    case Kind::ending:
      return "ending";
    case Kind::rehearsal:
      return "rehearsal";
    case Kind::direction:
      return "direction";
    case Kind::measure_number:
      return "measure-number";
    case Kind::lyric:
      return "lyric";
  }
  return {};
}

constexpr auto sign_ids = std::to_array<std::string_view>({"whole-rest",
                                                           "half-rest",
                                                           "quarter-rest",
                                                           "eighth-rest",
                                                           "sixteenth-rest",
                                                           "thirty-second-rest",
                                                           "sixty-fourth-rest",
                                                           "hundred-twenty-eighth-rest",
                                                           "whole-head",
                                                           "half-head",
                                                           "black-head",
                                                           "up-flag",
                                                           "down-flag",
                                                           "sharp",
                                                           "flat",
                                                           "natural",
                                                           "double-sharp",
                                                           "double-flat",
                                                           "g-clef",
                                                           "common-time",
                                                           "cut-time",
                                                           "segno",
                                                           "coda",
                                                           "fermata"});
static_assert(sign_ids.size() == static_cast<std::size_t>(MusicSign::count));

std::string_view id_of(MusicSign sign) {
  return sign_ids[static_cast<std::size_t>(sign)];
}

// The characters of a plain_line() as XML has them.
std::string escaped(std::string_view line) {
  std::string text;
  text.reserve(line.size());
  for (const char letter : line) {
    switch (letter) {
      case '&':
        text += "&amp;";
        break;
      case '<':
        text += "&lt;";
        break;
      case '>':
        text += "&gt;";
        break;
      case '"':
        text += "&quot;";
        break;
      default:
        text += letter;
    }
  }
  return text;
}

std::string xml(std::string_view text) {
  return escaped(plain_line(text));
}

using Signs = std::bitset<sign_ids.size()>;

void add_signs(const Page& page, Signs& signs) {
  for (const Mark& mark : page.marks) {
    if (const auto* sign = std::get_if<SignAt>(&mark.shape)) signs.set(static_cast<std::size_t>(sign->sign));
  }
}

std::string outlines(const Signs& signs) {
  std::string text = "<defs>\n";
  for (std::size_t i = 0; i < signs.size(); ++i) {
    if (!signs[i]) continue;
    text.append("<path id=\"sign-").append(sign_ids[i]).append("\" d=\"");
    text.append(outline_of(static_cast<MusicSign>(i)).path).append("\"/>\n");
  }
  return text + "</defs>\n";
}

class SvgPage {
 public:
  SvgPage(const Page& page, const Drawing& drawing) : page_(page), drawing_(drawing) {}

  std::string file() {
    head();
    signs();
    put("<rect class=\"paper\" width=\"", page_.width, "\" height=\"", page_.height, "\" fill=\"white\"/>\n");
    marks();
    put("</svg>\n");
    return std::move(text_);
  }

  std::string element(std::string_view label) {
    put("<svg viewBox=\"0 0 ", page_.width, " ", page_.height, "\" role=\"img\" aria-label=\"", xml(label),
        "\" xml:space=\"preserve\">\n");
    for (const MeasureAt& one : page_.measures) {
      put("<rect class=\"measure\" data-measure=\"", one.piece, ".", one.measure, "\" x=\"", one.box.left,
          "\" y=\"", one.box.top, "\" width=\"", one.box.width(), "\" height=\"", one.box.height(), "\"/>\n");
    }
    marks();
    put("</svg>\n");
    return std::move(text_);
  }

  void marks() {
    for (auto mark = page_.marks.begin(); mark != page_.marks.end();) {
      const Kind kind = mark->kind;
      put("<g class=\"", class_of(kind), "\">\n");
      for (; mark != page_.marks.end() && mark->kind == kind; ++mark) {
        stroke_ = mark->stroke;
        std::visit(*this, mark->shape);
      }
      put("</g>\n");
    }
  }

  void operator()(const Line& line) {
    open("line");
    put(" x1=\"", line.from.x, "\" y1=\"", line.from.y, "\" x2=\"", line.to.x, "\" y2=\"", line.to.y, "\"");
    if (line.dashed) put(" stroke-dasharray=\"", dash_length, " ", dash_gap, "\"");
    outlined(line.width);
    put("/>\n");
  }

  void operator()(const Arc& arc) {
    const Crescent shape = crescent(arc);
    open("path");
    put(" d=\"M", shape.from, "C", shape.outer1, " ", shape.outer2, " ", shape.to);
    put("C", shape.inner2, " ", shape.inner1, " ", shape.from, "Z\" stroke-linejoin=\"round\"");
    outlined(tip_of_arc);
    put("/>\n");
  }

  void operator()(const Polygon& polygon) {
    open("polygon");
    put(" points=\"");
    std::string_view between;
    for (const Point& point : polygon.points) {
      put(between, point);
      between = " ";
    }
    put("\"");
    filled_or_outlined(polygon.filled, polygon.width);
    put("/>\n");
  }

  void operator()(const Circle& circle) {
    open("circle");
    put(" cx=\"", circle.center.x, "\" cy=\"", circle.center.y, "\" r=\"", circle.radius, "\"");
    filled_or_outlined(circle.filled, circle.width);
    put("/>\n");
  }

  void operator()(const RoundBox& round) {
    open("rect");
    put(" x=\"", round.box.left, "\" y=\"", round.box.top, "\" width=\"", round.box.width(), "\" height=\"",
        round.box.height(), "\" rx=\"", round.radius, "\"");
    filled_or_outlined(false, round.width);
    put("/>\n");
  }

  void operator()(const SignAt& sign) {
    open("use");
    put(" xlink:href=\"#sign-", id_of(sign.sign), "\" transform=\"translate(", sign.origin, ") scale(",
        sign.space, ")\"/>\n");
  }

  void operator()(const Text& text) {
    const std::string line = plain_line(text.text);
    const bool leftwards = layout_.goes_leftwards(line, text.style);  // then it begins at the right
    open("text");
    put(" x=\"", leftwards ? text.start.x + text.width : text.start.x, "\" y=\"", text.start.y,
        "\" font-size=\"", text.style.size, "\"");
    if (text.style.bold) put(" font-weight=\"bold\"");
    if (text.style.italic) put(" font-style=\"italic\"");
    if (leftwards) put(" direction=\"rtl\"");
    // So that it keeps its width in another face.
    if (has_more_than_two_characters(line)) {
      put(" textLength=\"", text.width, "\" lengthAdjust=\"spacingAndGlyphs\"");
    }
    put(">", escaped(line), "</text>\n");
  }

 private:
  static bool has_more_than_two_characters(std::string_view line) {
    return std::ranges::count_if(line, [](char byte) { return !base::is_continuation(byte); }) > 2;
  }

  void put(const auto&... pieces) { (append(pieces), ...); }
  void append(std::string_view piece) { text_ += piece; }
  // At most three decimals, whatever the locale.
  void append(double number) {
    std::array<char, 400> digits;
    char* end = std::to_chars(digits.begin(), digits.end(), number + 0.0, std::chars_format::fixed, 3).ptr;
    while (end[-1] == '0') --end;
    if (end[-1] == '.') --end;
    const std::string_view written(digits.data(), static_cast<std::size_t>(end - digits.data()));
    text_ += written == "-0" ? "0" : written;
  }
  void append(std::integral auto number) {
    std::array<char, 24> digits;
    text_.append(digits.begin(), std::to_chars(digits.begin(), digits.end(), number).ptr);
  }
  void append(const Point& point) { put(point.x, " ", point.y); }

  void head() {
    put("<svg xmlns=\"http://www.w3.org/2000/svg\" xmlns:xlink=\"http://www.w3.org/1999/xlink\" width=\"",
        page_.width, "mm\" height=\"", page_.height, "mm\" viewBox=\"0 0 ", page_.width, " ", page_.height,
        "\"");
    if (!drawing_.language.empty()) {
      const std::string language = xml(drawing_.language);
      put(" lang=\"", language, "\" xml:lang=\"", language, "\"");
    }
    // Of its own, since a page of the web may hold several of these.
    const std::size_t number = page_number();
    put(" role=\"img\" aria-labelledby=\"title-", number, " description-", number, "\" color=\"black\"",
        " fill=\"currentColor\" font-family=\"'Noto Sans', sans-serif\" xml:space=\"preserve\">\n");
    put("<title id=\"title-", number, "\">", xml(drawing_.title));
    if (drawing_.pages.size() > 1) put(", ", number, "/", drawing_.pages.size());
    put("</title>\n<desc id=\"description-", number, "\">", xml(drawing_.description), "</desc>\n");
  }

  std::size_t page_number() const {
    const auto& pages = drawing_.pages;
    const auto at = std::ranges::find(pages, &page_, [](const Page& page) { return &page; });
    return static_cast<std::size_t>(at - pages.begin()) + 1;
  }

  // The outlines of the signs that are used.
  void signs() {
    Signs used;
    add_signs(page_, used);
    if (used.any()) text_ += outlines(used);
  }

  void open(std::string_view element) {
    put("<", element);
    if (!stroke_) return;
    put(" data-stroke=\"", stroke_->piece, ".", stroke_->measure, ".", stroke_->stroke, "\"");
  }

  void outlined(double width) { put(" stroke=\"currentColor\" stroke-width=\"", width, "\""); }
  void filled_or_outlined(bool filled, double width) {
    if (filled) return;
    put(" fill=\"none\"");
    outlined(width);
  }

  const Page& page_;
  const Drawing& drawing_;
  std::string text_;
  std::optional<StrokeOf> stroke_;
  TextLayout layout_;
};

}  // namespace

void write_svg(const Page& page, const Drawing& drawing, Sink& sink) {
  sink.write(SvgPage(page, drawing).file());
}

std::string svg_element(const Page& page, const Drawing& drawing, std::string_view label) {
  return SvgPage(page, drawing).element(label);
}

std::string svg_signs(const std::vector<Drawing>& drawings) {
  Signs used;
  for (const Drawing& drawing : drawings) {
    for (const Page& page : drawing.pages) add_signs(page, used);
  }
  return outlines(used);
}

}  // namespace fifthpeg::sheet
