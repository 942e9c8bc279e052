// What holds of every arrangement in clawhammer, on random melodies in four meters at all levels, on the
// fixtures, and on small tunes of which a player knows the answer.
#include <algorithm>
#include <fstream>
#include <gtest/gtest.h>
#include <iterator>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "arrange/candidates.hpp"
#include "arrange/melodies.hpp"
#include "arrange/promises.hpp"
#include "arrange/strums.hpp"
#include "arrange/varied_melody.hpp"
#include "fifthpeg/arrange.hpp"
#include "fifthpeg/edit.hpp"
#include "fifthpeg/hands.hpp"
#include "fifthpeg/harmony.hpp"
#include "fifthpeg/performance.hpp"
#include "fifthpeg/read.hpp"
#include "harmony/tunes.hpp"

namespace fifthpeg::frailed {
namespace {

using arranged::four_meters;
using arranged::Heard;
using arranged::heard;
using testing::tune;

bool struck_by(const Stroke& stroke, PickingFinger finger) {
  return std::any_of(stroke.notes.begin(), stroke.notes.end(),
                     [&](const Note& note) { return note.picking_finger == finger; });
}

bool is_melody(const Stroke& stroke) {
  return std::any_of(stroke.notes.begin(), stroke.notes.end(),
                     [](const Note& note) { return note.role == Role::melody; });
}

// In every second measure another chord: a triad on the first note there, or one below it.
void give_chords(Score& score) {
  for (std::size_t m = 0; m < score.measures.size(); m += 2) {
    Measure& measure = score.measures[m];
    for (const Stroke& stroke : measure.strokes) {
      if (stroke.is_rest()) continue;
      const Pitch pitch = stroke.notes.front().pitch;
      ChordSymbol chord;
      chord.root = {pitch.step, pitch.alter};
      chord.kind = m % 8 == 0 ? "minor" : m % 6 == 0 ? "dominant" : "major";
      measure.chords.push_back(chord);
      break;
    }
  }
}

Score fixture(const std::string& name) {
  std::ifstream file(std::string(FIXTURES) + "/" + name, std::ios::binary);
  const std::string bytes{std::istreambuf_iterator<char>(file), {}};
  return read(bytes).score;
}

struct Frailed {
  Score melody;
  ArrangeOptions options;
  Arrangement made;
};

Frailed frail(Score melody, int level) {
  ArrangeOptions options;
  options.style = Style::clawhammer;
  options.level = level;
  Arrangement made = arrange(melody, options);
  return {std::move(melody), options, std::move(made)};
}

// Made once for all tests.
const std::vector<Frailed>& all_frailed() {
  static const std::vector<Frailed> all = [] {
    std::vector<Frailed> made;
    for (int level = lowest_level; level <= highest_level; ++level) {
      for (const auto& [beats, unit] : four_meters) {
        int n = 0;
        for (Score& melody : arranged::melodies_in(beats, unit)) {
          if (++n % 4 < 2) give_chords(melody);
          made.push_back(frail(std::move(melody), level));
        }
        for (std::uint64_t seed = 1; seed <= 4; ++seed) {
          testing::VariedMelodyOptions kind;
          kind.beats = beats;
          kind.unit = unit;
          kind.pickup = seed % 2 == 0;
          kind.chords = seed % 3 != 0;
          made.push_back(frail(testing::varied_melody(seed, kind), level));
        }
      }
      for (const char* name : {"boil-them-cabbage-down.mid", "irish-washerwoman.mid", "soldiers-joy.mid"})
        made.push_back(frail(fixture(name), level));
    }
    return made;
  }();
  return all;
}

template <typename Test>
void for_each(const Test& test) {
  for (const Frailed& one : all_frailed()) {
    SCOPED_TRACE(to_string(one.melody.measures.back().meter) + ", level " +
                 std::to_string(one.options.level) + ", " + one.melody.work.title);
    test(one);
    if (::testing::Test::HasFatalFailure()) return;
  }
}

// ---- whatever the melody is ------------------------------------------------------------------------

TEST(Clawhammer, EveryKeptMelodyNoteSoundsAndNothingElseIsMelody) {
  for_each([](const Frailed& one) { arranged::expect_melody_and_nothing_else(one.made); });
}

TEST(Clawhammer, TheMelodyIsHeardOverItsFills) {
  for_each([](const Frailed& one) { arranged::expect_melody_over_fills(one.made.score); });
}

TEST(Clawhammer, TheNailFallsOnEveryBeatOfTheTune) {
  for_each([](const Frailed& one) {
    std::map<Fraction, const Stroke*> strokes;
    for (const Heard& at : heard(one.made.score)) strokes[at.at] = at.stroke;
    Fraction start;
    for (const Measure& measure : one.made.score.measures) {
      const Fraction beat = measure.meter.is_compound() ? measure.meter.beat() : Fraction(1, 4);
      for (Fraction at; at < measure.length; at += beat) {
        if (counted_before(measure) > 0 || start + at < one.made.melody.front().at) continue;
        const auto found = strokes.find(start + at);
        ASSERT_NE(found, strokes.end()) << measure.number << ' ' << to_string(at);
        ASSERT_TRUE(struck_by(*found->second, PickingFinger::nail)) << measure.number << ' ' << to_string(at);
      }
      start += measure.length;
    }
  });
}

// One digit has to come back before it strikes again; one string is struck twice by the tune alone.
TEST(Clawhammer, DigitsAndStringsChange) {
  long steps = 0;
  for_each([&](const Frailed& one) {
    const auto all = heard(one.made.score);
    for (std::size_t i = 1; i < all.size(); ++i) {
      if (all[i].at - all[i - 1].at > Fraction(1, 8)) continue;
      ++steps;
      for (const Note& a : all[i - 1].stroke->notes) {
        for (const Note& b : all[i].stroke->notes) {
          if (!b.picking_finger) continue;
          ASSERT_NE(a.picking_finger, b.picking_finger) << all[i].measure->number;
          const bool both = a.role == Role::melody && b.role == Role::melody;
          ASSERT_TRUE(both || a.placement->string != b.placement->string) << all[i].measure->number;
        }
      }
    }
  });
  EXPECT_GT(steps, 10'000);
}

// Off the beat, on the fifth string or one that the nail has come to, never on the first.
TEST(Clawhammer, TheThumbPlaysWhatItCanReach) {
  long dropped = 0;
  for_each([&](const Frailed& one) {
    int nail = 0;
    for (const Heard& at : heard(one.made.score)) {
      const Fraction beat = at.measure->meter.is_compound() ? at.measure->meter.beat() : Fraction(1, 4);
      const bool on_beat = ((counted_before(*at.measure) + at.stroke->onset) / beat).is_whole();
      for (const Note& note : at.stroke->notes) {
        const int string = note.placement->string;
        if (string == fifth_string) {
          ASSERT_EQ(note.placement->fret, 0);
          ASSERT_EQ(note.picking_finger, PickingFinger::thumb);
        }
        if (note.picking_finger != PickingFinger::thumb) continue;
        ASSERT_FALSE(on_beat) << at.measure->number;
        ASSERT_EQ(at.stroke->notes.size(), 1U);
        ASSERT_NE(string, 1) << at.measure->number;
        if (string == fifth_string) continue;
        ASSERT_GE(string, nail) << at.measure->number;
        ++dropped;
      }
      if (!struck_by(*at.stroke, PickingFinger::nail)) continue;
      nail = fifth_string;
      for (const Note& note : at.stroke->notes) nail = std::min<int>(nail, note.placement->string);
    }
  });
  EXPECT_GT(dropped, 500);
}

// It goes over neighbors from the low strings to the first, and never under a line of eighths.
TEST(Clawhammer, BrushesAccompanyLongNotes) {
  long brushes = 0;
  for_each([&](const Frailed& one) {
    const auto all = heard(one.made.score);
    for (std::size_t i = 0; i < all.size(); ++i) {
      const Stroke& stroke = *all[i].stroke;
      ASSERT_EQ(stroke.notes.size() > 1, stroke.brush != Brush::none);
      if (stroke.brush == Brush::none) continue;
      ++brushes;
      ASSERT_EQ(stroke.brush, Brush::up);
      std::set<int> strings;
      for (const Note& note : stroke.notes) {
        strings.insert(note.placement->string);
        ASSERT_EQ(note.picking_finger, PickingFinger::nail);
      }
      ASSERT_TRUE(strings == (std::set<int>{1, 2}) || strings == (std::set<int>{1, 2, 3}));
      for (std::size_t n = 1; n < stroke.notes.size(); ++n) ASSERT_NE(stroke.notes[n].role, Role::melody);
      const Fraction eighth(1, 8);
      const bool before = i > 0 && all[i].at - all[i - 1].at == eighth && is_melody(*all[i - 1].stroke);
      const bool after =
          i + 1 < all.size() && all[i + 1].at - all[i].at == eighth && is_melody(*all[i + 1].stroke);
      ASSERT_FALSE(before && after) << all[i].measure->number;
      ASSERT_FALSE(is_melody(stroke) && after) << all[i].measure->number;
    }
  });
  EXPECT_GT(brushes, 300);
}

TEST(Clawhammer, WhatSoundsBesideTheMelodyBelongsToTheChord) {
  for_each([](const Frailed& one) { arranged::expect_fills_of_the_chord(one.made.score); });
}

TEST(Clawhammer, LevelsBringTheirTechniques) {
  std::map<int, long> slurs;
  std::map<int, long> drops;
  std::map<int, long> doubles;
  for_each([&](const Frailed& one) {
    const auto all = heard(one.made.score);
    for (std::size_t i = 0; i < all.size(); ++i) {
      for (const Note& note : all[i].stroke->notes) {
        const bool in_pickup = counted_before(*all[i].measure) > 0;
        // Learners hammer on and pull off before the tune, where the hand has not begun to frail.
        if (note.into != Technique::none && (one.options.level > 1 || !in_pickup)) ++slurs[one.options.level];
        const bool thumb = note.picking_finger == PickingFinger::thumb;
        // Before the hand has fallen for the first time, the thumb that leads into the tune has not dropped.
        const bool leads_in = i == 0 || in_pickup;
        if (thumb && !leads_in && note.placement->string != fifth_string) ++drops[one.options.level];
        // After the first beat of a pair.
        const Fraction pair(1, 2);
        const Fraction in_pair = all[i].stroke->onset - pair * (all[i].stroke->onset / pair).floor();
        const bool simple = all[i].measure->meter == Meter{};
        if (thumb && note.role == Role::drone && simple && in_pair == Fraction(1, 8) &&
            counted_before(*all[i].measure) == 0)
          ++doubles[one.options.level];
      }
    }
  });
  EXPECT_EQ(slurs[1], 0);
  EXPECT_GT(slurs[2], 50);
  EXPECT_EQ(drops[1] + drops[2], 0);
  EXPECT_GT(drops[3], 200);
  EXPECT_EQ(doubles[1], 0);
  EXPECT_GT(doubles[3], 50);
}

TEST(Clawhammer, MoreOfTheMelodyIsKeptFromLevelToLevel) {
  std::array<long, highest_level + 1> kept{};
  for_each([&](const Frailed& one) {
    for (const MelodyNote& note : one.made.melody)
      kept.at(static_cast<std::size_t>(one.options.level)) += note.kept ? 1 : 0;
  });
  for (std::size_t level = 2; level < kept.size(); ++level) EXPECT_GT(kept[level], kept[level - 1]) << level;
}

TEST(Clawhammer, BeatsOfTheTuneAreKept) {
  long asked = 0;
  long lost = 0;
  for_each([&](const Frailed& one) {
    for (const MelodyNote& note : one.made.melody) {
      if (!note.on_beat) continue;
      ++asked;
      if (!note.kept) ++lost;
    }
  });
  EXPECT_LE(lost * 100, asked * 2) << lost << " of " << asked;
}

// The hands find strings and fingers as they were meant.
TEST(Clawhammer, FingeringKeepsEveryPlace) {
  for_each([](const Frailed& one) {
    Score again = one.made.score;
    HandsOptions hands;
    hands.style = Style::clawhammer;
    hands.transpose = 0;
    const Report report = finger(again, hands).report;
    ASSERT_EQ(again, one.made.score);
    for (const Entry& entry : report.entries()) EXPECT_NE(entry.kind, EntryKind::loss) << entry.slug;
  });
}

TEST(Clawhammer, TempoChangesNothing) {
  int n = 0;
  for_each([&](const Frailed& one) {
    if (++n % 3 != 0) return;
    Score fast = one.melody;
    const Tempo usual = fast.measures.front().tempos.empty() ? Tempo{} : fast.measures.front().tempos.front();
    for (Measure& measure : fast.measures) measure.tempos.clear();
    fast.measures.front().tempos.push_back(usual);
    fast.measures.front().tempos.back().quarters_per_minute = usual.quarters_per_minute * 2;
    const Arrangement other = arrange(fast, one.options);
    ASSERT_EQ(other.score.measures.size(), one.made.score.measures.size());
    for (std::size_t m = 0; m < one.made.score.measures.size(); ++m) {
      ASSERT_EQ(other.score.measures[m].strokes, one.made.score.measures[m].strokes) << m;
    }
  });
}

// "0:3/2T 1/8:2/0N": onset, string, fret, picking finger.
std::string frailed_tab(const Measure& measure) {
  std::string text;
  for (const Stroke& stroke : measure.strokes) {
    if (stroke.is_rest()) continue;
    text += text.empty() ? "" : " ";
    text += to_string(stroke.onset) + ':';
    for (const Note& note : stroke.notes) {
      text += std::to_string(note.placement->string) + '/' + std::to_string(note.placement->fret);
      text += note.into == Technique::hammer_on  ? std::string("h")
              : note.into == Technique::pull_off ? "p"
              : note.into == Technique::slide    ? "s"
              : note.picking_finger ? std::string(1, "TIMRLN"[static_cast<std::size_t>(*note.picking_finger)])
                                    : "-";
    }
  }
  return text;
}

TEST(Clawhammer, EqualMusicIsArrangedEqually) {
  arranged::expect_equal_music_equally(Style::clawhammer, frailed_tab);
}

TEST(Clawhammer, OtherMetersWorkToo) {
  for (const auto& [beats, unit] : std::vector<std::pair<std::vector<int>, int>>{
           {{5}, 4}, {{3, 2}, 8}, {{7}, 8}, {{9}, 8}, {{12}, 8}, {{2}, 2}, {{3}, 8}, {{6}, 4}}) {
    int n = 0;
    for (const Score& melody : arranged::melodies_in(beats, unit)) {
      if (++n % 5 != 0) continue;
      for (int level = lowest_level; level <= highest_level; ++level) {
        const Frailed one = frail(melody, level);
        ASSERT_EQ(flaws(one.made.score), std::vector<std::string>{});
        long kept = 0;
        for (const MelodyNote& note : one.made.melody) kept += note.kept ? 1 : 0;
        EXPECT_GT(kept * 3, static_cast<long>(one.made.melody.size())) << beats.front() << '/' << unit;
      }
    }
  }
}

// ---- what a player knows -----------------------------------------------------------------------------

// The tab of each measure of a tune in G with its chord, in open G.
std::vector<std::string> played(const Meter& meter, Fraction each, std::string_view words, int level,
                                std::string_view chord = "G") {
  Score melody = tune(meter, each, {1, Mode::major}, words);
  melody.measures.front().chords.push_back(*parse_chord_symbol(chord));
  ArrangeOptions options;
  options.style = Style::clawhammer;
  options.level = level;
  options.keep_tuning = options.keep_capo = true;
  std::vector<std::string> tab;
  for (const Measure& measure : arrange(melody, options).score.measures) tab.push_back(frailed_tab(measure));
  return tab;
}

using Tab = std::vector<std::string>;

TEST(ClawhammerStyle, ALongNoteIsBumDitty) {
  EXPECT_EQ(played({}, {1, 2}, "G3 B3 | G3 B3", 1),
            (Tab{"0:3/0N 1/4:1/0N2/0N3/0N 3/8:5/0T 1/2:2/0N 3/4:1/0N2/0N3/0N 7/8:5/0T",
                 "0:3/0N 1/4:1/0N2/0N3/0N 3/8:5/0T 1/2:2/0N 3/4:1/0N2/0N3/0N 7/8:5/0T"}));
  EXPECT_EQ(played({{3}, 4}, {3, 4}, "G3 | B3", 1),
            (Tab{"0:3/0N 1/4:1/0N2/0N3/0N 3/8:5/0T 1/2:1/0N2/0N3/0N 5/8:5/0T",
                 "0:2/0N 1/4:1/0N2/0N3/0N 3/8:5/0T 1/2:1/0N2/0N3/0N 5/8:5/0T"}));
}

TEST(ClawhammerStyle, NotesOnBothBeatsTakeTheThumbAfterThem) {
  EXPECT_EQ(played({}, {1, 4}, "G3 B3 D4 B3", 1)[0], "0:3/0N 1/4:2/0N 3/8:5/0T 1/2:1/0N 3/4:2/0N 7/8:5/0T");
  EXPECT_EQ(played({}, {1, 4}, "G3 B3 D4 B3", 3)[0],
            "0:3/0N 1/8:5/0T 1/4:2/0N 3/8:5/0T 1/2:1/0N 5/8:5/0T 3/4:2/0N 7/8:5/0T");
}

TEST(ClawhammerStyle, AStepOffTheBeatIsHammeredOnOrPulledOff) {
  // The brush leaves the string alone that has just sounded the melody.
  const std::string hammered =
      "0:3/0N 1/8:3/2h 1/4:1/0N2/0N 3/8:5/0T 1/2:3/2N 5/8:3/0p 3/4:1/0N2/0N 7/8:5/0T";
  EXPECT_EQ(played({}, {1, 8}, "G3 A3*3 A3 G3*3", 2)[0], hammered);
  EXPECT_EQ(played({}, {1, 8}, "G3 A3*3 A3 G3*3", 1)[0].find('h'), std::string::npos);
}

TEST(ClawhammerStyle, TheThumbDropsToTheNextStringDown) {
  EXPECT_EQ(played({}, {1, 8}, "D4 B3 G3 D3 D4 B3 G3*2", 3)[0],
            "0:1/0N 1/8:2/0T 1/4:3/0N 3/8:4/0T 1/2:1/0N 5/8:2/0T 3/4:3/0N 7/8:5/0T");
}

TEST(ClawhammerStyle, TheDronesPitchOffTheBeatIsTheThumbs) {
  EXPECT_EQ(played({}, {1, 8}, "D4 G4 D4 G4 B3*4", 3)[0],
            "0:1/0N 1/8:5/0T 1/4:1/0N 3/8:5/0T 1/2:2/0N 3/4:1/0N2/0N3/0N 7/8:5/0T");
}

TEST(ClawhammerStyle, AJigHasTheThumbLast) {
  const Meter jig{{6}, 8};
  EXPECT_EQ(played(jig, {3, 8}, "G3 B3", 1)[0], "0:3/0N 1/4:5/0T 3/8:2/0N 5/8:5/0T");
  EXPECT_EQ(played(jig, {1, 8}, "G3 A3 G3 D4 B3 G3", 3)[0].substr(0, 27), "0:3/0N 1/8:3/2h 1/4:3/0p 3/");
}

TEST(ClawhammerStyle, APickupIsTheTuneAlone) {
  const auto tab = played({}, {1, 8}, "D3 E3 | G3*4 B3*4 | G3*8", 2);
  EXPECT_EQ(tab[0], "0:4/0N 1/8:4/2h");
  EXPECT_EQ(tab[1].substr(0, 6), "0:3/0N");
}

TEST(ClawhammerStyle, LearnersSlurIntoATune) {
  for (int level = 1; level <= 2; ++level) {
    EXPECT_EQ(played({}, {1, 8}, "B3 C4 | D4*4 B3*4 | G3*8", level)[0], "0:2/0N 1/8:2/1h") << level;
    EXPECT_EQ(played({}, {1, 8}, "A3 G3 | B3*4 B3*4 | G3*8", level)[0], "0:3/2N 1/8:3/0p") << level;
    EXPECT_EQ(played({}, {1, 8}, "D4 B3 | G3*4 B3*4 | G3*8", level)[0], "0:1/0N 1/8:2/0T") << level;
  }
}

TEST(ClawhammerStyle, ThePlayerRetunes) {
  Score melody = tune({}, {1, 4}, {0, Mode::major}, "C3 E3 G3 C4 | E4 D4 C4 G3 | E3 G3 C4 G3 | C3*4");
  const Frailed one = frail(melody, 2);
  const auto& named = named_tunings();
  const auto double_c = std::find_if(named.begin(), named.end(),
                                     [](const NamedTuning& tuning) { return tuning.slug == "double-c"; });
  ASSERT_NE(double_c, named.end());
  EXPECT_EQ(one.made.score.banjo.tuning, double_c->tuning);
}

// ---- the table and what is made of it ------------------------------------------------------------------

TEST(Strums, BeginWithTheNailAndGoOnWithTheThumb) {
  using arranging::Frail;
  for (int slots = 1; slots <= arranging::most_in_beat; ++slots) {
    bool first = false;
    bool second = false;
    for (const arranging::Strum& strum : arranging::strums_of(slots)) {
      EXPECT_EQ(strum.count, slots);
      EXPECT_GE(strum.level, lowest_level);
      EXPECT_LE(strum.level, highest_level);
      EXPECT_TRUE(strum.frails[0] == Frail::nail || strum.frails[0] == Frail::brush);
      bool sounds = strum.frails[0] == Frail::nail;
      for (int i = 1; i < slots; ++i) {
        const Frail frail = strum.frails.at(static_cast<std::size_t>(i));
        EXPECT_NE(frail, Frail::brush);
        if (frail == Frail::slur) {
          EXPECT_TRUE(sounds) << "of nothing";
        }
        if (frail != Frail::nothing) sounds = frail != Frail::fifth_string;
      }
      if (strum.level > lowest_level) continue;
      first = first || strum.beat != arranging::BeatOfPair::second;
      second = second || strum.beat != arranging::BeatOfPair::first;
    }
    EXPECT_TRUE(first && second) << "beginners have something to play over " << slots;
  }
}

TEST(Strums, AreReadAsAPlayerWritesThem) {
  using arranging::Frail;
  const arranging::Strum strum = arranging::parse_strum("B - 5");
  EXPECT_EQ(strum.count, 3);
  EXPECT_EQ(strum.frails, (std::array{Frail::brush, Frail::nothing, Frail::fifth_string}));
  EXPECT_EQ(arranging::parse_strum("N T").frails[1], Frail::drop);
  EXPECT_EQ(arranging::parse_strum("N h").frails[1], Frail::slur);
}

// Few enough for the search, and always one that can be played.
TEST(Strums, CandidatesAreFew) {
  long most = 0;
  for (int level = lowest_level; level <= highest_level; ++level) {
    arranging::Neckwork neck(Banjo{}, level, false);
    for (const auto& [beats, unit] : four_meters) {
      for (const Score& once : arranged::melodies_in(beats, unit)) {
        Score melody = once;
        add_inferred_chords(melody);
        Report report;
        const auto plan = arranging::plan_of(melody, arranging::melody_of(melody, report), {}, {50, 77},
                                             Style::clawhammer, level);
        for (const arranging::Unit& one : plan.units) {
          const auto candidates = arranging::clawhammer_candidates(one, neck);
          ASSERT_FALSE(candidates.empty());
          ASSERT_LE(candidates.size(), arranging::most_candidates);
          most = std::max(most, static_cast<long>(candidates.size()));
          for (std::size_t a = 0; a < candidates.size(); ++a) {
            for (std::size_t b = 0; b < a; ++b) ASSERT_FALSE(candidates[a].slots == candidates[b].slots);
          }
        }
      }
    }
  }
  EXPECT_GT(most, 20);
}

}  // namespace
}  // namespace fifthpeg::frailed
