// A measure as columns: one for each printed note, chord or rest and for each chord symbol between them, with
// the room that each takes in the rows over and under the strings, and the springs between them.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "engraving/engraving.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/score.hpp"
#include "fifthpeg/sheet.hpp"
#include "formats/sheet/layout/chord_grid.hpp"
#include "formats/sheet/layout/sizes.hpp"
#include "formats/sheet/layout/springs.hpp"
#include "formats/sheet/text_face.hpp"

namespace fifthpeg::sheet {

// Where nothing may run into its neighbor.
enum class Row : std::uint8_t { staff, picking, fingers, lyrics, chords, count };

// How far something reaches from the middle of its column; nothing is there where both are 0.
struct Reach {
  double left = 0;
  double right = 0;
};

// A note head on the notation staff.
struct Head {
  int position = 0;         // in half staff gaps above the lowest line
  std::optional<int> sign;  // the alteration that an accidental before it states
  double sign_left = 0;     // where it begins, from the middle of the column
  int shifted = 0;          // by so many heads to the right, beside a neighbor a second away
};

// A chord symbol, over its grid where it has one.
struct ColumnChord {
  std::string text;
  std::optional<ChordGrid> grid;
  double text_left = 0;  // from where both begin
  double width = 0;      // of both
};

struct Column {
  Fraction at;                       // from the start of the measure
  const Stroke* stroke = nullptr;    // nothing where only a chord symbol stands
  std::optional<std::size_t> piece;  // index in the measure's engraving
  bool grace = false;
  std::array<Reach, static_cast<std::size_t>(Row::count)> reach{};
  std::vector<Head> heads;                    // in the order of the notes; empty without a notation staff
  std::vector<std::string> picking, fingers;  // a line each, the highest string's first
  std::vector<ColumnChord> chords;
  std::string shape;
  Spring after;            // to the next column, or to the barline
  double line_lead = 0;    // from the left end to its middle, where it opens a line in mid-measure
  bool parts_beat = true;  // a line had better not end before it

  Reach& in(Row row) { return reach.at(static_cast<std::size_t>(row)); }
  const Reach& in(Row row) const { return reach.at(static_cast<std::size_t>(row)); }
};

struct MeasureColumns {
  const Measure* measure = nullptr;
  engraving::Engraving engraving;
  std::vector<Column> columns;
  bool shows_meter = false;
  bool shows_key = false;  // on the notation staff
  double lead = 0;         // from the left barline to the middle of the first column
};

// "7", "(7)" of a note that goes on, "<12>" of a chime, "x" of a dead note.
// `goes_on`: the part of a note behind its first printed value.
std::string fret_text(const Note& note, bool goes_on);
TextStyle fret_style(const Sizes& sizes, const Stroke& stroke);
// Whether the number has an outline around it: where roles are drawn, that of a melody note that is struck.
bool is_outlined(const Note& note, bool goes_on, const SheetOptions& options);
// From the middle of the number to where it ends on either side, with its outline.
double fret_reach(const Note& note, bool goes_on, const Stroke& stroke, const SheetOptions& options,
                  const Sizes& sizes, TextFace& face);
// "4", "3+2": what stands over a meter's unit.
std::string meter_beats(const Meter& meter);
// How wide its numbers are.
double meter_width(const Meter& meter, const Sizes& sizes, TextFace& face);
// How wide what stands behind the barline of a repeat is.
double repeat_width(const Sizes& sizes);

// The columns of a whole piece. Chords that get no grid are reported. Throws WriteError for times that cannot
// be counted.
std::vector<MeasureColumns> columns_of(const Score& score, const SheetOptions& options, const Sizes& sizes,
                                       TextFace& face, Report& report);

}  // namespace fifthpeg::sheet
