// Which marks of a page run into each other that should not.
#pragma once

#include <algorithm>
#include <set>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include "formats/sheet/drawing.hpp"

namespace fifthpeg::testing {
namespace collision {

using sheet::Kind;

// Pairs that meet by what they are; of all others no two boxes may.
inline bool may_meet(Kind a, Kind b) {
  if (a > b) std::swap(a, b);
  // One thing drawn in several strokes.
  static const std::set<Kind> with_themselves{
      Kind::barline, Kind::beam,         Kind::stem,        Kind::tuplet,    Kind::brush, Kind::choke,
      Kind::ring,    Kind::articulation, Kind::ending,      Kind::rehearsal, Kind::flag,  Kind::chord_grid,
      Kind::slur,    Kind::tie,          Kind::ledger_line, Kind::role};
  if (a == b) return with_themselves.contains(a);
  // What stands on a staff has its lines behind it; fret numbers, names and meters of tab interrupt theirs.
  static const std::set<Kind> on_lines{
      Kind::barline,    Kind::repeat_dot, Kind::clef,  Kind::meter, Kind::key_signature, Kind::note_head,
      Kind::accidental, Kind::stem,       Kind::beam,  Kind::flag,  Kind::dot,           Kind::rest,
      Kind::tie,        Kind::slur,       Kind::slide, Kind::choke, Kind::brush};
  if (a == Kind::staff_line) return on_lines.contains(b);
  static const std::set<std::pair<Kind, Kind>> pairs{
      {Kind::barline, Kind::repeat_dot},  // no box of its own
      {Kind::ledger_line, Kind::note_head},
      {Kind::ledger_line, Kind::stem},
      {Kind::ledger_line, Kind::accidental},
      {Kind::ledger_line, Kind::tie},
      {Kind::ledger_line, Kind::slur},
      {Kind::ledger_line, Kind::dot},
      {Kind::ledger_line, Kind::slide},
      {Kind::ledger_line, Kind::beam},
      {Kind::ledger_line, Kind::flag},
      {Kind::note_head, Kind::stem},
      {Kind::stem, Kind::beam},
      {Kind::stem, Kind::flag},
      {Kind::beam, Kind::flag},
      // A line that leans covers less than its box.
      {Kind::tie, Kind::slide},
      {Kind::slur, Kind::slide},
      {Kind::flag, Kind::slide},
      {Kind::flag, Kind::tie},
      {Kind::flag, Kind::slur},
      {Kind::slide, Kind::choke},
      // From one measure into the next.
      {Kind::barline, Kind::tie},
      {Kind::barline, Kind::slur},
      {Kind::barline, Kind::slide},
      {Kind::repeat_dot, Kind::tie},
      {Kind::repeat_dot, Kind::slur},
      {Kind::repeat_dot, Kind::slide},
      {Kind::meter, Kind::tie},
      {Kind::meter, Kind::slur},
      {Kind::meter, Kind::slide},
      {Kind::key_signature, Kind::tie},
      {Kind::key_signature, Kind::slur},
      {Kind::key_signature, Kind::slide},
  };
  return pairs.contains({a, b});
}

// An outline is around its own fret number, all of it, and meets no other.
inline bool is_outlined_by(const sheet::Mark& number, const sheet::Mark& outline) {
  return number.kind == Kind::fret && outline.kind == Kind::melody && number.box.left > outline.box.left &&
         number.box.right < outline.box.right && number.box.top > outline.box.top &&
         number.box.bottom < outline.box.bottom;
}

// What a mark covers between two places along the line: of what leans, less than its box.
inline sheet::Box covered(const sheet::Mark& mark, double left, double right) {
  std::vector<sheet::Point> points;
  double margin = 0;
  if (const auto* line = std::get_if<sheet::Line>(&mark.shape)) {
    points = {line->from, line->to};
    margin = line->width / 2;
  } else if (const auto* polygon = std::get_if<sheet::Polygon>(&mark.shape);
             polygon != nullptr && polygon->filled) {
    points = polygon->points;
  }
  if (points.empty()) return mark.box;
  sheet::Box box{left, mark.box.bottom, right, mark.box.top};
  const auto cover = [&](double y) {
    box.top = std::min(box.top, y - margin);
    box.bottom = std::max(box.bottom, y + margin);
  };
  for (std::size_t i = 0; i < points.size(); ++i) {
    sheet::Point a = points[i];
    sheet::Point b = points[(i + 1) % points.size()];
    if (a.x > b.x) std::swap(a, b);
    if (b.x < left || a.x > right) continue;
    const auto y_at = [&](double x) {
      return b.x == a.x ? a.y : a.y + (b.y - a.y) * (x - a.x) / (b.x - a.x);
    };
    cover(y_at(std::max(a.x, left)));
    cover(b.x == a.x ? b.y : y_at(std::min(b.x, right)));
  }
  return box;
}

inline std::string said(const sheet::Mark& mark) {
  std::ostringstream out;
  out << static_cast<int>(mark.kind);
  if (const auto* text = std::get_if<sheet::Text>(&mark.shape)) out << " '" << text->text << "'";
  out << " [" << mark.box.left << " " << mark.box.top << " " << mark.box.right << " " << mark.box.bottom
      << "]";
  return out.str();
}

}  // namespace collision

// One line for each pair, up to a hundred a page, and for each mark that is not on the paper.
inline std::vector<std::string> collisions(const sheet::Page& page) {
  constexpr double touch = 0.03;  // less than a dot of a good printer
  std::vector<std::string> found;
  std::vector<const sheet::Mark*> marks;
  for (const sheet::Mark& mark : page.marks) {
    marks.push_back(&mark);
    const bool on_paper = mark.box.left >= 0 && mark.box.top >= 0 && mark.box.right <= page.width &&
                          mark.box.bottom <= page.height;
    if (!on_paper) found.push_back("off the paper: " + collision::said(mark));
  }
  std::sort(marks.begin(), marks.end(),
            [](const auto* a, const auto* b) { return a->box.left < b->box.left; });
  // Marks that reach so far to the right that they may meet later ones.
  std::vector<const sheet::Mark*> open;
  for (const sheet::Mark* mark : marks) {
    std::erase_if(open, [mark](const auto* one) { return one->box.right <= mark->box.left + touch; });
    for (const sheet::Mark* other : open) {
      const double right = std::min(mark->box.right, other->box.right);
      const sheet::Box a = collision::covered(*mark, mark->box.left, right);
      const sheet::Box b = collision::covered(*other, mark->box.left, right);
      const bool meet = b.top + touch < a.bottom && a.top + touch < b.bottom;
      const bool by_design = collision::may_meet(mark->kind, other->kind) ||
                             collision::is_outlined_by(*mark, *other) ||
                             collision::is_outlined_by(*other, *mark);
      if (meet && !by_design && found.size() < 100) {
        found.push_back(collision::said(*other) + " runs into " + collision::said(*mark));
      }
    }
    open.push_back(mark);
  }
  return found;
}

}  // namespace fifthpeg::testing
