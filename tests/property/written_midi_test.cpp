// What must be equal between the MIDI files of scores that are alike: moved, joined, with repeats written
// out, on one channel or five. Whatever the score, these hold.
#include <algorithm>
#include <gtest/gtest.h>
#include <utility>
#include <vector>

#include "fifthpeg/write.hpp"
#include "formats/midi/writer/parse.hpp"
#include "property/random_score.hpp"

namespace fifthpeg::testing {
namespace {

constexpr int ticks = 960;

// Where notes are struck: tick, key.
using Struck = std::vector<std::pair<std::int64_t, int>>;

MidiFile written(const Score& score, MidiOptions options = {}) {
  options.ticks_per_quarter = ticks;
  StringSink sink;
  write_midi(score, options, sink);
  return MidiParser(sink.str()).parse();
}

Struck struck(const MidiFile& file) {
  Struck result;
  for (const auto& track : file.tracks) {
    for (const MidiEvent& event : track) {
      if (event.is_note_on()) result.emplace_back(event.tick, event.type);
    }
  }
  std::sort(result.begin(), result.end());
  return result;
}

// Two strings that sound the same key at once may be one note where they share a channel.
Struck without_unisons(Struck notes) {
  notes.erase(std::unique(notes.begin(), notes.end()), notes.end());
  return notes;
}

std::int64_t length(const Score& score) {
  Fraction sum = 0;
  for (const Measure& measure : score.measures) sum = sum + measure.length;
  return (sum * 4 * ticks).floor();
}

// Without what moves notes about: grace notes take their time from before, swing delays, brushes spread.
RandomScoreOptions plain() {
  RandomScoreOptions options;
  options.grace = false;
  options.tuplets = false;
  options.techniques = false;
  options.words = false;
  return options;
}

constexpr std::uint64_t seeds = 200;

TEST(WrittenMidi, MovesWithTheScore) {
  for (std::uint64_t seed = 0; seed < seeds; ++seed) {
    const Score score = random_score(seed);
    for (const int half_steps : {-7, 2, 12}) {
      Score moved = score;
      transpose(moved, half_steps);
      Struck expected = struck(written(score));
      for (auto& note : expected) note.second += half_steps;
      ASSERT_EQ(struck(written(moved)), expected) << "seed " << seed << " by " << half_steps;
    }
  }
}

TEST(WrittenMidi, RepeatsWrittenOutOrUnfoldedBefore) {
  std::size_t repeated = 0;
  for (std::uint64_t seed = 0; seed < seeds; ++seed) {
    const Score score = random_score(seed);
    const Score straight = unfolded(score);
    MidiOptions once;
    once.unfold_repeats = false;
    ASSERT_EQ(struck(written(score)), struck(written(straight, once))) << "seed " << seed;
    repeated += straight.measures.size() > score.measures.size() ? 1U : 0U;
  }
  EXPECT_GT(repeated, seeds / 5);
}

TEST(WrittenMidi, OneChannelOrFive) {
  for (std::uint64_t seed = 0; seed < seeds; ++seed) {
    const Score score = random_score(seed);
    MidiOptions five;
    five.channel_per_string = true;
    ASSERT_EQ(without_unisons(struck(written(score))), without_unisons(struck(written(score, five))))
        << "seed " << seed;
  }
}

TEST(WrittenMidi, JoinedPiecesSoundOneAfterTheOther) {
  RandomScoreOptions options = plain();
  options.repeats = false;
  options.unusual_banjo = false;
  std::size_t compared = 0;
  for (std::uint64_t seed = 0; seed < seeds; ++seed) {
    const Score first = random_score(2 * seed, options);
    const Score second = random_score(2 * seed + 1, options);
    // A file that begins with a pickup may begin with the rest of that measure.
    if (first.measures.front().implicit || second.measures.front().implicit) continue;
    ++compared;
    Score joined = first;
    joined.measures.insert(joined.measures.end(), second.measures.begin(), second.measures.end());
    normalize(joined);
    Struck expected = struck(written(first));
    for (auto note : struck(written(second))) {
      note.first += length(first);
      expected.push_back(note);
    }
    ASSERT_EQ(struck(written(joined)), expected) << "seed " << seed;
  }
  EXPECT_GT(compared, seeds / 4);
}

}  // namespace
}  // namespace fifthpeg::testing
