#include "cli/unfinished.hpp"

#include <array>
#include <atomic>
#include <climits>
#include <cstring>
#include <signal.h>  // NOLINT(modernize-deprecated-headers): sigaction is POSIX
#include <unistd.h>

namespace fifthpeg::cli {
namespace {

// A handler may neither allocate nor lock (POSIX, Signal Concepts, async-signal-safe functions), and
// other threads go on while it runs: so the paths lie in fixed storage.
enum State : int { unused, taken, ready };
struct Slot {
  std::atomic<int> state{unused};
  std::array<char, PATH_MAX> path{};
};
std::array<Slot, unfinished_slots> slots;
static_assert(std::atomic<int>::is_always_lock_free);

extern "C" void remove_and_die(int signal) {
  for (const Slot& slot : slots) {
    if (slot.state.load() == ready) ::unlink(slot.path.data());
  }
  // SA_RESETHAND has put back the default action, which ends the program as soon as we return.
  ::raise(signal);
}

}  // namespace

int note_unfinished(const char* path) noexcept {
  const std::size_t length = std::strlen(path);
  if (length >= PATH_MAX) return -1;
  for (std::size_t at = 0; at < slots.size(); ++at) {
    int expected = unused;
    if (!slots[at].state.compare_exchange_strong(expected, taken)) continue;
    std::memcpy(slots[at].path.data(), path, length + 1);
    slots[at].state.store(ready);
    return static_cast<int>(at);
  }
  return -1;
}

const char* unfinished_path(int slot) noexcept {
  return slots[static_cast<std::size_t>(slot)].path.data();
}

void forget_unfinished(int slot) noexcept {
  slots[static_cast<std::size_t>(slot)].state.store(unused);
}

void remove_unfinished_on_signals() {
  for (const int signal : {SIGINT, SIGTERM, SIGHUP, SIGQUIT, SIGXCPU}) {
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

}  // namespace fifthpeg::cli
