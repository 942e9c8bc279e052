#include "cli/ordered_parallel.hpp"

#include <algorithm>
#include <atomic>
#include <condition_variable>
#include <mutex>
#include <system_error>
#include <thread>
#include <vector>

namespace fifthpeg::cli {
namespace {

class Run {
 public:
  Run(std::size_t count, const std::function<void(std::size_t)>& work) : work_(work), finished_(count) {}

  void work_until_nothing_is_left() {
    for (std::size_t at = next_++; at < finished_.size(); at = next_++) {
      work_(at);
      {
        const std::lock_guard lock(mutex_);
        finished_[at] = true;
      }
      changed_.notify_one();
    }
  }

  void wait_for(std::size_t at) {
    std::unique_lock lock(mutex_);
    changed_.wait(lock, [&] { return finished_[at]; });
  }

 private:
  const std::function<void(std::size_t)>& work_;
  std::atomic<std::size_t> next_{0};
  std::mutex mutex_;
  std::condition_variable changed_;
  std::vector<bool> finished_;
};

}  // namespace

void run_in_order(std::size_t count, int jobs, const std::function<void(std::size_t)>& work,
                  const std::function<void(std::size_t)>& done) {
  const std::size_t workers = std::min(count, static_cast<std::size_t>(std::max(jobs, 1)));
  if (workers > 1) {
    Run run(count, work);
    std::vector<std::jthread> threads;  // joined before `run` goes
    threads.reserve(workers);
    try {
      while (threads.size() < workers) threads.emplace_back([&run] { run.work_until_nothing_is_left(); });
    } catch (const std::system_error&) {
      // The system gives no more threads: those that there are do it all.
    }
    if (!threads.empty()) {
      for (std::size_t at = 0; at < count; ++at) {
        run.wait_for(at);
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
