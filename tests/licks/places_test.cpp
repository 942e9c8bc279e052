// Where licks can go. A tune of two phrases, each with a measure in which its last note is held; what is
// expected is what a player would do there (common practice).
#include <algorithm>
#include <gtest/gtest.h>
#include <string>
#include <utility>
#include <vector>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/licks.hpp"
#include "licks/lick_text.hpp"
#include "licks/two_phrases.hpp"

namespace fifthpeg {
namespace {

using testing::lick_score;
using testing::LickKind;
using testing::two_phrases;

using Where = std::vector<std::pair<std::size_t, Fraction>>;

Where where(const std::vector<LickPlace>& places) {
  Where all;
  for (const LickPlace& place : places) all.emplace_back(place.measure, place.at);
  std::sort(all.begin(), all.end());
  return all;
}

std::string words(const std::vector<std::string>& reasons) {
  std::string text;
  for (const std::string& reason : reasons) text += reason + "; ";
  return text;
}

bool says(const std::vector<std::string>& reasons, std::string_view what) {
  return words(reasons).find(what) != std::string::npos;
}

const char* const measure_of_b = "[G] 2:0 3:0 5:0 1:0 2:0 3:0 5:0 1:0";
const char* const half_measure = "[G] -*4 3:0 2:0 5:0 1:0";

TEST(LickPlaces, OneBeginsWithTheLastNoteOfAPhrase) {
  const auto places = places_for(two_phrases(), lick_score(measure_of_b));
  ASSERT_EQ(where(places), (Where{{3, 0}}));
  EXPECT_EQ(places[0].half_steps, 0);
  EXPECT_EQ(places[0].replaced, 0U);
  EXPECT_TRUE(says(places[0].reasons, "last note of a phrase, B3")) << words(places[0].reasons);
  EXPECT_TRUE(says(places[0].reasons, "over G")) << words(places[0].reasons);
}

TEST(LickPlaces, OrComesAfterItWhileTheMelodyWaits) {
  // After either phrase, and with the note on which the second one ends.
  const auto places = places_for(two_phrases(), lick_score(half_measure));
  EXPECT_EQ(where(places), (Where{{3, {1, 2}}, {7, 0}, {7, {1, 2}}}));
  const auto waits =
      std::find_if(places.begin(), places.end(), [](const LickPlace& place) { return place.measure == 3; });
  EXPECT_TRUE(says(waits->reasons, "waits for 2 beats")) << words(waits->reasons);
  EXPECT_TRUE(says(waits->reasons, "fills all of that time")) << words(waits->reasons);
  // On the beats that it is written for rather than on others.
  EXPECT_EQ(places.back().at, Fraction(0));
  EXPECT_TRUE(std::is_sorted(places.begin(), places.end(),
                             [](const LickPlace& a, const LickPlace& b) { return a.cost < b.cost; }));
}

TEST(LickPlaces, NothingOfItsTimeIsTheMelodys) {
  // The melody moves in all measures over C and D.
  EXPECT_TRUE(places_for(two_phrases(), lick_score("[C] 2:1 3:0 5:0 1:2 2:1 3:0 5:0 1:2")).empty());
  EXPECT_EQ(why_nowhere(two_phrases(), lick_score("[C] 2:1 3:0 5:0 1:2 2:1 3:0 5:0 1:2")),
            "the melody moves wherever the tune has its chords");
}

TEST(LickPlaces, TheChordsAreTheTunes) {
  const Score over_a = lick_score("[Am] -*4 3:2 2:1 5:0 1:2");
  EXPECT_TRUE(places_for(two_phrases(), over_a).empty());
  EXPECT_EQ(why_nowhere(two_phrases(), over_a), "nowhere has the tune its chords");
  // It says that it leads to D, and no phrase of G is followed by that.
  const Score to_d = lick_score("[G] -*4 3:0 2:0 5:0 1:0 | [D] -*8");
  EXPECT_TRUE(places_for(two_phrases(), to_d).empty());
}

TEST(LickPlaces, ItLandsOnTheNoteThatFollows) {
  const std::string lick = measure_of_b;
  const auto places = places_for(two_phrases(), lick_score(lick + " | 3:0*8"));
  ASSERT_EQ(where(places), (Where{{3, 0}}));
  EXPECT_TRUE(says(places[0].reasons, "lands on the G3")) << words(places[0].reasons);
  const Score elsewhere = lick_score(lick + " | 1:0*8");
  EXPECT_TRUE(places_for(two_phrases(), elsewhere).empty());
  EXPECT_NE(why_nowhere(two_phrases(), elsewhere).find("lands on"), std::string::npos);
}

TEST(LickPlaces, InPlaceOfTheEndOfAPhraseThatItCloses) {
  const auto places =
      places_for(two_phrases(), lick_score("[D] 4:0 3:2 2:1 1:0 4:0 3:2 2:1 1:0 | [G] 3:0*8"));
  ASSERT_EQ(where(places), (Where{{6, 0}}));
  EXPECT_EQ(places[0].replaced, 4U);
  EXPECT_TRUE(says(places[0].reasons, "in place of the end of a phrase, 4 notes"))
      << words(places[0].reasons);
}

TEST(LickPlaces, ClosedOnesMoveUpTheNeck) {
  // A bar across the seventh fret is D, across the twelfth G.
  const auto places = places_for(two_phrases(), lick_score("[D] -*4 3:7 2:7 1:7 2:7"));
  const auto after_first =
      std::find_if(places.begin(), places.end(), [](const LickPlace& place) { return place.measure == 3; });
  ASSERT_NE(after_first, places.end());
  EXPECT_EQ(after_first->half_steps, 5);
  EXPECT_TRUE(says(after_first->reasons, "moved 5 frets up the neck")) << words(after_first->reasons);
}

TEST(LickPlaces, InItsShapesWithAnyCapo) {
  LickKind capo;
  capo.capo = 2;
  const auto places = places_for(two_phrases(), lick_score("[A] 2:0 3:0 5:0 1:0 2:0 3:0 5:0 1:0", capo));
  ASSERT_EQ(where(places), (Where{{3, 0}}));
  EXPECT_EQ(places[0].half_steps, -2);
}

TEST(LickPlaces, NotInAnotherTuningOrMeter) {
  Score other = lick_score(measure_of_b);
  other.banjo.tuning = parse_tuning("double-c").value();
  EXPECT_TRUE(places_for(two_phrases(), other).empty());
  EXPECT_NE(why_nowhere(two_phrases(), other).find("double C"), std::string::npos);
  EXPECT_THROW(place_at(two_phrases(), other, 3), UnplayableError);
  LickKind waltz;
  waltz.meter = {{3}, 4, Meter::Symbol::numbers};
  const Score in_three = lick_score("[G] 2:0 3:0 5:0 1:0 2:0 3:0", waltz);
  EXPECT_TRUE(places_for(two_phrases(), in_three).empty());
  EXPECT_EQ(why_nowhere(two_phrases(), in_three), "it is in 3/4, and the tune in 4/4");
}

TEST(LickPlaces, EighthsAreSlowAmongSixteenths) {
  Score tune = two_phrases();
  for (Measure& measure : tune.measures) {
    if (measure.strokes.size() < 4) continue;
    std::vector<Stroke> fast;
    for (const Stroke& stroke : measure.strokes) {
      for (int s = 0; s < 4; ++s) {
        fast.push_back(stroke);
        fast.back().onset = stroke.onset + Fraction(s, 16);
        fast.back().duration = Fraction(1, 16);
      }
    }
    measure.strokes = fast;
  }
  ASSERT_EQ(flaws(tune), std::vector<std::string>{});
  const auto places = places_for(tune, lick_score(measure_of_b));
  ASSERT_EQ(where(places), (Where{{3, 0}}));
  EXPECT_TRUE(says(places[0].reasons, "half as fast")) << words(places[0].reasons);
}

TEST(LickPlaces, AFrailedOneIsForATuneThatIsFrailed) {
  const Score frailed = lick_score("[G] 2:0N 3:0N 5:0T 1:0N 2:0N 3:0N 5:0T 1:0N");
  EXPECT_TRUE(places_for(two_phrases(), frailed).empty());
  EXPECT_EQ(why_nowhere(two_phrases(), frailed), "it is frailed, and the tune is not");
  FitOptions options;
  options.style = Style::clawhammer;
  EXPECT_EQ(where(places_for(two_phrases(), frailed, options)), (Where{{3, 0}}));
}

TEST(LickPlaces, NoRepeatPartsIt) {
  Score tune = two_phrases();
  tune.measures[3].repeat_times = 2;
  EXPECT_EQ(where(places_for(tune, lick_score(measure_of_b))), (Where{{3, 0}}));
  // What it lands on is then not what is played next.
  EXPECT_TRUE(places_for(tune, lick_score(std::string(measure_of_b) + " | 3:0*8")).empty());
  Score jumps = two_phrases();
  jumps.measures[3].directions.push_back({Fraction(1), Direction::Kind::fine, ""});
  EXPECT_TRUE(places_for(jumps, lick_score(std::string(measure_of_b) + " | 3:0*8")).empty());
}

TEST(LickPlaces, InOneEndingOnlyWhereThatIsAskedFor) {
  Score tune = two_phrases();
  tune.measures[3].repeat_times = 2;
  tune.measures[3].ending = Ending{{1}, true, Ending::Stop::closed};
  tune.measures[4].ending = Ending{{2}, true, Ending::Stop::open};
  ASSERT_EQ(flaws(tune), std::vector<std::string>{});
  EXPECT_TRUE(places_for(tune, lick_score(measure_of_b)).empty());
  EXPECT_EQ(why_nowhere(tune, lick_score(measure_of_b)), "it has room in one of several endings alone");
  FitOptions options;
  options.in_one_ending = true;
  EXPECT_EQ(where(places_for(tune, lick_score(measure_of_b), options)), (Where{{3, 0}}));
}

TEST(LickPlaces, ChordsThatAreNotThereAreFound) {
  Score tune = two_phrases();
  for (Measure& measure : tune.measures) measure.chords.clear();
  EXPECT_EQ(where(places_for(tune, lick_score(measure_of_b))), (Where{{3, 0}}));
}

TEST(LickPlaces, TheMelodyIsWhatIsMarkedSo) {
  // In banjo music the notes between those of the melody give way.
  Score tune = two_phrases();
  for (Measure& measure : tune.measures) {
    for (Stroke& stroke : measure.strokes) stroke.notes.front().role = Role::melody;
  }
  auto& held = tune.measures[3].strokes;
  held = lick_score("2:0 3:0 5:0 1:0 2:0 3:0 5:0 1:0").measures[0].strokes;
  for (Stroke& stroke : held) stroke.notes.front().role = Role::fill;
  held.front().notes.front().role = Role::melody;
  ASSERT_EQ(flaws(tune), std::vector<std::string>{});
  EXPECT_EQ(where(places_for(tune, lick_score(measure_of_b))), (Where{{3, 0}}));
}

TEST(LickPlaces, OfWhatIsNoLick) {
  EXPECT_THROW(places_for(two_phrases(), lick_score("-*8")), UsageError);
  std::string text = measure_of_b;
  for (int m = 1; m < 17; ++m) text += std::string(" | ") + "3:0*8";
  EXPECT_THROW(places_for(two_phrases(), lick_score(text)), UsageError);
  // Longer than the tune.
  text = measure_of_b;
  for (int m = 1; m < 12; ++m) text += std::string(" | ") + "3:0 2:0*7";
  EXPECT_TRUE(places_for(two_phrases(), lick_score(text)).empty());
  EXPECT_EQ(why_nowhere(two_phrases(), lick_score(text)), "it is longer than the tune");
}

TEST(LickPlaces, AskedForSayWhatSpeaksAgainst) {
  const LickPlace place = place_at(two_phrases(), lick_score(measure_of_b), 1);
  EXPECT_EQ(place.measure, 1U);
  EXPECT_EQ(place.at, Fraction(0));
  EXPECT_TRUE(says(place.against, "measure 2 has C, and the lick is over G")) << words(place.against);
  EXPECT_TRUE(says(place.against, "the melody moves there")) << words(place.against);
  // And nothing for it that is not so.
  const LickPlace lands = place_at(two_phrases(), lick_score(std::string(measure_of_b) + " | 3:0*8"), 0);
  EXPECT_TRUE(says(lands.against, "it lands on G3, and the tune does not")) << words(lands.against);
  EXPECT_FALSE(says(lands.reasons, "lands")) << words(lands.reasons);
  EXPECT_FALSE(says(place.reasons, "over")) << words(place.reasons);
  EXPECT_TRUE(place_at(two_phrases(), lick_score(measure_of_b), 3).against.empty());
  EXPECT_THROW(place_at(two_phrases(), lick_score(measure_of_b), 8), UsageError);
  EXPECT_THROW(place_at(two_phrases(), lick_score(measure_of_b), 3, Fraction(1)), UsageError);
}

// Two phrases of which the last ends on a note that is struck twice.
Score struck_twice() {
  Score tune = two_phrases();
  tune.measures[7].strokes = lick_score("3:0*4 3:0*4").measures[0].strokes;
  return tune;
}
const char* const closing_d = "[D] 4:0 3:2 2:1 1:0 4:0 3:2 2:1 1:0 | [G] 3:0*8";

TEST(LickPlaces, WhatIsOfferedHasNothingAgainstIt) {
  std::size_t offered = 0;
  for (const Score& tune : {two_phrases(), struck_twice()}) {
    for (const char* text : {measure_of_b, half_measure, closing_d, "[D] -*4 3:7 2:7 1:7 2:7",
                             "[G] 3:0 2:0 5:0 1:0 3:0*4", "[G] 3:0*2 2:0*2", "[C] 2:1*2 1:2*2"}) {
      const Score lick = lick_score(text);
      for (const LickPlace& place : places_for(tune, lick)) {
        const LickPlace asked = place_at(tune, lick, place.measure, place.at);
        EXPECT_TRUE(asked.against.empty()) << text << ": " << words(asked.against);
        EXPECT_EQ(asked.reasons, place.reasons);
        EXPECT_EQ(asked.cost, place.cost);
        ++offered;
      }
    }
  }
  EXPECT_GE(offered, 10U);
}

TEST(LickPlaces, ANoteThatIsStruckAgainIsHeld) {
  const Score lick = lick_score("[G] 3:0 2:0 5:0 1:0 2:0 1:0 3:0*2");
  const auto places = places_for(struck_twice(), lick);
  const auto last =
      std::find_if(places.begin(), places.end(), [](const LickPlace& place) { return place.measure == 7; });
  ASSERT_NE(last, places.end());
  EXPECT_EQ(last->replaced, 0U);
  EXPECT_TRUE(says(last->reasons, "it begins with the last note of a phrase, G3")) << words(last->reasons);
  // Another note there is one that moves.
  Score moves = two_phrases();
  moves.measures[7].strokes = lick_score("3:0*4 2:0*4").measures[0].strokes;
  for (const LickPlace& place : places_for(moves, lick)) EXPECT_NE(place.measure, 7U);
}

TEST(LickPlaces, WhereNothingFollowsNothingIsSaidOfIt) {
  // The last note lies an octave above the tune's.
  const Score lick = lick_score("[G] 3:0 2:0 5:0 1:0 3:0*2 5:0*2");
  const auto places = places_for(two_phrases(), lick);
  const auto last =
      std::find_if(places.begin(), places.end(), [](const LickPlace& place) { return place.measure == 7; });
  ASSERT_NE(last, places.end());
  EXPECT_FALSE(says(last->reasons, "what follows")) << words(last->reasons);
  EXPECT_FALSE(says(last->reasons, "0 notes")) << words(last->reasons);
}

TEST(LickPlaces, APhrasesFirstMeasureIsItsOwn) {
  // Phrases of two measures: what would close the first one begins where it does.
  const Score tune =
      lick_score("[D] 4:0*2 3:2*2 4:0*2 3:2*2 | [G] 3:0*8 | [D] 4:0*2 3:2*2 4:0*2 3:2*2 | [G] 3:0*8");
  EXPECT_TRUE(places_for(tune, lick_score(closing_d)).empty());
  EXPECT_EQ(where(places_for(two_phrases(), lick_score(closing_d))), (Where{{6, 0}}));
}

TEST(LickPlaces, APickedOneIsNotForATuneThatIsFrailed) {
  const Score picked = lick_score("[G] 2:0T 3:0I 5:0T 1:0M 2:0T 3:0I 5:0T 1:0M");
  FitOptions options;
  options.style = Style::clawhammer;
  EXPECT_TRUE(places_for(two_phrases(), picked, options).empty());
  EXPECT_EQ(why_nowhere(two_phrases(), picked, options),
            "it is picked with thumb, index and middle, and the tune is frailed");
  EXPECT_TRUE(says(place_at(two_phrases(), picked, 3, {}, options).against, "the tune is frailed"));
  EXPECT_EQ(where(places_for(two_phrases(), picked)), (Where{{3, 0}}));
}

TEST(LickPlaces, ALickThatIsThereIsNamed) {
  Score tune = two_phrases();
  tune.measures[3].strokes[0].notes[0].role = Role::lick;
  const LickPlace place = place_at(tune, lick_score(measure_of_b), 3);
  EXPECT_TRUE(says(place.reasons, "it takes the place of a lick that is there")) << words(place.reasons);
  EXPECT_FALSE(
      says(place_at(two_phrases(), lick_score(measure_of_b), 3).reasons, "takes the place of a lick"));
}

TEST(LickPlaces, ACapoMayGiveOneItsChords) {
  // Its shapes are D's; with capo 5 they are G. The tune's own notes are below that capo's open strings.
  const Score in_d = lick_score("[Am] 2:1 3:2 5:0 1:2 2:1 3:2 1:2 2:1");
  EXPECT_EQ(capo_that_fits(two_phrases(), in_d), std::nullopt);
  // In A, and the shapes are G's.
  Score tune = two_phrases();
  for (Measure& measure : tune.measures) {
    for (ChordSymbol& chord : measure.chords) {
      const Pitch root = spell(60 + pitch_class(Pitch{chord.root.step, chord.root.alter, 4}.midi() + 2), {});
      chord.root = {root.step, root.alter};
    }
    for (Stroke& stroke : measure.strokes) {
      for (Note& note : stroke.notes) {
        note.pitch = spell(note.pitch.midi() + 2, {});
        note.placement->fret = static_cast<std::int8_t>(note.placement->fret + 2);
      }
    }
  }
  ASSERT_TRUE(places_for(tune, lick_score(measure_of_b)).empty());
  EXPECT_EQ(capo_that_fits(tune, lick_score(measure_of_b)), 2);
  EXPECT_EQ(capo_that_fits(two_phrases(), lick_score(measure_of_b)), std::nullopt);
}

TEST(LickPlaces, AKickOffLeadsIntoAPhrase) {
  const std::string kick = "-*4 3:0 2:0 5:0 1:0 | 3:0*8";
  EXPECT_EQ(where(places_for(two_phrases(), lick_score("[G] " + kick))), (Where{{3, {1, 2}}}));
  // Into the note that a phrase ends on it does not.
  EXPECT_TRUE(places_for(two_phrases(), lick_score("[D] -*4 4:0 3:2 4:0 3:2 | [G] 3:0*8")).empty());
}

TEST(LickPlaces, APickupComesBeforeTheMeasure) {
  const Score lick = lick_score("[G] 3:0 2:0 | [G] 1:0 2:0 3:0 5:0 1:0 2:0 3:0 5:0");
  const LickPlace place = place_at(two_phrases(), lick, 4);
  EXPECT_EQ(place.measure, 3U);
  EXPECT_EQ(place.at, Fraction(3, 4));
  EXPECT_THROW(place_at(two_phrases(), lick, 0), UnplayableError);
}

}  // namespace
}  // namespace fifthpeg
