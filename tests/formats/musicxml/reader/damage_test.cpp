// Damaged files: reading ends with a ReadError or a sound score, never otherwise. Meant to be run under
// AddressSanitizer and UndefinedBehaviorSanitizer too.
#include <gtest/gtest.h>
#include <string>
#include <vector>

#include "formats/musicxml/reader/support.hpp"
#include "property/random_score.hpp"

namespace fifthpeg {
namespace {

using namespace testing;

// A file with much in it: two staves, tuplets, grace notes, ties, repeats, words, a second part.
const std::string& rich() {
  static const std::string text = [] {
    std::string details = open_g_details("<capo>2</capo>");
    details.insert(details.find('>'), " number=\"2\"");
    const std::string first =
        "<attributes><divisions>12</divisions><key><fifths>1</fifths><mode>major</mode></key><time "
        "symbol=\"common\"><beats>4</beats>"
        "<beat-type>4</beat-type></time><staves>2</staves><clef number=\"1\"><sign>G</sign></clef><clef "
        "number=\"2\"><sign>TAB</sign>"
        "</clef>" +
        details +
        "<transpose><diatonic>0</diatonic><chromatic>0</chromatic><octave-change>-1</octave-change></"
        "transpose></attributes>";
    const std::string body =
        "<direction><direction-type><words>Lively</words></"
        "direction-type><direction-type><metronome><beat-unit>quarter</beat-unit>"
        "<per-minute>100</per-minute></metronome></direction-type><offset>3</offset><sound "
        "tempo=\"100\"><swing><first>2</first>"
        "<second>1</second></swing></sound></direction><harmony><root><root-step>G</root-step></root><kind "
        "text=\"7\">dominant</kind>"
        "<degree><degree-value>9</degree-value><degree-alter>0</degree-alter><degree-type>add</degree-type></"
        "degree></harmony>"
        "<note><grace "
        "slash=\"yes\"/><pitch><step>A</step><octave>4</octave></pitch><voice>1</voice><type>16th</"
        "type><staff>1</staff>"
        "<notations><slide type=\"start\"/></notations></note>"
        "<note><pitch><step>B</step><octave>4</octave></pitch><duration>4</duration><voice>1</"
        "voice><type>eighth</type>"
        "<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></"
        "time-modification><staff>1</staff>"
        "<notations><tuplet type=\"start\" "
        "number=\"1\"><tuplet-actual><tuplet-number>3</tuplet-number></tuplet-actual><tuplet-normal>"
        "<tuplet-number>2</tuplet-number></tuplet-normal></tuplet><slide type=\"stop\"/><slur type=\"start\" "
        "number=\"2\"/></notations>"
        "<lyric><syllabic>begin</syllabic><text>la</text></lyric></note>"
        "<note><chord/><pitch><step>D</step><octave>5</octave></pitch><duration>4</duration><voice>1</"
        "voice><staff>1</staff></note>"
        "<note><pitch><step>G</step><octave>5</octave></pitch><duration>4</duration><voice>1</"
        "voice><type>eighth</type>"
        "<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></"
        "time-modification><staff>1</staff></note>"
        "<note><pitch><step>A</step><octave>4</octave></pitch><duration>4</duration><tie "
        "type=\"start\"/><voice>1</voice>"
        "<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></"
        "time-modification><staff>1</staff>"
        "<notations><tied type=\"start\"/><tuplet type=\"stop\" number=\"1\"/><slur type=\"stop\" "
        "number=\"2\"/></notations></note>"
        "<note><pitch><step>A</step><octave>4</octave></pitch><duration>36</duration><tie "
        "type=\"stop\"/><voice>1</voice><staff>1</staff>"
        "</note><backup><duration>48</duration></backup>"
        "<note><pitch><step>B</step><octave>4</octave></pitch><duration>4</duration><voice>5</"
        "voice><staff>2</staff><notations><technical>"
        "<string>3</string><fret>2</fret><fingering>2</fingering><pluck>T</pluck><bend><bend-alter>2</"
        "bend-alter></bend></technical>"
        "</notations></note><forward><duration>44</duration></forward><barline "
        "location=\"right\"><bar-style>light-heavy</bar-style>"
        "<ending number=\"1\" type=\"stop\"/><repeat direction=\"backward\"/></barline>";
    return document("<part id=\"P1\">" + measure(body, "1", first) + measure(note("G4", 48), "2", "") +
                        "</part><part id=\"P2\">" + measure(note("G2", 8)) + measure("", "2", "") + "</part>",
                    "<work><work-title>R &amp; &#233;</work-title></work><identification><creator "
                    "type=\"composer\">x</creator><miscellaneous>"
                    "<miscellaneous-field "
                    "name=\"fifthpeg.fifth-capo\">7</miscellaneous-field></miscellaneous></"
                    "identification><part-list><score-part "
                    "id=\"P1\"><part-name>Banjo</part-name></score-part><score-part "
                    "id=\"P2\"><part-name>Bass</part-name></score-part></part-list>");
  }();
  return text;
}

class Damage : public ::testing::Test {
 protected:
  void attempt(const std::string& bytes) {
    try {
      const Reading reading = read_musicxml(bytes);
      const auto wrong = flaws(reading.score);
      ASSERT_TRUE(wrong.empty()) << wrong.front() << "\n" << bytes;
      ++read_;
    } catch (const ReadError& error) {
      ASSERT_FALSE(std::string(error.what()).empty());
      ++refused_;
    }
  }
  int read_ = 0;
  int refused_ = 0;
};

TEST_F(Damage, TheWholeFileIsSound) {
  const Reading reading = read_sound(rich());
  EXPECT_EQ(reading.score.measures.size(), 2U);
  EXPECT_EQ(reading.score.measures[0].strokes[0].grace, Grace::slashed);
}

TEST_F(Damage, EveryTruncation) {
  for (std::size_t length = 0; length < rich().size(); ++length) attempt(rich().substr(0, length));
  EXPECT_EQ(read_, 0);
}

TEST_F(Damage, RandomBytes) {
  Random random(1);
  for (int i = 0; i < 8000; ++i) {
    std::string bytes = rich();
    const int changes = random.between(1, 4);
    for (int k = 0; k < changes; ++k) {
      bytes[static_cast<std::size_t>(random.below(static_cast<int>(bytes.size())))] =
          static_cast<char>(random.below(256));
    }
    attempt(bytes);
  }
  EXPECT_GT(read_, 100);
  EXPECT_GT(refused_, 1000);
}

// Damage that an XML parser lets through: numbers, words and whole elements changed.
TEST_F(Damage, RandomNumbersAndWords) {
  const std::vector<std::string> poison{"0",     "-1",    "1",      "2",        "3",         "7",      "99",
                                        "128",   "1000",  "256",    "65536",    "999999999", "-99999", "1.5",
                                        "0.001", "1e9",   "",       "x",        "yes",       "start",  "stop",
                                        "TAB",   "whole", "1024th", "let-ring", "5",         "13"};
  Random random(2);
  for (int i = 0; i < 8000; ++i) {
    std::string text = rich();
    const int changes = random.between(1, 5);
    for (int k = 0; k < changes; ++k) {
      // The text between two tags, or an attribute's value.
      const bool attribute = random.chance(30);
      const std::size_t from = text.find(
          attribute ? "=\"" : ">", static_cast<std::size_t>(random.below(static_cast<int>(text.size()))));
      if (from == std::string::npos) continue;
      const std::size_t start = from + (attribute ? 2 : 1);
      const std::size_t end = text.find(attribute ? '"' : '<', start);
      if (end == std::string::npos) continue;
      text.replace(start, end - start, random.of(poison));
    }
    attempt(text);
  }
  EXPECT_GT(read_, 4000);
}

TEST_F(Damage, ElementsDroppedDoubledAndMoved) {
  Random random(3);
  for (int i = 0; i < 6000; ++i) {
    std::string text = rich();
    const int changes = random.between(1, 4);
    for (int k = 0; k < changes; ++k) {
      const std::size_t open =
          text.find('<', static_cast<std::size_t>(random.below(static_cast<int>(text.size()))));
      if (open == std::string::npos || open + 1 >= text.size() || text[open + 1] == '/' ||
          text[open + 1] == '?')
        continue;
      const std::size_t name_end = text.find_first_of(" />", open);
      const std::string name = text.substr(open + 1, name_end - open - 1);
      const std::size_t tag_end = text.find('>', open);
      std::size_t end = tag_end + 1;
      if (text[tag_end - 1] != '/') {
        const std::string closing = "</" + name + ">";
        const std::size_t close = text.find(closing, tag_end);
        if (close == std::string::npos) continue;
        end = close + closing.size();
      }
      const std::string element = text.substr(open, end - open);
      if (random.chance(50)) text.erase(open, end - open);
      if (random.chance(60)) {
        const std::size_t place =
            text.find('<', static_cast<std::size_t>(random.below(static_cast<int>(text.size()))));
        if (place != std::string::npos) text.insert(place, element);
      }
    }
    attempt(text);
  }
  EXPECT_GT(read_, 2000);
}

// Files made to take long or to take much memory: refused, or read in time that grows with their size.
TEST(Hostile, AttributesWithoutEnd) {
  std::string tag = "<score-partwise";
  for (int i = 0; i < 200'000; ++i) tag += " a" + std::to_string(i) + "=''";
  EXPECT_NE(refusal(tag + "/>").what.find("attributes"), std::string::npos);
}

TEST(Hostile, ElementsWithoutEnd) {
  std::string inside;
  for (int i = 0; i < 2'000'001; ++i) inside += "<a/>";
  EXPECT_NE(refusal(one_measure(inside)).what.find("more elements"), std::string::npos);
  EXPECT_NE(refusal(document(inside)).what.find("more elements"), std::string::npos);
}

TEST(Hostile, MeasuresWithoutEnd) {
  std::string measures;
  for (int i = 0; i < 250'001; ++i) measures += "<measure/>";
  EXPECT_NE(refusal(part(measures)).what.find("measures"), std::string::npos);
}

TEST(Hostile, NotesAtOnePlace) {
  std::string music;
  for (int i = 0; i < 20'000; ++i) {
    music += note("D4", 8, "", i == 0 ? "" : "<chord/>",
                  "<tie type=\"start\"/><voice>" + std::to_string(i % 7) + "</voice>");
  }
  const Reading reading = read_sound(one_measure(music));
  EXPECT_GT(told(reading.report, "musicxml-notes-at-once", EntryKind::loss), 19'000U);
}

TEST(Hostile, VoicesSlursTupletsAndDirectionsByTheThousand) {
  std::string music = "<attributes><staves>2</staves><clef number=\"2\"><sign>TAB</sign></clef></attributes>";
  for (int i = 0; i < 5'000; ++i) {
    const std::string number = std::to_string(i);
    music += "<direction><direction-type><words>" + number + "</words></direction-type><staff>" +
             std::to_string(1 + i % 2) + "</staff></direction>";
    music += note(
        "D4", 1,
        "<slur type=\"start\" number=\"" + number + "\"/><tuplet type=\"start\" number=\"" + number + "\"/>",
        "",
        "<voice>" + number +
            "</voice><time-modification><actual-notes>3</actual-notes><normal-notes>2"
            "</normal-notes></time-modification><staff>" +
            std::to_string(1 + i % 2) + "</staff>");
    music += "<barline location=\"left\"><ending number=\"1-1000,1-1000,1-1000\" type=\"start\"/></barline>";
  }
  const Reading reading = read_sound(one_measure(music));
  EXPECT_EQ(reading.score.measures[0].directions.size(), 5'000U);
  EXPECT_LE(reading.score.measures[0].ending->numbers.size(), 100U);
}

}  // namespace
}  // namespace fifthpeg
