#include "cli/batch_state.hpp"

#include <array>
#include <cstring>
#include <unistd.h>

namespace fifthpeg::cli {
namespace {

// A line put together without memory from the heap.
class Line {
 public:
  void add(const char* text) noexcept {
    for (; *text != '\0' && length_ < text_.size(); ++text) text_[length_++] = *text;
  }
  void add(std::size_t number) noexcept {
    std::array<char, 24> digits{};
    std::size_t at = digits.size() - 1;
    do {
      digits[--at] = static_cast<char>('0' + number % 10);
      number /= 10;
    } while (number > 0);
    add(&digits[at]);
  }
  void say() const noexcept {
    [[maybe_unused]] const ssize_t written = ::write(STDERR_FILENO, text_.data(), length_);
  }

 private:
  std::array<char, 200> text_{};
  std::size_t length_ = 0;
};

}  // namespace

BatchState& batch_state() noexcept {
  static BatchState state;
  return state;
}

void say_how_far_the_batch_came() noexcept {
  const BatchState& state = batch_state();
  const std::size_t total = state.total.load();
  if (total == 0) return;
  Line line;
  line.add("\nfifthpeg: stopped after ");
  line.add(state.finished.load());
  line.add(" of ");
  line.add(total);
  line.add(" files, ");
  line.add(state.failed.load());
  line.add(" of them failed; --skip-existing goes on from there\n");
  line.say();
}

}  // namespace fifthpeg::cli
