#include "fifthpeg/practice.hpp"

#include <algorithm>
#include <array>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "cli/commands.hpp"
#include "cli/labels.hpp"
#include "cli/load.hpp"
#include "cli/messages.hpp"
#include "cli/output.hpp"
#include "cli/same_file.hpp"
#include "fifthpeg/audio_file.hpp"

namespace fifthpeg::cli {
namespace {

// A track is for hearing: of what MIDI loses, only that is told.
Report heard_losses(const Report& report) {
  constexpr std::array<std::string_view, 8> slugs{"midi-bend-range",  "midi-choke",       "midi-dead",
                                                  "midi-harmonic",    "midi-pitch-range", "midi-slide",
                                                  "midi-tempo-range", "midi-rounded-time"};
  Report heard;
  for (const Entry& entry : report.entries()) {
    if (std::find(slugs.begin(), slugs.end(), entry.slug) != slugs.end()) heard.add(entry);
  }
  return heard;
}

Report write_track(const Practice& practice, PracticeFormat format, Sink& sink) {
  if (format == PracticeFormat::midi) {
    MidiOptions midi;
    midi.channel_per_string = true;  // so that bends sound
    midi.clicks = practice.clicks;
    if (!practice.backing.empty()) midi.further_programs = backing_programs();
    return heard_losses(write_midi(practice.score, practice.backing, midi, sink));
  }
  const Sounding sounds = sounding(practice.score, practice.backing, practice.clicks);
  return write_audio(sounds, format == PracticeFormat::flac ? AudioFormat::flac : AudioFormat::wav, sink);
}

Report write_output(const Practice& practice, const PracticeRequest& request) {
  if (request.output == standard_stream) {
    DescriptorSink out(STDOUT_FILENO);
    Report report = write_track(practice, request.format, out);
    out.flush();
    return report;
  }
  OutputFile file(request.output, request.force);
  Report report = write_track(practice, request.format, file);
  file.commit();
  return report;
}

}  // namespace

Status run(const PracticeRequest& request) {
  const std::string name = input_name(request.input);
  std::vector<std::string> read = request.in.also_read;
  read.push_back(request.input);
  refuse_to_write_over_inputs(read, {request.output});
  try {
    if (request.output != standard_stream) require_free(request.output, request.force);
    Loaded reading = load(request.input, request.in, &request.hands);
    reading.report.erase("musicxml-layout");  // nothing is printed
    reading.report.merge(finger_loaded(reading, request.in, request.hands).report);
    reading.report.merge(put_on(reading.score, request.labels, request.input));
    reading.report.erase("part-named-banjo");
    if (request.format != PracticeFormat::midi) reading.report.erase("title-from-name");
    const Practice practiced = practice(reading.score, request.practice);
    reading.report.merge(practiced.report);
    reading.report.merge(write_output(practiced, request));
    if (!request.quiet) say(report_lines(name, reading.report));
    return Status::done;
  } catch (...) {
    return say_failure(current_failure(name, output_name(request.output)));
  }
}

}  // namespace fifthpeg::cli
