// Descriptors that somebody else has made non-blocking: a pipe or terminal that is shared with another
// program.
#pragma once

namespace fifthpeg::cli {

// Waits until `descriptor` can be read or written (POLLIN, POLLOUT). False where that cannot be waited for.
bool wait_until_ready(int descriptor, short events);

}  // namespace fifthpeg::cli
