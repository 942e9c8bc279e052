#include "cli/messages.hpp"

#include <cerrno>
#include <cstdint>
#include <exception>
#include <new>
#include <unistd.h>

#include "cli/hints.hpp"
#include "cli/options.hpp"
#include "cli/output.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::cli {
namespace {

// The length in bytes of the UTF-8 character at the front of the text, and the character; length 0 for
// bytes that are none (RFC 3629: no overlong forms, no surrogates, nothing above U+10FFFF).
struct Character {
  std::size_t length = 0;
  char32_t code = 0;
};

Character decode(std::string_view text) {
  const auto byte = [&](std::size_t at) { return static_cast<unsigned char>(text[at]); };
  const unsigned char lead = byte(0);
  if (lead < 0x80) return {1, lead};
  std::size_t length = 0;
  char32_t code = 0;
  char32_t smallest = 0;
  if ((lead & 0xE0) == 0xC0) {
    length = 2, code = lead & 0x1FU, smallest = 0x80;
  } else if ((lead & 0xF0) == 0xE0) {
    length = 3, code = lead & 0x0FU, smallest = 0x800;
  } else if ((lead & 0xF8) == 0xF0) {
    length = 4, code = lead & 0x07U, smallest = 0x10000;
  }
  if (length == 0 || text.size() < length) return {};
  for (std::size_t at = 1; at < length; ++at) {
    if ((byte(at) & 0xC0) != 0x80) return {};
    code = (code << 6) | (byte(at) & 0x3FU);
  }
  if (code < smallest || code > 0x10FFFF || (code >= 0xD800 && code <= 0xDFFF)) return {};
  return {length, code};
}

bool is_harmless(char32_t code) {
  if (code < 0x20 || (code >= 0x7F && code < 0xA0)) return false;  // C0, DEL, C1
  if (code == 0x2028 || code == 0x2029) return false;              // line and paragraph separators
  // Bidirectional controls (Unicode Standard Annex 9).
  return !(code == 0x200E || code == 0x200F || (code >= 0x202A && code <= 0x202E) ||
           (code >= 0x2066 && code <= 0x2069));
}

std::string unforeseen(const std::string& what) {
  return "stopped by something unforeseen (" + what + "); please report this together with the file";
}

}  // namespace

std::string printable(std::string_view text) {
  std::string result;
  result.reserve(text.size());
  while (!text.empty()) {
    const Character character = decode(text);
    if (character.length != 0 && is_harmless(character.code)) {
      result.append(text.substr(0, character.length));
    } else {
      result += '?';
    }
    text.remove_prefix(character.length == 0 ? 1 : character.length);
  }
  return result;
}

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
  } catch (const UnplayableError& error) {
    return failure(Status::refused, input, error);
  } catch (const Error& error) {
    return failure(Status::unreadable, input, error);
  } catch (const std::bad_alloc&) {
    return unreadable("out-of-memory", "needs more memory than there is; try a smaller file");
  } catch (const std::exception& error) {
    return unreadable("unforeseen", unforeseen(error.what()));
  } catch (...) {
    return unreadable("unforeseen", unforeseen("an unknown exception"));
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
  for (const Entry& entry : report.entries()) {
    lines += printable(file) + ": " + printable(to_text(with_hint(entry))) + "\n";
  }
  return lines;
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
