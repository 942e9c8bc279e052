// A page as SVG.
#include <functional>
#include <gtest/gtest.h>
#include <string>
#include <tinyxml2.h>
#include <vector>

#include "base/utf8.hpp"
#include "formats/sheet/sample.hpp"
#include "formats/sheet/writers.hpp"

namespace fifthpeg::sheet {
namespace {

std::string svg(const Drawing& drawing, std::size_t page = 0) {
  StringSink sink;
  write_svg(drawing.pages.at(page), drawing, sink);
  return sink.str();
}

Drawing of_marks(std::vector<Mark> marks) {
  Drawing drawing;
  drawing.pages.push_back({.marks = std::move(marks)});
  return drawing;
}

Drawing of_text(const std::string& words, double width = 20) {
  return of_marks(
      {{.kind = Kind::lyric, .box = {}, .shape = Text{words, {30, 40}, {}, width}, .stroke = {}}});
}

class Svg {
 public:
  explicit Svg(const std::string& text) {
    EXPECT_EQ(document_.Parse(text.data(), text.size()), tinyxml2::XML_SUCCESS) << document_.ErrorStr();
    walk(document_.RootElement());
  }

  const tinyxml2::XMLElement& root() const { return *document_.RootElement(); }
  std::vector<const tinyxml2::XMLElement*> all(const std::string& name) const {
    std::vector<const tinyxml2::XMLElement*> found;
    for (const auto* element : elements_) {
      if (element->Name() == name) found.push_back(element);
    }
    return found;
  }
  std::string text_of(const std::string& name) const { return all(name).at(0)->GetText(); }

 private:
  void walk(const tinyxml2::XMLElement* element) {
    for (; element != nullptr; element = element->NextSiblingElement()) {
      elements_.push_back(element);
      walk(element->FirstChildElement());
    }
  }

  tinyxml2::XMLDocument document_;
  std::vector<const tinyxml2::XMLElement*> elements_;
};

std::string attribute(const tinyxml2::XMLElement& element, const char* name) {
  const char* const value = element.Attribute(name);
  return value == nullptr ? "none" : value;
}

TEST(Svg, APageIsAPictureThatCanBeReadOut) {
  const Svg page(svg(sample_drawing()));
  EXPECT_EQ(attribute(page.root(), "width"), "100mm");
  EXPECT_EQ(attribute(page.root(), "height"), "60mm");
  EXPECT_EQ(attribute(page.root(), "viewBox"), "0 0 100 60");
  EXPECT_EQ(attribute(page.root(), "role"), "img");
  EXPECT_EQ(attribute(page.root(), "lang"), "en");
  EXPECT_EQ(attribute(page.root(), "aria-labelledby"),
            attribute(*page.all("title").at(0), "id") + " " + attribute(*page.all("desc").at(0), "id"));
  EXPECT_EQ(page.text_of("title"), "Sample <1> & more");
  EXPECT_EQ(page.text_of("desc"), "One of each.");
  EXPECT_EQ(page.text_of("text"), "Sample of a sheet");
  EXPECT_EQ(attribute(Svg(svg(of_marks({}))).root(), "lang"), "none");
}

TEST(Svg, TheSameDrawingIsTheSameFile) {
  EXPECT_EQ(svg(sample_drawing()), svg(sample_drawing()));
}

TEST(Svg, PagesHaveTitlesAndIdsOfTheirOwn) {
  Drawing drawing{.title = "Two", .description = {}, .language = {}, .pages = std::vector<Page>(2)};
  const Svg second(svg(drawing, 1));
  EXPECT_EQ(second.text_of("title"), "Two, 2/2");
  EXPECT_NE(attribute(second.root(), "aria-labelledby"),
            attribute(Svg(svg(drawing, 0)).root(), "aria-labelledby"));
}

TEST(Svg, MarksOfAKindAreAGroupOfThatClass) {
  const Svg page(svg(sample_drawing()));
  std::string classes;
  for (const auto* group : page.all("g")) classes += attribute(*group, "class") + " ";
  EXPECT_EQ(classes,
            "title subtitle staff-line clef note-head stem note-head stem beam tie rest rehearsal repeat-dot "
            "shape melody ending fret lyric rights ");
  EXPECT_EQ(attribute(*page.all("rect").at(0), "class"), "paper");
}

TEST(Svg, MarksOfAStrokeNameIt) {
  const StrokeOf stroke{2, 17, 3};
  const Drawing drawing = of_marks({
      {.kind = Kind::fret, .box = {}, .shape = Text{"0", {1, 2}, {}, 2}, .stroke = stroke},
      {.kind = Kind::stem, .box = {}, .shape = Line{}, .stroke = stroke},
      {.kind = Kind::tie, .box = {}, .shape = Arc{}, .stroke = stroke},
      {.kind = Kind::beam, .box = {}, .shape = Polygon{}, .stroke = stroke},
      {.kind = Kind::dot, .box = {}, .shape = Circle{}, .stroke = stroke},
      {.kind = Kind::melody, .box = {}, .shape = RoundBox{}, .stroke = stroke},
      {.kind = Kind::note_head, .box = {}, .shape = SignAt{MusicSign::half_head, {}}, .stroke = stroke},
      {.kind = Kind::barline, .box = {}, .shape = Line{}, .stroke = {}},
  });
  const Svg page(svg(drawing));
  for (const char* name : {"text", "polygon", "circle", "use"}) {
    EXPECT_EQ(attribute(*page.all(name).at(0), "data-stroke"), "2.17.3") << name;
  }
  EXPECT_EQ(attribute(*page.all("rect").at(1), "data-stroke"), "2.17.3");  // after the paper
  EXPECT_EQ(attribute(*page.all("line").at(0), "data-stroke"), "2.17.3");
  EXPECT_EQ(attribute(*page.all("line").at(1), "data-stroke"), "none");
  EXPECT_EQ(attribute(*page.all("path").at(1), "data-stroke"), "2.17.3");  // after the outline of the head
}

TEST(Svg, AnOutlineHasRoundCornersAndIsEmpty) {
  const Svg page(svg(of_marks(
      {{.kind = Kind::melody, .box = {}, .shape = RoundBox{{10, 20, 16, 23}, 1.5, 0.2}, .stroke = {}}})));
  const tinyxml2::XMLElement& rect = *page.all("rect").at(1);
  for (const auto& [name, value] : {std::pair{"x", "10"},
                                    {"y", "20"},
                                    {"width", "6"},
                                    {"height", "3"},
                                    {"rx", "1.5"},
                                    {"fill", "none"},
                                    {"stroke", "currentColor"},
                                    {"stroke-width", "0.2"}}) {
    EXPECT_EQ(attribute(rect, name), value) << name;
  }
}

TEST(Svg, SignsThatAreUsedAreDefinedOnce) {
  const Svg page(svg(sample_drawing()));
  std::string defined;
  for (const auto* path : page.all("path")) {
    if (path->Attribute("id") != nullptr) defined += attribute(*path, "id") + " ";
  }
  EXPECT_EQ(defined, "sign-quarter-rest sign-black-head sign-g-clef ");
  EXPECT_EQ(page.all("use").size(), 4U);
  EXPECT_EQ(attribute(*page.all("use").at(1), "xlink:href"), "#sign-black-head");
  EXPECT_TRUE(Svg(svg(of_text("none"))).all("defs").empty());
}

TEST(Svg, InkHasTheColorOfTheRoot) {
  const std::string text = svg(sample_drawing());
  const Svg page(text);
  EXPECT_EQ(attribute(page.root(), "color"), "black");
  EXPECT_EQ(attribute(page.root(), "fill"), "currentColor");
  EXPECT_EQ(text.find("black", text.find("<g")), text.find("black-head", text.find("<g")));
}

TEST(Svg, NoTextBreaksTheFile) {
  std::vector<std::string> texts{"<&>\"'",       "]]>",          "a  b ",       "\xFF\xFE",
                                 "\xED\xA0\x80", "\xEF\xBF\xBE", "\xEF\xBF\xBF"};
  for (char32_t code = 0; code < 0xA0; ++code) base::append_utf8(texts.emplace_back("a"), code);
  for (const std::string& text : texts) {
    Drawing drawing = of_text(text);
    drawing.title = drawing.description = drawing.language = text;
    const std::string written = svg(drawing);
    Svg page(written);
    EXPECT_TRUE(base::is_utf8(written));
    EXPECT_EQ(written.find("\xEF\xBF\xBE"), std::string::npos);
    EXPECT_EQ(written.find("\xEF\xBF\xBF"), std::string::npos);
    for (const char byte : written) {
      EXPECT_TRUE(static_cast<unsigned char>(byte) >= 0x20 || byte == '\n') << static_cast<int>(byte);
    }
    EXPECT_EQ(page.text_of("text"), page.text_of("desc"));
    EXPECT_EQ(page.text_of("text"), attribute(page.root(), "lang"));
  }
  EXPECT_EQ(Svg(svg(of_text("<&>\"'"))).text_of("text"), "<&>\"'");
}

TEST(Svg, NumbersAreShortAndPlain) {
  const auto across = [](double x) {
    const Svg page(svg(of_marks(
        {{.kind = Kind::barline, .box = {}, .shape = Line{{x, 1}, {x, 2}, 0.2}, .stroke = std::nullopt}})));
    return attribute(*page.all("line").at(0), "x1");
  };
  EXPECT_EQ(across(12), "12");
  EXPECT_EQ(across(120), "120");
  EXPECT_EQ(across(1.5), "1.5");
  EXPECT_EQ(across(1.23456), "1.235");
  EXPECT_EQ(across(-0.0004), "0");
  EXPECT_EQ(across(-0.0), "0");
  EXPECT_EQ(across(1e-9), "0");
  EXPECT_EQ(across(1e9), "1000000000");
}

TEST(Svg, ALongerTextKeepsItsWidth) {
  const auto width = [](const std::string& words) {
    return attribute(*Svg(svg(of_text(words))).all("text").at(0), "textLength");
  };
  EXPECT_EQ(width("12"), "none");
  EXPECT_EQ(width("123"), "20");
  EXPECT_EQ(width("\xC3\xA4\xC3\xA4"), "none");  // two characters of two bytes
}

TEST(Svg, WhatIsWrittenFromRightToLeftEndsWhereItWouldBegin) {
  const Svg hebrew(svg(of_text("\xD7\xA9\xD7\x9C\xD7\x95\xD7\x9D 12")));
  EXPECT_EQ(attribute(*hebrew.all("text").at(0), "direction"), "rtl");
  EXPECT_EQ(attribute(*hebrew.all("text").at(0), "x"), "50");
  for (const char* words : {"12", "Gr\xC3\xBC\xC3\x9F", "a \xD7\xA9"}) {
    const Svg page(svg(of_text(words)));
    EXPECT_EQ(attribute(*page.all("text").at(0), "direction"), "none");
    EXPECT_EQ(attribute(*page.all("text").at(0), "x"), "30");
  }
}

}  // namespace
}  // namespace fifthpeg::sheet
