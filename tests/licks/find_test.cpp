// Which licks answer a question, and which of them first. Expectations are common practice.
#include <gtest/gtest.h>
#include <string>
#include <vector>

#include "fifthpeg/licks.hpp"

namespace fifthpeg {
namespace {

ChordSymbol chord_of(const std::string& text) {
  return parse_chord_symbol(text).value();
}

Key key_of(const std::string& text) {
  return parse_key(text).value();
}

// Four beats from one chord to another.
LickFacts lick(const std::string& key, const std::string& from, const std::string& to) {
  LickFacts facts;
  facts.key = key_of(key);
  facts.from = chord_of(from);
  facts.to = chord_of(to);
  facts.beats = 4;
  facts.frets = FretSpan{2, 4};
  facts.techniques = {"slide", "pinch"};
  facts.uses = {{LickUse::segue, "it leads from one chord to another"}, {LickUse::walk_up, "it goes up"}};
  facts.difficulty.level = 2;
  return facts;
}

LickQuery asked(const std::string& from, const std::string& to, const std::string& key = "") {
  LickQuery query;
  if (!from.empty()) query.from = chord_of(from);
  if (!to.empty()) query.to = chord_of(to);
  if (!key.empty()) query.key = key_of(key);
  return query;
}

int rank_of(const LickFacts& facts, const LickQuery& query) {
  return answers(facts, query).value().rank;
}

TEST(Answers, NothingAskedIsAnsweredByAll) {
  const auto answer = answers(lick("C major", "C", "F"), {});
  ASSERT_TRUE(answer);
  EXPECT_EQ(answer->rank, 0);
  EXPECT_EQ(answer->half_steps, 0);
  EXPECT_TRUE(answer->reasons.empty());
}

TEST(Answers, WithoutAKeyChordsAreThoseOfG) {
  const LickQuery query = asked("G", "C");
  EXPECT_EQ(rank_of(lick("G major", "G", "C"), query), 0);
  // The same steps, from the tonic to the fourth, in another key: not quite as near.
  const auto in_d = answers(lick("D major", "D", "G"), query);
  ASSERT_TRUE(in_d);
  EXPECT_GT(in_d->rank, 0);
  EXPECT_EQ(in_d->half_steps, 0);
  EXPECT_FALSE(answers(lick("D major", "D", "A"), query));
  EXPECT_FALSE(answers(lick("G major", "G", "D"), query));
  EXPECT_FALSE(answers(lick("G major", "C", "G"), query));
}

TEST(Answers, ChordsThatSoundAsAskedAnswerWhateverTheKeyIsCalled) {
  // From G to C is also from the fifth of C to its tonic.
  EXPECT_TRUE(answers(lick("C major", "G", "C"), asked("G", "C")));
  // Unless a key is asked for.
  EXPECT_FALSE(answers(lick("C major", "G", "C"), asked("G", "C", "G")));
}

TEST(Answers, InTheKeyOfDALickInGIsMovedOrHasACapo) {
  const auto answer = answers(lick("G major", "G", "C"), asked("D", "G", "D"));
  ASSERT_TRUE(answer);
  EXPECT_EQ(answer->half_steps, -5);  // the smaller interval
  EXPECT_EQ(answer->capo, 7);         // and the shapes stand seven frets higher
  EXPECT_EQ(answer->reasons, std::vector<std::string>{"capo 7"});
  EXPECT_FALSE(answers(lick("G major", "G", "D"), asked("D", "G", "D")));
}

TEST(Answers, TheLicksOwnCapoCounts) {
  LickFacts in_a = lick("A major", "A", "D");  // in the shapes of G
  in_a.capo = 2;
  EXPECT_EQ(answers(in_a, asked("A", "D", "A"))->capo, 2);
  EXPECT_EQ(answers(in_a, asked("A", "D", "A"))->rank, 0);
  const auto in_g = answers(in_a, asked("G", "C", "G"));
  EXPECT_EQ(in_g->capo, 0);
  EXPECT_EQ(in_g->reasons, std::vector<std::string>{"no capo"});
  EXPECT_EQ(answers(in_a, asked("D", "G", "D"))->capo, 7);
}

TEST(Answers, AboveTheSeventhFretACapoLeavesTooLittle) {
  const auto in_f = answers(lick("G major", "G", "C"), asked("F", "Bb", "F"));
  ASSERT_TRUE(in_f);
  EXPECT_EQ(in_f->half_steps, -2);
  EXPECT_FALSE(in_f->capo);
  ASSERT_EQ(in_f->reasons.size(), 1U);
  EXPECT_EQ(in_f->reasons[0].substr(0, 10), "moved down");
}

TEST(Answers, TheNearerTheKeyTheBetter) {
  const LickFacts in_g = lick("G major", "G", "C");
  const int as_it_is = rank_of(in_g, asked("G", "C", "G"));
  const int usual_capo = rank_of(in_g, asked("A", "D", "A"));
  const int high_capo = rank_of(in_g, asked("D", "G", "D"));
  const int moved = rank_of(in_g, asked("F", "Bb", "F"));
  EXPECT_EQ(as_it_is, 0);
  EXPECT_LT(as_it_is, usual_capo);
  EXPECT_LT(usual_capo, high_capo);
  EXPECT_LT(high_capo, moved);
}

TEST(Answers, AKeyAloneIsAnsweredByAllThatCanBeMovedThere) {
  EXPECT_EQ(answers(lick("G major", "G", "C"), asked("", "", "C"))->half_steps, 5);
  EXPECT_EQ(answers(lick("C major", "G", "C"), asked("", "", "C"))->half_steps, 0);
}

TEST(Answers, TriadsAndSeventhChordsGoTogetherNotQuiteAsWell) {
  const LickQuery query = asked("D", "G");
  const int plain = rank_of(lick("G major", "D", "G"), query);
  const int seventh = rank_of(lick("G major", "D7", "G"), query);
  const int ninth = rank_of(lick("G major", "D9", "G"), query);
  EXPECT_EQ(plain, 0);
  EXPECT_LT(plain, seventh);
  EXPECT_LT(seventh, ninth);
  EXPECT_EQ(answers(lick("G major", "D7", "G"), query)->reasons,
            std::vector<std::string>{"D7 rather than D"});
  EXPECT_EQ(answers(lick("A major", "E7", "A"), query)->reasons.front(), "E7 rather than E");
  EXPECT_TRUE(answers(lick("G major", "D", "G"), asked("D7", "G")));
  EXPECT_TRUE(answers(lick("G major", "D5", "G"), query));
  EXPECT_TRUE(answers(lick("G major", "Dsus4", "G"), query));
}

TEST(Answers, AnotherThirdFifthOrRootIsAnotherChord) {
  for (const char* other : {"Dm", "Ddim", "Daug", "C", "D#", "N.C."}) {
    EXPECT_FALSE(answers(lick("G major", other, "G"), asked("D", "G"))) << other;
  }
  EXPECT_FALSE(answers(lick("G major", "D", "G"), asked("Dm", "G")));
  EXPECT_TRUE(answers(lick("C major", "C#", "C"), asked("Db", "C", "C")));  // the same key of a piano
}

TEST(Answers, ABassNoteIsAShade) {
  const LickQuery query = asked("G", "C");
  EXPECT_LT(rank_of(lick("G major", "G", "C"), query), rank_of(lick("G major", "G/B", "C"), query));
  EXPECT_EQ(rank_of(lick("G major", "G/B", "C"), asked("G/B", "C")), 0);
}

TEST(Answers, MinorKeys) {
  const LickFacts minor = lick("E minor", "Em", "Am");
  EXPECT_EQ(answers(minor, asked("Am", "Dm", "Am"))->half_steps, 5);
  // E minor has the chords of G: the sixth and the second of it.
  EXPECT_EQ(rank_of(minor, asked("Em", "Am")), 0);
  EXPECT_EQ(answers(minor, asked("Bm", "Em", "D"))->half_steps, -5);
  // From the tonic to the fourth of G minor.
  EXPECT_TRUE(answers(minor, asked("Gm", "Cm")));
  EXPECT_FALSE(answers(minor, asked("Gm", "Cm", "G major")));
  // A lick in C in A minor, which has its chords.
  EXPECT_EQ(answers(lick("C major", "C", "F"), asked("C", "F", "A minor"))->half_steps, 0);
}

TEST(Answers, ModesGoByTheirTonic) {
  const LickFacts mixolydian = lick("A mixolydian", "A", "G");
  EXPECT_TRUE(answers(mixolydian, asked("G", "F")));
  EXPECT_EQ(answers(mixolydian, asked("D", "C", "D"))->half_steps, 5);
}

TEST(Answers, ChordsThatWereFoundAreLessSure) {
  LickFacts found = lick("G major", "G", "C");
  found.chords_inferred = true;
  EXPECT_GT(rank_of(found, asked("G", "C")), 0);
  EXPECT_EQ(rank_of(found, asked("", "")), 0);
}

TEST(Answers, BeatsMayLackLessThanOne) {
  const auto beats = [](Fraction has, Fraction wanted) {
    LickFacts facts = lick("G major", "G", "C");
    facts.beats = has;
    LickQuery query;
    query.beats = wanted;
    return answers(facts, query);
  };
  ASSERT_TRUE(beats(4, 4));
  EXPECT_EQ(beats(4, 4)->rank, 0);
  ASSERT_TRUE(beats({7, 2}, 4));
  EXPECT_EQ(beats({7, 2}, 4)->reasons, std::vector<std::string>{"1/2 of a beat shorter"});
  EXPECT_LT(beats({15, 4}, 4)->rank, beats({7, 2}, 4)->rank);
  EXPECT_TRUE(beats({10, 3}, 4));
  EXPECT_FALSE(beats(3, 4));
  EXPECT_FALSE(beats({9, 2}, 4));
  EXPECT_FALSE(beats(8, 4));
}

TEST(Answers, FretsOfAllThatIsStopped) {
  LickFacts facts = lick("G major", "G", "C");
  LickQuery query;
  query.frets = FretRange{2, 4};
  EXPECT_TRUE(answers(facts, query));
  query.frets = FretRange{1, 5};
  EXPECT_TRUE(answers(facts, query));
  query.frets = FretRange{3, 12};
  EXPECT_FALSE(answers(facts, query));
  query.frets = FretRange{1, 3};
  EXPECT_FALSE(answers(facts, query));
  query.frets = FretRange{0, 0};
  EXPECT_FALSE(answers(facts, query));
  facts.frets = FretSpan{3, 3};
  EXPECT_FALSE(answers(facts, query));
  query.frets = FretRange{3, 3};
  EXPECT_TRUE(answers(facts, query));
  facts.frets.reset();  // open strings alone
  EXPECT_TRUE(answers(facts, query));
  query.frets = FretRange{0, 0};
  EXPECT_TRUE(answers(facts, query));
}

TEST(Answers, Techniques) {
  LickQuery query;
  query.techniques = {"slide"};
  EXPECT_TRUE(answers(lick("G major", "G", "C"), query));
  query.techniques = {"pinch", "slide"};
  EXPECT_TRUE(answers(lick("G major", "G", "C"), query));
  query.techniques = {"slide", "choke"};
  EXPECT_FALSE(answers(lick("G major", "G", "C"), query));
}

TEST(Answers, StyleAndLevel) {
  LickQuery query;
  query.style = Style::roll;
  EXPECT_TRUE(answers(lick("G major", "G", "C"), query));
  query.style = Style::clawhammer;
  EXPECT_FALSE(answers(lick("G major", "G", "C"), query));
  query = {};
  query.highest_level = 2;
  EXPECT_TRUE(answers(lick("G major", "G", "C"), query));
  query.lowest_level = 2;
  EXPECT_TRUE(answers(lick("G major", "G", "C"), query));
  query.highest_level = 4;
  query.lowest_level = 3;
  EXPECT_FALSE(answers(lick("G major", "G", "C"), query));
  query.lowest_level = query.highest_level = 1;
  EXPECT_FALSE(answers(lick("G major", "G", "C"), query));
}

TEST(Answers, AKeyAnswersForItsRelativeLastAndSaysSo) {
  // D major and B minor have the same signature, and so do C major and A minor.
  const auto minor = answers(lick("A minor", "Am", "Dm"), asked("", "", "D"));
  ASSERT_TRUE(minor);
  EXPECT_EQ(minor->half_steps, 2);
  EXPECT_EQ(minor->reasons, (std::vector<std::string>{"it sounds in B minor", "capo 2"}));
  EXPECT_GT(minor->rank, rank_of(lick("E major", "E", "A"), asked("", "", "D")));  // no capo does that
  EXPECT_GT(answers(lick("B minor", "Bm", "Em"), asked("", "", "D"))->rank,
            rank_of(lick("Eb major", "Eb", "Ab"), asked("", "", "D")));
  const auto major = answers(lick("C major", "C", "F"), asked("", "", "A minor"));
  ASSERT_TRUE(major);
  EXPECT_EQ(major->reasons, std::vector<std::string>{"it sounds in C major"});
  EXPECT_EQ(rank_of(lick("A minor", "Am", "Dm"), asked("", "", "A minor")), 0);
  EXPECT_EQ(rank_of(lick("D mixolydian", "D", "C"), asked("", "", "D")), 0);
  EXPECT_EQ(answers(lick("A dorian", "Am", "D"), asked("", "", "A minor"))->rank, 0);
}

TEST(Answers, TheUseIsTheLikeliest) {
  LickQuery query;
  query.use = LickUse::segue;
  EXPECT_EQ(rank_of(lick("G major", "G", "C"), query), 0);
  query.use = LickUse::walk_up;
  EXPECT_FALSE(answers(lick("G major", "G", "C"), query));
  query.use = LickUse::ending;
  EXPECT_FALSE(answers(lick("G major", "G", "C"), query));
}

TEST(Answers, TheWeightiestReasonIsTheFirst) {
  LickFacts facts = lick("G major", "G7", "C");
  facts.beats = {15, 4};
  LickQuery query = asked("A", "D", "A");
  query.beats = 4;
  const auto answer = answers(facts, query);
  ASSERT_TRUE(answer);
  EXPECT_EQ(answer->reasons,
            (std::vector<std::string>{"G7 rather than G", "capo 2", "1/4 of a beat shorter"}));
}

}  // namespace
}  // namespace fifthpeg
