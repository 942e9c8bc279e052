#include "fifthpeg/sheet.hpp"

#include <algorithm>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "cli/commands.hpp"
#include "cli/fit_answer.hpp"
#include "cli/labels.hpp"
#include "cli/lick_in_tune.hpp"
#include "cli/load.hpp"
#include "cli/messages.hpp"
#include "cli/output.hpp"
#include "cli/same_file.hpp"
#include "fifthpeg/edit.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/licks.hpp"
#include "fifthpeg/page.hpp"
#include "formats/sheet/machine_fonts.hpp"

namespace fifthpeg::cli {
namespace {

// OUT, or OUT-1, OUT-2 ... for pages that are files of their own.
std::vector<std::string> output_names(const SheetRequest& request, std::size_t pages) {
  if (request.format == SheetFormat::pdf || pages == 1) return {request.output};
  const std::filesystem::path path(request.output);
  std::vector<std::string> names;
  for (std::size_t page = 1; page <= pages; ++page) {
    std::filesystem::path name = path.parent_path() / path.stem();
    name += "-" + std::to_string(page) + path.extension().string();
    names.push_back(name.string());
  }
  return names;
}

void write_page(const Sheet& sheet, const SheetRequest& request, std::size_t page, Sink& sink) {
  switch (request.format) {
    case SheetFormat::pdf:
      sheet.write_pdf(sink);
      return;
    case SheetFormat::svg:
      sheet.write_svg(page, sink);
      return;
    case SheetFormat::png:
      sheet.write_png(page, request.dots_per_inch, sink);
      return;
    case SheetFormat::html:  // of all pages together
      return;
  }
}

void write_outputs(const Sheet& sheet, const SheetRequest& request) {
  if (request.output == standard_stream) {
    DescriptorSink out(STDOUT_FILENO);
    sheet.write_pdf(out);
    out.flush();
    return;
  }
  const std::vector<std::string> names = output_names(request, sheet.pages());
  refuse_to_write_over_inputs(request.inputs, names);
  std::vector<std::unique_ptr<OutputFile>> files;
  for (std::size_t page = 0; page < names.size(); ++page) {
    files.push_back(std::make_unique<OutputFile>(names[page], request.force));
    write_page(sheet, request, page, *files.back());
  }
  for (const auto& file : files) file->commit();
}

Report write_html(const std::vector<Score>& pieces, const SheetOptions& options,
                  const SheetRequest& request) {
  refuse_to_write_over_inputs(request.inputs, {request.output});
  OutputFile file(request.output, request.force);
  Report report = write_page(pieces, options, file);
  file.commit();
  return report;
}

Report write_sheet(const std::vector<Score>& pieces, const SheetOptions& options,
                   const SheetRequest& request) {
  if (request.format == SheetFormat::html) return write_html(pieces, options, request);
  const Sheet sheet(pieces, options);
  write_outputs(sheet, request);
  return sheet.report();
}

// A lick in a tune, with the measures around it; nothing where it has no place there, which is reported.
std::optional<Score> in_its_place(const Score& lick, const Score& tune, const SheetRequest& request,
                                  Report& report) {
  Fitted fitted;
  try {
    const auto places =
        places_asked_for(tune, lick, "--in-tune TUNE:MEASURE", request.in_tune.point, 1, FitOptions{});
    fitted = fit_lick(tune, lick, places.front());
    report.merge(report_of_place(tune, places.front()));
  } catch (const UnplayableError& error) {
    report.add(EntryKind::decision, "lick-without-place", error.what(), error.place());
    return std::nullopt;
  }
  report.merge(fitted.report);
  const std::size_t first = fitted.first - std::min<std::size_t>(fitted.first, 1);
  const std::size_t last = std::min(fitted.last + 1, fitted.score.measures.size() - 1);
  Score shown = slice(fitted.score, first, last + 1 - first);
  shown.part_name = lick.part_name;
  shown.work = tune.work;
  shown.work.title = lick.work.title + " in " + (tune.work.title.empty() ? "its tune" : tune.work.title);
  return shown;
}

}  // namespace

Status run(const SheetRequest& request) {
  std::vector<std::string> read = request.in.also_read;
  if (!request.in_tune.tune.empty()) read.push_back(request.in_tune.tune);
  read.insert(read.end(), request.inputs.begin(), request.inputs.end());
  refuse_to_write_over_inputs(read, {request.output});
  sheet::look_for_fonts_without_rules();
  std::string name;
  try {
    if (request.output != standard_stream) require_free(request.output, request.force);
    SheetOptions options = request.sheet;
    Labels labels = request.labels;
    if (request.inputs.size() > 1 || !request.in_tune.tune.empty()) {
      options.title = labels.title.value_or("");
      labels.title.reset();
    }
    std::optional<HostTune> tune;
    if (!request.in_tune.tune.empty()) {
      name = input_name(request.in_tune.tune);
      tune = load_host(request.in_tune.tune, request.in, request.hands);
      tune->report.erase("musicxml-layout");
      if (!request.quiet) say(report_lines(name, tune->report));
    }
    std::vector<Score> pieces;
    for (const std::string& input : request.inputs) {
      name = input_name(input);
      Loaded reading = load(input, request.in, &request.hands);
      reading.report.erase("musicxml-layout");  // ours is another
      const FingeringResult fingered = finger_loaded(reading, request.in, request.hands);
      reading.report.merge(fingered.report);
      reading.report.merge(put_on(reading.score, labels, input));
      pieces.push_back(std::move(reading.score));
      if (tune) {
        if (auto shown = in_its_place(pieces.back(), tune->score, request, reading.report)) {
          options.kept_whole.push_back(pieces.size());
          pieces.push_back(std::move(*shown));
          options.roles = true;  // so that it is seen there
        }
      }
      if (!request.quiet) say(report_lines(name, reading.report));
    }
    name.clear();
    const Report written = write_sheet(pieces, options, request);
    if (!request.quiet) say(report_lines(output_name(request.output), written));
    return Status::done;
  } catch (...) {
    return say_failure(current_failure(name, output_name(request.output)));
  }
}

}  // namespace fifthpeg::cli
