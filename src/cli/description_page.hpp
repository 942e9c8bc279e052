// The lines that `describe` prints for people.
#pragma once

#include <string>
#include <utility>

#include "cli/lick_description.hpp"
#include "cli/messages.hpp"

namespace fifthpeg::cli {

class Page {
 public:
  explicit Page(const std::string& heading) : text_(printable(heading) + "\n") {}

  void line(const std::string& label, const std::string& value) {
    if (value.empty()) return;
    text_ += "  " + label + std::string(label_width - label.size(), ' ') + printable(value) + "\n";
  }
  void row(const std::string& value) { text_ += "  " + printable(value) + "\n"; }
  void gap() { text_ += "\n"; }
  std::string take() { return std::move(text_); }

 private:
  static constexpr std::size_t label_width = 12;
  std::string text_;
};

// What a lick does, as a section of its own.
void add_lick(Page& page, const ToldOfLick& lick);

}  // namespace fifthpeg::cli
