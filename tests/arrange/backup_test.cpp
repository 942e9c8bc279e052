// Backup: rolls over the chords, and vamps, on random melodies in several meters.
#include <algorithm>
#include <cstdlib>
#include <gtest/gtest.h>
#include <optional>
#include <string>
#include <vector>

#include "arrange/vamp.hpp"
#include "arrange/varied_melody.hpp"
#include "fifthpeg/arrange.hpp"
#include "hands/queries.hpp"
#include "hands/scores.hpp"
#include "hands/stroke_sequence.hpp"
#include "score/chord_tones.hpp"

namespace fifthpeg {
namespace {

using testing::varied_melody;
using testing::VariedMelodyOptions;

struct Backed {
  Score source;
  int level = 1;
  Score backup;
};

Score backup_for(const Score& source, int level, Style style = Style::roll) {
  ArrangeOptions options;
  options.level = level;
  options.style = style;
  options.backup = true;
  return arrange(source, options).backup.value();
}

// Made once for all tests.
const std::vector<Backed>& all_backed() {
  static const std::vector<Backed> all = [] {
    std::vector<Backed> made;
    for (const auto& [beats, unit] : {std::pair{4, 4}, {3, 4}, {6, 8}, {2, 4}, {2, 2}}) {
      for (std::uint64_t seed = 1; seed <= 4; ++seed) {
        VariedMelodyOptions kind;
        kind.beats = {beats};
        kind.unit = unit;
        kind.pickup = seed % 2 == 0;
        kind.chords = seed % 3 != 0;
        kind.fast = false;
        const Score source = varied_melody(seed, kind);
        for (int level = lowest_level; level <= highest_level; ++level)
          made.push_back({source, level, backup_for(source, level)});
      }
    }
    return made;
  }();
  return all;
}

template <class Of>
void for_each_backup(const Of& of) {
  for (const Backed& one : all_backed()) {
    SCOPED_TRACE(to_string(one.source.measures.back().meter) + ", level " + std::to_string(one.level));
    of(one);
  }
}

// Calls `of(measure, stroke, tones)` for each stroke that has notes.
template <class Of>
void for_each_stroke(const Score& score, const Of& of) {
  std::optional<ChordTones> tones;
  for (const Measure& measure : score.measures) {
    std::size_t next = 0;
    for (const Stroke& stroke : measure.strokes) {
      for (; next < measure.chords.size() && measure.chords[next].at <= stroke.onset; ++next)
        tones = chord_tones(measure.chords[next]);
      if (!stroke.is_rest()) of(measure, stroke, tones);
    }
  }
}

TEST(Backup, HasTheMeasuresAndTheChordsOfTheMelody) {
  for_each_backup([](const Backed& one) {
    EXPECT_EQ(flaws(one.backup), std::vector<std::string>{});
    EXPECT_EQ(one.backup.part_name, "Banjo backup");
    ASSERT_EQ(one.backup.measures.size(), one.source.measures.size());
    for (std::size_t m = 0; m < one.source.measures.size(); ++m) {
      EXPECT_EQ(one.backup.measures[m].length, one.source.measures[m].length);
      EXPECT_EQ(one.backup.measures[m].number, one.source.measures[m].number);
      const bool rests =
          std::all_of(one.backup.measures[m].strokes.begin(), one.backup.measures[m].strokes.end(),
                      [](const Stroke& stroke) { return stroke.is_rest(); });
      EXPECT_EQ(rests, one.source.measures[m].implicit) << m;
    }
  });
}

TEST(Backup, IsOfTheChordAndSaysWhatItIs) {
  for_each_backup([](const Backed& one) {
    for_each_stroke(one.backup, [](const Measure& measure, const Stroke& stroke, const auto& tones) {
      for (const Note& note : stroke.notes) {
        EXPECT_EQ(note.role, Role::backup);
        const bool drone = note.placement == Placement{fifth_string, 0};
        const bool leads = stroke.grace != Grace::none || note.out_of != Technique::none;
        EXPECT_TRUE(drone || leads || (tones && tones->has(note.pitch.midi()))) << measure.number;
      }
    });
  });
}

TEST(Backup, IsHeldAndPickedWithoutHaste) {
  for_each_backup([](const Backed& one) {
    const hands::Model model(one.backup.banjo, {}, Style::roll);
    const Stroke* before = nullptr;
    for (const hands::Event& event : hands::line_of(one.backup)) {
      const Stroke& stroke = hands::stroke_at(one.backup, event);
      EXPECT_EQ(hands::judge_hold(stroke, model).fault, hands::HoldFault::none);
      EXPECT_EQ(hands::judge_picking(stroke), hands::PickFault::none);
      if (before != nullptr) {
        EXPECT_FALSE(hands::judge_succession(*before, stroke, event.wait, model).forbidden);
      }
      before = &stroke;
    }
  });
}

TEST(Backup, RollsInFirstPositionAtTheFirstLevels) {
  long strokes = 0;
  for_each_backup([&](const Backed& one) {
    if (one.level > 2) return;
    for_each_stroke(one.backup, [&](const Measure& measure, const Stroke& stroke, const auto&) {
      ++strokes;
      for (const Note& note : stroke.notes) EXPECT_LE(note.placement->fret, 5) << measure.number;
    });
  });
  EXPECT_GT(strokes, 1500);
}

TEST(Backup, VampsWithClosedShapesThatAreStoppedShort) {
  long pinches = 0;
  long bass_notes = 0;
  for_each_backup([&](const Backed& one) {
    if (one.level < 3) return;
    std::optional<int> last;
    for_each_stroke(one.backup, [&](const Measure& measure, const Stroke& stroke, const auto&) {
      const Fraction place = counted_before(measure) + stroke.onset;
      const auto beats = arranging::vamp_of(measure.meter);
      const auto beat =
          std::find_if(beats.begin(), beats.end(), [&](const auto& b) { return b.at == place; });
      ASSERT_TRUE(beat != beats.end());
      EXPECT_EQ(stroke.notes.size(), beat->bass ? 1U : 3U);
      if (beat->bass) {
        ++bass_notes;
        EXPECT_EQ(stroke.notes.front().picking_finger, PickingFinger::thumb);
        EXPECT_EQ(stroke.notes.front().placement->string, 4);
        return;
      }
      ++pinches;
      int low = 99;
      int high = 0;
      for (const Note& note : stroke.notes) {
        EXPECT_EQ(note.ring, Ring::damp);
        EXPECT_GT(note.placement->fret, 0);
        low = std::min<int>(low, note.placement->fret);
        high = std::max<int>(high, note.placement->fret);
      }
      EXPECT_LE(high - low, 3) << measure.number;
      if (last) {
        EXPECT_LE(std::abs(low - *last), 4) << measure.number;
      }
      last = low;
    });
  });
  EXPECT_GT(pinches, 300);
  EXPECT_GT(bass_notes, 300);
}

TEST(Backup, IsTheSameBesideEveryStyleOfTheMelodyAndAtEveryTempo) {
  const Score source = varied_melody(3, {});
  Score fast = source;
  fast.measures.front().tempos.front().quarters_per_minute = 200;
  for (const int level : {2, 4}) {
    const std::string tab = testing::placements_of(backup_for(source, level));
    EXPECT_EQ(testing::placements_of(backup_for(fast, level)), tab);
  }
  EXPECT_FALSE(arrange(source).backup.has_value());
  EXPECT_FALSE(testing::placements_of(backup_for(source, 2, Style::melodic)).empty());
  EXPECT_FALSE(testing::placements_of(backup_for(source, 2, Style::clawhammer)).empty());
}

// "B p p": bass and pinches by eighths.
std::string pattern_of(std::vector<int> beats, int unit) {
  Meter meter;
  meter.beats = std::move(beats);
  meter.unit = unit;
  std::string text(static_cast<std::size_t>((meter.length() * 8).floor()), '-');
  for (const arranging::VampBeat& beat : arranging::vamp_of(meter))
    text.at(static_cast<std::size_t>((beat.at * 8).floor())) = beat.bass ? 'B' : 'p';
  return text;
}

TEST(Vamp, GoesWithTheMeter) {
  EXPECT_EQ(pattern_of({4}, 4), "B-p-B-p-");
  EXPECT_EQ(pattern_of({3}, 4), "B-p-p-");
  EXPECT_EQ(pattern_of({2}, 4), "BpBp");
  EXPECT_EQ(pattern_of({2}, 2), "B-p-B-p-");
  EXPECT_EQ(pattern_of({6}, 8), "B-pB-p");
  EXPECT_EQ(pattern_of({9}, 8), "B-pB-pB-p");
  EXPECT_EQ(pattern_of({5}, 4), "B-p-p-B-p-");
  EXPECT_EQ(pattern_of({3, 2}, 8), "B-pBp");
}

}  // namespace
}  // namespace fifthpeg
