#include <exception>
#include <string_view>
#include <type_traits>
#include <unistd.h>
#include <variant>

#include "cli/command_line.hpp"
#include "cli/commands.hpp"
#include "cli/messages.hpp"
#include "cli/output.hpp"
#include "cli/status.hpp"

namespace fifthpeg::cli {
namespace {

Status answer(const Answer& asked) {
  DescriptorSink out(STDOUT_FILENO);
  out.write(asked.text);
  out.flush();
  return Status::done;
}

Status run(int argc, const char* const* argv) {
  const Request request = parse_command_line(argc, argv);
  return std::visit(
      [](const auto& asked) {
        using Asked = std::decay_t<decltype(asked)>;
        if constexpr (std::is_same_v<Asked, ConvertOptions>) {
          return convert(asked);
        } else if constexpr (std::is_same_v<Asked, ShowOptions>) {
          return show(asked);
        } else if constexpr (std::is_same_v<Asked, DescribeOptions>) {
          return describe(asked);
        } else if constexpr (std::is_same_v<Asked, AdviseRequest>) {
          return advise(asked);
        } else if constexpr (std::is_same_v<Asked, CheckRequest>) {
          return check(asked);
        } else {
          return answer(asked);
        }
      },
      request);
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
      const Failure failure = current_failure("", output_name(standard_stream));
      if (!failure.silent) say(error_line(failure));
      return static_cast<int>(failure.status);
    } catch (...) {  // no memory left even for the message
      say("fifthpeg: needs more memory than is available\n");
      return static_cast<int>(Status::unreadable);
    }
  }
}
