// Texts laid out by Pango. Those who measure and those who draw ask here, so that they get the same glyphs at
// the same places, whatever they draw on.
#pragma once

#include <memory>
#include <pango/pangocairo.h>
#include <string>
#include <string_view>

#include "formats/sheet/drawing.hpp"

namespace fifthpeg::sheet {

// A text as it is laid out and written: one line of UTF-8 without what XML cannot hold.
std::string plain_line(std::string_view text);

struct ObjectUnref {
  void operator()(void* object) const { g_object_unref(object); }
};

class TextLayout {
 public:
  // Pango counts in whole units. A millimeter is many of them, yet a line may be a hundred meters long.
  static constexpr int dots_per_mm = 16;
  static constexpr double units_per_mm = dots_per_mm * PANGO_SCALE;

  TextLayout();

  // A plain_line() that is broken where it is wider than that, at spaces where there are any; 0: nowhere.
  // Good until the next call.
  PangoLayout* lay_out(const std::string& line, TextStyle style, double width = 0);

  // Whether a plain_line() as a whole is written from right to left.
  bool goes_leftwards(const std::string& line, TextStyle style);

 private:
  std::unique_ptr<PangoContext, ObjectUnref> context_;
  std::unique_ptr<PangoLayout, ObjectUnref> layout_;
};

}  // namespace fifthpeg::sheet
