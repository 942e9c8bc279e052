#include "cli/ordered_parallel.hpp"

#include <algorithm>
#include <atomic>
#include <system_error>
#include <thread>
#include <vector>

namespace fifthpeg::cli {

void run_in_order(std::size_t count, int jobs, const std::function<void(std::size_t)>& work,
                  const std::function<void(std::size_t)>& done) {
  const std::size_t workers = std::min(count, static_cast<std::size_t>(std::max(jobs, 1)));
  if (workers > 1) {
    std::atomic<std::size_t> next{0};
    std::vector<std::atomic<bool>> finished(count);
    const auto work_until_nothing_is_left = [&] {
      for (std::size_t at = next++; at < count; at = next++) {
        work(at);
        finished[at] = true;
        finished[at].notify_one();
      }
    };
    std::vector<std::jthread> threads;  // joined before what they use goes
    try {
      while (threads.size() < workers) threads.emplace_back(work_until_nothing_is_left);
    } catch (const std::system_error&) {
      // The system gives no more threads: those that there are do it all.
    }
    if (!threads.empty()) {
      for (std::size_t at = 0; at < count; ++at) {
        finished[at].wait(false);
        done(at);
      }
      return;
    }
  }
  for (std::size_t at = 0; at < count; ++at) {
    work(at);
    done(at);
  }
}

}  // namespace fifthpeg::cli
