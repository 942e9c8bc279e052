// Only the documented exceptions leave the library, whatever times a score holds.
#include <gtest/gtest.h>

#include "fifthpeg/fifthpeg.hpp"
#include "hands/scores.hpp"

namespace fifthpeg {
namespace {

using testing::passage;

// Times whose sums and products no 64 bits hold.
std::vector<Score> scores_beyond_all_times() {
  std::vector<Score> scores;
  Score score = passage("G3 A3 B3 C4 D4 E4 F#4 G4 A4 B4 A4 G4 F#4 E4 D4 C4");
  const std::int64_t prime = 2'147'483'647;
  for (const Fraction& each : {Fraction(INT64_MAX / 2), Fraction(1, prime), Fraction(INT64_MAX / 2, 3),
                               Fraction(INT64_MAX - 2, INT64_MAX / 2)}) {
    Score all = score;
    for (Measure& measure : all.measures) {
      for (Stroke& stroke : measure.strokes) stroke.duration = each;
      measure.length = each;
    }
    scores.push_back(all);
    Score one = score;
    one.measures[0].strokes[3].onset = one.measures[0].strokes[3].duration = each;
    scores.push_back(one);
    Score tempo = score;
    tempo.measures[0].tempos[0].quarters_per_minute = each;
    tempo.measures[1].tempos.push_back({{1, prime - 18}, each, each, "", true});
    scores.push_back(tempo);
    Score swung = score;
    swung.swing = Swing{each, 2'147'483'629, 2'147'483'587};
    scores.push_back(swung);
  }
  return scores;
}

template <typename Call>
void expect_documented(const char* name, std::size_t index, bool& refused, const Call& call) {
  try {
    call();
  } catch (const Error& error) {
    EXPECT_FALSE(error.code().empty()) << name << " " << index;
    EXPECT_FALSE(std::string(error.what()).empty()) << name << " " << index;
    refused = true;
  } catch (const std::exception& error) {
    ADD_FAILURE() << name << " " << index << ": " << error.what();
  }
}

TEST(Errors, OnlyTheDocumentedOnesEscape) {
  const std::vector<Score> scores = scores_beyond_all_times();
  bool finger_refused = false, advise_refused = false, other_refused = false;
  for (std::size_t i = 0; i < scores.size(); ++i) {
    const Score& score = scores[i];
    const auto expect = [&](const char* name, const auto& call) {
      expect_documented(name, i, other_refused, call);
    };
    Score fingered = score;
    expect_documented("finger", i, finger_refused, [&] { finger(fingered); });
    HandsOptions moved;
    moved.transpose = 2;
    moved.style = Style::automatic;
    Score copy = score;
    expect_documented("finger moved", i, finger_refused, [&] { finger(copy, moved); });
    expect_documented("advise", i, advise_refused, [&] { advise(score); });
    expect("normalize", [&] { normalize(copy = score); });
    expect("flaws", [&] { flaws(score); });
    expect("unfolded", [&] { unfolded(score); });
    expect("transpose", [&] { transpose(copy = score, 5); });
    expect("require_places", [&] { require_places(score, -40); });
    expect("set_up", [&] { set_up(copy = score, {open_g(), 2, {}, {}, {}}); });
    expect("summarize", [&] { summarize(score); });
    expect("perform", [&] { perform(score); });
    expect("slice", [&] { slice(score, 1, 1); });
    expect("splice", [&] { splice(copy = score, 1, score, 1); });
    expect("refill", [&] { refill(copy = score, 0); });
    expect("replace_stroke", [&] {
      copy = score;
      const Stroke stroke = score.measures[0].strokes[0];
      replace_stroke(copy, 0, 1, {stroke, stroke});
    });
    StringSink sink;
    expect("write_midi", [&] { write_midi(score, {}, sink); });
    expect("write_musicxml", [&] { write_musicxml(score, {}, sink); });
    expect("write_mxl", [&] { write_mxl(score, {}, sink); });
    expect("write_text_tab", [&] { write_text_tab(score, {}, sink); });
  }
  EXPECT_TRUE(finger_refused && advise_refused && other_refused) << "the scores are not hard enough";
}

TEST(Errors, CodesOfTheirClassOrTheirOwn) {
  EXPECT_EQ(ReadError("what").code(), "unreadable");
  EXPECT_EQ(UsageError("what").code(), "usage");
  EXPECT_EQ(WriteError("what").code(), "unwritable");
  EXPECT_EQ(UnplayableError("what").code(), "unplayable");
  const UsageError error("capo-off-neck", "what", {"P1", "3", {}}, {{}, {}, 22});
  EXPECT_EQ(error.code(), "capo-off-neck");
  EXPECT_EQ(error.data().limit, 22);
  EXPECT_EQ(to_string(error.place()), "part P1, measure 3");
  EXPECT_STREQ(error.what(), "what");
  EXPECT_FALSE(version().empty());
}

}  // namespace
}  // namespace fifthpeg
