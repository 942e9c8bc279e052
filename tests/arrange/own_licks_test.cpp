// Licks of the player's own: what is read from a score, where they have a place, and that they are played.
#include "arrange/own_licks.hpp"

#include <algorithm>
#include <gtest/gtest.h>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "arrange/licks.hpp"
#include "arrange/melodies.hpp"
#include "fifthpeg/arrange.hpp"
#include "fifthpeg/edit.hpp"
#include "fifthpeg/errors.hpp"
#include "hands/queries.hpp"
#include "hands/stroke_sequence.hpp"
#include "harmony/tunes.hpp"
#include "licks/lick_text.hpp"

namespace fifthpeg {
namespace {

using testing::tune;

// "3:0 3:h2 2:0 - 5:0+1:0 | 3:0*8": strings and frets, an eighth each or * times that; h is hammered on.
// Chords stand at the start of measures.
struct LickKind {
  std::vector<int> beats{4};
  int unit = 4;
  int capo = 0;
  std::vector<std::string> chords{"G"};
  Fraction each{1, 8};
};

Score lick_score(std::string_view words, const LickKind& kind = {}) {
  Score score;
  score.banjo.capo = kind.capo;
  score.banjo.fifth_capo = usual_fifth_capo(kind.capo);
  const auto open_measure = [&] {
    Measure measure;
    measure.number = std::to_string(score.measures.size() + 1);
    measure.meter = {kind.beats, kind.unit, Meter::Symbol::numbers};
    measure.length = measure.meter.length();
    if (score.measures.size() < kind.chords.size() && !kind.chords[score.measures.size()].empty())
      measure.chords.push_back(parse_chord_symbol(kind.chords[score.measures.size()]).value());
    score.measures.push_back(measure);
  };
  open_measure();
  Fraction at;
  for (std::size_t from = 0; from < words.size();) {
    const std::size_t end = std::min(words.find(' ', from), words.size());
    std::string_view word = words.substr(from, end - from);
    from = end + 1;
    if (word == "|") {
      open_measure();
      at = 0;
      continue;
    }
    Stroke stroke;
    stroke.onset = at;
    const std::size_t star = std::min(word.find('*'), word.size());
    const int times = star < word.size() ? std::stoi(std::string(word.substr(star + 1))) : 1;
    stroke.duration = kind.each * Fraction(times);
    word = word.substr(0, star);
    while (word != "-" && !word.empty()) {
      const std::size_t plus = std::min(word.find('+'), word.size());
      Note& note = stroke.notes.emplace_back();
      const bool hammered = word[2] == 'h';
      const int fret = std::stoi(std::string(word.substr(hammered ? 3 : 2, plus - (hammered ? 3 : 2))));
      note.placement = Placement{static_cast<std::int8_t>(word[0] - '0'), static_cast<std::int8_t>(fret)};
      note.pitch = spell(score.banjo.midi_at(*note.placement).value(), {});
      if (hammered) {
        note.into = Technique::hammer_on;
        score.measures.back().strokes.back().notes.front().out_of = Technique::hammer_on;
      }
      word.remove_prefix(std::min(plus + 1, word.size()));
    }
    at += stroke.duration;
    score.measures.back().strokes.push_back(std::move(stroke));
  }
  refill(score, score.measures.size() - 1);
  normalize(score);
  EXPECT_EQ(flaws(score), std::vector<std::string>{});
  return score;
}

OwnLick lick(std::string_view words, const LickKind& kind = {}, std::string name = "own.musicxml") {
  return {std::move(name), lick_score(words, kind)};
}

// Two phrases of four measures in G, each with a measure and a half to fill.
Score two_phrases(const std::vector<std::string>& chords = {"G", "C", "G", "G", "G", "C", "G", "G"}) {
  Score score = tune({}, {1, 4}, {1, Mode::major},
                     "G4 A4 B4 G4 | C5 B4 A4 G4 | B4 A4 B4 D5 | B4*4 | "
                     "G4 A4 B4 G4 | C5 B4 A4 G4 | B4 A4 G4 A4 | G4*4");
  for (std::size_t m = 0; m < chords.size(); ++m) {
    if (!chords[m].empty()) score.measures[m].chords.push_back(parse_chord_symbol(chords[m]).value());
  }
  return score;
}

bool tells(const Report& report, std::string_view slug, std::string_view words = {}) {
  return std::any_of(report.entries().begin(), report.entries().end(), [&](const Entry& entry) {
    return entry.slug == slug && entry.text.find(words) != std::string::npos;
  });
}

Arrangement with_licks(const Score& melody, std::vector<OwnLick> licks, int level = 2,
                       std::optional<Key> key = {}) {
  ArrangeOptions options;
  options.level = level;
  options.licks = std::move(licks);
  options.explain = true;
  options.key = key;
  return arrange(melody, options);
}

// ---- from a score to slots -----------------------------------------------------------------------

TEST(OwnLicks, AreReadAsTheTableHasThem) {
  Report report;
  const auto made = arranging::slotted(lick("3:0 3:h2 2:0 5:0 -*4"), report);
  ASSERT_TRUE(made.has_value());
  EXPECT_TRUE(report.empty()) << to_text(report);
  const auto piece = arranging::piece_of(*made, 0, 4);
  const auto row = arranging::parse_lick("3:0T 3:h2 2:0I 5:0T");
  ASSERT_EQ(piece.count, row.count);
  for (std::size_t s = 0; s < 4; ++s) {
    const auto& note = piece.slots.at(s).notes[0];
    EXPECT_EQ(note.string, row.slots.at(s).notes[0].string) << s;
    EXPECT_EQ(note.fret, row.slots.at(s).notes[0].fret) << s;
    EXPECT_EQ(note.into, row.slots.at(s).notes[0].into) << s;
    EXPECT_EQ(note.role, Role::lick) << s;
    EXPECT_EQ(note.finger == arranging::Played::slurred, s == 1) << s;
  }
  EXPECT_EQ(made->level, 2);
  EXPECT_EQ(made->slot, Fraction(1, 8));
  EXPECT_EQ(made->slots.size(), 4U);
  EXPECT_EQ(made->to, arranging::chord_number("G"));
  EXPECT_FALSE(made->landing.has_value());
}

TEST(OwnLicks, KeepTheFingersThatAreWritten) {
  Score score = lick_score("3:0 2:0 3:0 1:0 -*4");
  for (Stroke& stroke : score.measures.front().strokes) {
    for (Note& note : stroke.notes) {
      note.picking_finger = note.placement->string == 3   ? PickingFinger::index
                            : note.placement->string == 2 ? PickingFinger::thumb
                                                          : PickingFinger::middle;
    }
  }
  Report report;
  const auto made = arranging::slotted({"a", score}, report);
  ASSERT_TRUE(made.has_value());
  std::string fingers;
  for (const auto& slot : made->slots) fingers += "TIM"[slot.notes[0].finger];
  EXPECT_EQ(fingers, "ITIM");
}

TEST(OwnLicks, LandOnTheNoteOfTheirLastMeasure) {
  Report report;
  LickKind kind;
  kind.chords = {"G", "C"};
  const auto made = arranging::slotted(lick("3:0 2:0 5:0 1:0 3:0 2:0 1:0 3:0 | 2:1*8", kind), report);
  ASSERT_TRUE(made.has_value());
  EXPECT_EQ(made->slots.size(), 8U);
  EXPECT_EQ(made->landing, -2);
  EXPECT_EQ(made->to, arranging::chord_number("C"));
  EXPECT_EQ(made->chords, std::vector<int>(8, arranging::chord_number("G")));
  // Two notes there are no landing.
  EXPECT_FALSE(arranging::slotted(lick("3:0 2:0 5:0 1:0 3:0 2:0 1:0 3:0 | 2:1*4 1:0*4"), report)->landing);
}

TEST(OwnLicks, BeginWithTheUnitOfTheirFirstNote) {
  Report report;
  EXPECT_EQ(arranging::slotted(lick("-*4 3:0 2:0 5:0 1:0"), report)->slots.size(), 4U);
  const auto late = arranging::slotted(lick("-*5 2:0 5:0 1:0"), report);
  ASSERT_EQ(late->slots.size(), 4U);
  EXPECT_EQ(late->slots[0].count, 0);
  Score pickup = lick_score("3:0 2:0 -*6 | 1:0 2:0 5:0 1:0 -*4");
  pickup.measures[0].implicit = true;
  pickup.measures[0].length = {1, 4};
  pickup.measures[0].strokes.pop_back();
  const auto made = arranging::slotted({"a", pickup}, report);
  ASSERT_EQ(made->slots.size(), 8U);
  EXPECT_EQ(made->slots[1].count, 0);
  EXPECT_EQ(made->slots[2].notes[0].string, 3);
  EXPECT_EQ(made->slots[4].notes[0].string, 1);
}

TEST(OwnLicks, AreTheSameWithAnyCapo) {
  Report report;
  LickKind kind;
  kind.chords = {"A"};
  kind.capo = 2;
  const auto with = arranging::slotted(lick("3:0 2:0 5:0 1:0", kind), report);
  const auto without = arranging::slotted(lick("3:0 2:0 5:0 1:0"), report);
  EXPECT_EQ(with->chords, without->chords);
  EXPECT_EQ(with->slots, without->slots);
}

TEST(OwnLicks, HaveTheLevelOfWhatTheyAsk) {
  Report report;
  EXPECT_EQ(arranging::slotted(lick("3:0 2:0 5:0 1:4"), report)->level, 1);
  EXPECT_EQ(arranging::slotted(lick("3:0 3:h2 5:0 1:4"), report)->level, 2);
  EXPECT_EQ(arranging::slotted(lick("3:0 2:0 5:0 1:5"), report)->level, 3);
  EXPECT_EQ(arranging::slotted(lick("3:0 2:0 5:0 1:14"), report)->level, 4);
}

TEST(OwnLicks, WithoutChordsHaveThoseOfTheirNotes) {
  Report report;
  LickKind kind;
  kind.chords = {};
  const auto made = arranging::slotted(lick("3:0 2:0 5:0 1:0 3:0 2:0 5:0 3:0 | 3:0*8", kind), report);
  ASSERT_TRUE(made.has_value());
  EXPECT_TRUE(tells(report, "lick-chords-inferred", "'own.musicxml'"));
  EXPECT_EQ(made->chords.front(), arranging::chord_number("G"));
}

TEST(OwnLicks, OfNoUseAreTold) {
  const auto why = [](const Score& score, std::string_view words) {
    Report report;
    EXPECT_FALSE(arranging::slotted({"x.xml", score}, report).has_value()) << words;
    EXPECT_EQ(report.entries().size(), 1U);
    EXPECT_TRUE(tells(report, "lick-of-no-use", words)) << words << '\n' << to_text(report);
    EXPECT_TRUE(tells(report, "lick-of-no-use", "'x.xml'"));
  };
  const std::string_view plain = "3:0 2:0 5:0 1:0";
  why({}, "no notes");
  why(lick_score("-*8"), "no notes");
  Score score = lick_score(plain);
  score.measures[0].strokes[1].notes[0].placement.reset();
  why(score, "not in tab");
  score = lick_score(plain);
  score.measures[0].strokes[1].notes[0].dead = true;
  why(score, "dead notes");
  score = lick_score(plain);
  score.measures[0].strokes[1].notes[0].choke = Choke{};
  why(score, "chokes");
  LickKind triplets;
  triplets.each = {1, 12};
  triplets.beats = {2};
  why(lick_score("3:0 2:0 5:0 1:0 2:0 5:0", triplets), "eighths");
  score = lick_score("3:0 2:0 5:0 1:0 -*4 | 3:0 2:0 5:0 1:0 -*4");
  score.measures[1].meter.beats = {2, 2};
  why(score, "meter changes");
  LickKind no_chord;
  no_chord.chords = {"Gdim"};
  why(lick_score(plain, no_chord), "major or minor");
  std::string long_one;
  for (int i = 0; i < 9; ++i) long_one += "3:0 2:0 5:0 1:0 3:0 2:0 5:0 1:0 | ";
  why(lick_score(long_one + "3:0 2:0 3:0 1:0"), "longer");
}

// ---- in an arrangement -----------------------------------------------------------------------------

TEST(OwnLicks, ArePlayedWhereAPhraseEnds) {
  const Arrangement made = with_licks(two_phrases(), {lick("2:0 1:0 5:0 2:0 3:0 2:0 4:2 4:0")});
  EXPECT_EQ(testing::tab_of(made.score.measures[3]), "2:0 1:0 5:0 2:0 3:0 2:0 4:2 4:0");
  EXPECT_EQ(made.score.measures[3].strokes.front().notes.front().role, Role::melody);
  for (std::size_t s = 1; s < 8; ++s)
    EXPECT_EQ(made.score.measures[3].strokes[s].notes.front().role, Role::lick);
  const auto named = std::count_if(made.reasons.begin(), made.reasons.end(), [](const Reason& reason) {
    return reason.text.find("lick on G (own.musicxml)") != std::string::npos;
  });
  EXPECT_EQ(named, 7);
  EXPECT_FALSE(tells(made.report, "lick-not-played"));
}

TEST(OwnLicks, MayBeginAfterTheClosingNote) {
  const Arrangement made = with_licks(two_phrases(), {lick("4:0 4:h2 2:0 1:0")});
  EXPECT_NE(testing::tab_of(made.score.measures[3]).find("4:0 4:2 2:0 1:0"), std::string::npos)
      << testing::tab_of(made.score.measures[3]);
}

TEST(OwnLicks, MoveWithTheCapo) {
  for (const auto& [key, capo] : {std::pair{"A", 2}, {"Bb", 3}}) {
    const Arrangement made =
        with_licks(two_phrases(), {lick("2:0 1:0 5:0 2:0 3:0 2:0 4:2 4:0")}, 2, *parse_key(key));
    EXPECT_EQ(made.score.banjo.capo, capo);
    EXPECT_EQ(testing::tab_of(made.score.measures[3]), "2:0 1:0 5:0 2:0 3:0 2:0 4:2 4:0");
  }
}

TEST(OwnLicks, NeedTheirChordsAndTheirLandingNote) {
  const std::string_view words = "2:0 1:0 5:0 2:0 3:0 2:0 4:2 4:0 | 3:0*8";
  const auto plays = [&](const Score& melody, const LickKind& kind, std::string_view notes) {
    const Arrangement made = with_licks(melody, {lick(notes, kind)});
    const bool played = testing::tab_of(made.score.measures[3]) == words.substr(0, 31);
    EXPECT_EQ(tells(made.report, "lick-not-played", "no phrase ends with that much room over its chords"),
              !played);
    return played;
  };
  EXPECT_TRUE(plays(two_phrases(), {}, words));
  EXPECT_FALSE(plays(two_phrases(), {}, "2:0 1:0 5:0 2:0 3:0 2:0 4:2 4:0 | 2:0*8"));
  LickKind other;
  other.chords = {"D"};
  EXPECT_FALSE(plays(two_phrases(), other, words));
  other.chords = {"G", "C"};
  EXPECT_FALSE(plays(two_phrases(), other, words));
  EXPECT_TRUE(plays(two_phrases({"G", "C", "G", "G", "C", "C", "G", "G"}), other, words));
}

TEST(OwnLicks, DoNotServeOtherMetersOrTunings) {
  LickKind waltz;
  waltz.beats = {3};
  Arrangement made = with_licks(two_phrases(), {lick("2:0 1:0 5:0 2:0 3:0 1:0", waltz)});
  EXPECT_TRUE(tells(made.report, "lick-not-played", "phrases end in measures 4 and 8"));
  OwnLick other = lick("2:0 1:0 5:0 2:0 3:0 2:0 4:2 4:0");
  other.score.banjo.tuning = parse_tuning("double-c").value();
  for (Stroke& stroke : other.score.measures[0].strokes) {
    for (Note& note : stroke.notes)
      note.pitch = spell(other.score.banjo.midi_at(*note.placement).value(), {});
  }
  made = with_licks(two_phrases(), {other});
  EXPECT_TRUE(tells(made.report, "lick-not-played", "another tuning")) << to_text(made.report);
  made = with_licks(two_phrases(), {lick("2:0 2:h1 5:0 2:0 3:0 2:0 4:2 4:0")}, 1);
  EXPECT_TRUE(tells(made.report, "lick-not-played", "level 2"));
}

TEST(OwnLicks, AreForRollsAlone) {
  for (const Style style : {Style::melodic, Style::single_string, Style::clawhammer}) {
    ArrangeOptions options;
    options.style = style;
    options.licks = {lick("2:0 1:0 5:0 2:0")};
    EXPECT_THROW(arrange(two_phrases(), options), UsageError);
  }
}

TEST(OwnLicks, ChangeNothingWhereNoneServes) {
  const Score plain = with_licks(two_phrases(), {}).score;
  LickKind other;
  other.chords = {"Bm"};
  EXPECT_EQ(with_licks(two_phrases(), {lick("2:0 1:2 2:0 4:4", other)}).score, plain);
}

// From each of five chords to each, over half a measure and over a whole one.
std::vector<OwnLick> many_licks() {
  std::vector<OwnLick> licks;
  for (const char* const from : {"G", "C", "D", "Em", "Am"}) {
    for (const char* const to : {"G", "C", "D", "Em", "Am"}) {
      for (const std::string_view words : {"4:0 4:h2 3:0 1:0 -*4", "3:0 2:0 4:2 4:0 3:0 2:0 5:0 1:0"}) {
        LickKind kind;
        kind.chords = {from};
        licks.push_back(lick(words, kind, "x" + std::to_string(licks.size())));
        if (from == to) continue;
        auto& chords = licks.back().score.measures.front().chords;
        chords.push_back(parse_chord_symbol(to).value());
        chords.back().at = {7, 8};
      }
    }
  }
  return licks;
}

// In random melodies that rest for a measure: whole wherever they stand, and the hands play what is around
// them.
TEST(OwnLicks, StayWhole) {
  int whole = 0;
  int long_ones = 0;
  const std::vector<OwnLick> licks = many_licks();
  for (Score melody : arranged::melodies_in({4}, 4)) {
    for (const std::size_t m : {3U, 7U, 11U}) {
      melody.measures[m].strokes.assign(1, {});
      melody.measures[m].strokes.front().duration = 1;
    }
    {
      ArrangeOptions options;
      options.level = 3;
      options.variations = 2;
      options.licks = licks;
      options.explain = true;
      const Arrangement made = arrange(melody, options);
      ASSERT_EQ(flaws(made.score), std::vector<std::string>{});
      // By the names in the reasons: of a lick that is begun, each stroke follows.
      for (std::size_t r = 0; r < made.reasons.size(); ++r) {
        const std::size_t at = made.reasons[r].text.find("(x");
        if (at == std::string::npos) continue;
        const std::size_t number = std::stoul(made.reasons[r].text.substr(at + 2));
        const auto& all = licks[number].score.measures;
        std::vector<std::string> expected;
        for (const Measure& measure : all) {
          for (const Stroke& stroke : measure.strokes) {
            if (!stroke.is_rest())
              expected.push_back(std::to_string(stroke.notes[0].placement->string) + ':' +
                                 std::to_string(stroke.notes[0].placement->fret));
          }
        }
        ASSERT_LE(r + expected.size(), made.reasons.size());
        for (std::size_t k = 0; k < expected.size(); ++k) {
          const Reason& reason = made.reasons[r + k];
          EXPECT_NE(reason.text.find("(x" + std::to_string(number) + ')'), std::string::npos) << reason.text;
          const auto& placement =
              made.score.measures[reason.measure].strokes[reason.stroke].notes[0].placement;
          EXPECT_EQ(std::to_string(placement->string) + ':' + std::to_string(placement->fret), expected[k]);
        }
        ++whole;
        if (expected.size() > 4) ++long_ones;
        r += expected.size() - 1;
      }
      const hands::Model model(made.score.banjo, {}, Style::roll);
      const Stroke* before = nullptr;
      for (const hands::Event& event : hands::line_of(made.score)) {
        const Stroke& stroke = hands::stroke_at(made.score, event);
        EXPECT_EQ(hands::judge_hold(stroke, model).fault, hands::HoldFault::none);
        EXPECT_EQ(hands::judge_picking(stroke), hands::PickFault::none);
        if (before != nullptr) {
          EXPECT_FALSE(hands::judge_succession(*before, stroke, event.wait, model).forbidden);
        }
        before = &stroke;
      }
    }
  }
  EXPECT_GT(whole, 30);
  EXPECT_GT(long_ones, 3);
}

}  // namespace
}  // namespace fifthpeg
