#include "cli/input.hpp"

#include <algorithm>
#include <array>
#include <cerrno>
#include <fcntl.h>
#include <poll.h>
#include <sys/stat.h>
#include <system_error>
#include <unistd.h>

#include "cli/descriptor.hpp"
#include "cli/messages.hpp"
#include "cli/options.hpp"
#include "fifthpeg/errors.hpp"

namespace fifthpeg::cli {
namespace {

class Descriptor {
 public:
  explicit Descriptor(int number) : number_(number) {}
  Descriptor(const Descriptor&) = delete;
  Descriptor& operator=(const Descriptor&) = delete;
  ~Descriptor() {
    if (number_ > STDERR_FILENO) ::close(number_);
  }
  int number() const { return number_; }

 private:
  int number_;
};

[[noreturn]] void fail_reading(int error) {
  std::string advice;
  if (error == ENOENT) advice = "; check the name";
  if (error == EACCES || error == EPERM) advice = "; ask its owner for permission to read it";
  if (error == EISDIR) throw ReadError("is a directory; name the files in it");
  throw ReadError("cannot be read: " + std::generic_category().message(error) + advice);
}

void require_regular(const struct stat& status) {
  if (S_ISREG(status.st_mode)) return;
  if (S_ISDIR(status.st_mode)) throw ReadError("is a directory; name the files in it");
  if (S_ISFIFO(status.st_mode))
    throw ReadError("is a pipe, not a file; redirect it to standard input and name it -");
  throw ReadError("is a device or socket, not a file; redirect it to standard input and name it -");
}

std::string limit_text(std::size_t bytes) {
  if (bytes % (std::size_t{1} << 20) == 0) return std::to_string(bytes >> 20) + " MiB";
  return std::to_string(bytes) + " bytes";
}

[[noreturn]] void too_large(std::size_t max_bytes) {
  throw ReadError("is larger than the limit of " + limit_text(max_bytes) + "; raise it with --max-bytes");
}

}  // namespace

std::string read_input(const std::string& path, std::size_t max_bytes) {
  const bool is_file = path != standard_stream;
  // Not blocking, since opening a named pipe would wait for somebody to write into it.
  const Descriptor file(is_file ? ::open(path.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC) : STDIN_FILENO);
  if (file.number() < 0) fail_reading(errno);

  std::string bytes;
  if (is_file) {
    struct stat status {};
    if (::fstat(file.number(), &status) != 0) fail_reading(errno);
    require_regular(status);
    const auto size = static_cast<std::size_t>(std::max<off_t>(status.st_size, 0));
    if (size > max_bytes) too_large(max_bytes);
    bytes.reserve(size + 1);
  }
  std::array<char, std::size_t{1} << 16> piece{};
  while (true) {
    const ssize_t got = ::read(file.number(), piece.data(), piece.size());
    if (got < 0 && (errno == EINTR || (errno == EAGAIN && wait_until_ready(file.number(), POLLIN)))) continue;
    if (got < 0) fail_reading(errno);
    if (got == 0) return bytes;
    bytes.append(piece.data(), static_cast<std::size_t>(got));
    if (bytes.size() > max_bytes) too_large(max_bytes);
  }
}

std::string read_option_file(std::string_view option, std::string_view path) {
  constexpr std::size_t most_bytes = std::size_t{1} << 20;
  try {
    return read_input(std::string(path), most_bytes);
  } catch (const ReadError& error) {
    throw ReadError(std::string(option) + " " + printable(path) + ": " + error.what());
  }
}

}  // namespace fifthpeg::cli
