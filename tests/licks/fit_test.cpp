// A lick in a tune: what gives way, what stays, and what is refused.
#include <algorithm>
#include <gtest/gtest.h>
#include <string>
#include <vector>

#include "arrange/lick_extent.hpp"
#include "fifthpeg/edit.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/licks.hpp"
#include "licks/lick_text.hpp"
#include "licks/two_phrases.hpp"
#include "property/random_score.hpp"

namespace fifthpeg {
namespace {

using testing::lick_score;
using testing::LickKind;
using testing::tab_of;
using testing::two_phrases;

const char* const measure_of_b = "[G] 2:0 3:0 5:0 1:0 2:0 3:0 5:0 1:0";

LickPlace at(std::size_t measure, Fraction in_measure = {}, int half_steps = 0) {
  LickPlace place;
  place.measure = measure;
  place.at = in_measure;
  place.half_steps = half_steps;
  return place;
}

std::string code_of(const Score& tune, const Score& lick, const LickPlace& place) {
  try {
    fit_lick(tune, lick, place);
  } catch (const Error& error) {
    return error.code();
  }
  return "none";
}

bool tells(const Report& report, std::string_view slug, std::string_view words = {}) {
  return std::any_of(report.entries().begin(), report.entries().end(), [&](const Entry& entry) {
    return entry.slug == slug && entry.text.find(words) != std::string::npos;
  });
}

// Fingers aside, which the strokes beside a lick may get anew.
Measure without_fingers(Measure measure) {
  for (Stroke& stroke : measure.strokes) {
    for (Note& note : stroke.notes) {
      note.finger.reset();
      note.picking_finger.reset();
    }
  }
  return measure;
}

TEST(FitLick, StandsInPlaceOfWhatWasThere) {
  const Score tune = two_phrases();
  const Fitted fitted = fit_lick(tune, lick_score(measure_of_b), at(3));
  EXPECT_EQ(flaws(fitted.score), std::vector<std::string>{});
  EXPECT_EQ(tab_of(fitted.score.measures[3]), "2:0 3:0 5:0 1:0 2:0 3:0 5:0 1:0");
  for (const Stroke& stroke : fitted.score.measures[3].strokes) {
    for (const Note& note : stroke.notes) EXPECT_EQ(note.role, Role::lick);
  }
  for (std::size_t m = 0; m < tune.measures.size(); ++m) {
    if (m != 3) {
      EXPECT_EQ(without_fingers(fitted.score.measures[m]), without_fingers(tune.measures[m])) << m;
    }
    EXPECT_EQ(fitted.score.measures[m].chords, tune.measures[m].chords) << m;
  }
  // Its first note is the melody's.
  EXPECT_FALSE(tells(fitted.report, "melody-replaced")) << to_text(fitted.report);
}

TEST(FitLick, TellsWhatOfTheMelodyGivesWay) {
  const Fitted fitted = fit_lick(two_phrases(), lick_score(measure_of_b), at(1));
  EXPECT_TRUE(tells(fitted.report, "melody-replaced", "4 notes of the melody: C4, B3, A3, G3"))
      << to_text(fitted.report);
}

TEST(FitLick, TheMelodysOwnNoteStaysTheMelodys) {
  Score tune = two_phrases();
  for (Measure& measure : tune.measures) {
    for (Stroke& stroke : measure.strokes) stroke.notes.front().role = Role::melody;
  }
  const Fitted fitted = fit_lick(tune, lick_score(measure_of_b), at(3));
  const auto& strokes = fitted.score.measures[3].strokes;
  EXPECT_EQ(strokes[0].notes[0].role, Role::melody);
  for (std::size_t s = 1; s < strokes.size(); ++s) EXPECT_EQ(strokes[s].notes[0].role, Role::lick);
}

TEST(FitLick, ALongNoteIsCutAndTheLicksLastOneSoundsOn) {
  // Two beats of a lick in the middle of a whole note.
  const Fitted fitted = fit_lick(two_phrases(), lick_score("[G] 3:0 2:0 5:0 1:0 -*4"), at(3, {1, 4}));
  EXPECT_EQ(flaws(fitted.score), std::vector<std::string>{});
  EXPECT_EQ(tab_of(fitted.score.measures[3]), "2:0*2 3:0 2:0 5:0 1:0*3");
}

TEST(FitLick, WhatFollowsWithinTheMeasureStays) {
  const Fitted fitted = fit_lick(two_phrases(), lick_score("[G] 3:0 2:0 5:0 1:0 -*4"), at(0, {1, 4}));
  EXPECT_EQ(tab_of(fitted.score.measures[0]), "3:0*2 3:0 2:0 5:0 1:0 3:0*2");
}

TEST(FitLick, ATieOverTheBarlineEnds) {
  Score tune = two_phrases();
  tune.measures[4].strokes = {tune.measures[3].strokes[0]};
  tune.measures[3].strokes[0].notes[0].tied_to_next = true;
  tune.measures[4].strokes[0].notes[0].tied_from_previous = true;
  ASSERT_EQ(flaws(tune), std::vector<std::string>{});
  const Fitted fitted = fit_lick(tune, lick_score(measure_of_b), at(3));
  EXPECT_EQ(flaws(fitted.score), std::vector<std::string>{});
  EXPECT_FALSE(fitted.score.measures[4].strokes[0].notes[0].tied_from_previous);
}

TEST(FitLick, TheNoteThatItLandsOnIsTheTunes) {
  const Score tune = two_phrases();
  const Fitted fitted = fit_lick(tune, lick_score(std::string(measure_of_b) + " | 3:0*8"), at(3));
  EXPECT_EQ(without_fingers(fitted.score.measures[4]), without_fingers(tune.measures[4]));
}

TEST(FitLick, OneWithoutPlacesIsFingeredFirst) {
  Score lick = lick_score(measure_of_b);
  for (Stroke& stroke : lick.measures[0].strokes) {
    for (Note& note : stroke.notes) note.placement.reset();
  }
  const Fitted fitted = fit_lick(two_phrases(), lick, at(3));
  for (const Stroke& stroke : fitted.score.measures[3].strokes) {
    for (const Note& note : stroke.notes) {
      ASSERT_TRUE(note.placement.has_value());
      EXPECT_TRUE(note.picking_finger.has_value());
    }
  }
}

TEST(FitLick, MovesWithItsShapes) {
  LickKind capo;
  capo.capo = 2;
  const Score in_a = lick_score("[A] 2:0 3:0 5:0 1:0 2:0 3:2 5:0 1:0", capo);
  const Fitted fitted = fit_lick(two_phrases(), in_a, at(3, {}, -2));
  EXPECT_EQ(tab_of(fitted.score.measures[3]), "2:0 3:0 5:0 1:0 2:0 3:2 5:0 1:0");
  EXPECT_EQ(flaws(fitted.score), std::vector<std::string>{});
  const Fitted up = fit_lick(two_phrases(), lick_score("[D] 3:7 2:7 5:0 1:7 3:7 2:7 5:0 1:7"), at(3, {}, 5));
  EXPECT_EQ(tab_of(up.score.measures[3]), "3:12 2:12 5:0 1:12 3:12 2:12 5:0 1:12");
  EXPECT_EQ(flaws(up.score), std::vector<std::string>{});
  // Open strings do not move, and the neck ends.
  EXPECT_EQ(code_of(two_phrases(), lick_score(measure_of_b), at(3, {}, 5)), "lick-off-neck");
  EXPECT_EQ(code_of(two_phrases(), lick_score("[D] 3:19 2:20"), at(3, {}, 5)), "lick-off-neck");
}

TEST(FitLick, RefusesWhatWouldBreak) {
  const Score lick = lick_score(measure_of_b);
  EXPECT_EQ(code_of(two_phrases(), lick, at(7, {1, 2})), "lick-over-end");
  EXPECT_EQ(code_of(two_phrases(), lick, at(8)), "no-such-measure");
  Score repeats = two_phrases();
  repeats.measures[3].repeat_times = 2;
  EXPECT_EQ(code_of(repeats, lick, at(3, {1, 2})), "lick-over-repeat");
  EXPECT_EQ(code_of(repeats, lick, at(3)), "none");
  Score endings = repeats;
  endings.measures[3].ending = Ending{{1}, true, Ending::Stop::closed};
  endings.measures[4].ending = Ending{{2}, true, Ending::Stop::open};
  EXPECT_EQ(code_of(endings, lick, at(3)), "lick-in-one-ending");
  FitOptions one;
  one.in_one_ending = true;
  const Fitted fitted = fit_lick(endings, lick, at(3), one);
  EXPECT_EQ(fitted.score.measures[3].ending, endings.measures[3].ending);
  EXPECT_EQ(fitted.score.measures[3].repeat_times, 2);
  EXPECT_EQ(flaws(fitted.score), std::vector<std::string>{});
  // A half note that would lie over a barline.
  EXPECT_EQ(code_of(two_phrases(), lick_score("[G] 3:0*4 2:0*4"), at(3, {3, 4})), "lick-over-barline");
  Score triplet = two_phrases();
  auto& strokes = triplet.measures[3].strokes;
  strokes.clear();
  for (int s = 0; s < 12; ++s) {
    Stroke stroke = two_phrases().measures[3].strokes[0];
    stroke.onset = Fraction(s, 12);
    stroke.duration = Fraction(1, 12);
    stroke.tuplets = {{3, 2, s % 3 == 0, s % 3 == 2}};
    strokes.push_back(stroke);
  }
  ASSERT_EQ(flaws(triplet), std::vector<std::string>{});
  EXPECT_EQ(code_of(triplet, lick, at(3)), "none");
  EXPECT_EQ(code_of(triplet, lick_score("[G] 3:0 2:0 5:0 1:0 -*4"), at(3, {1, 8})), "tuplet-parted");
}

TEST(FitLick, ATuneIsUnchangedWhereItRefuses) {
  const Score tune = two_phrases();
  const Score before = tune;
  EXPECT_THROW(fit_lick(tune, lick_score(measure_of_b), at(7, {1, 2})), UnplayableError);
  EXPECT_EQ(tune, before);
}

// ---- properties --------------------------------------------------------------------------------------

// Where a lick that was cut out of a tune stood.
LickPlace place_of_slice(const Score& tune, std::size_t first, const Score& lick) {
  const auto extent = arranging::extent_of(lick).value();
  Fraction from = extent.start - counted_before(lick.measures.front());
  LickPlace place = at(first);
  while (from >= tune.measures[place.measure].length) from -= tune.measures[place.measure++].length;
  place.at = from;
  return place;
}

TEST(FitLick, WhatWasCutOutFitsBackBitForBit) {
  FitOptions options;
  options.in_one_ending = true;
  int fitted = 0;
  int parted = 0;
  for (std::uint64_t seed = 0; seed < 400; ++seed) {
    Score tune = testing::random_score(seed);
    for (Measure& measure : tune.measures) {
      for (Stroke& stroke : measure.strokes) {
        for (Note& note : stroke.notes) note.role = Role::lick;
      }
    }
    normalize(tune);
    for (std::size_t first = 0; first < tune.measures.size(); ++first) {
      const std::size_t count = 1 + (seed + first) % std::min<std::size_t>(3, tune.measures.size() - first);
      const Score lick = slice(tune, first, count);
      if (!arranging::extent_of(lick)) continue;
      try {
        EXPECT_EQ(fit_lick(tune, lick, place_of_slice(tune, first, lick), options).score, tune)
            << "seed " << seed << ", measure " << first << ", " << count;
        ++fitted;
      } catch (const UnplayableError& error) {
        EXPECT_EQ(error.code(), "lick-over-repeat") << error.what() << " seed " << seed;
        ++parted;
      }
    }
  }
  EXPECT_GT(fitted, 1500);
  EXPECT_GT(fitted, parted * 3);
}

Measure bare(const Measure& measure) {
  Measure is = without_fingers(measure);
  for (Stroke& stroke : is.strokes) {
    for (Note& note : stroke.notes) {
      note.into = note.out_of = Technique::none;
      note.tied_from_previous = note.tied_to_next = false;
    }
  }
  return is;
}

std::size_t strokes_of_other_fingers(const Measure& one, const Measure& other) {
  std::size_t count = 0;
  for (std::size_t s = 0; s < one.strokes.size() && s < other.strokes.size(); ++s) {
    const auto& a = one.strokes[s].notes;
    const auto& b = other.strokes[s].notes;
    count += std::equal(a.begin(), a.end(), b.begin(), b.end(),
                        [](const Note& x, const Note& y) {
                          return x.finger == y.finger && x.picking_finger == y.picking_finger;
                        })
                 ? 0U
                 : 1U;
  }
  return count;
}

TEST(FitLick, BreaksNothingWhereverItIsPut) {
  const std::vector<Score> licks{lick_score("[G] 3:0 2:0 5:0 1:0"), lick_score("[G] -*2 3:0 (3:2 h3:3 2:0"),
                                 lick_score(measure_of_b),
                                 lick_score("[G] 3:0 2:0 | [G] 1:0 2:0 3:0 5:0 1:0 2:0 3:0 5:0 | 3:0*8")};
  int put = 0;
  int refused = 0;
  for (std::uint64_t seed = 0; seed < 60; ++seed) {
    testing::RandomScoreOptions kind;
    kind.unusual_banjo = false;
    const Score tune = testing::random_score(seed, kind);
    for (std::size_t m = 0; m < tune.measures.size(); ++m) {
      for (const Fraction from : {Fraction(0), Fraction(1, 4), Fraction(3, 8)}) {
        const Score& lick = licks[(seed + m) % licks.size()];
        if (from >= tune.measures[m].length) continue;
        try {
          const Fitted fitted = fit_lick(tune, lick, at(m, from));
          ASSERT_EQ(flaws(fitted.score), std::vector<std::string>{}) << "seed " << seed << ", measure " << m;
          Score normal = fitted.score;
          normalize(normal);
          ASSERT_EQ(normal, fitted.score);
          ASSERT_EQ(fitted.score.measures.size(), tune.measures.size());
          std::size_t other_fingers = 0;
          for (std::size_t other = 0; other < tune.measures.size(); ++other) {
            const Measure& was = tune.measures[other];
            const Measure& is = fitted.score.measures[other];
            EXPECT_EQ(is.chords, was.chords);
            EXPECT_EQ(is.ending, was.ending);
            EXPECT_EQ(is.repeat_times, was.repeat_times);
            EXPECT_EQ(is.length, was.length);
            if (other >= m && other <= m + 3) continue;
            // Ties and slurs over the seams end, and a stroke beside each may have other fingers.
            EXPECT_EQ(bare(is), bare(was)) << "seed " << seed << ", measure " << other << " with it at " << m;
            other_fingers += strokes_of_other_fingers(is, was);
          }
          EXPECT_LE(other_fingers, 2U);
          ++put;
        } catch (const Error& error) {
          EXPECT_NE(error.code(), "usage") << error.what();
          ++refused;
        }
      }
    }
  }
  EXPECT_GT(put, 300);
  EXPECT_GT(put, refused);
}

}  // namespace
}  // namespace fifthpeg
