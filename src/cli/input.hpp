// Input files: a regular file or standard input, whole, within a limit.
#pragma once

#include <cstddef>
#include <string>

namespace fifthpeg::cli {

// Reads a file, or standard input for "-". Throws ReadError where it cannot be read, is no regular file
// (a directory, a named pipe, a device), or holds more than `max_bytes`.
std::string read_input(const std::string& path, std::size_t max_bytes);

}  // namespace fifthpeg::cli
