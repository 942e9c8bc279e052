#include <algorithm>
#include <array>
#include <cctype>
#include <gtest/gtest.h>
#include <string>
#include <vector>

#include "base/display_width.hpp"
#include "engraving/count.hpp"
#include "fifthpeg/errors.hpp"
#include "fifthpeg/write.hpp"
#include "formats/text_tab/writer/licks.hpp"
#include "property/random_score.hpp"

namespace fifthpeg::testing {
namespace {

struct Tab {
  std::string text;
  std::vector<std::string> lines;
  Report report;
  std::uint64_t told(std::string_view slug) const {
    std::uint64_t count = 0;
    for (const Entry& one : report.entries()) count += one.slug == slug ? one.count : 0;
    return count;
  }
};

Tab tab_of(const Score& score, const TextTabOptions& options = {}) {
  Tab tab;
  StringSink sink;
  tab.report = write_text_tab(score, options, sink);
  tab.text = sink.str();
  std::string line;
  for (const char c : tab.text) {
    if (c == '\n') {
      tab.lines.push_back(std::move(line));
      line.clear();
    } else {
      line += c;
    }
  }
  EXPECT_TRUE(line.empty()) << "the last line is not ended";
  return tab;
}

// ---- what a student gets ----------------------------------------------------------------------------

TEST(TextTab, ReturnedBooks) {
  const Score score = returned_books();
  ASSERT_TRUE(flaws(score).empty()) << flaws(score).front();
  const Tab tab = tab_of(score);
  EXPECT_EQ(tab.text, R"(Returned Books
composer: Trad.   arranger: A. Handout

Tuning: open G (gDGBD)   Key: G major   Meter: 4/4   Tempo: quarter = 96

         1                          2
            G                            C       D7
d|-------|--------0--------0-----0--|--------0-------0---|
B|-------|:-0-----------0-----------|--------------------|
G|-2-/4--|-----------0--------------|-g2h3---------------|
D|-------|:-------------------------|------------0-------|
g|-------|-----0--------------0-----|--------0-------0---|
   4  &     1  &  2  &  3  &  4  &       1   2   3   4
   T        I  T  M  T  I  M  T  M       T   TM  T   TM

                                       [1.-----------][2.-----------
 3                                     4              5
d|-------0--10-p7----------------------|-----0--------|-----0-------||
B|----0--------------------------------|-------------:|-------------||
G|-0-----------------0-----------------|---------0----|---------0---||
D|-------------------------------------|-0-----------:|-0-----------||
g|-------------------------------------|-----0--------|-----0-------||
   1  &  a  2   &    3        4          1   2   3      1   2   3
   T  I  M  M        T        r          T   TM  T      T   TM  T

h hammer-on; p pull-off; / slide up; g grace note; r under the tab: rest
)");
  EXPECT_TRUE(tab.report.empty());
}

TEST(TextTab, OverdueShowsEverySign) {
  const Score score = overdue();
  ASSERT_TRUE(flaws(score).empty()) << flaws(score).front();
  const Tab tab = tab_of(score, {.width = 80, .fingers = true});
  EXPECT_EQ(tab.text, R"(Überfällig

Tuning: open G (gDGBD)   Capo: 2   Fifth-string capo: 7   Key: G major
Meter: 4/4

   [A]  mf                                    Key: A mixolydian
                                                      D.C. al Fine
 1                 2                        3
                               >
d|-5---------------|------<12>-------------||--------------------|
B|-5---------------|-----------------------||-10b12r-------------|
G|-5-----------12--|-(12)------------------||--------------------|
D|-----------------|-----------2x------X---||--------------------|
g|---------0~------|-----------------------||--------------------|
   1   2   3   4      1    2   3       4      1      2   3   4
   ^
   333     0                   1       1      3
                                                         E4
                           o-  verdue

b choke (to the fret named); r choke released; ~ let ring;
x after a fret: stopped; ( ) tied, not struck again; < > harmonic; X dead note;
^ under the tab: brush towards string 1; > accent;
names of pitches under the tab: notes without a string
)");
  EXPECT_EQ(tab.told("tab-unplaced"), 1U);
  EXPECT_EQ(tab.told("tab-finger"), 0U);
  EXPECT_EQ(tab_of(score).told("tab-finger"), 6U);
}

TEST(TextTab, RolesStandInALineOfTheirOwn) {
  Stroke melody = stroke({1, 8}, {on(3, 0)});
  melody.notes[0].role = Role::melody;
  melody.notes[0].picking_finger = PickingFinger::thumb;
  Stroke fill = stroke({1, 8}, {on(2, 0)});
  fill.notes[0].role = Role::fill;
  Stroke pinch = stroke({1, 4}, {on(1, 0), on(5, 0)});
  pinch.notes[0].role = Role::melody;
  pinch.notes[1].role = Role::drone;
  Stroke lick = stroke({1, 8}, {on(4, 2)});
  lick.notes[0].role = Role::lick;
  Stroke half_said = stroke({1, 4}, {on(1, 2), on(2, 3)});
  half_said.notes[1].role = Role::backup;
  Stroke last = stroke({1, 8}, {on(3, 0)});
  last.notes[0].role = Role::kick_off;
  const Score score = score_of({measure({melody, fill, pinch, lick, half_said, last})});
  const Tab tab = tab_of(score, {.width = 80, .roles = true});
  EXPECT_EQ(tab.text, R"(Tuning: open G (gDGBD)   Key: G major   Meter: 4/4

 1
d|-------0--------2--------|
B|----0-----------3--------|
G|-0--------------------0--|
D|-------------2-----------|
g|-------0-----------------|
   1  &  2     3  &  4  &
   T
=  m  f  dm    l  b.    k

= under the tab: m melody, f fill, d drone, l lick, k kick-off, b backup
)");
  EXPECT_TRUE(tab.report.empty());
  const Tab without = tab_of(score);
  EXPECT_EQ(without.text.find("="), std::string::npos);
  EXPECT_EQ(without.told("tab-role"), 7U);
}

TEST(TextTab, AJigIsCountedInSix) {
  EXPECT_EQ(tab_of(jig()).text, R"(Tuning: open G (gDGBD)   Key: G major   Meter: 6/8
Tempo: Lively, dotted quarter = 75

      1                         2
d|-0--|---------0-----------2---|-------------------||
B|----|-----0-----------1-3-----|-------------------||
G|----|-0-----------2-----------|-0-----------------||
D|----|-------------------------|----------0--------||
g|----|-------------------------|-------------------||
   6    1   2   3   4   5 & 6     1  2  3  4  5  6

)");
}

TEST(TextTab, SaysOnceThatEverythingRings) {
  Score score = score_of({measure({stroke({1, 2}, {on(3, 0)}), stroke({1, 2}, {on(5, 0)})})});
  for (Stroke& one : score.measures[0].strokes) one.notes[0].ring = Ring::let_ring;
  const Tab tab = tab_of(score);
  EXPECT_NE(tab.text.find("Let every string ring"), std::string::npos);
  EXPECT_EQ(tab.text.find('~'), std::string::npos);
}

TEST(TextTab, WidthThatCannotBe) {
  EXPECT_THROW(tab_of(jig(), {.width = 23}), UsageError);
  EXPECT_THROW(tab_of(jig(), {.width = 1'000'000}), UsageError);
}

TEST(TextTab, AMeasureThatIsTooWideIsBrokenAtABeat) {
  int broken = 0;
  for (int width = 24; width < 44; ++width) {
    const Tab tab = tab_of(returned_books(), {.width = width});
    for (std::size_t i = 0; i + string_count < tab.lines.size(); ++i) {
      if (!tab.lines[i].starts_with("d>")) continue;
      ++broken;
      // What goes on is counted from a number, and stands under the names of the strings again.
      const std::string& count = tab.lines[i + string_count];
      const auto first = count.find_first_not_of(' ');
      ASSERT_NE(first, std::string::npos);
      EXPECT_NE(std::isdigit(static_cast<unsigned char>(count[first])), 0) << width << ": " << count;
      EXPECT_TRUE(tab.lines[i + 4].starts_with("g>"));
    }
  }
  EXPECT_GT(broken, 20);
  EXPECT_NE(tab_of(returned_books(), {.width = 24}).text.find("> at the end of a"), std::string::npos);
}

TEST(TextTab, SlidesLeanTheWayTheyGo) {
  Note up = on(3, 2);
  up.out_of = Technique::slide;
  Note down = with(on(3, 5), Technique::slide);
  down.out_of = Technique::slide;
  const Tab tab = tab_of(score_of({measure(
      {stroke({1, 4}, {up}), stroke({1, 4}, {down}), stroke({1, 2}, {with(on(3, 4), Technique::slide)})})}));
  EXPECT_NE(tab.text.find("\nG|-2--/5--\\4--"), std::string::npos) << tab.text;
}

TEST(TextTab, TellsBarlinesThatItCannotDraw) {
  Score score = jig();
  score.measures[1].right_bar = BarStyle::dashed;
  EXPECT_EQ(tab_of(score).told("tab-bar-style"), 1U);
}

// ---- counting (common practice: 1 e & a; triplets 1 & a) --------------------------------------------

std::string counted(const Measure& one, bool first = false) {
  std::string all;
  for (const engraving::CountedPlace& place : engraving::counted_places(one, first))
    all += (all.empty() ? "" : " ") + place.label;
  return all;
}

TEST(Counting, CountsWhatIsPlayed) {
  const Fraction s{1, 16};
  const Stroke quarter = stroke({1, 4}, {on(3, 0)});
  const Stroke eighth = stroke({1, 8}, {on(3, 0)});
  const Stroke sixteenth = stroke(s, {on(3, 0)});
  const Stroke third = stroke({1, 12}, {on(3, 0)});
  EXPECT_EQ(counted(measure({quarter, quarter, quarter, quarter})), "1 2 3 4");
  EXPECT_EQ(counted(measure({eighth, eighth, quarter, quarter, quarter})), "1 & 2 3 4");
  EXPECT_EQ(counted(measure({sixteenth, sixteenth, eighth, quarter, third, third, third, quarter})),
            "1 e & a 2 3 & a 4");
  EXPECT_EQ(counted(measure({eighth}), true), "&");  // a pickup of an eighth in 4/4
}

TEST(Counting, BeatsOfOneMeasureAreEquallyWide) {
  const Stroke sixteenth = stroke({1, 16}, {on(3, 0)});
  const Stroke third = stroke({1, 12}, {on(3, 0)});
  const auto places = engraving::counted_places(
      measure({sixteenth, sixteenth, sixteenth, sixteenth, third, third, third, stroke({1, 2}, {on(3, 0)})}),
      false);
  std::vector<int> widths;
  for (const engraving::CountedPlace& place : places) {
    if (place.on_beat) widths.push_back(0);
    widths.back() += place.room;
  }
  EXPECT_EQ(widths.size(), 4U);
  for (const int width : widths) EXPECT_EQ(width, widths.front());
}

TEST(Counting, VeryLongMeasuresGrowWithTheirStrokesOnly) {
  EXPECT_EQ(engraving::counted_places(measure({stroke(1'000'000, {on(3, 0)})}), false).size(), 1U);
}

// ---- any score --------------------------------------------------------------------------------------

bool is_tab_line(const std::string& line) {
  // A name of a string in one or two columns, then a barline or the mark of a broken measure.
  const auto bar = line.find_first_of("|>");
  return bar != std::string::npos && (bar == 1 || bar == 2) &&
         std::isalpha(static_cast<unsigned char>(line[0])) != 0 && line.size() > bar + 1 &&
         line.find('-') != std::string::npos;
}

// The fret numbers of a line of tab in order, without those that a choke reaches.
void take_frets(const std::string& line, std::vector<int>& frets) {
  for (std::size_t i = 0; i < line.size();) {
    if (std::isdigit(static_cast<unsigned char>(line[i])) == 0) {
      ++i;
      continue;
    }
    const bool reached = line[i - 1] == 'b' || line[i - 1] == 'B';
    int fret = 0;
    for (; i < line.size() && std::isdigit(static_cast<unsigned char>(line[i])) != 0; ++i)
      fret = fret * 10 + line[i] - '0';
    if (!reached) frets.push_back(fret);
  }
}

TEST(TextTab, AnyScoreKeepsItsWidthAndEveryFretInOrder) {
  for (std::uint64_t seed = 1; seed <= 400; ++seed) {
    RandomScoreOptions options;
    options.nested_tuplets = seed % 3 == 0;
    options.placed = seed % 7 != 0;
    const Score score = random_score(seed, options);
    const int width = 24 + static_cast<int>(seed * 7 % 100);
    const Tab tab = tab_of(score, {.width = width, .fingers = seed % 2 == 0});
    std::array<std::vector<int>, string_count> shown;
    for (std::size_t i = 0; i < tab.lines.size(); ++i) {
      const std::string& line = tab.lines[i];
      ASSERT_LE(base::display_width(line), width) << "seed " << seed << ": " << line;
      ASSERT_TRUE(line.empty() || line.back() != ' ') << "seed " << seed;
      if (!is_tab_line(line)) continue;
      for (std::size_t string = 0; string < string_count; ++string) {
        ASSERT_LT(i + string, tab.lines.size());
        ASSERT_TRUE(is_tab_line(tab.lines[i + string])) << "seed " << seed << ": " << tab.lines[i + string];
        ASSERT_EQ(tab.lines[i + string].size(), line.size()) << "seed " << seed;
        take_frets(tab.lines[i + string], shown.at(string));
      }
      i += string_count - 1;
    }
    std::array<std::vector<int>, string_count> written;
    std::uint64_t unplaced = 0;
    for (const Measure& one : score.measures) {
      for (const Stroke& s : one.strokes) {
        for (const Note& note : s.notes) {
          if (!note.placement) {
            ++unplaced;
          } else if (!note.dead) {
            written.at(static_cast<std::size_t>(note.placement->string - 1)).push_back(note.placement->fret);
          }
        }
      }
    }
    EXPECT_EQ(shown, written) << "seed " << seed << "\n" << tab.text;
    EXPECT_EQ(tab.told("tab-unplaced"), unplaced) << "seed " << seed;
  }
}

TEST(TextTab, StrokesStandOverTheirCount) {
  // Of each line of tab, every fret number without a sign before it stands over a count, if it is no grace.
  for (std::uint64_t seed = 1; seed <= 100; ++seed) {
    RandomScoreOptions options;
    options.grace = false;
    options.techniques = false;
    options.ties = false;
    const Tab tab = tab_of(random_score(seed, options));
    for (std::size_t i = 0; i + string_count < tab.lines.size(); ++i) {
      if (!is_tab_line(tab.lines[i])) continue;
      const std::string& count = tab.lines[i + string_count];
      for (std::size_t string = 0; string < string_count; ++string) {
        const std::string& line = tab.lines[i + string];
        for (std::size_t at = 3; at < line.size(); ++at) {
          const bool begins = std::isdigit(static_cast<unsigned char>(line[at])) != 0 &&
                              std::isdigit(static_cast<unsigned char>(line[at - 1])) == 0;
          if (!begins) continue;
          ASSERT_LT(at, count.size()) << "seed " << seed << "\n" << line << "\n" << count;
          ASSERT_NE(count[at], ' ') << "seed " << seed << "\n" << line << "\n" << count;
        }
      }
      i += string_count - 1;
    }
  }
}

TEST(TextTab, AnythingInWordsStaysWithinTheWidth) {
  Score score = jig();
  score.work.title = std::string(500, 'x') + "\n\x1b";
  score.measures[1].directions.push_back({0, Direction::Kind::words, std::string(300, 'w')});
  for (int i = 0; i < 200; ++i) score.measures[1].directions.push_back({0, Direction::Kind::words, "slower"});
  score.measures[1].strokes[0].lyrics = {{"1", Syllabic::single, std::string(100, 'l')}};
  score.measures[1].number = std::string(90, '1');
  const Tab tab = tab_of(score, {.width = 40});
  for (const std::string& line : tab.lines) EXPECT_LE(base::display_width(line), 40) << line;
  EXPECT_EQ(tab.text.find('\x1b'), std::string::npos);
}

}  // namespace
}  // namespace fifthpeg::testing
