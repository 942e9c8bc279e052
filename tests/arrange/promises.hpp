// What holds of every arrangement, whatever its style.
#pragma once

#include <algorithm>
#include <gtest/gtest.h>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "arrange/melodies.hpp"
#include "fifthpeg/arrange.hpp"
#include "fifthpeg/edit.hpp"
#include "fifthpeg/performance.hpp"
#include "score/chord_tones.hpp"

namespace fifthpeg::arranged {

inline const std::vector<std::pair<std::vector<int>, int>> four_meters{
    {{4}, 4}, {{2}, 4}, {{3}, 4}, {{6}, 8}};

// A stroke with notes, grace notes aside.
struct Heard {
  const Stroke* stroke;
  const Measure* measure;
  Fraction at;  // from the start of the score
};

inline std::vector<Heard> heard(const Score& score) {
  std::vector<Heard> all;
  Fraction start;
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      if (!stroke.is_rest() && stroke.grace == Grace::none)
        all.push_back({&stroke, &measure, start + stroke.onset});
    }
    start += measure.length;
  }
  return all;
}

// Each fill is of the chord over it, and each drone the open fifth string.
inline void expect_fills_of_the_chord(const Score& score) {
  std::optional<ChordTones> tones;
  for (const Measure& measure : score.measures) {
    auto chord = measure.chords.begin();
    for (const Stroke& stroke : measure.strokes) {
      for (; chord != measure.chords.end() && chord->at <= stroke.onset; ++chord) tones = chord_tones(*chord);
      if (stroke.grace != Grace::none) continue;
      for (const Note& note : stroke.notes) {
        if (note.role == Role::fill) {
          ASSERT_TRUE(tones && tones->has(note.pitch.midi())) << measure.number;
        }
        if (note.role == Role::drone) {
          ASSERT_EQ(*note.placement, (Placement{fifth_string, 0}));
        }
      }
    }
  }
}

// Every note that is kept is the melody at its time and pitch, nothing else is, and so it is taken out again.
inline void expect_melody_and_nothing_else(const Arrangement& made) {
  ASSERT_EQ(flaws(made.score), std::vector<std::string>{});
  std::vector<std::pair<Fraction, int>> expected;
  for (const MelodyNote& note : made.melody) {
    if (note.kept) expected.emplace_back(note.at, note.midi);
    ASSERT_TRUE(note.asked || !note.kept);
  }
  EXPECT_FALSE(expected.empty());
  std::vector<std::pair<Fraction, int>> found;
  for (const Heard& one : heard(made.score)) {
    for (const Note& note : one.stroke->notes) {
      ASSERT_NE(note.role, Role::none);
      if (note.role == Role::melody && !note.tied_from_previous)
        found.emplace_back(one.at, note.pitch.midi());
    }
  }
  EXPECT_EQ(found, expected);
  Score taken_out = made.score;
  keep_only(taken_out, {Role::melody});
  found.clear();
  for (const Heard& one : heard(taken_out)) {
    for (const Note& note : one.stroke->notes) {
      if (!note.tied_from_previous) found.emplace_back(one.at, note.pitch.midi());
    }
  }
  EXPECT_EQ(found, expected);
}

// By 20 of velocity.
inline void expect_melody_over_fills(const Score& score) {
  int softest = 127;
  int loudest = 0;
  for (const SoundedNote& sound : perform(score).notes) {
    const Note& note = score.measures[sound.measure].strokes[sound.stroke].notes[sound.note];
    if (note.role == Role::melody) softest = std::min<int>(softest, sound.velocity);
    if (note.role == Role::fill || note.role == Role::drone || note.role == Role::backup)
      loudest = std::max<int>(loudest, sound.velocity);
  }
  EXPECT_GE(softest, loudest + (loudest > 0 ? 20 : 0));
}

// Measures that are equal, chords and neighbors too, are played equally. `tab` is the text of a measure.
template <typename Tab>
void expect_equal_music_equally(Style style, const Tab& tab) {
  long compared = 0;
  for (const auto& [beats, unit] : four_meters) {
    for (const Score& once : melodies_in(beats, unit)) {
      if (once.measures.front().implicit) continue;
      Score melody = once;
      melody.measures.insert(melody.measures.end(), once.measures.begin(), once.measures.end());
      for (std::size_t m = 0; m < melody.measures.size(); ++m)
        melody.measures[m].number = std::to_string(m + 1);
      for (int level = lowest_level; level <= highest_level; ++level) {
        ArrangeOptions options;
        options.style = style;
        options.level = level;
        const auto made = arrange(melody, options).score.measures;
        const auto alike = [&](std::size_t a, std::size_t b) {
          return melody.measures[a].strokes == melody.measures[b].strokes && made[a].chords == made[b].chords;
        };
        for (std::size_t a = 2; a + 2 < made.size(); ++a) {
          for (std::size_t b = a + 1; b + 2 < made.size(); ++b) {
            bool equal = true;
            for (std::size_t k = 0; k < 5; ++k) equal = equal && alike(a + k - 2, b + k - 2);
            if (!equal) continue;
            ++compared;
            ASSERT_EQ(tab(made[a]), tab(made[b])) << a << ' ' << b << ", level " << level;
          }
        }
      }
    }
  }
  EXPECT_GT(compared, 500);
}

}  // namespace fifthpeg::arranged
