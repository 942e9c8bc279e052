// Under the rhythm: picking fingers, fret-hand fingers, lyrics. Each row has one height over the whole line;
// but fret-hand fingers stand under their own picking fingers, so that one pinch does not part all others
// from theirs.
#include <algorithm>
#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "base/text.hpp"
#include "formats/sheet/layout/system.hpp"

namespace fifthpeg::sheet {
namespace {

// As much from one line to the next of a stack as letters take.
constexpr double line_step = 1.0;

struct Stack {
  const PlacedColumn* column;
  const std::vector<std::string>* lines;
};

// Where a row of stacks ends: its first lines, and all of it.
struct RowEnd {
  double first_lines = 0;
  double bottom = 0;
};

// What a stack stands under.
double reach_over(const Stack& stack, TextStyle style, double least_width, Canvas& canvas) {
  double half = least_width / 2;
  for (const std::string& line : *stack.lines)
    half = std::max(half, canvas.pen.size_of(line, style).width / 2);
  return canvas.below.reach(stack.column->x - half, stack.column->x + half);
}

// All on one height under `top`, or each as near to it as what is over it lets it.
enum class Height : std::uint8_t { shared, own };
RowEnd draw_row(const System& system, Kind kind, TextStyle style, const std::vector<Stack>& stacks,
                double top, Height height, Canvas& canvas) {
  const Sizes& sizes = system.piece.sizes;
  if (height == Height::shared) {
    for (const Stack& stack : stacks) top = std::max(top, reach_over(stack, style, sizes.string_gap, canvas));
  }
  RowEnd end{top, top};
  const double ascent = canvas.pen.size_of("T", style).ascent;
  for (const Stack& stack : stacks) {
    const double over = height == Height::shared ? top : std::max(top, reach_over(stack, style, 0, canvas));
    double y = over + sizes.row_pad + ascent;
    for (const std::string& line : *stack.lines) {
      canvas.pen.set_stroke(StrokeOf{system.piece.number, static_cast<std::uint32_t>(stack.column->measure),
                                     static_cast<std::uint32_t>(stack.column->piece->stroke)});
      const Box box = canvas.pen.text_centered(kind, line, style, {stack.column->x, y});
      canvas.below.raise(box.left, box.right, box.bottom);
      if (&line == &stack.lines->front()) end.first_lines = std::max(end.first_lines, box.bottom);
      end.bottom = std::max(end.bottom, box.bottom);
      y += line_step * style.size;
    }
    canvas.pen.set_stroke(std::nullopt);
  }
  return end;
}

std::vector<Stack> stacks_of(const System& system, std::vector<std::string> Column::*lines) {
  std::vector<Stack> stacks;
  for (const PlacedColumn& placed : system.columns) {
    const auto& texts = placed.column->*lines;
    if (!texts.empty()) stacks.push_back({&placed, &texts});
  }
  return stacks;
}

struct Syllable {
  const PlacedColumn* column;
  std::string text;
  Syllabic syllabic;
};

// A hyphen in the middle between two syllables of one word.
void draw_hyphens(const System& system, const std::vector<Syllable>& verse, const std::vector<Box>& boxes,
                  double baseline, Canvas& canvas) {
  const TextStyle style = system.piece.sizes.lyric;
  const double width = canvas.pen.size_of("-", style).width;
  for (std::size_t i = 0; i < verse.size(); ++i) {
    const bool goes_on = verse[i].syllabic == Syllabic::begin || verse[i].syllabic == Syllabic::middle;
    if (!goes_on) continue;
    const double right = i + 1 < verse.size() ? boxes[i + 1].left : system.staff_right;
    if (right - boxes[i].right < width * 1.5) continue;
    const double middle = (boxes[i].right + right) / 2;
    canvas.pen.text_centered(Kind::lyric, "-", style, {middle, baseline});
  }
}

double draw_verse(const System& system, const std::vector<Syllable>& verse, double top, Canvas& canvas) {
  const Sizes& sizes = system.piece.sizes;
  double ascent = 0;
  for (const Syllable& syllable : verse) {
    const TextSize& size = canvas.pen.size_of(syllable.text, sizes.lyric);
    const double half = size.width / 2;
    top = std::max(top, canvas.below.reach(syllable.column->x - half, syllable.column->x + half));
    ascent = std::max(ascent, size.ascent);
  }
  const double baseline = top + sizes.row_pad + ascent;
  double bottom = top;
  std::vector<Box> boxes;
  for (const Syllable& syllable : verse) {
    boxes.push_back(
        canvas.pen.text_centered(Kind::lyric, syllable.text, sizes.lyric, {syllable.column->x, baseline}));
    canvas.below.raise(boxes.back().left, boxes.back().right, boxes.back().bottom);
    bottom = std::max(bottom, boxes.back().bottom);
  }
  draw_hyphens(system, verse, boxes, baseline, canvas);
  return bottom;
}

}  // namespace

void draw_rows_below(const System& system, Canvas& canvas) {
  const Sizes& sizes = system.piece.sizes;
  const auto picking = stacks_of(system, &Column::picking);
  const RowEnd picked = draw_row(system, Kind::picking_finger, sizes.picking, picking, sizes.tab_height,
                                 Height::shared, canvas);
  const auto fingers = stacks_of(system, &Column::fingers);
  const Height height = picking.empty() ? Height::shared : Height::own;
  const RowEnd fingered =
      draw_row(system, Kind::fret_finger, sizes.finger, fingers, picked.first_lines, height, canvas);
  double bottom = std::max(picked.bottom, fingered.bottom);
  std::map<std::string, std::vector<Syllable>> verses;
  for (const PlacedColumn& placed : system.columns) {
    if (placed.piece == nullptr || !placed.piece->first) continue;
    for (const Lyric& lyric : placed.column->stroke->lyrics) {
      verses[lyric.verse].push_back({&placed, base::one_line(lyric.text), lyric.syllabic});
    }
  }
  for (const auto& [number, verse] : verses) bottom = draw_verse(system, verse, bottom, canvas);
}

}  // namespace fifthpeg::sheet
