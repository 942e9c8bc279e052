// Outputs: a file that is whole or not there at all, and standard output.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/write.hpp"

namespace fifthpeg::cli {

// An output takes no more. No WriteError, which writers catch to add where in the music they were.
class OutputError : public Error {
 public:
  explicit OutputError(const std::string& what) : Error("unwritable", what) {}
};

// Whoever read our output (a pager, `head`) has closed the pipe.
class OutputGone : public OutputError {
 public:
  using OutputError::OutputError;
};

// Collects bytes and hands them to a file descriptor in large pieces.
class DescriptorSink : public Sink {
 public:
  explicit DescriptorSink(int descriptor) : descriptor_(descriptor) {}
  void write(std::string_view bytes) override;
  void flush();

 private:
  void put(std::string_view bytes) const;

  int descriptor_;
  std::string pending_;
};

// Writes lines to standard output, safe to show whatever is in them.
void print(std::string_view text);

// A file written beside its target under another name and renamed when it is complete: whoever looks at
// the target finds what was there before or all of the new content, whenever the program is killed; of an
// older file that is replaced, also after a crash of the machine. Removed again unless commit() has been
// reached. A device or pipe as target is written to directly.
class OutputFile : public Sink {
 public:
  // Whether commit() waits until the file and its name are on the disk: some ten milliseconds, where a lick
  // takes two. Where many files are written, wait_for_disk_of() waits once for all.
  enum class Disk : std::int8_t { wait, leave };

  // Throws OutputError where the target exists and `replace` is not set, or cannot be written.
  OutputFile(const std::string& path, bool replace, Disk disk = Disk::wait);
  ~OutputFile() override;

  void write(std::string_view bytes) override { sink_->write(bytes); }
  void commit();
  // False for a device or pipe.
  bool can_be_taken_back() const { return slot_ >= 0; }

 private:
  void open_beside();
  void discard() noexcept;

  std::string target_;
  bool replace_ = false;
  Disk disk_;
  bool replaces_older_ = false;
  int slot_ = -1;  // in the table of temporary files; -1 when written directly
  int descriptor_ = -1;
  std::optional<DescriptorSink> sink_;
};

// Waits until all files of the directory's file system are on the disk.
void wait_for_disk_of(const std::string& directory);

// Throws what OutputFile would throw for a target that exists, so that it is said before the work.
void require_free(const std::string& path, bool replace);

// To be called once, first of all. Gives the three standard descriptors a meaning if they were closed,
// turns signals about pipes and limits into errors, and sees to it that temporary files are removed
// when a signal ends the program.
void prepare_process();

}  // namespace fifthpeg::cli
