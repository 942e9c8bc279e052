// Brackets over what is not the tune: licks, kick-offs and backup, each with its word.
#include <algorithm>
#include <array>
#include <optional>
#include <string>

#include "formats/sheet/layout/system.hpp"

namespace fifthpeg::sheet {
namespace {

bool is_bracketed(Role role) {
  return role == Role::lick || role == Role::kick_off || role == Role::backup;
}

// What a column is of; nothing where no note is struck or goes on, which parts no lick.
std::optional<Role> role_of(const Column& column) {
  if (column.stroke == nullptr || column.stroke->is_rest()) return std::nullopt;
  for (const Note& note : column.stroke->notes) {
    if (is_bracketed(note.role)) return note.role;
  }
  return Role::none;
}

// What the music is of before a line, or behind it.
Role role_before(const System& system) {
  const auto& measures = system.piece.measures;
  std::size_t measure = system.columns.front().measure;
  auto column = static_cast<std::size_t>(system.columns.front().column - measures[measure].columns.data());
  while (true) {
    for (; column > 0; --column) {
      if (const auto role = role_of(measures[measure].columns[column - 1])) return *role;
    }
    if (measure == 0) return Role::none;
    column = measures[--measure].columns.size();
  }
}
Role role_behind(const System& system) {
  const auto& measures = system.piece.measures;
  std::size_t measure = system.columns.back().measure;
  auto column = static_cast<std::size_t>(system.columns.back().column - measures[measure].columns.data()) + 1;
  for (; measure < measures.size(); ++measure, column = 0) {
    for (; column < measures[measure].columns.size(); ++column) {
      if (const auto role = role_of(measures[measure].columns[column])) return *role;
    }
  }
  return Role::none;
}

class BracketPen {
 public:
  BracketPen(const System& system, Canvas& canvas)
      : system_(system), sizes_(system.piece.sizes), canvas_(canvas) {}

  void draw() {
    if (system_.columns.empty()) return;
    Role now = Role::none;
    const PlacedColumn* first = nullptr;
    const PlacedColumn* last = nullptr;
    bool begins = role_before(system_) == Role::none;
    const Role opened = begins ? Role::none : role_before(system_);
    const auto finish = [&](bool ends) {
      if (now != Role::none) bracket(now, *first, *last, begins, ends);
      now = Role::none;
      begins = true;
    };
    bool at_start = true;
    for (const PlacedColumn& column : system_.columns) {
      const auto role = role_of(*column.column);
      if (!role) continue;
      if (*role != now) {
        finish(true);
        now = *role;
        first = &column;
        begins = !at_start || now != opened;
      }
      at_start = false;
      last = &column;
    }
    finish(role_behind(system_) != now);
  }

 private:
  void bracket(Role role, const PlacedColumn& first, const PlacedColumn& last, bool begins, bool ends) {
    const double gap = sizes_.string_gap;
    const std::string word(to_string(role));
    const TextSize size = canvas_.pen.size_of(word, sizes_.technique);
    const double lead = gap * 0.6;  // of the line before the word
    const double white = gap * 0.2;
    const double least = lead + 2 * white + size.right - size.left + gap * 0.4;
    // Beside the line that joins two staves.
    const double leftmost = system_.staff_left + gap * 0.25;
    double left = begins ? first.x - gap * 0.5 : leftmost;
    double right = ends ? last.x + gap * 0.5 : system_.staff_right;
    right = std::max(right, left + least);
    // At the end of a line there may be no room for the word.
    left = std::max(leftmost, std::min(left, system_.staff_right - least));
    right = std::max(std::min(right, system_.staff_right), left + least);

    const double taken = canvas_.above.reach(left - sizes_.text_pad, right + sizes_.text_pad);
    const double bottom = taken - sizes_.row_pad;
    const double hook = gap * 0.35;
    const double base = bottom - size.descent;
    const Box box =
        canvas_.pen.text(Kind::role, word, sizes_.technique, {left + lead + white - size.left, base});
    const double y = (box.top + box.bottom) / 2;
    const double width = sizes_.stem_width * 0.8;
    if (begins) canvas_.pen.line(Kind::role, {left, y + hook}, {left, y}, width);
    canvas_.pen.line(Kind::role, {left, y}, {box.left - white, y}, width);
    canvas_.pen.line(Kind::role, {box.right + white, y}, {right, y}, width);
    if (ends) canvas_.pen.line(Kind::role, {right, y}, {right, y + hook}, width);
    canvas_.above.raise(left, right, std::min(box.top, y));
  }

  const System& system_;
  const Sizes& sizes_;
  Canvas& canvas_;
};

}  // namespace

void draw_roles(const System& system, Canvas& canvas) {
  if (!system.piece.is_backup) BracketPen(system, canvas).draw();
}

bool is_backup_alone(const Score& score) {
  constexpr std::array others{Role::melody, Role::fill, Role::drone, Role::lick, Role::kick_off};
  return std::none_of(others.begin(), others.end(), [&score](Role role) { return has_role(score, role); });
}

}  // namespace fifthpeg::sheet
