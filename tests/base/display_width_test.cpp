#include "base/display_width.hpp"

#include <gtest/gtest.h>

namespace fifthpeg::base {
namespace {

// East Asian widths by Unicode Standard Annex 11: kana and ideographs two columns, combining marks none.
TEST(DisplayWidth, CountsColumnsAndNotBytes) {
  EXPECT_EQ(display_width("banjo"), 5);
  EXPECT_EQ(display_width("K\xc3\xa4se"), 4);               // a with diaeresis, one character
  EXPECT_EQ(display_width("Ka\xcc\x88se"), 4);              // the same, combining
  EXPECT_EQ(display_width("\xe3\x83\x90\xe3\x83\xb3"), 4);  // katakana
  EXPECT_EQ(display_width("\xf0\x9f\xaa\x95"), 2);          // U+1FA95 banjo
}

TEST(DisplayWidth, WrapsAtSpacesAndElsewhereIfItMust) {
  EXPECT_EQ(wrapped("one two three", 8), (std::vector<std::string>{"one two", "three"}));
  EXPECT_EQ(wrapped("abcdefghij", 4), (std::vector<std::string>{"abcd", "efgh", "ij"}));
  EXPECT_EQ(wrapped("\xe3\x83\x90\xe3\x83\xb3\xe3\x82\xb8", 5).size(), 2U);
  EXPECT_TRUE(wrapped("", 5).empty());
}

}  // namespace
}  // namespace fifthpeg::base
