// Repeats that are written out, and what folding them makes of them.
#include <fstream>
#include <gtest/gtest.h>
#include <iterator>
#include <random>
#include <string>
#include <vector>

#include "fifthpeg/edit.hpp"
#include "fifthpeg/read.hpp"
#include "fifthpeg/write.hpp"
#include "property/random_score.hpp"

namespace fifthpeg::testing {
namespace {

// All strokes at their times from the beginning; where the barlines are says nothing.
std::vector<Stroke> played(Score score) {
  score = unfolded(score);
  std::vector<Stroke> strokes;
  Fraction start;
  for (const Measure& measure : score.measures) {
    for (Stroke stroke : measure.strokes) {
      stroke.onset += start;
      // Rests may be cut where measures are.
      if (stroke.is_rest() && stroke.tuplets.empty() && stroke.articulations == Articulations{} &&
          stroke.lyrics.empty()) {
        continue;
      }
      strokes.push_back(stroke);
    }
    start += measure.length;
  }
  return strokes;
}

// Tunes of measures in eighths that are all different.
class Tunes {
 public:
  explicit Tunes(unsigned seed) : random_(seed) {}

  int below(int end) { return std::uniform_int_distribution<int>(0, end - 1)(random_); }

  Measure measure(Fraction length) {
    Measure result;
    result.length = length;
    result.implicit = length < Fraction(1, 2);  // a pickup
    for (Fraction at; at < length; at += Fraction(1, 8)) {
      Stroke stroke;
      stroke.onset = at;
      stroke.duration = Fraction(1, 8);
      Note note;
      note.pitch = spell(50 + below(26), Key{});
      stroke.notes.push_back(note);
      result.strokes.push_back(stroke);
    }
    return result;
  }

  // Parts of four to nine measures; with a pickup, each begins with one and lacks it at its end.
  Score score() {
    const Fraction pickup(below(3), 8);
    Score result;
    auto& measures = result.measures;
    const int parts = 1 + below(4);
    for (int part = 0; part < parts; ++part) {
      const std::size_t begins = measures.size();
      if (pickup > 0) measures.push_back(measure(pickup));
      const int length = 4 + below(6);
      for (int i = 1; i < length; ++i) measures.push_back(measure(1));
      measures.push_back(measure(Fraction(1) - pickup));
      const int kind = below(4);
      if (kind == 0) continue;  // played once
      measures[begins].repeat_starts = begins > 0;
      measures.back().repeat_times = kind == 1 ? 3 : 2;
      if (kind < 3) continue;
      measures.back().ending = Ending{{1}, true, Ending::Stop::closed};
      measures.push_back(measure(Fraction(1) - pickup));
      measures.back().ending = Ending{{2}, true, Ending::Stop::open};
    }
    int number = 1;
    for (Measure& one : measures) {
      one.number = std::to_string(one.implicit && number == 1 ? 0 : number);
      if (!one.implicit) ++number;
    }
    normalize(result);
    return result;
  }

 private:
  std::mt19937 random_;
};

std::size_t signs(const Score& score) {
  std::size_t count = 0;
  for (const Measure& measure : score.measures) count += measure.repeat_times > 0 ? 1 : 0;
  return count;
}

TEST(FoldRepeats, IsTheInverseOfUnfolding) {
  std::size_t folded = 0;
  for (unsigned seed = 0; seed < 400; ++seed) {
    const Score score = Tunes(seed).score();
    Score again = unfolded(score);
    const Report report = fold_repeats(again);
    ASSERT_EQ(again, score) << seed;
    ASSERT_EQ(report.entries().size(), signs(score) > 0 ? 1U : 0U) << seed;
    folded += signs(score);
  }
  EXPECT_GT(folded, 400U);
}

TEST(FoldRepeats, PlaysWhatWasPlayed) {
  std::size_t folded = 0;
  for (std::uint64_t seed = 0; seed < 400; ++seed) {
    RandomScoreOptions options;
    Score score = unfolded(random_score(seed, options));
    // Twice over, so that there is something to fold.
    const auto once = score.measures;
    score.measures.insert(score.measures.end(), once.begin(), once.end());
    normalize(score);
    Score again = score;
    fold_repeats(again);
    ASSERT_EQ(flaws(again), std::vector<std::string>{}) << seed;
    ASSERT_EQ(played(again), played(score)) << seed;
    folded += signs(again);
  }
  EXPECT_GT(folded, 50U);
}

// A pickup, four full measures, a rest and the pickup again, and the four measures.
Score twice_with_a_rest_between() {
  const auto stroke = [](Fraction onset, Fraction duration, int octave) {
    Stroke made;
    made.onset = onset;
    made.duration = duration;
    if (octave > 0) {
      Note note;
      note.pitch = {Step::G, 0, static_cast<std::int8_t>(octave)};
      made.notes.push_back(note);
    }
    return made;
  };
  const auto measure = [](std::string number, Fraction length, std::vector<Stroke> strokes) {
    Measure made;
    made.number = std::move(number);
    made.length = length;
    made.strokes = std::move(strokes);
    return made;
  };
  Score score;
  score.measures.push_back(measure("0", Fraction(1, 4), {stroke(0, Fraction(1, 4), 3)}));
  score.measures.back().implicit = true;
  for (int pass = 0; pass < 2; ++pass) {
    for (int m = 1; m <= 4; ++m) {
      score.measures.push_back(
          measure(std::to_string(score.measures.size()), 1,
                  {stroke(0, Fraction(m, 8), 4), stroke(Fraction(m, 8), Fraction(8 - m, 8), 5)}));
    }
    if (pass == 0) {
      score.measures.push_back(
          measure("5", 1, {stroke(0, Fraction(3, 4), 0), stroke(Fraction(3, 4), Fraction(1, 4), 3)}));
    }
  }
  normalize(score);
  return score;
}

TEST(FoldRepeats, OnlyAnOpenEndTakesARestThatTheOtherTimesHave) {
  const Score score = twice_with_a_rest_between();
  ASSERT_EQ(flaws(score), std::vector<std::string>{});
  Score written = score;
  fold_repeats(written);
  EXPECT_EQ(unfolded(written), score);
  Score open = score;
  const Report report = fold_repeats(open, PieceEnd::open);
  EXPECT_EQ(signs(open), 1U);
  ASSERT_EQ(report.entries().size(), 2U);
  EXPECT_EQ(report.entries()[1].slug, "end-rests");
  const Score played_open = unfolded(open);
  const auto length = [](const Score& of) {
    Fraction sum;
    for (const Measure& measure : of.measures) sum += measure.length;
    return sum;
  };
  EXPECT_EQ(length(played_open), length(score) + Fraction(3, 4));
  EXPECT_TRUE(played_open.measures.back().strokes.at(0).is_rest());
  EXPECT_EQ(played(open), played(score));
}

// A MIDI file has whole measures, so that a part with a pickup begins inside one.
TEST(FoldRepeats, PickupsAcrossTheSign) {
  for (unsigned seed = 0; seed < 200; ++seed) {
    const Score score = Tunes(seed).score();
    StringSink file;
    write_midi(score, {}, file);
    Score again = read_midi(file.str()).score;
    const Score straight = again;
    fold_repeats(again);
    ASSERT_EQ(flaws(again), std::vector<std::string>{}) << seed;
    ASSERT_EQ(played(again), played(straight)) << seed;
    ASSERT_EQ(signs(again), signs(score)) << seed;
    ASSERT_LE(again.measures.size(), score.measures.size()) << seed;
  }
}

TEST(FoldRepeats, FiddleTunes) {
  for (const char* name : {"soldiers-joy.mid", "irish-washerwoman.mid"}) {
    std::ifstream file(std::string(FIXTURES "/") + name, std::ios::binary);
    const std::string bytes(std::istreambuf_iterator<char>(file), {});
    const Score straight = read_midi(bytes).score;
    Score score = straight;
    const Report report = fold_repeats(score);
    EXPECT_EQ(played(score), played(straight)) << name;
    ASSERT_EQ(report.entries().size(), 1U);
    EXPECT_EQ(report.entries()[0].text, "16 measures that repeat others are written with 2 repeat signs");
    // A A B B: a pickup and eight measures each.
    ASSERT_EQ(score.measures.size(), 18U);
    EXPECT_TRUE(score.measures[0].implicit && score.measures[9].implicit && score.measures[9].repeat_starts);
    EXPECT_EQ(score.measures[8].repeat_times, 2);
    EXPECT_EQ(score.measures[8].length + score.measures[9].length, score.measures[1].length);
    EXPECT_EQ(score.measures[17].number, "16");
  }
}

// What has signs keeps them, and what is too short to be a part is none.
TEST(FoldRepeats, WhatIsNotFolded) {
  Tunes tunes(3);
  Score score;
  const std::vector<Measure> three{tunes.measure(1), tunes.measure(1), tunes.measure(1)};
  for (int i = 0; i < 2; ++i) score.measures.insert(score.measures.end(), three.begin(), three.end());
  normalize(score);
  Score same = score;
  EXPECT_TRUE(fold_repeats(same).entries().empty());
  EXPECT_EQ(same, score);
  score = Tunes(1).score();
  score.measures[0].directions.push_back({0, Direction::Kind::segno, ""});
  same = score;
  EXPECT_TRUE(fold_repeats(same).entries().empty());
  EXPECT_EQ(same, score);
}

}  // namespace
}  // namespace fifthpeg::testing
