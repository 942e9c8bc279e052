// A measure as columns of text: one for each counted place and each grace stroke.
#pragma once

#include <array>
#include <cstddef>
#include <string>
#include <utility>
#include <vector>

#include "fifthpeg/hands.hpp"
#include "fifthpeg/report.hpp"
#include "fifthpeg/score.hpp"
#include "formats/text_tab/conventions.hpp"

namespace fifthpeg::text_tab {

struct Column {
  std::array<std::string, string_count> strings;  // string 1 first; shorter ones are filled up with dashes
  int lead = 0;          // columns before the fret numbers begin; what belongs to them stands there
  int width = 0;         // columns that hold text
  int room = 0;          // columns to the next one, at least `width`
  bool on_beat = false;  // the line may be broken before it
  std::string count, marks, picking, fingers, roles;
  // Of any length: they need not fit.
  std::vector<std::string> words, chords;
  std::string shape;
  std::string unplaced;
  std::vector<const Lyric*> lyrics;
};

struct TabStyle {
  bool fingers = false;
  bool roles = false;
  bool everything_rings = false;  // said in the heading and not at each note
  std::vector<HeldShape> shapes;
};

// Makes columns, and remembers what leads from one measure to the next.
class ColumnMaker {
 public:
  ColumnMaker(TabStyle style, Report& report) : style_(std::move(style)), report_(report) {}

  // Columns of the next measure of the score. `at_end` takes words that belong to its right barline.
  std::vector<Column> make(const Measure& measure, bool first, bool last, std::vector<std::string>& at_end);

  const SignsUsed& used() const { return used_; }

 private:
  struct LastNote {
    int fret = -1;
    Technique out_of = Technique::none;
  };

  Column strike(const Stroke& stroke);
  void write_note(const Note& note, const Stroke& stroke, Column& column);
  std::string before_fret(const Note& note, bool grace);
  std::string after_fret(const Note& note);
  void write_picking(const Stroke& stroke, Column& column);
  void write_fingers(const Stroke& stroke, Column& column);
  void write_roles(const Stroke& stroke, Column& column);
  std::string shape_from(const Stroke& stroke);
  bool tells_length(const Measure& measure, bool first);
  void write_marks(const Articulations& articulations, Column& column);
  void write_over(const Measure& measure, bool first, std::vector<Column>& columns,
                  const std::vector<Fraction>& offsets, std::vector<std::string>& at_end);
  std::string use(Sign sign);
  void lose(const char* slug, const char* text, Fraction at);

  TabStyle style_;
  Report& report_;
  SignsUsed used_;
  std::array<LastNote, string_count> last_{};
  const Measure* measure_ = nullptr;
  bool measure_is_last_ = false;
  Fraction pickup_;           // what of its meter passes before the first measure
  std::size_t measures_ = 0;  // made so far
  std::size_t shapes_ = 0;    // passed so far
  Meter meter_;               // of the measure before
  Key key_;
};

}  // namespace fifthpeg::text_tab
