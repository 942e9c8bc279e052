#include "cli/descriptor.hpp"

#include <cerrno>
#include <poll.h>

namespace fifthpeg::cli {

bool wait_until_ready(int descriptor, short events) {
  pollfd one{descriptor, events, 0};
  while (true) {
    const int ready = ::poll(&one, 1, -1);
    if (ready > 0) return (one.revents & POLLNVAL) == 0;  // an error shows in what is tried next
    if (errno != EINTR) return false;
  }
}

}  // namespace fifthpeg::cli
