// What is written as MusicXML is read back as the same score, all of it.
#include <gtest/gtest.h>
#include <string>
#include <vector>

#include "fifthpeg/edit.hpp"
#include "fifthpeg/read.hpp"
#include "fifthpeg/write.hpp"
#include "property/random_score.hpp"
#include "roundtrip/score_difference.hpp"
#include "tried.hpp"

namespace fifthpeg {
namespace {

using testing::difference;
using testing::random_score;
using testing::RandomScoreOptions;

std::string written(const Score& score, const MusicXmlOptions& options) {
  StringSink sink;
  write_musicxml(score, options, sink);
  return sink.str();
}

struct Case {
  const char* name;
  RandomScoreOptions scores;
};

std::vector<Case> cases() {
  std::vector<Case> result;
  RandomScoreOptions plain;
  plain.placed = plain.chords = plain.techniques = plain.grace = plain.tuplets = plain.ties = plain.changes =
      plain.repeats = plain.words = plain.unusual_banjo = false;
  result.push_back({"plain", plain});
  RandomScoreOptions one = plain;
  one.placed = true;
  one.unusual_banjo = true;
  result.push_back({"banjos", one});
  one = plain;
  one.tuplets = one.nested_tuplets = true;
  result.push_back({"tuplets", one});
  one = plain;
  one.changes = one.repeats = one.words = true;
  result.push_back({"measures", one});
  one = plain;
  one.placed = one.chords = one.techniques = one.grace = one.ties = true;
  result.push_back({"hands", one});
  result.push_back({"usual", {}});
  RandomScoreOptions all;
  all.nested_tuplets = true;
  all.measures = 24;
  result.push_back({"all", all});
  RandomScoreOptions unplaced;
  unplaced.placed = false;
  result.push_back({"unplaced", unplaced});
  return result;
}

class MusicXmlRoundTrip : public ::testing::TestWithParam<Case> {};

TEST_P(MusicXmlRoundTrip, GivesTheSameScore) {
  for (std::uint64_t seed = 1; seed <= testing::tried(60U); ++seed) {
    const Score score = random_score(seed, GetParam().scores);
    for (const Staves staves : {Staves::both, Staves::notation, Staves::tab}) {
      for (const FifthFrets frets : {FifthFrets::from_long_nut, FifthFrets::from_own_nut}) {
        MusicXmlOptions options;
        options.staves = staves;
        options.fifth_frets = frets;
        const std::string file = written(score, options);
        const Reading reading = read_musicxml(file);
        ASSERT_EQ(difference(score, reading.score), "")
            << "seed " << seed << ", staves " << static_cast<int>(staves) << ", frets "
            << static_cast<int>(frets);
        ASSERT_EQ(reading.score, score);
        ASSERT_FALSE(reading.report.has_losses()) << reading.report.entries().front().text;
      }
    }
  }
}

INSTANTIATE_TEST_SUITE_P(Scores, MusicXmlRoundTrip, ::testing::ValuesIn(cases()),
                         [](const auto& one) { return one.param.name; });

// Ends of techniques and slurs wherever a file may have them: by themselves, crossing, over other strokes and
// rests, between strings, at grace notes and at ties.
void scatter_techniques(Score& score, testing::Random& random) {
  const auto some = [&random] {
    return random.chance(60) ? Technique::none : static_cast<Technique>(random.between(1, 4));
  };
  for (Measure& measure : score.measures) {
    for (Stroke& stroke : measure.strokes) {
      for (Note& note : stroke.notes) {
        note.into = some();
        note.out_of = some();
      }
    }
  }
}

TEST(MusicXmlRoundTripEnds, OfTechniquesStayWhereTheyAre) {
  RandomScoreOptions options;
  options.nested_tuplets = true;
  for (std::uint64_t seed = 1; seed <= 100; ++seed) {
    Score score = random_score(seed, options);
    testing::Random random(seed);
    scatter_techniques(score, random);
    ASSERT_TRUE(flaws(score).empty());
    for (const Staves staves : {Staves::both, Staves::notation, Staves::tab}) {
      MusicXmlOptions how;
      how.staves = staves;
      const Reading reading = read_musicxml(written(score, how));
      ASSERT_EQ(difference(score, reading.score), "")
          << "seed " << seed << ", staves " << static_cast<int>(staves);
      ASSERT_EQ(reading.score, score);
      ASSERT_FALSE(reading.report.has_losses()) << reading.report.entries().front().text;
    }
  }
}

// Brackets over any measures, begun and ended or not.
TEST(MusicXmlRoundTripEnds, OfEndingsStayWhereTheyAre) {
  for (std::uint64_t seed = 1; seed <= 100; ++seed) {
    Score score = random_score(seed);
    testing::Random random(seed);
    for (Measure& measure : score.measures) {
      measure.ending.reset();
      if (random.chance(30)) continue;
      measure.ending = Ending{{random.between(1, 2)}, random.chance(30), Ending::Stop::none};
      if (random.chance(30))
        measure.ending->stop = random.chance(50) ? Ending::Stop::closed : Ending::Stop::open;
    }
    normalize(score);
    ASSERT_TRUE(flaws(score).empty());
    const Reading reading = read_musicxml(written(score, {}));
    ASSERT_EQ(difference(score, reading.score), "") << "seed " << seed;
    ASSERT_EQ(reading.score, score);
  }
}

// What is left when other notes have been taken out is a score like any other.
TEST(MusicXmlRoundTripOfTunes, GivesTheSameScore) {
  int tried = 0;
  for (std::uint64_t seed = 1; seed <= 120; ++seed) {
    RandomScoreOptions options;
    options.nested_tuplets = seed % 2 == 0;
    Score score = random_score(seed, options);
    if (!has_role(score, Role::melody)) continue;
    keep_only(score, {Role::melody});
    ++tried;
    for (const Staves staves : {Staves::both, Staves::tab}) {
      MusicXmlOptions writing;
      writing.staves = staves;
      const Reading reading = read_musicxml(written(score, writing));
      ASSERT_EQ(difference(score, reading.score), "") << "seed " << seed;
      ASSERT_EQ(reading.score, score) << "seed " << seed;
      ASSERT_FALSE(reading.report.has_losses()) << reading.report.entries().front().text;
    }
  }
  EXPECT_GT(tried, 40);
}

// What is read and written again is the same file.
TEST(MusicXmlRoundTripBytes, SecondWritingIsTheFirst) {
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    const std::string first = written(random_score(seed), {});
    EXPECT_EQ(written(read_musicxml(first).score, {}), first) << "seed " << seed;
  }
}

TEST(MusicXmlRoundTripBytes, CompressedIsTheSame) {
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    const Score score = random_score(seed);
    StringSink sink;
    write_mxl(score, {}, sink);
    const Reading reading = read(sink.str());
    EXPECT_EQ(reading.score, score) << "seed " << seed;
    EXPECT_EQ(reading.inventory.format, "compressed MusicXML 4.0 partwise");
    EXPECT_FALSE(reading.report.has_losses());
  }
}

}  // namespace
}  // namespace fifthpeg
