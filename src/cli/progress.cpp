#include "cli/progress.hpp"

#include <string>
#include <unistd.h>

#include "cli/messages.hpp"

namespace fifthpeg::cli {

Progress::Progress(std::size_t total, bool enabled)
    : total_(total), on_terminal_(enabled && total > 1 && ::isatty(STDERR_FILENO) == 1) {}

void Progress::show(std::size_t finished) {
  if (!on_terminal_) return;
  constexpr std::size_t columns = 30;
  const std::size_t full = finished * columns / total_;
  draw("\r[" + std::string(full, '#') + std::string(columns - full, ' ') + "] " + std::to_string(finished) +
       " of " + std::to_string(total_));
  shown_ = true;
}

void Progress::clear() {
  if (!shown_) return;
  draw("\r\033[K");  // erase to the end of the line (ECMA-48, EL)
  shown_ = false;
}

}  // namespace fifthpeg::cli
