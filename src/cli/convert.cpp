#include <algorithm>
#include <cstdint>
#include <filesystem>
#include <set>
#include <string>
#include <string_view>
#include <sys/stat.h>
#include <system_error>
#include <utility>
#include <vector>

#include "base/text.hpp"
#include "cli/batch_state.hpp"
#include "cli/commands.hpp"
#include "cli/hints.hpp"
#include "cli/load.hpp"
#include "cli/messages.hpp"
#include "cli/option_values.hpp"
#include "cli/ordered_parallel.hpp"
#include "cli/output.hpp"
#include "cli/progress.hpp"
#include "cli/report_json.hpp"
#include "cli/same_file.hpp"
#include "cli/write_parts.hpp"
#include "engraving/count.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::cli {
namespace {

bool exists(const std::string& path) {
  struct stat status {};
  return ::lstat(path.c_str(), &status) == 0;
}

void write_conversion(const Parts& parts, const ConvertOptions& options, const SourceFingering& source,
                      const std::string& path, Report& report) {
  const bool is_batch = !options.directory.empty();  // which waits for the disk at its end
  if (is_batch && path != standard_stream) {
    std::error_code error;
    std::filesystem::create_directories(options.directory, error);
    if (error) throw WriteError("cannot be written: the directory cannot be created: " + error.message());
  }
  const auto disk = is_batch ? OutputFile::Disk::leave : OutputFile::Disk::wait;
  write_output(parts, options.writing, source,
               {path, disk, options.in.read.max_bytes, options.arrange.has_value()}, report);
}

// "2 &", as it stands under the tab; "2.75" where nothing is counted aloud.
std::string count_of(const Measure& measure, const Stroke& stroke, bool first) {
  std::string number;
  for (const engraving::CountedPlace& place : engraving::counted_places(measure, first)) {
    const bool is_number = !place.label.empty() && place.label.front() >= '0' && place.label.front() <= '9';
    if (is_number) number = place.label;
    if (place.offset != stroke.onset || number.empty()) continue;
    if (is_number) return number;
    if (place.label == "&" || place.label == "e" || place.label == "a") return number + " " + place.label;
  }
  return counted_as(beat_at(measure, stroke.onset));
}

// "3:0+1:0" is string 3 open and string 1 open, as in the reason.
std::string places_of(const Stroke& stroke) {
  std::string text;
  for (const Note& note : stroke.notes) {
    if (!note.placement) continue;
    if (!text.empty()) text += '+';
    text += std::to_string(note.placement->string) + ':' + std::to_string(note.placement->fret);
  }
  return text;
}

// "measure 3, beat 2 &, 3:0: melody".
void say_reasons(const Arrangement& arrangement) {
  std::string lines;
  for (const Reason& reason : arrangement.reasons) {
    const Measure& measure = arrangement.score.measures[reason.measure];
    const Stroke& stroke = measure.strokes[reason.stroke];
    lines.append(to_string(Place{{}, measure.number, {}, 0, -1, 0}));
    lines.append(", beat ").append(count_of(measure, stroke, reason.measure == 0));
    lines.append(", ").append(places_of(stroke)).append(": ").append(reason.text).append("\n");
  }
  say(lines);
}

// An arrangement is for the banjo that was asked for, and else for one that suits the melody.
Report arrange_loaded(const Score& melody, const ConvertOptions& options, Parts& parts) {
  ArrangeOptions arranging = *options.arrange;
  arranging.key = options.in.key;
  arranging.source_key = options.in.source_key;
  arranging.keep_tuning = options.in.banjo.tuning.has_value();
  arranging.keep_capo = options.in.banjo.capo.has_value();
  Arrangement arrangement = arrange(melody, arranging);
  say_reasons(arrangement);
  parts.score = std::move(arrangement.score);
  if (arrangement.backup) parts.further.push_back(std::move(*arrangement.backup));
  Report report;
  for (Entry entry : arrangement.report.entries()) {
    const bool minor = is_minor(parts.score.measures.front().key.mode);
    if (entry.slug == "capo-shapes")
      entry.text += hint_of_key_for_capo(parts.score.banjo, minor, arranging.style);
    report.add(entry);
  }
  return report;
}

// A further part keeps its name, and has its tempo from the first.
void put_on_further(Score& further, const Score& first, Labels labels, const std::string& input) {
  labels.part_name = further.part_name;
  put_on(further, labels, input);
  further.work = first.work;
}

void convert_one(Conversion& conversion, const ConvertOptions& options) {
  const std::string& input = conversion.input;
  const std::string& output = conversion.output;
  try {
    if (options.skip_existing && output != standard_stream && exists(output)) {
      conversion.skipped = true;
      return;
    }
    if (output != standard_stream) require_free(output, options.writing.force);
    Loaded reading =
        options.arrange ? load_melody(input, options.in) : load(input, options.in, &options.hands);
    conversion.report = std::move(reading.report);
    refuse_losses(conversion.report, options.writing.strict);
    SourceFingering source;
    Parts parts;
    if (options.arrange) {
      conversion.report.merge(options.licks_report);
      conversion.report.merge(arrange_loaded(reading.score, options, parts));
    } else {
      const FingeringResult fingered = finger_loaded(reading, options.in, options.hands);
      source = fingered.source;
      conversion.report.merge(fingered.report);
      parts.score = std::move(reading.score);
    }
    conversion.report.merge(put_on(parts.score, options.writing.labels, input));
    for (Score& further : parts.further) put_on_further(further, parts.score, options.writing.labels, input);
    refuse_losses(conversion.report, options.writing.strict);
    write_conversion(parts, options, source, output, conversion.report);
  } catch (...) {
    conversion.failure = current_failure(input_name(input), output_name(output));
  }
}

// The input's name in the directory, with the format's extension instead of its own.
std::string output_in(const std::string& directory, const std::string& input, OutputFormat format) {
  const std::filesystem::path name = std::filesystem::path(input).filename();
  const std::string stem = format_by_extension(name.string()) ? name.stem().string() : name.string();
  return (std::filesystem::path(directory) / (stem + std::string(extension(format)))).string();
}

// Each input with its output. Those that would take the same file have failed before they begin.
std::vector<Conversion> plan(const ConvertOptions& options) {
  std::vector<std::string> outputs;
  for (const std::string& input : options.inputs) {
    outputs.push_back(options.directory.empty()
                          ? options.output
                          : output_in(options.directory, input, options.writing.format));
  }
  std::vector<std::string> all_written;
  if (options.json)
    all_written.emplace_back(standard_stream);  // first: with that, nothing at all can be said
  all_written.insert(all_written.end(), outputs.begin(), outputs.end());
  std::vector<std::string> all_read = options.in.also_read;
  all_read.insert(all_read.end(), options.inputs.begin(), options.inputs.end());
  refuse_to_write_over_inputs(all_read, all_written);

  const auto shared = shared_outputs(outputs);
  std::vector<Conversion> conversions;
  for (std::size_t at = 0; at < outputs.size(); ++at) {
    Conversion& conversion = conversions.emplace_back();
    conversion.input = options.inputs[at];
    conversion.output = outputs[at];
    if (!shared[at]) continue;
    conversion.failure =
        Failure{Status::usage,
                conversion.input,
                {},
                "shared-output",
                "would be written to '" + outputs[at] + "', and so would '" + options.inputs[*shared[at]] +
                    "'; convert one of them into another directory",
                false};
  }
  return conversions;
}

// Of a file among many, its first loss alone; what recordings lose is told of all of them together.
std::string loss_line(const Conversion& conversion) {
  const auto& entries = conversion.report.entries();
  const auto first = std::find_if(entries.begin(), entries.end(), is_telling_loss);
  if (first == entries.end()) return {};
  const auto others = static_cast<std::uint64_t>(std::count_if(first + 1, entries.end(), is_telling_loss));
  return printable(input_name(conversion.input)) + ": " + printable(to_text(with_hint(*first))) +
         (others > 0 ? "; " + base::counted(others, "other kind") + " of loss" : "") + "\n";
}

// What is said of a batch: a line for each input that loses something, and at the end what else there is to
// know, with all that failed in one place.
class BatchReport {
 public:
  explicit BatchReport(bool quiet) : quiet_(quiet) {}

  void add(const Conversion& conversion) {
    if (conversion.skipped) ++skipped_;
    if (conversion.failure) {
      failures_ += error_line(*conversion.failure);
      ++failed_;
      return;
    }
    if (!conversion.skipped) ++converted_;
    bool loses = false;
    for (const Entry& entry : conversion.report.entries()) {
      if (is_of_recordings(entry)) {
        of_recordings_.insert(entry.text);
        loses = true;
      }
      if (entry.kind == EntryKind::decision) ++decisions_;
      if (entry.kind == EntryKind::repair) ++repairs_;
    }
    if (loses) ++recordings_;
    if (!quiet_) say(loss_line(conversion));
  }

  void finish() const {
    if (!quiet_ && recordings_ > 0) say(recordings() + "\n");
    if (!quiet_ && decisions_ + repairs_ > 0) say(unlisted() + "; --json lists them\n");
    say(failures_);
    if (quiet_) return;
    say("fifthpeg: " + std::to_string(converted_) + " converted, " + std::to_string(failed_) + " failed" +
        (skipped_ > 0 ? ", " + std::to_string(skipped_) + " skipped" : "") + "\n");
  }

 private:
  // "11 decisions and 1 repair".
  std::string unlisted() const {
    std::string text;
    if (decisions_ > 0) text = base::counted(decisions_, "decision");
    if (repairs_ > 0) text += (text.empty() ? "" : " and ") + base::counted(repairs_, "repair");
    return text;
  }

  // "lost in 4 files: the loudness of the notes was ignored".
  std::string recordings() const {
    std::string text = "lost in " + base::counted(recordings_, "file") + ": ";
    for (const std::string& one : of_recordings_)
      text += (&one == &*of_recordings_.begin() ? "" : "; ") + one;
    return text;
  }

  bool quiet_;
  std::string failures_;
  std::set<std::string> of_recordings_;
  std::uint64_t recordings_ = 0;
  std::uint64_t converted_ = 0;
  std::uint64_t failed_ = 0;
  std::uint64_t skipped_ = 0;
  std::uint64_t decisions_ = 0;
  std::uint64_t repairs_ = 0;
};

void print_report(const Conversion& conversion, bool quiet) {
  if (!quiet) say(report_lines(input_name(conversion.input), conversion.report));
  if (conversion.failure) say_failure(*conversion.failure);
}

}  // namespace

Status run(const ConvertOptions& options) {
  std::vector<Conversion> conversions = plan(options);
  const std::size_t count = conversions.size();
  const bool is_batch = count > 1;
  Progress progress(count, !options.quiet);
  BatchReport batch(options.quiet);
  Status status = Status::done;
  BatchState& state = batch_state();
  if (is_batch) state.total = count;

  const auto work = [&](std::size_t at) {
    if (!conversions[at].failure) convert_one(conversions[at], options);
    if (conversions[at].failure) ++state.failed;
    ++state.finished;
  };
  const auto done = [&](std::size_t at) {
    Conversion& conversion = conversions[at];
    progress.clear();
    if (is_batch) {
      batch.add(conversion);
    } else {
      print_report(conversion, options.quiet);
    }
    progress.show(at + 1);
    if (conversion.failure && status == Status::done) status = conversion.failure->status;
    if (!options.json) conversion.report = {};  // printed; a large batch need not keep it
  };
  run_in_order(count, options.jobs, work, done);
  progress.clear();
  state.total = 0;

  const auto is_written = [](const Conversion& one) { return !one.failure && !one.skipped; };
  if (!options.directory.empty() && std::any_of(conversions.begin(), conversions.end(), is_written)) {
    wait_for_disk_of(options.directory);
  }
  if (is_batch) batch.finish();
  if (options.json) print(report_json(conversions, status));
  return status;
}

}  // namespace fifthpeg::cli
