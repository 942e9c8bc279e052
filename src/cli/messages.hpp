// What is said on standard error: one line each, safe to show on a terminal whatever a file holds.
#pragma once

#include <string>
#include <string_view>

#include "base/text.hpp"
#include "cli/status.hpp"
#include "fifthpeg/report.hpp"

namespace fifthpeg::cli {

using base::printable;

// What stopped the work, ready to be reported.
struct Failure {
  Status status = Status::unreadable;
  std::string file;  // may be empty
  Place place;
  std::string code;  // see Error::code()
  std::string what;
  bool silent = false;  // the reader of our output has gone: nobody wants to hear about it
};

// The exception being handled; to be called inside a catch block. Knows every exception there is.
Failure current_failure(std::string_view input, std::string_view output);

// Reports it, of a command that writes to standard output; how the program ends with it.
Status say_failure(std::string_view input);

// "fifthpeg: reel.mid: measure 3, beat 2: what is wrong; what to do\n"
std::string error_line(const Failure& failure);
// A line for each entry, with the hint that helps.
std::string report_lines(std::string_view file, const Report& report);

// Writes to standard error. That it cannot be written is nothing that could be told to anybody.
void say(std::string_view text);

// How an input or output is called in messages: the path, or "standard input" for "-".
std::string input_name(std::string_view path);
std::string output_name(std::string_view path);

}  // namespace fifthpeg::cli
