#include <algorithm>
#include <exception>
#include <string_view>
#include <unistd.h>
#include <variant>

#include "cli/command_line.hpp"
#include "cli/commands.hpp"
#include "cli/json.hpp"
#include "cli/messages.hpp"
#include "cli/options.hpp"
#include "cli/output.hpp"
#include "cli/same_file.hpp"
#include "cli/status.hpp"
#include "cli/temp_files.hpp"
#include "formats/midi/messages.hpp"

namespace fifthpeg::cli {
namespace {

Status run(const Answer& asked) {
  print(asked.text);
  return Status::done;
}

Status run(int argc, const char* const* argv) {
  return std::visit([](const auto& asked) { return run(asked); }, parse_command_line(argc, argv));
}

[[noreturn]] void end_without_memory() {
  say_out_of_memory();
  remove_temp_files();
  ::_exit(static_cast<int>(Status::unreadable));
}

// What the language does first, before main(), may find no memory, and has nobody to say so.
__attribute__((constructor(101))) void end_in_order_whatever_happens() {
  std::set_terminate(end_without_memory);
}

// Whoever asked for JSON reads JSON, also where the command line itself is wrong.
Status end_with_failure(int argc, const char* const* argv) {
  const Failure failure = current_failure("", output_name(standard_stream));
  const Status status = say_failure(failure);
  const auto is_json = [](std::string_view word) { return word == "--json"; };
  const bool can_answer = failure.status != Status::unwritable && failure.code != standard_output_is_input;
  if (can_answer && std::any_of(argv, argv + argc, is_json)) {
    print(program_document(failure_members("", failure)));
  }
  return status;
}

}  // namespace
}  // namespace fifthpeg::cli

int main(int argc, char** argv) {
  using namespace fifthpeg::cli;
  try {
    prepare_process();
    fifthpeg::midi::end_process_without_memory(end_without_memory);
    return static_cast<int>(run(argc, argv));
  } catch (...) {
    try {
      return static_cast<int>(end_with_failure(argc, argv));
    } catch (...) {  // no memory left even for the message
      say_out_of_memory();
      return static_cast<int>(Status::unreadable);
    }
  }
}
