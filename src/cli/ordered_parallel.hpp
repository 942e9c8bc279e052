// Work on many things at a time whose results come out one by one, in order.
#pragma once

#include <cstddef>
#include <functional>

namespace fifthpeg::cli {

// Calls work(0), ..., work(count - 1) on up to `jobs` threads, and done(0), done(1), ... one after the
// other on the calling thread, each when its work and all before it are done. `work` must not throw.
void run_in_order(std::size_t count, int jobs, const std::function<void(std::size_t)>& work,
                  const std::function<void(std::size_t)>& done);

}  // namespace fifthpeg::cli
