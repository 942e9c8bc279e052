// The files that are being written now, kept where a signal handler can reach them.
#pragma once

namespace fifthpeg::cli {

// More than there are jobs at a time.
inline constexpr int unfinished_slots = 80;

// Takes a free slot for a path; -1 where there is none or the path is too long for the system.
int note_unfinished(const char* path) noexcept;
const char* unfinished_path(int slot) noexcept;
void forget_unfinished(int slot) noexcept;

// From now on, signals that end the program first remove the files noted.
void remove_unfinished_on_signals();

}  // namespace fifthpeg::cli
