// What MusicXML calls the values of a score's enumerations: a name for each enumerator, in their order.
#pragma once

#include <algorithm>
#include <array>
#include <optional>
#include <string_view>

#include "fifthpeg/score.hpp"

namespace fifthpeg::musicxml {

template <std::size_t N>
using Names = std::array<std::string_view, N>;

inline constexpr Names<7> step_names{"C", "D", "E", "F", "G", "A", "B"};
inline constexpr Names<10> mode_names{"none",   "major",      "minor",   "dorian", "phrygian",
                                      "lydian", "mixolydian", "aeolian", "ionian", "locrian"};
inline constexpr Names<3> meter_symbol_names{"normal", "common", "cut"};
inline constexpr Names<7> bar_style_names{"regular", "light-light", "light-heavy", "heavy",
                                          "dashed",  "dotted",      "none"};
inline constexpr Names<3> degree_type_names{"add", "alter", "subtract"};
inline constexpr Names<4> syllabic_names{"single", "begin", "middle", "end"};
inline constexpr Names<6> fingering_names{"0", "1", "2", "3", "4", "T"};
inline constexpr Names<5> pluck_names{"T", "I", "M", "R", "L"};  // the nail has an element of its own

template <typename Enum, std::size_t N>
std::string_view name_of(Enum value, const Names<N>& names) {
  const auto index = static_cast<std::size_t>(value);
  return names[index < N ? index : 0];
}

// Nothing for what is none of the names.
template <typename Enum, std::size_t N>
std::optional<Enum> named(std::string_view name, const Names<N>& names) {
  const auto* const found = std::find(names.begin(), names.end(), name);
  if (found == names.end()) return std::nullopt;
  return static_cast<Enum>(found - names.begin());
}

}  // namespace fifthpeg::musicxml
