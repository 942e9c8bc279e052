// Text that comes from files and command lines.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace fifthpeg::base {

// Without the blanks around it: spaces, tabs and line ends (the white space of XML).
std::string_view trimmed(std::string_view text);

// Only the letters of ASCII have a case here, whatever the locale.
char lower_case(char letter);
char upper_case(char letter);
std::string lower_case(std::string_view text);
std::string upper_case(std::string_view text);
bool same_ignoring_case(std::string_view a, std::string_view b);
// Of names that people write with a hyphen, a blank or nothing between their words: "open-g", "openG".
bool same_name(std::string_view a, std::string_view b);
bool starts_with_ignoring_case(std::string_view text, std::string_view start);
bool ends_with_ignoring_case(std::string_view text, std::string_view end);

// "1 note", "2 notes".
std::string counted(std::uint64_t count, std::string_view noun);

// False for what a terminal or an editor acts upon rather than shows: control characters, and those that
// change the direction of writing.
bool is_safe_to_show(char32_t code);

// Text for one line of a page: valid UTF-8, with spaces for what is not safe to show and "?" for bytes that
// are not UTF-8.
std::string one_line(std::string_view text);

// Text for one line of a terminal, safe whatever it holds: valid UTF-8, with "?" for what is not safe to show
// and for bytes that are not UTF-8.
std::string printable(std::string_view text);
// The same of several lines, which stay lines.
std::string printable_lines(std::string_view text);

}  // namespace fifthpeg::base
