// Fonts without the machine's rules for them.
#include "formats/sheet/machine_fonts.hpp"

#include <cstdlib>
#include <gtest/gtest.h>
#include <string>
#include <thread>
#include <vector>

#include "formats/sheet/text_face.hpp"

namespace fifthpeg::sheet {
namespace {

struct Measured {
  std::vector<double> widths;
  bool complete = true;
};

// In a thread of its own, which looks for the fonts anew.
Measured measured() {
  Measured result;
  std::thread([&] {
    TextFace face;
    for (const bool bold : {false, true}) {
      for (const bool italic : {false, true}) {
        result.widths.push_back(
            face.size_of("Old Joe 12", {.size = 4, .bold = bold, .italic = italic}).width);
      }
    }
    for (const char* words : {"\xD7\xA9\xD7\x9C\xD7\x95\xD7\x9D", "\xCE\xB1\xCE\xB2", "\xE2\x99\xAF"}) {
      result.complete = result.complete && face.size_of(words, {}).complete;
    }
  }).join();
  return result;
}

bool without_rules_it_is_the_same() {
  const Measured with_rules = measured();
  look_for_fonts_without_rules();
  const Measured without = measured();
  return without.widths == with_rules.widths && without.complete;
}

TEST(MachineFontsDeathTest, WithoutRulesTheTextFaceIsTheSameAndOtherScriptsAreThere) {
  // In a process of its own, since it is so for all of a process.
  EXPECT_EXIT(std::exit(without_rules_it_is_the_same() ? 0 : 1), testing::ExitedWithCode(0), "");
}

}  // namespace
}  // namespace fifthpeg::sheet
