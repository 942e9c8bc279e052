// The scan decodes messages itself; libsmf, which does nothing but that, decodes the same bytes.
#include <filesystem>
#include <fstream>
#include <gtest/gtest.h>
#include <random>
#include <sstream>
#include <string>

#include "formats/midi/by_libsmf.hpp"
#include "formats/midi/reader/builder.hpp"

namespace {

using namespace smf_bytes;

TEST(SmfByLibsmf, Fixtures) {
  int files = 0;
  for (const auto& entry : std::filesystem::recursive_directory_iterator(FIXTURES)) {
    if (entry.path().extension() != ".mid") continue;
    SCOPED_TRACE(entry.path());
    std::ifstream file(entry.path(), std::ios::binary);
    std::ostringstream bytes;
    bytes << file.rdbuf();
    EXPECT_EQ(smf_by_libsmf::difference(bytes.str()), "");
    ++files;
  }
  EXPECT_GE(files, 3);
}

// Messages of every kind on every channel, metas between them, deltas of one to four bytes; the status byte
// left out wherever it may be.
std::string random_track(std::mt19937& random) {
  const auto below = [&random](unsigned limit) { return static_cast<int>(random() % limit); };
  std::string events;
  int running = 0;
  for (int i = 0; i < 300; ++i) {
    const int size = below(40);
    events += variable_length(static_cast<std::uint32_t>(size == 0   ? 2'097'152 + below(1000)
                                                         : size < 3  ? 16'384 + below(10'000)
                                                         : size < 10 ? below(16'384)
                                                                     : below(128)));
    if (below(20) == 0) {
      events += bytes({0xFF, 0x01, 2, 'a', 'b'});
      running = 0;
      continue;
    }
    const int status = running != 0 && below(2) == 0 ? running : 0x80 + below(0x70);
    if (status != running || below(4) == 0) events += bytes({status});
    running = status;
    events += bytes({below(128)});
    if ((status & 0xE0) != 0xC0) events += bytes({below(128)});
  }
  return events + bytes({0, 0xFF, 0x2F, 0});
}

TEST(SmfByLibsmf, RandomMessages) {
  std::mt19937 random(7);
  for (int i = 0; i < 100; ++i) {
    SCOPED_TRACE(i);
    const std::string file =
        header(1, 2, 480) + chunk("MTrk", random_track(random)) + chunk("MTrk", random_track(random));
    ASSERT_EQ(smf_by_libsmf::difference(file), "");
  }
}

// That the comparison can fail: two files that differ in one byte are told apart.
TEST(SmfByLibsmf, TellsADifference) {
  std::mt19937 random(7);
  std::string file = header(0, 1, 480) + chunk("MTrk", random_track(random));
  const auto before = smf_by_libsmf::messages(file);
  const std::size_t key = file.size() - 5;  // the last data byte before the end of the track
  file[key] = static_cast<char>(file[key] ^ 1);
  const auto after = smf_by_libsmf::messages(file);
  ASSERT_TRUE(before && after);
  ASSERT_EQ(before->front().size(), after->front().size());
  const std::size_t last = before->front().size() - 1;
  EXPECT_NE(smf_by_libsmf::text(before->front(), last), smf_by_libsmf::text(after->front(), last));
}

}  // namespace
