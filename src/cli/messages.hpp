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

// Reports it, unless nobody wants to hear about it; how the program ends with it.
Status say_failure(const Failure& failure);

// "fifthpeg: reel.mid: measure 3, beat 2: what is wrong; what to do\n"
std::string error_line(const Failure& failure);
// Whether nearly every recording loses this when it becomes tab: told last, so that it hides nothing else.
bool is_of_recordings(const Entry& entry);
// A line for each entry, with the hint that helps; those of recordings share the last one.
std::string report_lines(std::string_view file, const Report& report);

// Writes lines to standard error, safe to show whatever is in them. That it cannot be written is nothing that
// could be told to anybody.
void say(std::string_view text);
// The same as it is: for the cursor movements of our own.
void draw(std::string_view text);
// Where there is no memory left for any other message.
void say_out_of_memory() noexcept;

// How an input or output is called in messages: the path, or "standard input" for "-".
std::string input_name(std::string_view path);
std::string output_name(std::string_view path);

}  // namespace fifthpeg::cli
