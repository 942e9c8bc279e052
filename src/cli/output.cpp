#include "cli/output.hpp"

#include <array>
#include <cerrno>
#include <cstdint>
#include <cstdio>
#include <fcntl.h>
#include <filesystem>
#include <poll.h>
#include <signal.h>
#include <sys/random.h>
#include <sys/stat.h>
#include <system_error>
#include <unistd.h>
#include <utility>

#include "base/text.hpp"
#include "cli/descriptor.hpp"
#include "cli/temp_files.hpp"

namespace fifthpeg::cli {
namespace {

constexpr std::size_t piece = std::size_t{1} << 18;

std::string advice(int error) {
  switch (error) {
    case ENOENT:
      return "; create the directory first";
    case ENOTDIR:
      return "; a part of the path is not a directory";
    case EACCES:
    case EPERM:
    case EROFS:
      return "; choose a directory that you can write to";
    case ENOSPC:
    case EDQUOT:
      return "; free some space or write somewhere else";
    case EFBIG:
      return "; the size of files is limited (ulimit -f)";
    case ENAMETOOLONG:
      return "; choose a shorter name";
    default:
      return "";
  }
}

[[noreturn]] void fail_writing(int error) {
  if (error == EPIPE) throw OutputGone("the output is no longer read");
  throw OutputError("cannot be written: " + std::generic_category().message(error) + advice(error));
}

[[noreturn]] void exists() {
  throw OutputError("already exists; --force overwrites it");
}

// What is at a path, symbolic links followed; nothing where there is nothing.
bool look(const std::string& path, struct stat& status) {
  if (::stat(path.c_str(), &status) == 0) return true;
  if (errno == ENOENT) return false;
  fail_writing(errno);
}

bool is_written_directly(const struct stat& status) {
  return !S_ISREG(status.st_mode) && !S_ISDIR(status.st_mode);
}

// A name in the target's directory that is ours: short whatever the target's length, and random, so that
// two runs never meet.
std::string name_beside(const std::string& target) {
  std::uint64_t random = 0;
  if (::getrandom(&random, sizeof random, 0) != static_cast<ssize_t>(sizeof random)) {
    random = static_cast<std::uint64_t>(::getpid());
  }
  std::array<char, 48> name{};
  std::snprintf(name.data(), name.size(), ".fifthpeg-%016llx.part", static_cast<unsigned long long>(random));
  return (std::filesystem::path(target).parent_path() / name.data()).string();
}

// Renames without ever replacing. Where the system or the file system cannot do that in one step, a second
// name and the removal of the first come to the same. Where there are no second names either, the name is
// taken by an empty file, which is ours to replace.
void rename_to_free(const char* from, const std::string& to) {
  if (::renameat2(AT_FDCWD, from, AT_FDCWD, to.c_str(), RENAME_NOREPLACE) == 0) return;
  if (errno == EEXIST) exists();
  if (::link(from, to.c_str()) == 0) {
    ::unlink(from);
    return;
  }
  if (errno == EEXIST) exists();
  const int taken = ::open(to.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
  if (taken < 0 && errno == EEXIST) exists();
  if (taken < 0) fail_writing(errno);
  ::close(taken);
  if (::rename(from, to.c_str()) == 0) return;
  const int error = errno;
  ::unlink(to.c_str());
  fail_writing(error);
}

// Waits until what was written is on the disk. Some file systems have none to wait for.
void wait_for(int result) {
  if (result != 0 && errno != EINVAL && errno != EROFS && errno != ENOSYS) fail_writing(errno);
}

// Waits for the names in a directory, or for all of its file system.
void wait_for_directory(const std::string& directory, int (*wait)(int)) {
  const int descriptor =
      ::open(directory.empty() ? "." : directory.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (descriptor < 0) return;  // a directory that may be written to and not read
  const int result = wait(descriptor);
  const int error = errno;
  ::close(descriptor);
  errno = error;
  wait_for(result);
}

}  // namespace

void DescriptorSink::write(std::string_view bytes) {
  if (pending_.size() + bytes.size() > piece) flush();
  if (bytes.size() >= piece) {
    put(bytes);
  } else {
    pending_.append(bytes);
  }
}

void DescriptorSink::flush() {
  put(pending_);
  pending_.clear();
}

void DescriptorSink::put(std::string_view bytes) const {
  while (!bytes.empty()) {
    const ssize_t written = ::write(descriptor_, bytes.data(), bytes.size());
    if (written < 0 && (errno == EINTR || (errno == EAGAIN && wait_until_ready(descriptor_, POLLOUT))))
      continue;
    if (written < 0) fail_writing(errno);
    bytes.remove_prefix(static_cast<std::size_t>(written));
  }
}

void print(std::string_view text) {
  DescriptorSink out(STDOUT_FILENO);
  out.write(base::printable_lines(text));
  out.flush();
}

void require_free(const std::string& path, bool replace) {
  struct stat status {};
  if (!look(path, status)) {
    // A symbolic link to nowhere: writing through it would make a file in some other place.
    if (::lstat(path.c_str(), &status) == 0) {
      throw OutputError("is a symbolic link to a file that does not exist; name that file");
    }
    return;
  }
  if (S_ISDIR(status.st_mode)) throw OutputError("is a directory; name a file in it, or use -d");
  if (!replace && !is_written_directly(status)) exists();
}

OutputFile::OutputFile(const std::string& path, bool replace, Disk disk)
    : target_(path), replace_(replace), disk_(disk) {
  require_free(path, replace);
  struct stat status {};
  const bool there = look(target_, status);
  if (there && is_written_directly(status)) {
    descriptor_ = ::open(target_.c_str(), O_WRONLY | O_CLOEXEC | O_NOCTTY);
    if (descriptor_ < 0) fail_writing(errno);
  } else {
    if (there) {
      replaces_older_ = true;
      // The file that a symbolic link leads to is replaced, not the link.
      std::error_code error;
      const std::filesystem::path real = std::filesystem::canonical(target_, error);
      if (error) fail_writing(error.value());
      target_ = real.string();
      if (::access(target_.c_str(), W_OK) != 0) fail_writing(errno);  // protected against writing: left alone
    }
    open_beside();
    if (there) ::fchmod(descriptor_, status.st_mode & 0777U);
  }
  sink_.emplace(descriptor_);
}

OutputFile::~OutputFile() {
  discard();
}

void OutputFile::commit() {
  sink_->flush();
  // The name of an older file may go over to the new one only when that is on the disk, whoever waits later.
  const bool waits = slot_ >= 0 && disk_ == Disk::wait;
  if (waits || replaces_older_) wait_for(::fsync(descriptor_));
  const int descriptor = std::exchange(descriptor_, -1);
  if (::close(descriptor) != 0 && errno != EINTR) fail_writing(errno);
  if (slot_ < 0) return;
  const Uninterrupted uninterrupted;
  const char* path = temp_file_path(slot_);
  if (!replace_) {
    rename_to_free(path, target_);
  } else if (::rename(path, target_.c_str()) != 0) {
    fail_writing(errno);
  }
  release_temp_file(std::exchange(slot_, -1));
  if (waits) wait_for_directory(std::filesystem::path(target_).parent_path().string(), ::fsync);
}

void wait_for_disk_of(const std::string& directory) {
  wait_for_directory(directory, ::syncfs);
}

void OutputFile::open_beside() {
  constexpr int attempts = 100;
  for (int attempt = 0; attempt < attempts; ++attempt) {
    const std::string name = name_beside(target_);
    const Uninterrupted uninterrupted;
    slot_ = register_temp_file(name.c_str());
    if (slot_ < 0) fail_writing(ENAMETOOLONG);
    descriptor_ = ::open(temp_file_path(slot_), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (descriptor_ >= 0) return;
    const int error = errno;
    release_temp_file(std::exchange(slot_, -1));
    if (error != EEXIST) fail_writing(error);
  }
  fail_writing(EEXIST);
}

void OutputFile::discard() noexcept {
  if (descriptor_ >= 0) ::close(descriptor_);
  if (slot_ >= 0) {
    const Uninterrupted uninterrupted;
    ::unlink(temp_file_path(slot_));
    release_temp_file(slot_);
  }
}

void prepare_process() {
  // A file opened while a standard descriptor is closed would get its number, and be written to by
  // whoever means the standard one.
  for (const int descriptor : {STDIN_FILENO, STDOUT_FILENO, STDERR_FILENO}) {
    if (::fcntl(descriptor, F_GETFD) != -1 || errno != EBADF) continue;
    // Opening takes the lowest free number, which is this one. Standard output is opened for reading, so
    // that writing to it still fails.
    const int opened = ::open("/dev/null", descriptor == STDERR_FILENO ? O_WRONLY : O_RDONLY);
    if (opened > STDERR_FILENO) ::close(opened);
  }
  ::signal(SIGPIPE, SIG_IGN);  // writing says EPIPE instead
  ::signal(SIGXFSZ, SIG_IGN);  // writing says EFBIG instead
  remove_temp_files_on_signals();
}

}  // namespace fifthpeg::cli
