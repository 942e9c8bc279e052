// Pages as PDF and PNG, looked at by programs that read such files.
#include <algorithm>
#include <array>
#include <cairo.h>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <functional>
#include <gtest/gtest.h>
#include <memory>
#include <string>
#include <unistd.h>
#include <vector>

#include "fifthpeg/errors.hpp"
#include "formats/sheet/layout/lay_out.hpp"
#include "formats/sheet/sample.hpp"
#include "formats/sheet/writers.hpp"
#include "property/random_score.hpp"

namespace fifthpeg::sheet {
namespace {

namespace fs = std::filesystem;

std::string pdf(const Drawing& drawing) {
  StringSink sink;
  write_pdf(drawing, sink);
  return sink.str();
}

std::string png(const Page& page, double dots_per_mm) {
  StringSink sink;
  write_png(page, dots_per_mm, sink);
  return sink.str();
}

// What a command prints; fails where the command does.
std::string said(const std::string& command) {
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> pipe(popen((command + " 2>&1").c_str(), "r"),
                                                             [](std::FILE*) { return 0; });
  std::string text;
  std::array<char, 4096> buffer{};
  for (std::size_t read = 0; (read = std::fread(buffer.data(), 1, buffer.size(), pipe.get())) > 0;) {
    text.append(buffer.data(), read);
  }
  EXPECT_EQ(pclose(pipe.get()), 0) << command << "\n" << text;
  return text;
}

class Folder {
 public:
  Folder() : path_(fs::temp_directory_path() / ("fifthpeg-sheet-" + std::to_string(getpid()))) {
    fs::create_directory(path_);
  }
  ~Folder() { fs::remove_all(path_); }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;

  std::string with(const std::string& name, const std::string& bytes) const {
    std::ofstream(path_ / name, std::ios::binary) << bytes;
    return (path_ / name).string();
  }

 private:
  fs::path path_;
};

class FullSink : public Sink {
 public:
  explicit FullSink(std::size_t room) : room_(room) {}
  void write(std::string_view bytes) override {
    EXPECT_FALSE(threw_) << "nothing is written after what has failed";
    threw_ = bytes.size() > room_;
    if (threw_) throw WriteError("the disk is full");
    room_ -= bytes.size();
  }

 private:
  std::size_t room_;
  bool threw_ = false;
};

void expect_full(const std::function<void(Sink&)>& write, std::size_t whole) {
  for (const std::size_t room : {std::size_t{0}, std::size_t{100}, whole / 2, whole - 1}) {
    FullSink sink(room);
    try {
      write(sink);
      ADD_FAILURE() << "written into " << room << " bytes";
    } catch (const WriteError& error) {
      EXPECT_STREQ(error.what(), "the disk is full");
    }
  }
}

TEST(Pdf, TheSameDrawingIsTheSameFile) {
  EXPECT_EQ(pdf(sample_drawing()), pdf(sample_drawing()));
  EXPECT_EQ(pdf(sample_drawing()).find("CreationDate"), std::string::npos);
}

TEST(Pdf, ItIsSoundAndHasItsFontsAndItsTextsInOrder) {
  Drawing drawing = sample_drawing();
  drawing.pages.push_back({.width = 200, .height = 100, .marks = {}});
  const Folder folder;
  const std::string file = folder.with("sample.pdf", pdf(drawing));
  said("qpdf --check " + file);
  const std::string info = said("pdfinfo -l 2 " + file);
  EXPECT_NE(info.find("Sample <1> & more\n"), std::string::npos) << info;
  EXPECT_NE(info.find("Page    1 size:  283.465 x 170.079 pts"), std::string::npos) << info;
  EXPECT_NE(info.find("Page    2 size:  566.929 x 283.465 pts"), std::string::npos) << info;
  const std::string fonts = said("pdffonts " + file);
  EXPECT_NE(fonts.find("+NotoSans-Bold "), std::string::npos) << fonts;
  EXPECT_EQ(fonts.find(" no "), std::string::npos) << fonts;  // embedded, a subset, with a table to Unicode
  const std::string text = said("pdftotext -raw " + file + " -");
  std::size_t at = 0;
  for (const char* words : {"Sample of a sheet", "with one of each", "12", "cr\xC3\xA8me & <br> \"q\"",
                            "Traditional; a sample"}) {
    at = text.find(words, at);
    EXPECT_NE(at, std::string::npos) << words << "\n" << text;
  }
}

TEST(Pdf, WhatTheSinkThrowsComesOut) {
  const Drawing drawing = sample_drawing();
  expect_full([&](Sink& sink) { write_pdf(drawing, sink); }, pdf(drawing).size());
}

TEST(Png, WhatTheSinkThrowsComesOut) {
  const Page page = sample_drawing().pages.at(0);
  expect_full([&](Sink& sink) { write_png(page, 3, sink); }, png(page, 3).size());
}

TEST(Png, APictureThatCannotBeIsRefused) {
  StringSink sink;
  EXPECT_THROW(write_png(sample_drawing().pages.at(0), 1000, sink), WriteError);
  EXPECT_TRUE(sink.str().empty());
}

struct SurfaceDestroy {
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
};

class Picture {
 public:
  explicit Picture(const std::string& file) : surface_(cairo_image_surface_create_from_png(file.c_str())) {
    EXPECT_EQ(cairo_surface_status(surface_.get()), CAIRO_STATUS_SUCCESS) << file;
  }

  int width() const { return cairo_image_surface_get_width(surface_.get()); }
  int height() const { return cairo_image_surface_get_height(surface_.get()); }
  // From none, 0, to 1.
  double ink(int x, int y) const {
    const unsigned char* const row =
        cairo_image_surface_get_data(surface_.get()) + y * cairo_image_surface_get_stride(surface_.get());
    return 1 - row[4 * x + 1] / 255.0;
  }

 private:
  std::unique_ptr<cairo_surface_t, SurfaceDestroy> surface_;
};

constexpr int dots_per_mm = 8;

// How much ink two pictures have apart.
struct Apart {
  double most = 0;   // in a square millimeter, of its 64 dots
  double share = 0;  // of all ink
};

Apart apart(const Picture& ours, const Picture& theirs) {
  EXPECT_NEAR(ours.width(), theirs.width(), 1);
  EXPECT_NEAR(ours.height(), theirs.height(), 1);
  Apart result;
  double ink = 0;
  for (int top = 0; top + dots_per_mm <= std::min(ours.height(), theirs.height()); top += dots_per_mm) {
    for (int left = 0; left + dots_per_mm <= std::min(ours.width(), theirs.width()); left += dots_per_mm) {
      double here = 0;
      for (int y = top; y < top + dots_per_mm; ++y) {
        for (int x = left; x < left + dots_per_mm; ++x) {
          here += std::abs(ours.ink(x, y) - theirs.ink(x, y));
          ink += ours.ink(x, y);
        }
      }
      result.most = std::max(result.most, here);
      result.share += here;
    }
  }
  result.share /= ink;
  return result;
}

// In long texts letters may be part of a dot apart.
constexpr double most_share = 0.02;

// One of each mark, and a score with all that a score can have.
std::vector<Drawing> drawings() {
  testing::RandomScoreOptions random;
  random.nested_tuplets = true;
  SheetOptions options;
  options.notation = options.fingers = options.roles = true;
  Report report;
  return {sample_drawing(), lay_out({testing::RandomScore(6, random).make()}, options, report)};
}

TEST(Png, TheInkIsThatOfTheSvg) {
  const Folder folder;
  for (const Drawing& drawing : drawings()) {
    const Page& page = drawing.pages.at(0);
    StringSink svg;
    write_svg(page, drawing, svg);
    const std::string source = folder.with("sample.svg", svg.str());
    const std::string size = "-w " + std::to_string(std::lround(page.width * dots_per_mm)) + " -h " +
                             std::to_string(std::lround(page.height * dots_per_mm));
    said("rsvg-convert " + size + " -o " + source + ".png " + source);
    const Picture ours(folder.with("sample.png", png(page, dots_per_mm)));
    const Apart found = apart(ours, Picture(source + ".png"));
    EXPECT_LT(found.most, 8);
    EXPECT_LT(found.share, most_share);
  }
}

TEST(Pdf, TheInkIsThatOfTheSvg) {
  const Folder folder;
  for (const Drawing& drawing : drawings()) {
    StringSink svg;
    write_svg(drawing.pages.at(0), drawing, svg);
    const std::string source = folder.with("sample.svg", svg.str());
    said("rsvg-convert -f pdf -o " + source + ".pdf " + source);
    const std::string file = folder.with("sample.pdf", pdf(drawing));
    for (const std::string& each : {file, source + ".pdf"}) {
      said("pdftocairo -png -singlefile -r 203.2 " + each + " " + each);  // 8 dots a millimeter
    }
    // This program moves the letters of a PDF to whole dots.
    EXPECT_LT(apart(Picture(file + ".png"), Picture(source + ".pdf.png")).share, most_share);
  }
}

}  // namespace
}  // namespace fifthpeg::sheet
