// write_text_tab and read_text_tab together: what is printed reads back as the same score, in all that text
// tab can hold.
#include <algorithm>
#include <gtest/gtest.h>
#include <string>
#include <utility>
#include <vector>

#include "fifthpeg/errors.hpp"
#include "fifthpeg/read.hpp"
#include "fifthpeg/write.hpp"
#include "formats/text_tab/writer/licks.hpp"
#include "property/random_score.hpp"
#include "roundtrip/score_difference.hpp"
#include "roundtrip/text_tab_held.hpp"
#include "tried.hpp"

namespace fifthpeg::testing {
namespace {

bool tells(const Report& report, std::string_view slug) {
  return std::any_of(report.entries().begin(), report.entries().end(),
                     [slug](const Entry& entry) { return entry.slug == slug; });
}

void expect_reads_back(const Score& score, int width) {
  StringSink sink;
  const Report lost = write_text_tab(score, {.width = width, .fingers = true, .roles = true}, sink);
  if (tells(lost, "tab-times")) return;
  const std::string& text = sink.str();
  Reading reading;
  try {
    reading = read(text);
  } catch (const Error& error) {
    FAIL() << to_string(error.place()) << ": " << error.what() << "\n" << text;
  }
  EXPECT_TRUE(flaws(reading.score).empty());
  EXPECT_TRUE(reading.report.empty()) << to_text(reading.report) << text;
  const Score wanted = held_by_text_tab(score, true, true);
  const Score found = held_by_text_tab(reading.score, true, true);
  EXPECT_EQ(difference(found, wanted), "") << text;
}

void run(const RandomScoreOptions& options, int width) {
  for (std::uint64_t seed = 1; seed <= tried(300U); ++seed) {
    SCOPED_TRACE("seed " + std::to_string(seed));
    expect_reads_back(random_score(seed, options), width);
    if (::testing::Test::HasFailure()) return;
  }
}

RandomScoreOptions plain_tab() {
  RandomScoreOptions options;
  options.chords = options.techniques = options.grace = options.tuplets = options.ties = options.changes =
      options.repeats = options.values = options.words = options.unusual_banjo = false;
  return options;
}

constexpr int one_line = 10'000;

TEST(TextTabRoundTrip, PlainMelodies) {
  run(plain_tab(), one_line);
  run(plain_tab(), 80);
}

TEST(TextTabRoundTrip, Chords) {
  RandomScoreOptions options = plain_tab();
  options.chords = true;
  run(options, one_line);
}

TEST(TextTabRoundTrip, Techniques) {
  RandomScoreOptions options = plain_tab();
  options.chords = options.techniques = options.grace = true;
  run(options, one_line);
}

TEST(TextTabRoundTrip, Changes) {
  RandomScoreOptions options = plain_tab();
  options.changes = true;
  run(options, one_line);
}

TEST(TextTabRoundTrip, Tuplets) {
  RandomScoreOptions options = plain_tab();
  options.tuplets = true;
  run(options, one_line);
}

TEST(TextTabRoundTrip, TiesAndRepeats) {
  RandomScoreOptions options = plain_tab();
  options.ties = options.repeats = true;
  run(options, one_line);
}

TEST(TextTabRoundTrip, Words) {
  RandomScoreOptions options = plain_tab();
  options.words = true;
  run(options, one_line);
}

TEST(TextTabRoundTrip, Banjos) {
  RandomScoreOptions options = plain_tab();
  options.unusual_banjo = true;
  run(options, one_line);
}

TEST(TextTabRoundTrip, NotesWithoutAString) {
  RandomScoreOptions options;
  options.placed = false;
  run(options, one_line);
}

TEST(TextTabRoundTrip, Everything) {
  run({}, one_line);
  run({}, 80);
  run({}, 40);
}

// ---- what random scores do not have ------------------------------------------------------------------

Score of(std::vector<Measure> measures) {
  Score score = score_of(std::move(measures));
  score.measures.back().right_bar = BarStyle::light_heavy;
  return score;
}

Stroke eighth(int string, int fret) {
  return stroke({1, 8}, {on(string, fret)});
}

void expect_reads_back_at_any_width(const Score& score) {
  ASSERT_TRUE(flaws(score).empty()) << flaws(score).front();
  for (const int width : {40, 80}) expect_reads_back(score, width);
}

TEST(TextTabRoundTrip, MeasuresThatDoNotFillTheirMeter) {
  // Seven eighths, five quarters, seven sixteenths, and all of it in the middle of a piece in 4/4.
  std::vector<Stroke> seven;
  for (int i = 0; i < 7; ++i) seven.push_back(eighth(3, i));
  const Stroke quarter = stroke({1, 4}, {on(2, 1)});
  const std::vector<Stroke> five{quarter, quarter, quarter, quarter, quarter};
  const std::vector<Stroke> odd{quarter, eighth(1, 0), stroke({1, 16}, {on(1, 2)})};
  const std::vector<Stroke> whole{quarter, quarter, quarter, quarter};
  expect_reads_back_at_any_width(
      of({measure(whole), measure(seven), measure(five), measure(odd), measure(whole)}));
}

TEST(TextTabRoundTrip, PickupsThatBeginInsideABeat) {
  const Stroke half = stroke({1, 2}, {on(2, 1)});
  for (const Fraction length : {Fraction(1, 8), Fraction(1, 16), Fraction(3, 16), Fraction(3, 8)}) {
    Score score = of({measure({stroke(length, {on(3, 2)})}), measure({half, half}), measure({half, half})});
    score.measures.front().implicit = true;
    expect_reads_back_at_any_width(score);
  }
  // The last two thirds of a beat.
  std::vector<Stroke> thirds{stroke({1, 12}, {on(3, 0)}), stroke({1, 12}, {on(3, 2)})};
  Score score = of({measure(thirds), measure({half, half})});
  score.measures.front().implicit = true;
  expect_reads_back_at_any_width(score);
}

TEST(TextTabRoundTrip, ThirdsWithSignsThatTakeRoom) {
  Note choked = on(2, 10);
  choked.choke = Choke{200, false, true};
  std::vector<Stroke> strokes{stroke({1, 12}, {choked}), stroke({1, 12}, {on(2, 8)}),
                              stroke({1, 12}, {on(3, 0)}), stroke({3, 4}, {on(5, 0)})};
  expect_reads_back_at_any_width(of({measure(strokes)}));
}

TEST(TextTabRoundTrip, ChokesBetweenFrets) {
  std::vector<Stroke> strokes;
  for (const int cents : {25, 50, 100, 137, 150, 300}) {
    Note note = on(1, 7);
    note.choke = Choke{static_cast<std::int16_t>(cents), cents == 150, cents == 50};
    strokes.push_back(stroke({1, 8}, {note}));
  }
  strokes.push_back(stroke({1, 4}, {on(5, 0)}));
  expect_reads_back_at_any_width(of({measure(strokes)}));
}

TEST(TextTabRoundTrip, EveryMarkAndBrush) {
  Stroke marked = stroke({1, 4}, {on(1, 0), on(2, 1), on(3, 0)});
  marked.articulations = {true, true, true, true, true};
  marked.brush = Brush::plain;
  for (const auto finger : {PickingFinger::ring, PickingFinger::little, PickingFinger::nail}) {
    marked.notes[1].picking_finger = finger;
    expect_reads_back_at_any_width(of({measure({marked, marked, marked, marked})}));
  }
}

// Nothing but one role, so that its letters could be those of another line; and the line over or under
// others.
TEST(TextTabRoundTrip, RolesByThemselves) {
  for (int role = 1; role <= 6; ++role) {
    for (const bool picked : {true, false}) {
      Stroke quarter = stroke({1, 4}, {on(2, 1), on(5, 0)});
      for (Note& note : quarter.notes) note.role = static_cast<Role>(role);
      if (picked) quarter.notes[0].picking_finger = PickingFinger::index;
      quarter.lyrics = {{"1", Syllabic::single, "lick"}};
      Stroke plain = stroke({1, 4}, {on(3, 0)});
      Stroke second = stroke({1, 4}, {on(3, 0), on(1, 2)});
      second.notes[1].role = static_cast<Role>(role);
      expect_reads_back_at_any_width(of({measure({quarter, plain, quarter, second})}));
    }
  }
}

// Where nobody asks for them they are told, and what is printed reads back without.
TEST(TextTabRoundTrip, RolesThatAreNotShown) {
  for (std::uint64_t seed = 1; seed <= 40; ++seed) {
    const Score score = random_score(seed);
    StringSink sink;
    const Report lost = write_text_tab(score, {.width = 80, .fingers = true}, sink);
    EXPECT_EQ(tells(lost, "tab-role"), has_roles(score)) << seed;
    EXPECT_FALSE(has_roles(read(sink.str()).score)) << seed;
  }
}

TEST(TextTabRoundTrip, Verses) {
  Stroke sung = stroke({1, 2}, {on(1, 0)});
  sung.lyrics = {{"1", Syllabic::begin, "re"}, {"2", Syllabic::single, "still"}};
  Stroke next = stroke({1, 2}, {on(1, 2)});
  next.lyrics = {{"1", Syllabic::end, "turn"}, {"2", Syllabic::single, "due"}};
  expect_reads_back_at_any_width(of({measure({sung, next})}));
}

TEST(TextTabRoundTrip, Headings) {
  for (const char* title :
       {"", "A Shelf of Books", "Key to the Shelf", "Return: the Book", "Read it, please.",
        "A title that is longer than the page is wide, in the narrower of both"}) {
    for (const char* rights : {"", "Free to copy", "Free to copy for anybody who wants to learn the banjo"}) {
      for (const char* part : {"Banjo", "Second banjo"}) {
        Score score = jig();
        score.work.title = title;
        score.work.rights = rights;
        score.part_name = part;
        score.banjo.fifth_capo = 7;
        for (Measure& one : score.measures) {
          for (Stroke& two : one.strokes) two.notes.front().placement->string = 1;
        }
        for (Measure& one : score.measures) {
          for (Stroke& two : one.strokes)
            two.notes.front().pitch = spell(*score.banjo.midi_at(*two.notes.front().placement), one.key);
        }
        normalize(score);
        expect_reads_back_at_any_width(score);
        score.work.composer = "Trad.";
        expect_reads_back_at_any_width(score);
        if (HasFailure()) return;
      }
    }
  }
}

TEST(TextTabRoundTrip, ACapoThatLeavesTheFifthStringAlone) {
  Score score;
  score.banjo.capo = 2;
  score.measures = {measure({stroke(1, {on(1, 0, score.banjo), on(5, 0, score.banjo)})})};
  score.measures.front().number = "1";
  normalize(score);
  expect_reads_back_at_any_width(score);
}

TEST(TextTabRoundTrip, Licks) {
  for (const Score& score : {returned_books(), overdue(), jig()}) {
    for (const int width : {24, 30, 40, 60, 80}) expect_reads_back(score, width);
  }
}

}  // namespace
}  // namespace fifthpeg::testing
