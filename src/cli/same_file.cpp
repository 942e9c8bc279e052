#include "cli/same_file.hpp"

#include <fcntl.h>
#include <map>
#include <optional>
#include <sys/stat.h>
#include <unistd.h>
#include <utility>

#include "cli/messages.hpp"
#include "cli/options.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::cli {
namespace {

// What all names of one file have in common.
using Identity = std::pair<dev_t, ino_t>;

// Nothing where there is no file, or where it is written to and not replaced: a device, a pipe.
std::optional<Identity> identity(const std::string& path, int standard_descriptor) {
  struct stat status {};
  const bool is_there = path == standard_stream ? ::fstat(standard_descriptor, &status) == 0
                                                : ::stat(path.c_str(), &status) == 0;
  if (!is_there || !S_ISREG(status.st_mode)) return std::nullopt;
  return Identity{status.st_dev, status.st_ino};
}

}  // namespace

void refuse_to_write_over_inputs(const std::vector<std::string>& inputs,
                                 const std::vector<std::string>& outputs) {
  std::map<Identity, const std::string*> input_of;
  for (const std::string& input : inputs) {
    if (const auto file = identity(input, STDIN_FILENO)) input_of.emplace(*file, &input);
  }
  const auto messages = identity(standard_stream, STDERR_FILENO);
  if (messages && input_of.contains(*messages)) {
    // Even why would be written there.
    const int nowhere = ::open("/dev/null", O_WRONLY | O_CLOEXEC);
    ::dup2(nowhere, STDERR_FILENO);
    throw UsageError(standard_output_is_input, "standard error is an input");
  }
  for (const std::string& output : outputs) {
    const auto file = identity(output, STDOUT_FILENO);
    const auto found = file ? input_of.find(*file) : input_of.end();
    if (found == input_of.end()) continue;
    const std::string& input = *found->second;
    throw UsageError(output == standard_stream ? standard_output_is_input : "output-is-input",
                     "'" + printable(output_name(output)) + "' is the input" +
                         (input == output ? "" : " '" + printable(input_name(input)) + "'") +
                         " itself and would be overwritten; write to another file");
  }
}

std::vector<std::optional<std::size_t>> shared_outputs(const std::vector<std::string>& outputs) {
  std::vector<std::optional<std::size_t>> shared(outputs.size());
  std::map<std::string, std::size_t> by_name;
  std::map<Identity, std::size_t> by_identity;
  const auto settle = [&](std::size_t at, const auto& met) {
    const auto& [other, is_new] = met;
    if (is_new) return;
    shared[at] = other->second;
    if (!shared[other->second]) shared[other->second] = at;
  };
  for (std::size_t at = 0; at < outputs.size(); ++at) {
    settle(at, by_name.emplace(outputs[at], at));
    if (const auto file = identity(outputs[at], STDOUT_FILENO)) settle(at, by_identity.emplace(*file, at));
  }
  return shared;
}

}  // namespace fifthpeg::cli
