#include "engraving/note_value.hpp"

#include <array>
#include <bit>

namespace fifthpeg::engraving {
namespace {

struct Names {
  std::string_view type;  // note-type-value of the MusicXML 4.0 schema
  std::string_view spoken;
};
constexpr std::array<Names, 14> names{{{"1024th", "1024th"},
                                       {"512th", "512th"},
                                       {"256th", "256th"},
                                       {"128th", "128th"},
                                       {"64th", "sixty-fourth"},
                                       {"32nd", "thirty-second"},
                                       {"16th", "sixteenth"},
                                       {"eighth", "eighth"},
                                       {"quarter", "quarter"},
                                       {"half", "half"},
                                       {"whole", "whole"},
                                       {"breve", "breve"},
                                       {"long", "long"},
                                       {"maxima", "maxima"}}};
constexpr int shortest_bit = 2;  // a 1024th is 4 units

}  // namespace

std::int64_t units_in(Fraction length) {
  if (length <= 0 || length > 16 || value_units % length.den() != 0) return 0;
  return length.num() * (value_units / length.den());
}

NoteValue single_value(std::int64_t units) {
  if (units <= 0) return {};
  const int low = std::countr_zero(static_cast<std::uint64_t>(units));
  const std::int64_t odd = units >> low;
  const int dots = odd == 1 ? 0 : odd == 3 ? 1 : odd == 7 ? 2 : -1;
  const int type = low + dots - shortest_bit;
  if (dots < 0 || type < 0 || type >= static_cast<int>(names.size())) return {};
  return {static_cast<std::int8_t>(type), static_cast<std::int8_t>(dots)};
}

NoteValue longest_value_in(std::int64_t units) {
  if (units < std::int64_t{1} << shortest_bit) return {};
  int top = static_cast<int>(std::bit_width(static_cast<std::uint64_t>(units))) - 1;
  const int longest = shortest_bit + static_cast<int>(names.size()) - 1;
  if (top > longest) return {static_cast<std::int8_t>(names.size() - 1), 2};
  const auto bit = [units](int at) { return at >= 0 && (units >> at & 1) != 0; };
  const int dots = !bit(top - 1) ? 0 : !bit(top - 2) ? 1 : 2;
  return {static_cast<std::int8_t>(top - shortest_bit), static_cast<std::int8_t>(dots)};
}

std::int64_t length_in_units(NoteValue value) {
  if (!value) return 0;
  const std::int64_t plain = std::int64_t{1} << (value.type + shortest_bit);
  return 2 * plain - (plain >> value.dots);
}

std::string_view type_name(int type) {
  return names[static_cast<std::size_t>(type)].type;
}

NoteValue type_named(std::string_view name) {
  for (std::size_t type = 0; type < names.size(); ++type) {
    if (names[type].type == name) return {static_cast<std::int8_t>(type), 0};
  }
  return {};
}

std::string spoken_name(NoteValue value) {
  constexpr std::array<std::string_view, 3> dots{"", "dotted ", "double-dotted "};
  return std::string(dots[static_cast<std::size_t>(value.dots)])
      .append(names[static_cast<std::size_t>(value.type)].spoken);
}

std::string spoken_name(NoteValue value, std::string_view of) {
  const std::string name = spoken_name(value);
  return (name.front() == 'e' ? "an " : "a ") + name + " " + std::string(of);
}

int beam_count(int type) {
  return type >= 0 && type < quarter_type ? quarter_type - type : 0;
}

}  // namespace fifthpeg::engraving
