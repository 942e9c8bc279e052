// How far a batch has come: one line on a terminal, nothing anywhere else.
#pragma once

#include <cstddef>

namespace fifthpeg::cli {

class Progress {
 public:
  Progress(std::size_t total, bool enabled);
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;
  ~Progress() { clear(); }

  void show(std::size_t finished);
  // Makes room for something else on standard error.
  void clear();

 private:
  std::size_t total_;
  bool on_terminal_;
  bool shown_ = false;
};

}  // namespace fifthpeg::cli
