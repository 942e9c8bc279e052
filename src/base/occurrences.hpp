// The places of one word in a text, asked for from front to back.
#pragma once

#include <cstddef>
#include <string_view>

namespace fifthpeg::base {

// Answers as text.find(word, at) does. Where `at` never falls, all questions together go through the text
// once: neither a word that is far away nor one that is nowhere is looked for again.
class Occurrences {
 public:
  Occurrences(std::string_view text, std::string_view word) : text_(text), word_(word) {}

  std::size_t from(std::size_t at) {
    if (!asked_ || found_ < at) found_ = text_.find(word_, at);
    asked_ = true;
    return found_;
  }

 private:
  std::string_view text_;
  std::string_view word_;
  std::size_t found_ = 0;
  bool asked_ = false;
};

}  // namespace fifthpeg::base
