// The files that are being written now, kept where a signal handler can reach them.
#pragma once

#include <signal.h>

namespace fifthpeg::cli {

// More than there are jobs at a time.
inline constexpr int temp_file_slots = 80;

// All three to be called only while there is an Uninterrupted.
// Takes a free slot for a path; -1 where there is none or the path is too long for the system.
int register_temp_file(const char* path) noexcept;
const char* temp_file_path(int slot) noexcept;
void release_temp_file(int slot) noexcept;

// From now on, signals that end the program first remove the files noted, and say how far a batch came.
void remove_temp_files_on_signals();

// Removes the files noted, for a program that ends in the next moment.
void remove_temp_files() noexcept;

// While one exists, no such signal ends the program, in whichever thread it arrives: for the step in
// which a noted file comes into being, gets its name or goes.
class Uninterrupted {
 public:
  Uninterrupted() noexcept;
  ~Uninterrupted();
  Uninterrupted(const Uninterrupted&) = delete;
  Uninterrupted& operator=(const Uninterrupted&) = delete;

 private:
  sigset_t before_{};
};

}  // namespace fifthpeg::cli
