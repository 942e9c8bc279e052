#include <algorithm>
#include <filesystem>
#include <string>
#include <utility>
#include <vector>

#include "cli/commands.hpp"
#include "cli/fit_answer.hpp"
#include "cli/labels.hpp"
#include "cli/lick_folder.hpp"
#include "cli/lick_in_tune.hpp"
#include "cli/messages.hpp"
#include "cli/output.hpp"
#include "cli/same_file.hpp"
#include "cli/write_parts.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/licks.hpp"

namespace fifthpeg::cli {
namespace {

// ---- lists ---------------------------------------------------------------------------------------

LickAnswered places_of(const OwnLick& lick, const Score& tune, const FitOptions& options) {
  LickAnswered answered;
  answered.lick = lick.name;
  try {
    answered.places = places_for(tune, lick.score, options);
    if (answered.places.empty()) answered.why_none = why_no_place(tune, lick.score, options);
  } catch (const UsageError& error) {
    answered.why_none = error.what();
  } catch (const UnplayableError& error) {
    answered.why_none = error.what();
  }
  return answered;
}

Status list(const FitRequest& request, const HostTune& tune, const LickFolder& folder) {
  Report report = tune.report;
  report.merge(folder.report);
  std::vector<LickAnswered> answers;
  answers.reserve(folder.licks.size());
  for (const OwnLick& lick : folder.licks) {
    answers.push_back(places_of(lick, tune.score, request.fit));
    auto& places = answers.back().places;
    if (places.size() > request.most) places.resize(request.most);
  }
  const bool has_any = std::any_of(answers.begin(), answers.end(),
                                   [](const LickAnswered& one) { return !one.places.empty(); });
  report.merge(report_of_placeless(answers));
  if (request.json) {
    print(document(program_members(places_json(request.tune, tune.score, answers, report))));
  } else {
    print(places_text(tune.score, answers));
  }
  if (!request.quiet) say(report_lines(input_name(request.tune), report));
  return has_any ? Status::done : Status::refused;
}

// ---- versions ------------------------------------------------------------------------------------

// What is no lick, or cannot be played, is a matter of its file.
[[noreturn]] void blame(const OwnLick& lick, const Error& error) {
  throw UnplayableError(error.code(), "the lick " + lick.name + ": " + error.what(), error.place());
}
void require_lick(const OwnLick& lick) {
  try {
    lick_facts(lick.score);
  } catch (const UsageError& error) {
    blame(lick, error);
  } catch (const UnplayableError& error) {
    blame(lick, error);
  }
}

// OUT, or OUT-1, OUT-2 ... of several versions.
std::string version_name(const FitRequest& request, std::size_t version) {
  if (!request.tries) return request.output;
  const std::filesystem::path path(request.output);
  std::filesystem::path name = path.parent_path() / path.stem();
  name += "-" + std::to_string(version + 1) + path.extension().string();
  return name.string();
}

std::vector<std::string> version_names(const FitRequest& request) {
  std::vector<std::string> names;
  names.reserve(static_cast<std::size_t>(request.versions));
  for (std::size_t v = 0; v < static_cast<std::size_t>(request.versions); ++v)
    names.push_back(version_name(request, v));
  return names;
}

Status put(const FitRequest& request, HostTune& tune, const LickFolder& folder) {
  const OwnLick& lick = folder.licks.front();
  require_lick(lick);
  Report told = tune.report;
  told.merge(report_of_lick(lick.score));
  const std::vector<LickPlace> places =
      places_asked_for(tune.score, lick.score, "--at MEASURE", request.at,
                       static_cast<std::size_t>(request.versions), request.fit);
  if (places.size() < static_cast<std::size_t>(request.versions)) {
    told.add(EntryKind::decision, "fewer-versions",
             "the lick has no more places than " + std::to_string(places.size()) +
                 ", and so there are no more versions");
  }
  std::vector<Version> versions;
  versions.reserve(places.size());
  for (const LickPlace& place : places) {
    Version& version = versions.emplace_back();
    version.output = version_name(request, versions.size() - 1);
    version.place = place;
    Fitted fitted = fit_lick(tune.score, lick.score, place, request.fit);
    version.report = report_of_place(tune.score, place);
    version.report.merge(fitted.report);
    version.parts.score = std::move(fitted.score);
    version.report.merge(put_on(version.parts.score, request.writing.labels, request.tune));
  }
  refuse_losses(told, request.writing.strict);
  for (Version& version : versions) {
    write_output(version.parts, request.writing, tune.source,
                 {version.output, OutputFile::Disk::wait, request.in.read.max_bytes, !has_roles(tune.score)},
                 version.report);
  }
  if (request.json) {
    print(document(program_members(versions_json(request.tune, tune.score, lick.name, versions, told))));
  }
  if (request.quiet) return Status::done;
  say(report_lines(input_name(request.tune), told));
  for (const Version& version : versions)
    say(report_lines(request.tries ? version.output : input_name(request.tune), version.report));
  return Status::done;
}

}  // namespace

Status run(const FitRequest& request) {
  const bool lists = request.output.empty();
  try {
    std::vector<std::string> read = request.in.also_read;
    read.push_back(request.tune);
    const LickFolder folder =
        licks_in(request.one_lick ? "--lick" : "--licks", request.licks, request.in.read);
    read.insert(read.end(), folder.files.begin(), folder.files.end());
    if (request.one_lick && folder.licks.size() != 1)
      throw UsageError("--lick takes one file, and a folder is named; --licks lists places of many");
    std::vector<std::string> written;
    if (lists || request.json) written.emplace_back(standard_stream);
    if (!lists) {
      const std::vector<std::string> names = version_names(request);
      written.insert(written.end(), names.begin(), names.end());
    }
    refuse_to_write_over_inputs(read, written);
    if (!lists) {
      for (const std::string& output : version_names(request)) {
        if (output != standard_stream) require_free(output, request.writing.force);
      }
    }
    HostTune tune = load_host(request.tune, request.in, request.hands);
    if (lists) tune.report.erase("musicxml-layout");  // nothing is written
    return lists ? list(request, tune, folder) : put(request, tune, folder);
  } catch (...) {
    const Failure failure =
        current_failure(input_name(request.tune), output_name(lists ? standard_stream : request.output));
    const Status status = say_failure(failure);
    if (request.json && status != Status::unwritable)
      print(document(program_members(failure_members(request.tune, failure))));
    return status;
  }
}

}  // namespace fifthpeg::cli
