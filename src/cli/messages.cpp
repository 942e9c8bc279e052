#include "cli/messages.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <exception>
#include <new>
#include <poll.h>
#include <unistd.h>

#include "cli/descriptor.hpp"
#include "cli/hints.hpp"
#include "cli/options.hpp"
#include "cli/output.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::cli {
namespace {

std::string unforeseen(const std::string& what) {
  return "stopped by an unexpected error (" + what + "); please report it together with the file";
}

}  // namespace

Failure current_failure(std::string_view input, std::string_view output) {
  const auto failure = [](Status status, std::string_view file, const Error& error) {
    return Failure{status, std::string(file), error.place(), error.code(), with_hint(error)};
  };
  const auto unreadable = [&](const char* code, const std::string& what) {
    return Failure{Status::unreadable, std::string(input), {}, code, what};
  };
  try {
    throw;
  } catch (const OutputGone& error) {
    Failure gone = failure(Status::unwritable, output, error);
    gone.silent = true;
    return gone;
  } catch (const UsageError& error) {
    return failure(Status::usage, input, error);
  } catch (const ReadError& error) {
    return failure(Status::unreadable, input, error);
  } catch (const WriteError& error) {
    return failure(Status::unwritable, output, error);
  } catch (const OutputError& error) {
    return failure(Status::unwritable, output, error);
  } catch (const UnplayableError& error) {
    return failure(Status::refused, input, error);
  } catch (const Error& error) {
    return failure(Status::unreadable, input, error);
  } catch (const std::bad_alloc&) {
    return unreadable("out-of-memory", "needs more memory than is available; try a smaller file");
  } catch (const std::exception& error) {
    return unreadable("unforeseen", unforeseen(error.what()));
  } catch (...) {
    return unreadable("unforeseen", unforeseen("an unknown exception"));
  }
}

Status say_failure(const Failure& failure) {
  if (!failure.silent) say(error_line(failure));
  return failure.status;
}

std::string error_line(const Failure& failure) {
  std::string line = "fifthpeg: ";
  if (!failure.file.empty()) line += printable(failure.file) + ": ";
  const std::string place = to_string(failure.place);
  if (!place.empty()) line += printable(place) + ": ";
  return line + printable(failure.what) + "\n";
}

bool is_of_recordings(const Entry& entry) {
  // Things that tab and notation have no sign for.
  constexpr auto slugs = std::to_array<std::string_view>(
      {"midi-velocity", "midi-controller", "midi-aftertouch", "midi-device-name", "midi-another-name",
       "midi-sysex", "midi-sequencer-specific", "midi-smpte-offset", "midi-sequence-number",
       "midi-channel-prefix", "midi-port"});
  return std::find(slugs.begin(), slugs.end(), entry.slug) != slugs.end();
}

std::string report_lines(std::string_view file, const Report& report) {
  std::string lines;
  std::string of_recordings;
  for (const Entry& entry : report.entries()) {
    const std::string text = printable(to_text(with_hint(entry)));
    if (!is_of_recordings(entry)) {
      lines += printable(file) + ": " + text + "\n";
    } else if (of_recordings.empty()) {
      of_recordings = printable(file) + ": " + text;
    } else {
      of_recordings += "; " + text.substr(text.find(' ') + 1);  // without "lost:"
    }
  }
  return lines + (of_recordings.empty() ? "" : of_recordings + "\n");
}

void say(std::string_view text) {
  draw(base::printable_lines(text));
}

void say_out_of_memory() noexcept {
  draw("fifthpeg: needs more memory than is available\n");
}

void draw(std::string_view text) {
  while (!text.empty()) {
    const ssize_t written = ::write(STDERR_FILENO, text.data(), text.size());
    if (written < 0 && (errno == EINTR || (errno == EAGAIN && wait_until_ready(STDERR_FILENO, POLLOUT))))
      continue;
    if (written <= 0) return;
    text.remove_prefix(static_cast<std::size_t>(written));
  }
}

std::string input_name(std::string_view path) {
  return path == standard_stream ? "standard input" : std::string(path);
}

std::string output_name(std::string_view path) {
  return path == standard_stream ? "standard output" : std::string(path);
}

}  // namespace fifthpeg::cli
