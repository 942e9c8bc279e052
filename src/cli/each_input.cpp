#include "cli/each_input.hpp"

#include <utility>

#include "cli/messages.hpp"
#include "cli/options.hpp"
#include "cli/output.hpp"
#include "cli/same_file.hpp"

namespace fifthpeg::cli {

Status answer_each(const std::vector<std::string>& inputs, bool json, bool quiet,
                   const std::function<Answered(const std::string& input)>& answer) {
  refuse_to_write_over_inputs(inputs, {standard_stream});
  Status status = Status::done;
  Json files = Json::array();
  bool first = true;
  for (const std::string& input : inputs) {
    const std::string name = input_name(input);
    try {
      Answered answered = answer(input);
      if (json) {
        files.push_back(std::move(answered.json));
      } else {
        print((first ? "" : "\n") + answered.text);
        first = false;
      }
      if (!quiet) say(report_lines(name, answered.report));
    } catch (...) {
      const Failure failure = current_failure(name, output_name(standard_stream));
      if (failure.silent) return failure.status;
      if (status == Status::done)
        status = say_failure(failure);
      else
        say_failure(failure);
      if (json) files.push_back(failure_members(input, failure));
    }
  }
  if (!json) return status;
  const auto say_who = [](const Json& members) { return program_members(members); };
  if (files.size() == 1) {
    print(document(say_who(files.front())));
  } else {
    Json list = Json::array();
    for (const Json& one : files) list.push_back(say_who(one));
    print(program_document({{"status", static_cast<int>(status)}, {"files", std::move(list)}}));
  }
  return status;
}

}  // namespace fifthpeg::cli
