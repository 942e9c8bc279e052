#include <exception>
#include <variant>

#include "cli/command_line.hpp"
#include "cli/commands.hpp"
#include "cli/messages.hpp"
#include "cli/output.hpp"
#include "cli/status.hpp"

namespace fifthpeg::cli {
namespace {

Status run(const Answer& asked) {
  print(asked.text);
  return Status::done;
}

Status run(int argc, const char* const* argv) {
  return std::visit([](const auto& asked) { return run(asked); }, parse_command_line(argc, argv));
}

}  // namespace
}  // namespace fifthpeg::cli

int main(int argc, char** argv) {
  using namespace fifthpeg::cli;
  try {
    prepare_process();
    return static_cast<int>(run(argc, argv));
  } catch (...) {
    try {
      return static_cast<int>(say_failure(""));
    } catch (...) {  // no memory left even for the message
      say("fifthpeg: needs more memory than is available\n");
      return static_cast<int>(Status::unreadable);
    }
  }
}
