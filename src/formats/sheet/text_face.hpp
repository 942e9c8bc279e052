// How large a text is in the sheet's text face, Noto Sans; what it lacks comes from the other faces of the
// machine. Set by Pango, so that every script and direction is laid out properly.
#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "formats/sheet/drawing.hpp"

namespace fifthpeg::sheet {

struct TextSize {
  double width = 0;  // how far the next text would be
  double left = 0;   // the ink, from the start of the baseline
  double right = 0;
  double ascent = 0;     // the ink above the baseline
  double descent = 0;    // the ink below it
  bool complete = true;  // false: no face of the machine has some of its characters
};

class TextFace {
 public:
  TextFace();
  ~TextFace();
  TextFace(const TextFace&) = delete;
  TextFace& operator=(const TextFace&) = delete;

  // Of one line of UTF-8. Remembered, since the same few frets and fingers come again and again.
  const TextSize& size_of(std::string_view text, TextStyle style);
  // Broken into lines of at most that width, at spaces where there are any.
  std::vector<std::string> wrapped(std::string_view text, TextStyle style, double width);

  // Whether no face of the machine has some character of a text that was measured.
  bool lacks_characters() const { return lacks_characters_; }

 private:
  struct Pango;
  std::unique_ptr<Pango> pango_;
  bool lacks_characters_ = false;
};

}  // namespace fifthpeg::sheet
