#include "formats/sheet/layout/heading.hpp"

#include <algorithm>
#include <array>
#include <set>
#include <string_view>
#include <utility>

#include "base/text.hpp"
#include "engraving/wording.hpp"
#include "formats/sheet/layout/about.hpp"

namespace fifthpeg::sheet {
namespace {

constexpr double line_height = 1.3;  // of a font's size

enum class Align : std::uint8_t { left, middle, right };

class HeadingPen {
 public:
  HeadingPen(std::vector<Mark>& marks, double width, TextFace& face) : pen_(face, marks), width_(width) {}

  void put(Kind kind, std::string_view text, TextStyle style, Align align) {
    if (text.empty()) return;
    for (const std::string& line : pen_.face().wrapped(text, style, width_)) {
      const double base = y_ + style.size;
      const double wide = pen_.size_of(line, style).width;
      const double free = width_ - wide;
      const double x = align == Align::left ? 0 : align == Align::middle ? free / 2 : free;
      pen_.text(kind, line, style, {x, base});
      y_ += style.size * line_height;
    }
  }
  // One after the other, with `between` from each to the next; none is broken that fits on a line.
  void put_items(Kind kind, const std::vector<std::string>& items, std::string_view between,
                 TextStyle style) {
    std::string line;
    for (const std::string& item : items) {
      std::string longer = line;
      if (!line.empty()) longer += between;
      longer += item;
      if (!line.empty() && pen_.size_of(longer, style).width > width_) {
        put(kind, line, style, Align::left);
        line = item;
      } else {
        line = longer;
      }
    }
    put(kind, line, style, Align::left);
  }
  void skip(double by) { y_ += by; }
  double y() const { return y_; }

 private:
  Pen pen_;
  double width_;
  double y_ = 0;
};

// Which signs a piece has.
struct Signs {
  std::set<PickingFinger> picking;
  std::set<Technique> techniques;
  bool grace = false;
  bool tie = false;
  bool chime = false;
  bool dead = false;
  bool stop = false;
  bool brush = false;     // with an arrow, up or down
  bool no_arrow = false;  // a brush that does not say which way
  bool thumb_over = false;
  bool chord = false;
  bool melody = false;
};

void add_signs(const Score& score, Signs& signs) {
  for (const Measure& measure : score.measures) {
    for (const ChordSymbol& chord : measure.chords) signs.chord = signs.chord || chord.kind != "none";
    for (const Stroke& stroke : measure.strokes) {
      signs.grace = signs.grace || (stroke.grace != Grace::none && !stroke.notes.empty());
      signs.brush = signs.brush || stroke.brush == Brush::up || stroke.brush == Brush::down;
      signs.no_arrow = signs.no_arrow || stroke.brush == Brush::plain;
      for (const Note& note : stroke.notes) {
        if (note.picking_finger) signs.picking.insert(*note.picking_finger);
        signs.techniques.insert(note.into);
        signs.techniques.insert(note.out_of);
        signs.tie = signs.tie || note.tied_from_previous;
        signs.chime = signs.chime || note.harmonic;
        signs.dead = signs.dead || note.dead;
        signs.melody = signs.melody || note.role == Role::melody;
        signs.stop = signs.stop || note.ring == Ring::damp;
        signs.thumb_over = signs.thumb_over || note.finger == FretFinger::thumb;
      }
    }
  }
}

}  // namespace

Block title_of_all(const SheetOptions& options, const Sizes& sizes, double width, TextFace& face) {
  Block block;
  HeadingPen pen(block.marks, width, face);
  pen.put(Kind::title, base::one_line(options.title), sizes.title, Align::middle);
  for (const std::string& paragraph : options.paragraphs) {
    if (pen.y() > 0) pen.skip(sizes.about.size * 0.5);
    pen.put(Kind::about, base::one_line(paragraph), sizes.about, Align::left);
  }
  block.bottom = pen.y();
  block.keep_with_next = true;
  return block;
}

Block heading(const Score& score, bool in_handout, const Sizes& sizes, double width, TextFace& face) {
  Block block;
  HeadingPen pen(block.marks, width, face);
  const Work& work = score.work;
  if (in_handout) {
    pen.put(Kind::subtitle, base::one_line(work.title), sizes.piece_title, Align::left);
    pen.put(Kind::about, about(score), sizes.about, Align::left);
  } else {
    pen.put(Kind::title, base::one_line(work.title), sizes.title, Align::middle);
  }
  if (score.part_name != Score{}.part_name) {
    pen.put(Kind::subtitle, base::one_line(score.part_name), sizes.subtitle, Align::middle);
  }
  const std::array<std::pair<std::string_view, const std::string*>, 4> names{
      {{"", &work.composer},
       {"arranged by ", &work.arranger},
       {"words by ", &work.lyricist},
       {"", &work.source}}};
  for (const auto& [label, name] : names) {
    if (name->empty()) continue;
    pen.put(Kind::credit, std::string(label) + base::one_line(*name), sizes.credit, Align::right);
  }
  if (pen.y() > 0) pen.skip(sizes.row_pad * 2);
  pen.put_items(Kind::set_up, engraving::set_up_items(score), "     ", sizes.set_up);
  block.bottom = pen.y();
  block.keep_with_next = true;
  return block;
}

Block paragraphs(Kind kind, const std::vector<std::string>& texts, TextStyle style, double width,
                 TextFace& face) {
  Block block;
  HeadingPen pen(block.marks, width, face);
  for (const std::string& text : texts) {
    if (pen.y() > 0) pen.skip(style.size * 0.5);
    pen.put(kind, text, style, Align::left);
  }
  block.bottom = pen.y();
  return block;
}

Block legend(const std::vector<Score>& pieces, const SheetOptions& options, const Sizes& sizes, double width,
             TextFace& face) {
  Signs signs;
  for (const Score& score : pieces) add_signs(score, signs);
  std::vector<std::string> items;
  const auto add = [&items](bool is_there, const char* text) {
    if (is_there) items.emplace_back(text);
  };
  const auto picks = [&signs](PickingFinger finger) { return signs.picking.contains(finger); };
  add(picks(PickingFinger::thumb), "T thumb");
  add(picks(PickingFinger::index), "I index");
  add(picks(PickingFinger::middle), "M middle");
  add(picks(PickingFinger::ring), "R ring finger");
  add(picks(PickingFinger::little), "L little finger");
  add(picks(PickingFinger::nail), "N nail, striking down");
  add(signs.techniques.contains(Technique::hammer_on), "H hammer-on");
  add(signs.techniques.contains(Technique::pull_off), "P pull-off");
  add(signs.techniques.contains(Technique::slide), "S slide");
  add(signs.grace, "small number: grace note");
  add(signs.tie, "(7) held on, not struck again");
  add(signs.chime, "<12> harmonic");
  add(signs.dead, "x muffled string");
  add(signs.stop, "bar after a number: stop the string");
  add(signs.brush, "arrow: brush");
  add(signs.no_arrow, "line before a chord: brush");
  add(options.roles && signs.melody, "number in an outline: the melody");
  add(options.chord_grids && signs.chord, "grid: o open, x not played, fingers under it");
  add(options.fingers && signs.thumb_over, "T in the lower row: thumb over the neck");
  Block block;
  HeadingPen pen(block.marks, width, face);
  pen.put_items(Kind::about, items, "    ", sizes.legend);
  block.bottom = pen.y();
  return block;
}

}  // namespace fifthpeg::sheet
