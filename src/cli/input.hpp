// Input files: a regular file or standard input, whole, within a limit.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace fifthpeg::cli {

// Reads a file, or standard input for "-". Throws ReadError where it cannot be read, is no regular file
// (a directory, a named pipe, a device), or holds more than `max_bytes`.
std::string read_input(const std::string& path, std::size_t max_bytes);

// Reads a file of at most a mebibyte that an option names. Throws ReadError in whose text both are named.
std::string read_option_file(std::string_view option, std::string_view path);

}  // namespace fifthpeg::cli
