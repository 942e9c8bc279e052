#include "cli/temp_files.hpp"

#include <array>
#include <atomic>
#include <climits>
#include <cstring>
#include <signal.h>
#include <thread>
#include <unistd.h>

#include "cli/batch_state.hpp"

namespace fifthpeg::cli {
namespace {

// A handler may neither allocate nor lock (POSIX, Signal Concepts, async-signal-safe functions), and
// other threads go on while it runs: so the paths lie in fixed storage.
struct Slot {
  std::atomic<bool> taken{false};
  std::array<char, PATH_MAX> path{};
};
std::array<Slot, temp_file_slots> slots;
static_assert(std::atomic<bool>::is_always_lock_free);

constexpr std::array<int, 5> ending_signals{SIGINT, SIGTERM, SIGHUP, SIGQUIT, SIGXCPU};

// Held by whoever makes, renames or removes a file, and by the handler, which never gives it back. A
// thread that holds it takes no signal meanwhile, so that the handler always waits for another thread.
std::atomic_flag busy = ATOMIC_FLAG_INIT;

extern "C" void remove_and_die(int signal) {
  remove_temp_files();
  say_how_far_the_batch_came();
  // SA_RESETHAND has put back the default action, which ends the program as soon as we return.
  ::raise(signal);
}

}  // namespace

void remove_temp_files() noexcept {
  while (busy.test_and_set()) {
  }
  for (const Slot& slot : slots) {
    if (slot.taken.load()) ::unlink(slot.path.data());
  }
}

int register_temp_file(const char* path) noexcept {
  const std::size_t length = std::strlen(path);
  if (length >= PATH_MAX) return -1;
  for (std::size_t at = 0; at < slots.size(); ++at) {
    if (slots[at].taken.exchange(true)) continue;
    std::memcpy(slots[at].path.data(), path, length + 1);
    return static_cast<int>(at);
  }
  return -1;
}

const char* temp_file_path(int slot) noexcept {
  return slots[static_cast<std::size_t>(slot)].path.data();
}

void release_temp_file(int slot) noexcept {
  slots[static_cast<std::size_t>(slot)].taken.store(false);
}

void remove_temp_files_on_signals() {
  batch_state();  // exists from here on
  for (const int signal : ending_signals) {
    struct sigaction before {};
    if (::sigaction(signal, nullptr, &before) != 0 || before.sa_handler == SIG_IGN)
      continue;  // as nohup asks
    struct sigaction action {};
    action.sa_handler = remove_and_die;
    action.sa_flags = static_cast<int>(SA_RESETHAND);
    ::sigfillset(&action.sa_mask);
    ::sigaction(signal, &action, nullptr);
  }
}

Uninterrupted::Uninterrupted() noexcept {
  sigset_t ending;
  ::sigemptyset(&ending);
  for (const int signal : ending_signals) ::sigaddset(&ending, signal);
  ::pthread_sigmask(SIG_BLOCK, &ending, &before_);
  while (busy.test_and_set()) std::this_thread::yield();
}

Uninterrupted::~Uninterrupted() {
  busy.clear();
  ::pthread_sigmask(SIG_SETMASK, &before_, nullptr);
}

}  // namespace fifthpeg::cli
