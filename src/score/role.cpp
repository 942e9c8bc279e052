#include <algorithm>
#include <array>
#include <cstddef>
#include <iterator>

#include "fifthpeg/score.hpp"

namespace fifthpeg {
namespace {

// By Role.
constexpr std::array<std::string_view, 7> role_names{"",     "melody",   "fill",  "drone",
                                                     "lick", "kick-off", "backup"};

template <typename Holds>
bool any_note(const Score& score, Holds holds) {
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      if (std::any_of(stroke.notes.begin(), stroke.notes.end(), holds)) return true;
    }
  }
  return false;
}

}  // namespace

bool has_roles(const Score& score) {
  return any_note(score, [](const Note& note) { return note.role != Role::none; });
}

bool has_role(const Score& score, Role role) {
  return any_note(score, [role](const Note& note) { return note.role == role; });
}

std::string_view to_string(Role role) {
  return role_names.at(static_cast<std::size_t>(role));
}

std::optional<Role> parse_role(std::string_view text) {
  const auto* const name = std::find(role_names.begin() + 1, role_names.end(), text);
  if (name == role_names.end()) return std::nullopt;
  return static_cast<Role>(std::distance(role_names.begin(), name));
}

}  // namespace fifthpeg
