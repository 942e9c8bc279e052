// Text and UTF-8 as all parts of the library take them from files.
#include "base/text.hpp"

#include <gtest/gtest.h>

#include "base/utf8.hpp"

namespace fifthpeg::base {
namespace {

TEST(Text, IsTrimmedOfTheWhiteSpaceOfXml) {
  EXPECT_EQ(trimmed(" \t\r\n a b \n"), "a b");
  EXPECT_EQ(trimmed(" \n"), "");
  EXPECT_EQ(trimmed(""), "");
  EXPECT_EQ(trimmed("\xC2\xA0"), "\xC2\xA0");  // a no-break space is text
}

TEST(Text, HasACaseInAsciiOnly) {
  EXPECT_EQ(lower_case("Banjo \xC3\x84Z[@"), "banjo \xC3\x84z[@");
  EXPECT_EQ(upper_case("Banjo \xC3\xA4z{`"), "BANJO \xC3\xA4Z{`");
  EXPECT_TRUE(same_ignoring_case("UTF-8", "utf-8"));
  EXPECT_FALSE(same_ignoring_case("UTF-8", "utf-80"));
  EXPECT_TRUE(starts_with_ignoring_case("<HTML lang", "<html"));
  EXPECT_FALSE(starts_with_ignoring_case("<ht", "<html"));
  EXPECT_TRUE(ends_with_ignoring_case("REEL.MID", ".mid"));
  EXPECT_FALSE(ends_with_ignoring_case("mid", ".mid"));
}

TEST(Text, FitsInOneLineOfAPage) {
  EXPECT_EQ(one_line("a\tb\nc\x1b[2J"), "a b c [2J");
  EXPECT_EQ(one_line("\xff\xc0\xaf"
                     "a\xe3\x83"),
            "???a??");
  EXPECT_EQ(one_line("\xe2\x80\xa8\xc2\x85|"), "  |");  // U+2028, U+0085
  EXPECT_EQ(one_line("\xe2\x80\xae\xd8\x9c|"), "  |");  // U+202E, U+061C
}

TEST(Text, IsSafeOnATerminal) {
  EXPECT_EQ(printable("a\x1b[2J\x7f\n"), "a?[2J??");
  EXPECT_EQ(printable("\xe2\x80\xae\xe2\x81\xa6\xe2\x80\x8e"), "???");  // U+202E, U+2066, U+200E
  EXPECT_EQ(printable("K\xc3\xa4se \xf0\x9f\xaa\x95"), "K\xc3\xa4se \xf0\x9f\xaa\x95");
  EXPECT_EQ(printable("\xff"), "?");
  EXPECT_EQ(printable_lines("a\x1b[2J\r\nb\xe2\x80\xa9\n"), "a?[2J?\nb?\n");
}

// Every character there is goes out and comes back; what is between and above them does not.
TEST(Utf8, HoldsEveryCharacterAndNoOther) {
  for (char32_t code = 0; code <= 0x110000; ++code) {
    std::string text;
    append_utf8(text, code);
    const Character character = first_character(text);
    const bool exists = code <= 0x10FFFF && (code < 0xD800 || code > 0xDFFF);
    ASSERT_EQ(character.length, exists ? text.size() : 0U) << std::hex << static_cast<std::uint32_t>(code);
    ASSERT_EQ(is_utf8(text), exists);
    if (exists) {
      ASSERT_EQ(character.code, code);
      ASSERT_TRUE(text.size() == 1 || !is_utf8(text.substr(0, text.size() - 1)));
    }
  }
}

// Overlong forms of the three lengths (RFC 3629, section 10), lone and cut bytes.
TEST(Utf8, RefusesWhatIsNotTheShortestForm) {
  for (const std::string_view text :
       {"\xC0\xAF", "\xC1\xBF", "\xE0\x9F\xBF", "\xF0\x8F\xBF\xBF", "\x80", "\xBF", "\xFE", "\xFF",
        "\xF5\x80\x80\x80", "\xC3", "\xC3(", "\xE3\x83", "\xE3\x83(", "\xF0\x9F\xAA", "\xF0\x9F\xAA("}) {
    EXPECT_EQ(first_character(text).length, 0U) << text;
    EXPECT_FALSE(is_utf8("0123456789abcdef" + std::string(text)));
  }
}

TEST(Utf8, IsSkippedToWhereAsciiEnds) {
  const std::string text = "0123456789abcdef\xC3\xA4 and so on, further than eight";
  EXPECT_EQ(skip_ascii(text, 0), 16U);
  EXPECT_EQ(skip_ascii(text, 3), 16U);
  EXPECT_EQ(skip_ascii(text, 16), 16U);
  EXPECT_EQ(skip_ascii(text, 18), text.size());
}

}  // namespace
}  // namespace fifthpeg::base
