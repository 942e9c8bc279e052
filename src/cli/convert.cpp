#include <algorithm>
#include <cstdint>
#include <filesystem>
#include <optional>
#include <string>
#include <system_error>
#include <unistd.h>
#include <unordered_map>
#include <utility>
#include <vector>

#include "cli/commands.hpp"
#include "cli/load.hpp"
#include "cli/messages.hpp"
#include "cli/option_values.hpp"
#include "cli/ordered_parallel.hpp"
#include "cli/output.hpp"
#include "cli/progress.hpp"
#include "cli/report_json.hpp"
#include "cli/same_file.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::cli {
namespace {

Report write_score(const Score& score, const ConvertOptions& options, Sink& sink) {
  switch (options.format) {
    case OutputFormat::musicxml:
      return write_musicxml(score, options.musicxml, sink);
    case OutputFormat::mxl:
      return write_mxl(score, options.musicxml, sink);
    case OutputFormat::midi:
      return write_midi(score, options.midi, sink);
    case OutputFormat::text:
      break;
  }
  return write_text_tab(score, options.text, sink);
}

void refuse_losses(const Report& report, bool strict) {
  if (!strict || !report.has_losses()) return;
  const auto& entries = report.entries();
  const auto is_loss = [](const Entry& one) { return one.kind == EntryKind::loss; };
  const auto kinds = std::count_if(entries.begin(), entries.end(), is_loss);
  const Entry& first = *std::find_if(entries.begin(), entries.end(), is_loss);
  const std::string others = kinds > 1 ? " (and more)" : "";
  throw UnplayableError("would lose: " + first.text + others + "; nothing was written because of --strict",
                        first.places.empty() ? Place{} : first.places.front());
}

// Writes the score, and reports what it loses by that. Where nothing may be lost, that is known only in the
// end: into an output that cannot be taken back, the first byte then goes after the last has been made.
void produce(const Score& score, const ConvertOptions& options, const SourceFingering& source, Sink& sink,
             bool can_be_taken_back, Report& report) {
  const bool ahead = options.strict && !can_be_taken_back;
  StringSink whole;
  Sink& to = ahead ? whole : sink;
  report.merge(losses_of_source(write_score(score, options, to), source));
  refuse_losses(report, options.strict);
  if (ahead) sink.write(whole.str());
}

void write_output(const Score& score, const ConvertOptions& options, const SourceFingering& source,
                  const std::string& path, Report& report) {
  if (path == standard_stream) {
    DescriptorSink out(STDOUT_FILENO);
    produce(score, options, source, out, false, report);
    out.flush();
    return;
  }
  if (!options.directory.empty()) {
    std::error_code error;
    std::filesystem::create_directories(options.directory, error);
    if (error) throw WriteError("cannot be written: the directory cannot be created: " + error.message());
  }
  OutputFile file(path, options.force);
  produce(score, options, source, file, file.can_be_taken_back(), report);
  file.commit();
}

Conversion convert_one(const std::string& input, const std::string& output, const ConvertOptions& options) {
  Conversion conversion{input, output, {}, {}};
  try {
    if (output != standard_stream) require_free(output, options.force);
    Loaded reading = load(input, options.in, options.hands.transpose);
    conversion.report = std::move(reading.report);
    refuse_losses(conversion.report, options.strict);
    const FingeringResult fingered = finger_loaded(reading, options.in, options.hands);
    const SourceFingering& source = fingered.source;
    conversion.report.merge(fingered.report);
    conversion.report.merge(put_on(reading.score, options.labels, input));
    refuse_losses(conversion.report, options.strict);
    write_output(reading.score, options, source, output, conversion.report);
  } catch (...) {
    conversion.failure = current_failure(input_name(input), output_name(output));
  }
  return conversion;
}

// The input's name in the directory, with the format's extension instead of its own.
std::string output_in(const std::string& directory, const std::string& input, OutputFormat format) {
  const std::filesystem::path name = std::filesystem::path(input).filename();
  const std::string stem = format_by_extension(name.string()) ? name.stem().string() : name.string();
  return (std::filesystem::path(directory) / (stem + std::string(extension(format)))).string();
}

std::vector<std::string> outputs_for(const ConvertOptions& options) {
  if (options.directory.empty()) return {options.output};
  std::vector<std::string> outputs;
  std::unordered_map<std::string, const std::string*> input_of;
  for (const std::string& input : options.inputs) {
    outputs.push_back(output_in(options.directory, input, options.format));
    const auto [other, is_new] = input_of.emplace(outputs.back(), &input);
    if (!is_new) {
      throw UsageError("'" + printable(*other->second) + "' and '" + printable(input) +
                       "' would both be written to '" + printable(outputs.back()) +
                       "'; use different directories");
    }
  }
  return outputs;
}

void print_report(const Conversion& conversion, bool quiet) {
  if (!quiet) say(report_lines(input_name(conversion.input), conversion.report));
  if (conversion.failure && !conversion.failure->silent) say(error_line(*conversion.failure));
}

}  // namespace

Status run(const ConvertOptions& options) {
  const std::vector<std::string> outputs = outputs_for(options);
  refuse_to_write_over_inputs(options.inputs, outputs);
  const std::size_t count = options.inputs.size();
  std::vector<Conversion> conversions(count);
  Progress progress(count, !options.quiet);
  std::size_t failed = 0;
  Status status = Status::done;

  const auto work = [&](std::size_t at) {
    conversions[at] = convert_one(options.inputs[at], outputs[at], options);
  };
  const auto done = [&](std::size_t at) {
    Conversion& conversion = conversions[at];
    progress.clear();
    print_report(conversion, options.quiet);
    progress.show(at + 1);
    if (conversion.failure) {
      ++failed;
      if (status == Status::done) status = conversion.failure->status;
    }
    if (!options.json) conversion.report = {};  // printed; a large batch need not keep it
  };
  run_in_order(count, options.jobs, work, done);
  progress.clear();

  if (count > 1 && !options.quiet) {
    say("fifthpeg: " + std::to_string(count - failed) + " converted, " + std::to_string(failed) +
        " failed\n");
  }
  if (options.json) {
    print(report_json(conversions, status));
  }
  return status;
}

}  // namespace fifthpeg::cli
