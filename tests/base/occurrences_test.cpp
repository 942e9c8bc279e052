#include "base/occurrences.hpp"

#include <gtest/gtest.h>
#include <string>

namespace fifthpeg::base {
namespace {

// Whatever the text and the word, and whichever places are asked for: as text.find() answers.
TEST(Occurrences, AnswerAsASearchDoes) {
  for (unsigned bits = 0; bits < 1U << 10U; ++bits) {
    std::string text;
    for (unsigned at = 0; at < 10; ++at) text += (bits >> at & 1U) != 0 ? 'a' : 'b';
    for (const char* word : {"a", "ab", "aa", "aba", "bbbb"}) {
      for (std::size_t step = 1; step < 5; ++step) {
        Occurrences occurrences(text, word);
        for (std::size_t at = 0; at < 14; at += step) {
          EXPECT_EQ(occurrences.from(at), text.find(word, at)) << text << " " << word << " " << at;
        }
      }
    }
  }
}

}  // namespace
}  // namespace fifthpeg::base
