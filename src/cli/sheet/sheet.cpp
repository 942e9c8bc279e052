#include "fifthpeg/sheet.hpp"

#include <filesystem>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "cli/commands.hpp"
#include "cli/labels.hpp"
#include "cli/load.hpp"
#include "cli/messages.hpp"
#include "cli/output.hpp"
#include "cli/same_file.hpp"
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

}  // namespace

Status run(const SheetRequest& request) {
  std::vector<std::string> read = request.in.also_read;
  read.insert(read.end(), request.inputs.begin(), request.inputs.end());
  refuse_to_write_over_inputs(read, {request.output});
  sheet::look_for_fonts_without_rules();
  std::string name;
  try {
    if (request.output != standard_stream) require_free(request.output, request.force);
    SheetOptions options = request.sheet;
    Labels labels = request.labels;
    if (request.inputs.size() > 1) {
      options.title = labels.title.value_or("");
      labels.title.reset();
    }
    std::vector<Score> pieces;
    for (const std::string& input : request.inputs) {
      name = input_name(input);
      Loaded reading = load(input, request.in, &request.hands);
      reading.report.erase("musicxml-layout");  // ours is another
      const FingeringResult fingered = finger_loaded(reading, request.in, request.hands);
      reading.report.merge(fingered.report);
      reading.report.merge(put_on(reading.score, labels, input));
      if (!request.quiet) say(report_lines(name, reading.report));
      pieces.push_back(std::move(reading.score));
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
