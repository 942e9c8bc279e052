#include "cli/messages.hpp"

#include <cerrno>
#include <new>
#include <stdexcept>
#include <unistd.h>

#include "cli/options.hpp"
#include "cli/output.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::cli {
namespace {

std::string_view verb(EntryKind kind) {
  switch (kind) {
    case EntryKind::loss:
      return "lost";
    case EntryKind::repair:
      return "repaired";
    case EntryKind::decision:
      break;
  }
  return "decided";
}

std::string unforeseen(const std::string& what) {
  return "stopped by an unexpected error (" + what + "); please report it together with the file";
}

}  // namespace

Failure current_failure(std::string_view input, std::string_view output) {
  const auto failure = [](Status status, std::string_view file, const Error& error) {
    return Failure{status, std::string(file), error.place(), error.what()};
  };
  const auto unreadable = [&](const std::string& what) {
    return Failure{Status::unreadable, std::string(input), {}, what};
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
  } catch (const UnplayableError& error) {
    return failure(Status::refused, input, error);
  } catch (const std::bad_alloc&) {
    return unreadable("needs more memory than is available; try a smaller file");
  } catch (const std::overflow_error&) {  // see fraction.hpp
    return unreadable("holds times that are too long or too finely divided; shorten or simplify it");
  } catch (const std::exception& error) {
    return unreadable(unforeseen(error.what()));
  } catch (...) {
    return unreadable(unforeseen("an unknown exception"));
  }
}

std::string error_line(const Failure& failure) {
  std::string line = "fifthpeg: ";
  if (!failure.file.empty()) line += printable(failure.file) + ": ";
  const std::string place = to_string(failure.place);
  if (!place.empty()) line += printable(place) + ": ";
  return line + printable(failure.what) + "\n";
}

std::string report_lines(std::string_view file, const Report& report) {
  std::string lines;
  for (const Entry& told : report.entries()) {
    std::string text = printable(told.text);
    if (text.ends_with('.')) text.pop_back();  // a bracket may follow
    lines += printable(file) + ": " + std::string(verb(told.kind)) + ": " + text;
    const std::string place = told.places.empty() ? std::string() : to_string(told.places.front());
    if (told.count > 1) {
      lines += " (" + std::to_string(told.count) + " times";
      if (!place.empty()) lines += ", first at " + printable(place);
      lines += ")";
    } else if (!place.empty()) {
      lines += " (" + printable(place) + ")";
    }
    lines += "\n";
  }
  return lines;
}

std::string_view word(EntryKind kind) {
  switch (kind) {
    case EntryKind::loss:
      return "loss";
    case EntryKind::repair:
      return "repair";
    case EntryKind::decision:
      break;
  }
  return "choice";
}

void say(std::string_view text) {
  while (!text.empty()) {
    const ssize_t written = ::write(STDERR_FILENO, text.data(), text.size());
    if (written < 0 && errno == EINTR) continue;
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
