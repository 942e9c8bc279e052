// How far a batch has come, kept where a signal handler can reach it.
#pragma once

#include <atomic>
#include <cstddef>

namespace fifthpeg::cli {

struct BatchState {
  std::atomic<std::size_t> total{0};  // 0: there is no batch
  std::atomic<std::size_t> finished{0};
  std::atomic<std::size_t> failed{0};  // of those finished
};
static_assert(std::atomic<std::size_t>::is_always_lock_free);

BatchState& batch_state() noexcept;

// Says on standard error how far the batch came that ends now, if one does. Async-signal-safe (POSIX).
void say_how_far_the_batch_came() noexcept;

}  // namespace fifthpeg::cli
