// Sheets: scores laid out on pages, to print, to look at and to hand out. Lengths are millimeters.
//
// In a library of its own, fifthpeg::sheet, since it alone needs Pango and Cairo. Texts are set in Noto Sans,
// with the other faces of the machine for what it lacks. The same scores and options give the same bytes
// wherever these are installed.
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "fifthpeg/write.hpp"

namespace fifthpeg {

enum class Paper : std::int8_t { a4, letter };

struct SheetOptions {
  Paper paper = Paper::a4;
  bool landscape = false;
  double size = 1.0;         // of everything but the paper; 1 is readable at arm's length
  int measures_a_line = 0;   // 0: as many as suit
  bool notation = false;     // an ordinary staff over the tab
  bool fingers = false;      // fret-hand fingers
  bool shapes = false;       // the shapes that they hold, by name
  bool chord_grids = false;  // at the first use of each chord
  bool roles = false;        // the melody, licks, kick-offs and backup, where notes say what they are for

  // Of a handout.
  std::string title;                    // over all of it
  std::vector<std::string> paragraphs;  // under the title
  bool phrases = false;                 // each piece whole, then phrase by phrase
  int measures_a_phrase = 0;            // 0: phrases end at rehearsal marks and double bars
  std::vector<std::size_t> kept_whole;  // pieces that `phrases` leaves whole, as indices
};

// Scores on pages, one after the other; several make a handout, where each has its own title and a line that
// says what it does, and none that fits on a page is broken over two.
class Sheet {
 public:
  // Throws UsageError for options that cannot be ("size-out-of-range"), WriteError for scores that cannot be
  // engraved. Takes sound scores, see flaws().
  Sheet(const std::vector<Score>& pieces, const SheetOptions& options);
  ~Sheet();
  Sheet(Sheet&&) noexcept;
  Sheet& operator=(Sheet&&) noexcept;

  std::size_t pages() const;
  // What is not on the pages, or not as it should be.
  const Report& report() const;

  // All pages. Throw WriteError, and whatever the sink throws.
  void write_pdf(Sink& sink) const;
  // One page, counted from 0. Text stays text, and marks say what they are by their class.
  void write_svg(std::size_t page, Sink& sink) const;
  void write_png(std::size_t page, double dots_per_inch, Sink& sink) const;

 private:
  struct Laid;
  std::unique_ptr<Laid> laid_;
};

}  // namespace fifthpeg
