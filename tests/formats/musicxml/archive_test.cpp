// Compressed MusicXML: containers, and archives that are not what they should be. The archives are made with
// libzip here, and damaged.
#include <algorithm>
#include <gtest/gtest.h>
#include <string>
#include <vector>
#include <zip.h>

#include "fifthpeg/check.hpp"
#include "formats/musicxml/reader/support.hpp"

namespace fifthpeg {
namespace {

using namespace testing;

struct Entry {
  std::string name;
  std::string content;
  bool encrypted = false;
};

std::string archive_of(const std::vector<Entry>& entries) {
  zip_error_t error;
  zip_error_init(&error);
  zip_source_t* whole = zip_source_buffer_create(nullptr, 0, 0, &error);
  zip_source_keep(whole);
  zip_t* archive = zip_open_from_source(whole, ZIP_TRUNCATE, &error);
  for (const Entry& entry : entries) {
    zip_source_t* source = zip_source_buffer(archive, entry.content.data(), entry.content.size(), 0);
    const auto index = zip_file_add(archive, entry.name.c_str(), source, ZIP_FL_ENC_UTF_8);
    EXPECT_GE(index, 0);
    if (entry.encrypted) {
      EXPECT_EQ(zip_file_set_encryption(archive, static_cast<zip_uint64_t>(index), ZIP_EM_AES_256, "class"),
                0);
    }
  }
  EXPECT_EQ(zip_close(archive), 0);
  zip_stat_t stat;
  zip_source_stat(whole, &stat);
  std::string bytes(stat.size, '\0');
  zip_source_open(whole);
  zip_source_read(whole, bytes.data(), bytes.size());
  zip_source_close(whole);
  zip_source_free(whole);
  zip_error_fini(&error);
  return bytes;
}

std::string container(std::string_view rootfiles) {
  return "<?xml version=\"1.0\"?><container><rootfiles>" + std::string(rootfiles) +
         "</rootfiles></container>";
}
std::string rootfile(std::string_view path, std::string_view type = "") {
  return "<rootfile full-path=\"" + std::string(path) + "\"" +
         (type.empty() ? std::string() : " media-type=\"" + std::string(type) + "\"") + "/>";
}

const std::string score = one_measure(note("D4", 8));
const std::string other = one_measure(note("E4", 8));

std::string mxl_refusal(std::string_view bytes, const ReadOptions& options = {}) {
  try {
    read_mxl(bytes, options);
  } catch (const ReadError& error) {
    return error.what();
  }
  return {};
}

TEST(Mxl, TheFirstRootfileThatIsAScore) {
  // By MusicXML 4.0's container: a media type may be left out of the first rootfile; others are renditions.
  const Reading plain = read_mxl(
      archive_of({{"META-INF/container.xml", container(rootfile("a.musicxml"))}, {"a.musicxml", score}}));
  EXPECT_EQ(line_of(plain), "D4 1");
  EXPECT_EQ(plain.inventory.format, "compressed MusicXML 4.0 partwise");
  EXPECT_TRUE(plain.report.empty()) << all_told(plain.report);
  const Reading second = read_mxl(archive_of(
      {{"mimetype", "application/vnd.recordare.musicxml"},
       {"META-INF/container.xml", container(rootfile("a.pdf", "application/pdf") +
                                            rootfile("d/b.xml", "application/vnd.recordare.musicxml+xml"))},
       {"a.pdf", "%PDF"},
       {"d/b.xml", other}}));
  EXPECT_EQ(line_of(second), "E4 1");
}

TEST(Mxl, WithoutAContainer) {
  const Reading reading = read_mxl(archive_of({{"tune.xml", score}, {"cover.png", "x"}}));
  EXPECT_EQ(line_of(reading), "D4 1");
  EXPECT_EQ(told(reading.report, "mxl-container-missing", EntryKind::repair), 1U);
  EXPECT_NE(mxl_refusal(archive_of({{"a.xml", score}, {"b.musicxml", other}})).find("several"),
            std::string::npos);
  EXPECT_NE(mxl_refusal(archive_of({{"a.txt", "x"}})).find("no MusicXML"), std::string::npos);
}

TEST(Mxl, ContainerThatNamesNothing) {
  const Reading missing =
      read_mxl(archive_of({{"META-INF/container.xml", container(rootfile("no.xml"))}, {"a.xml", score}}));
  EXPECT_EQ(told(missing.report, "mxl-rootfile-missing", EntryKind::repair), 1U);
  const Reading broken = read_mxl(archive_of({{"META-INF/container.xml", "<container>"}, {"a.xml", score}}));
  EXPECT_EQ(told(broken.report, "mxl-container-broken", EntryKind::repair), 1U);
}

TEST(Mxl, PathsThatLeadOutAreToldAndHarmless) {
  const Reading reading = read_mxl(archive_of({{"META-INF/container.xml", container(rootfile("../../a.xml"))},
                                               {"../../a.xml", score},
                                               {"/etc/x", "x"}}));
  EXPECT_EQ(line_of(reading), "D4 1");
  EXPECT_EQ(told(reading.report, "mxl-path", EntryKind::repair), 2U);
}

TEST(Mxl, WhatLeavesAnArchiveIsOneAnswer) {
  const auto warned = [](const std::string& name) {
    const std::string bytes = archive_of(
        {{"META-INF/container.xml", container(rootfile("a.musicxml"))}, {"a.musicxml", score}, {name, "x"}});
    const bool by_reader = told(read_mxl(bytes).report, "mxl-path", EntryKind::repair) == 1;
    const std::vector<Finding> findings = check_file(bytes).findings;
    const bool by_check = std::any_of(findings.begin(), findings.end(),
                                      [](const Finding& one) { return one.rule == "mxl-path"; });
    EXPECT_EQ(by_reader, by_check) << name;
    return by_reader;
  };
  for (const char* name : {"C:/x", "c:x", "/x", "\\x", "../x", "a/../../x", "a/..", "..", "a\\..\\x"})
    EXPECT_TRUE(warned(name)) << name;
  for (const char* name : {"a..b/x", "..x", "x..", "a/..b/x", "a/b:c", "...", "1:x"})
    EXPECT_FALSE(warned(name)) << name;
}

TEST(Mxl, Encrypted) {
  EXPECT_NE(mxl_refusal(archive_of({{"a.xml", score, true}})).find("encrypted"), std::string::npos);
}

TEST(Mxl, Bounds) {
  // 8 MiB of blanks pack to a few kilobytes.
  const std::string bomb = archive_of({{"a.xml", score + std::string(8U << 20U, ' ')}});
  EXPECT_LT(bomb.size(), 20000U);
  EXPECT_NE(mxl_refusal(bomb).find("far more"), std::string::npos);
  ReadOptions options;
  options.max_bytes = 3000;
  std::string varied = score;
  for (int i = 0; varied.size() < 4000; ++i) varied += "<!--" + std::to_string(i * 7919) + "-->";
  EXPECT_NE(mxl_refusal(archive_of({{"a.xml", varied}}), options).find("unpacks to more than"),
            std::string::npos);
  options.max_bytes = 10;
  EXPECT_NE(mxl_refusal(bomb, options).find("10 bytes"), std::string::npos);
}

TEST(Mxl, DamageIsAReadErrorOrASoundScore) {
  const std::string whole =
      archive_of({{"META-INF/container.xml", container(rootfile("a.musicxml"))}, {"a.musicxml", score}});
  int read = 0;
  const auto attempt = [&](const std::string& bytes) {
    try {
      const Reading reading = read_mxl(bytes);
      EXPECT_TRUE(flaws(reading.score).empty());
      ++read;
    } catch (const ReadError&) {
    }
  };
  for (std::size_t length = 0; length < whole.size(); ++length) attempt(whole.substr(0, length));
  std::uint64_t state = 5;
  for (int i = 0; i < 3000; ++i) {
    std::string bytes = whole;
    for (int k = 0; k < 1 + i % 3; ++k) {
      state = state * 6364136223846793005U + 1442695040888963407U;
      bytes[(state >> 20U) % bytes.size()] = static_cast<char>(state >> 56U);
    }
    attempt(bytes);
  }
  EXPECT_GT(read, 0);
}

TEST(Mxl, FixtureAgreesWithItsPlainForm) {
  const auto bytes_of = [](const std::string& name) {
    std::string text;
    if (FILE* file = std::fopen((std::string(FIXTURES) + "/" + name).c_str(), "rb")) {
      char buffer[4096];
      for (std::size_t got = 0; (got = std::fread(buffer, 1, sizeof buffer, file)) > 0;)
        text.append(buffer, got);
      std::fclose(file);
    }
    return text;
  };
  const Reading plain = read_musicxml(bytes_of("lick-slide.musicxml"));
  const Reading packed = read_mxl(bytes_of("lick-slide.mxl"));
  EXPECT_EQ(plain.score, packed.score);
  EXPECT_FALSE(plain.score.measures.empty());
}

}  // namespace
}  // namespace fifthpeg
