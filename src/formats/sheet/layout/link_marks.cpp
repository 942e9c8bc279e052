// Ties, slurs and slides between the fret numbers, and the letters of techniques over the strings.
#include <algorithm>
#include <string_view>
#include <utility>
#include <vector>

#include "formats/sheet/layout/system.hpp"

namespace fifthpeg::sheet {
namespace {

std::string_view letter_of(Link::Kind kind) {
  switch (kind) {
    case Link::Kind::hammer_on:
      return "H";
    case Link::Kind::pull_off:
      return "P";
    case Link::Kind::slide:
      return "S";
    case Link::Kind::slur:
    case Link::Kind::tie:
      break;
  }
  return {};
}

struct Letter {
  std::string_view text;
  double x = 0;
};

class LinkPen {
 public:
  LinkPen(const System& system, Canvas& canvas)
      : system_(system), sizes_(system.piece.sizes), canvas_(canvas) {}

  void draw() {
    if (system_.columns.empty()) return;
    const std::size_t last = system_.columns.back().index;
    for (const Link* link : system_.piece.links.between(system_.columns.front().index, last)) draw(*link);
    draw_letters();
  }

 private:
  double half_width(const LinkEnd& end, const PlacedColumn& column) {
    return fret_reach(*end.note, !column.piece->first, *column.column->stroke, system_.piece.options, sizes_,
                      canvas_.pen.face());
  }

  const PlacedColumn* placed(const std::optional<LinkEnd>& end) const {
    return end ? system_.column_with(end->column) : nullptr;
  }

  void draw(const Link& link) {
    const PlacedColumn* from = placed(link.from);
    const PlacedColumn* to = placed(link.to);
    const double gap = sizes_.string_gap;
    const double white = gap * 0.12;
    const double stub = gap * 0.9;  // of what comes from nowhere or leads nowhere
    double left = 0;
    double right = 0;
    if (from != nullptr) {
      left = from->x + half_width(*link.from, *from) + white;
      if (link.from->note->ring == Ring::damp) left += gap * 0.45;
    }
    if (to != nullptr) right = to->x - half_width(*link.to, *to) - white;
    if (from == nullptr) {
      const double begin = system_.links_left(canvas_.pen.face()) + gap * 0.3;
      left = link.from ? std::min(begin, right - gap / 2) : right - stub;
    }
    if (to == nullptr) right = link.to ? std::max(system_.staff_right, left + gap / 2) : left + stub;
    const LinkEnd& end = link.to ? *link.to : *link.from;
    const double y = system_.string_y(end.note->placement->string);
    if (!lies_free(link)) {
      draw_over(left, right, link.kind);
    } else if (link.kind == Link::Kind::slide) {
      const bool down =
          link.from && link.to && link.from->note->placement->fret > link.to->note->placement->fret;
      const double rise = down ? -gap * 0.27 : gap * 0.27;
      canvas_.pen.line(Kind::slide, {left, y + rise}, {right, y - rise}, sizes_.stem_width);
    } else {
      const Kind kind = link.kind == Link::Kind::tie ? Kind::tie : Kind::slur;
      canvas_.pen.arc(kind, {left, y - gap * 0.12}, {right, y - gap * 0.12}, gap * 0.26, gap * 0.12);
    }
    const std::string_view letter = letter_of(link.kind);
    if (!letter.empty() && (to != nullptr || !link.to)) {
      letters_.push_back({letter, (left + right) / 2});
    }
  }

  // Whether nothing stands between both ends on the string that they share.
  bool lies_free(const Link& link) const {
    if (!link.from || !link.to) return true;
    const int string = link.to->note->placement->string;
    if (link.from->note->placement->string != string) return false;
    for (std::size_t i = link.from->column + 1; i < link.to->column; ++i) {
      const PlacedColumn* const column = system_.column_with(i);
      if (column == nullptr || column->piece == nullptr) continue;
      const auto& notes = column->column->stroke->notes;
      const auto is_there = [string](const Note& note) {
        return note.placement && note.placement->string == string;
      };
      if (std::any_of(notes.begin(), notes.end(), is_there)) return false;
    }
    return true;
  }

  // An arc over all that stands between.
  void draw_over(double left, double right, Link::Kind kind) {
    const double gap = sizes_.string_gap;
    const double y = canvas_.above.reach(left, right) - gap * 0.2;
    const Kind mark = kind == Link::Kind::tie ? Kind::tie : Kind::slur;
    const Box box = canvas_.pen.arc(mark, {left, y}, {right, y}, gap * 0.5, gap * 0.12);
    canvas_.above.raise(left, right, box.top);
  }

  // All on one height; where two strings do the same at once, it is said once.
  void draw_letters() {
    if (letters_.empty()) return;
    double base = 0;
    for (const Letter& letter : letters_) {
      const TextSize& size = canvas_.pen.size_of(letter.text, sizes_.technique);
      const double half = size.width / 2 + sizes_.text_pad;
      const double reach = canvas_.above.reach(letter.x - half, letter.x + half);
      base = std::min(base, reach - sizes_.row_pad);
    }
    std::vector<std::pair<Box, std::string_view>> drawn;
    for (const Letter& letter : letters_) {
      const TextSize& size = canvas_.pen.size_of(letter.text, sizes_.technique);
      const double half = size.width / 2 + sizes_.thin;
      const auto is_there = [&](const auto& other) {
        return letter.x + half > other.first.left && letter.x - half < other.first.right;
      };
      const auto other = std::find_if(drawn.begin(), drawn.end(), is_there);
      if (other != drawn.end() && other->second == letter.text) continue;
      const double y = other == drawn.end()
                           ? base
                           : canvas_.above.reach(letter.x - half, letter.x + half) - sizes_.row_pad;
      const Box box =
          canvas_.pen.text_centered(Kind::technique, letter.text, sizes_.technique, {letter.x, y});
      canvas_.above.raise(box.left, box.right, box.top);
      drawn.emplace_back(box, letter.text);
    }
  }

  const System& system_;
  const Sizes& sizes_;
  Canvas& canvas_;
  std::vector<Letter> letters_;
};

}  // namespace

void draw_links(const System& system, Canvas& canvas) {
  LinkPen(system, canvas).draw();
}

}  // namespace fifthpeg::sheet
