// Archives as base::zip_archive() writes them and base::ZipReader reads them. Their bytes are held against
// libzip in the tests of compressed MusicXML.
#include "base/zip.hpp"

#include <gtest/gtest.h>

namespace fifthpeg::base {
namespace {

std::string sample() {
  static const std::string zeros(100'000, '0');
  return zip_archive({{"mimetype", "text", false}, {"a/zeros.txt", zeros}, {"empty", ""}});
}

TEST(Zip, IsReadAsItWasWritten) {
  const std::string bytes = sample();
  const auto archive = ZipReader::open(bytes);
  ASSERT_TRUE(archive);
  ASSERT_EQ(archive->count(), 3U);
  EXPECT_EQ(archive->entry(0).name, "mimetype");
  EXPECT_TRUE(archive->entry(0).stored);
  EXPECT_EQ(archive->unpack(0, 4), "text");
  EXPECT_EQ(archive->find("a/zeros.txt"), 1U);
  EXPECT_EQ(archive->entry(1).size, 100'000U);
  EXPECT_LT(archive->entry(1).packed_size, 1000U);
  EXPECT_FALSE(archive->entry(1).stored);
  EXPECT_EQ(archive->unpack(1, 100'000), std::string(100'000, '0'));
  EXPECT_EQ(archive->unpack(2, 100), "");
  EXPECT_EQ(archive->find("zeros.txt"), std::nullopt);
}

TEST(Zip, TellsThatAnEntryIsLongerThanWasAskedFor) {
  const std::string bytes = sample();
  const auto archive = ZipReader::open(bytes);
  ASSERT_TRUE(archive);
  const auto content = archive->unpack(1, 99'999);
  ASSERT_TRUE(content);
  EXPECT_GT(content->size(), 99'999U);
  EXPECT_LT(archive->unpack(1, 10)->size(), 100'000U);
}

TEST(Zip, IsTheSameForTheSameContent) {
  EXPECT_EQ(sample(), sample());
}

TEST(Zip, IsRefusedWhereItIsDamaged) {
  std::string bytes = sample();
  EXPECT_FALSE(ZipReader::open(bytes.substr(0, bytes.size() / 2)));
  EXPECT_FALSE(ZipReader::open("PK\x03\x04 and no archive"));
  bytes[bytes.find("text")] = 'n';  // its checksum is now wrong
  const auto archive = ZipReader::open(bytes);
  ASSERT_TRUE(archive);
  EXPECT_EQ(archive->unpack(0, 4), std::nullopt);
}

}  // namespace
}  // namespace fifthpeg::base
