#include "formats/sheet/sample.hpp"

#include <string>

#include "formats/sheet/text_face.hpp"

namespace fifthpeg::sheet {

Drawing sample_drawing() {
  TextFace face;
  Drawing drawing{.title = "Sample <1> & more", .description = "One of each.", .language = "en", .pages = {}};
  Page page{.width = 100, .height = 60, .marks = {}};
  const auto add = [&](Kind kind, auto shape, std::optional<StrokeOf> stroke = std::nullopt) {
    page.marks.push_back({.kind = kind, .box = {}, .shape = std::move(shape), .stroke = stroke});
  };
  const auto text = [&](Kind kind, const std::string& words, Point start, TextStyle style = {}) {
    add(kind, Text{words, start, style, face.size_of(words, style).width});
  };
  text(Kind::title, "Sample of a sheet", {10, 9}, {.size = 6, .bold = true});
  text(Kind::subtitle, "with one of each", {10, 15}, {.size = 4, .italic = true});
  for (int line = 0; line < 5; ++line) {
    add(Kind::staff_line, Line{{5, 24 + 2.0 * line}, {95, 24 + 2.0 * line}, 0.18});
  }
  add(Kind::clef, SignAt{MusicSign::g_clef, {6, 30}, 2});
  add(Kind::note_head, SignAt{MusicSign::black_head, {20, 31}, 2}, StrokeOf{0, 0, 0});
  add(Kind::stem, Line{{22.1, 30.8}, {22.1, 24}, 0.25}, StrokeOf{0, 0, 0});
  add(Kind::note_head, SignAt{MusicSign::black_head, {30, 30}, 2}, StrokeOf{0, 0, 1});
  add(Kind::stem, Line{{32.1, 29.8}, {32.1, 23}, 0.25}, StrokeOf{0, 0, 1});
  add(Kind::beam, Polygon{{{22, 24}, {32.2, 23}, {32.2, 24}, {22, 25}}, true}, StrokeOf{0, 0, 1});
  add(Kind::tie, Arc{{21, 33}, {24, 35}, {28, 35}, {31, 33}, 0.4});
  add(Kind::rest, SignAt{MusicSign::quarter_rest, {40, 28}, 2});
  add(Kind::rehearsal, Polygon{{{50, 18}, {55, 18}, {55, 22}, {50, 22}}, false, 0.3});
  add(Kind::repeat_dot, Circle{{60, 27}, 0.5});
  add(Kind::shape, Circle{{66, 28}, 2, false, 0.2});
  add(Kind::melody, RoundBox{{18.5, 42, 25.5, 46}, 2, 0.2}, StrokeOf{0, 0, 1});
  add(Kind::ending, Line{{70, 20}, {94, 20}, 0.2, true});
  text(Kind::fret, "12", {20, 45}, {.size = 3});
  text(Kind::lyric, "cr\xC3\xA8me & <br> \"q\"", {30, 45}, {.size = 4});
  text(Kind::lyric, "\xD7\xA9\xD7\x9C\xD7\x95\xD7\x9D 12", {70, 45}, {.size = 4});  // Hebrew
  text(Kind::rights, "Traditional; a sample", {10, 57}, {.size = 3});
  drawing.pages.push_back(std::move(page));
  return drawing;
}

}  // namespace fifthpeg::sheet
