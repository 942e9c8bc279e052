// A page put together: tab at two widths, controls, music, style and program.
#include "fifthpeg/page.hpp"

#include <array>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <utility>

#include "base/text.hpp"
#include "fifthpeg/edit.hpp"
#include "formats/page/page_files.hpp"
#include "formats/page/playing.hpp"
#include "formats/sheet/layout/lay_out.hpp"
#include "formats/sheet/layout/pages.hpp"
#include "formats/sheet/layout/phrases.hpp"
#include "formats/sheet/writers.hpp"

namespace fifthpeg {
namespace {

using page::page_file;
using sheet::Drawing;

// Millimeters. A phone held upright is some 65 mm wide, and nearer to the eye than a music stand: its tab is
// drawn for 96 and shown at two thirds of that.
constexpr double phone_width = 96;

// Is a part of the program, and handed to the audio thread by it.
constexpr std::string_view instrument_file = "plucked_string.js";
// In the order in which they need each other.
constexpr std::array<std::string_view, 8> program_files{
    instrument_file, "music.js", "sound.js", "transport.js", "words.js", "tab.js", "neck.js", "player.js"};

std::string html(std::string_view text) {
  std::string escaped;
  const std::string line = base::one_line(text);
  for (const char letter : line) {
    switch (letter) {
      case '&':
        escaped += "&amp;";
        break;
      case '<':
        escaped += "&lt;";
        break;
      case '>':
        escaped += "&gt;";
        break;
      case '"':
        escaped += "&quot;";
        break;
      default:
        escaped += letter;
    }
  }
  return escaped;
}

// Base 64 of bytes that are given in hexadecimal, as a content security policy has it.
std::string source_of(const page::PageFile& file) {
  constexpr std::string_view letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  constexpr std::string_view hexadecimal = "0123456789abcdef";
  std::string text = " 'sha256-";
  unsigned bits = 0;
  unsigned count = 0;
  for (const char digit : file.sha256) {
    bits = bits << 4U | static_cast<unsigned>(hexadecimal.find(digit));
    for (count += 4; count >= 6; count -= 6) text += letters[bits >> (count - 6) & 63U];
  }
  // 256 bits are 42 letters and four bits more.
  text += letters[bits << (6 - count) & 63U];
  return text + "='";
}

std::string policy() {
  std::string text = "default-src 'none'; img-src data:; style-src" + source_of(page_file("page.css"));
  // What the program itself fetches is allowed, never what stands in the page: the program of the audio
  // thread.
  text += "; script-src 'strict-dynamic'";
  for (const std::string_view name : program_files) text += source_of(page_file(name));
  return text + "; base-uri 'none'; form-action 'none'";
}

std::string title_of(const std::vector<Score>& pieces, std::size_t i) {
  std::string title = base::one_line(pieces[i].work.title);
  if (!title.empty()) return title;
  return pieces.size() == 1 ? "Banjo tab" : "Piece " + std::to_string(i + 1);
}

// The texts of a page of a drawing, read one after the other.
std::string texts_of(const sheet::Page& page) {
  std::string text;
  for (const sheet::Mark& mark : page.marks) {
    const auto* words = std::get_if<sheet::Text>(&mark.shape);
    if (words == nullptr) continue;
    if (!text.empty()) text += ", ";
    text += words->text;
  }
  return text;
}

std::string label_of(const sheet::Page& page, const Score* score) {
  if (score == nullptr || page.measures.empty()) return texts_of(page);
  const std::string& first = score->measures[page.measures.front().measure].number;
  const std::string& last = score->measures[page.measures.back().measure].number;
  return first == last ? "Tab, measure " + first : "Tab, measures " + first + " to " + last;
}

// Each piece, and then its phrases as pieces of their own, so that they can be played by themselves.
std::vector<Score> with_phrases(const std::vector<Score>& pieces, const SheetOptions& options) {
  std::vector<Score> all;
  for (std::size_t i = 0; i < pieces.size(); ++i) {
    all.push_back(pieces[i]);
    const std::string title = title_of(pieces, i);
    for (const sheet::Phrase& phrase : sheet::phrases_asked_for(pieces, i, options)) {
      Score part = slice(pieces[i], phrase.first, phrase.end - phrase.first);
      part.work = {};
      part.work.title = title;
      part.work.title.append(", ").append(phrase.name);
      all.push_back(std::move(part));
    }
  }
  return all;
}

class Document {
 public:
  Document(const std::vector<Score>& pieces, SheetOptions options)
      : pieces_(pieces), options_(std::move(options)) {
    options_.phrases = false;  // they are pieces here
    const double paper_width = sheet::page_size(options_).text_width();
    // Both lay out the same: what one of them reports, the other does.
    Report again;
    layouts_[0] = {"desk", sheet::lay_out_strips(pieces_, options_, paper_width, report_)};
    SheetOptions narrow = options_;
    narrow.measures_a_line = 0;
    layouts_[1] = {"phone", sheet::lay_out_strips(pieces_, narrow, phone_width, again)};
  }

  std::string make() {
    const std::string music = page::playing_json(pieces_, report_);
    head();
    put("<body class=\"", options_.paper == Paper::letter ? "letter" : "a4",
        options_.landscape ? "-landscape" : "", "\">\n");
    put("<svg class=\"signs\" width=\"0\" height=\"0\" aria-hidden=\"true\">", signs(), "</svg>\n");
    put("<main>\n");
    titles();
    for (std::size_t i = 0; i < pieces_.size(); ++i) piece(i);
    drawings(pieces_.size(), "legend", nullptr);
    put("</main>\n", page_file("controls.html").text);
    put("<script type=\"application/json\" id=\"music\">", music, "</script>\n");
    for (const std::string_view name : program_files) {
      put(name == instrument_file ? "<script id=\"instrument\">" : "<script>", page_file(name).text,
          "</script>\n");
    }
    put("</body>\n</html>\n");
    return std::move(text_);
  }

  Report& report() { return report_; }

 private:
  struct Layout {
    std::string_view name;
    std::vector<Drawing> drawings;
  };

  void put(const auto&... texts) { (text_.append(texts), ...); }

  std::string title() const {
    if (!options_.title.empty()) return options_.title;
    return pieces_.empty() ? "Banjo tab" : title_of(pieces_, 0);
  }

  void head() {
    put("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n");
    put("<meta http-equiv=\"Content-Security-Policy\" content=\"", policy(), "\">\n");
    put("<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n");
    put("<meta name=\"color-scheme\" content=\"light dark\">\n<link rel=\"icon\" href=\"data:,\">\n");
    put("<title>", html(title()), "</title>\n<style>", page_file("page.css").text, "</style>\n</head>\n");
  }

  std::string signs() const {
    std::vector<Drawing> all;
    for (const Layout& layout : layouts_)
      all.insert(all.end(), layout.drawings.begin(), layout.drawings.end());
    return sheet::svg_signs(all);
  }

  void titles() {
    // A single piece has its title drawn over it.
    put("<h1 dir=\"auto\"", options_.title.empty() ? " class=\"unseen\">" : ">", html(title()), "</h1>\n");
    for (const std::string& paragraph : options_.paragraphs)
      put("<p dir=\"auto\">", html(paragraph), "</p>\n");
    if (pieces_.size() < 2) return;
    put("<nav aria-label=\"Pieces\"><ol>\n");
    for (std::size_t i = 0; i < pieces_.size(); ++i) {
      put("<li><a dir=\"auto\" href=\"#piece-", std::to_string(i + 1), "\">", html(title_of(pieces_, i)),
          "</a></li>\n");
    }
    put("</ol></nav>\n");
  }

  void piece(std::size_t i) {
    const std::string number = std::to_string(i + 1);
    put("<section class=\"piece\" id=\"piece-", number, "\" aria-labelledby=\"name-", number, "\">\n");
    put("<h2 dir=\"auto\" class=\"unseen\" id=\"name-", number, "\">", html(title_of(pieces_, i)), "</h2>\n");
    drawings(i, "tab", &pieces_[i]);
    if (!pieces_[i].work.rights.empty())
      put("<p dir=\"auto\" class=\"rights\">", html(pieces_[i].work.rights), "</p>\n");
    put("</section>\n");
  }

  void drawings(std::size_t i, std::string_view kind, const Score* score) {
    for (const Layout& layout : layouts_) {
      const Drawing& drawing = layout.drawings[i];
      if (drawing.pages.empty()) continue;
      put("<div class=\"", kind, " ", layout.name, "\">\n");
      for (const sheet::Page& page : drawing.pages) {
        if (!page.marks.empty()) text_ += sheet::svg_element(page, drawing, label_of(page, score));
      }
      put("</div>\n");
    }
  }

  const std::vector<Score>& pieces_;
  SheetOptions options_;
  Report report_;
  std::array<Layout, 2> layouts_;
  std::string text_;
};

}  // namespace

Report write_page(const std::vector<Score>& pieces, const SheetOptions& options, Sink& sink) {
  const std::vector<Score> shown = with_phrases(pieces, options);
  Document document(shown, options);
  sink.write(document.make());
  return document.report();
}

}  // namespace fifthpeg
