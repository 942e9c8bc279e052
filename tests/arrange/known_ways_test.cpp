// How much of what well-known ways of playing a tune have in common (known_ways.txt) an arrangement has, too.
#include <algorithm>
#include <cstddef>
#include <fstream>
#include <gtest/gtest.h>
#include <iostream>
#include <map>
#include <optional>
#include <sstream>
#include <string>
#include <string_view>
#include <vector>

#include "fifthpeg/arrange.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg {
namespace {

// ---- the plain melodies --------------------------------------------------------------------------------

// "B3:2" is a note of two eighths, "[D7]" a chord symbol, "|" a bar line. What stands before the first bar
// line is a pickup if it is short.
struct PlainTune {
  std::string_view title;
  std::string_view melody;
};

// Traditional, or old enough to be everybody's; their first parts, in G.
constexpr PlainTune plain_tunes[] = {
    {"Boil Them Cabbage Down",
     "[G] B3:2 B3:2 B3:2 B3:2 | [C] C4:4 C4:4 | [G] B3:2 B3:2 B3:2 B3:2 | [D7] A3:4 A3:4 | "
     "[G] B3:2 B3:2 B3:2 B3:2 | [C] C4:2 C4:2 C4:2 C4:2 | [G] B3:2 B3:2 [D7] A3:2 A3:2 | [G] G3:8"},
    {"Skip to My Lou",
     "[G] B3:2 B3:2 G3:2 G3:2 | B3:2 B3:2 D4:4 | [D7] A3:2 A3:2 F#3:2 F#3:2 | A3:2 A3:2 C4:4 | "
     "[G] B3:2 B3:2 G3:2 G3:2 | B3:2 B3:2 D4:4 | [D7] A3:2 B3:2 C4:2 B3:2 | A3:4 [G] G3:4"},
    {"Oh! Susanna",
     "G3:1 A3:1 | [G] B3:2 D4:2 D4:3 E4:1 | D4:2 B3:2 G3:3 A3:1 | B3:2 B3:2 A3:2 G3:2 | [D7] A3:6 G3:1 A3:1 "
     "| "
     "[G] B3:2 D4:2 D4:3 E4:1 | D4:2 B3:2 G3:3 A3:1 | B3:2 B3:2 [D7] A3:2 A3:2 | [G] G3:8"},
};

Score plain_score(const PlainTune& tune) {
  Score score;
  score.work.title = tune.title;
  const Key key{1, Mode::major};
  std::istringstream words{std::string(tune.melody)};
  std::string word;
  Measure measure;
  int number = 1;
  const auto close = [&] {
    measure.key = key;
    measure.implicit = measure.length < measure.meter.length();
    measure.number = std::to_string(measure.implicit ? 0 : number++);
    score.measures.push_back(std::move(measure));
    measure = {};
  };
  while (words >> word) {
    if (word == "|") {
      close();
    } else if (word.front() == '[') {
      auto chord = parse_chord_symbol(word.substr(1, word.size() - 2));
      EXPECT_TRUE(chord) << word;
      chord->at = measure.length;
      measure.chords.push_back(*chord);
    } else {
      const std::size_t colon = word.find(':');
      const auto pitch = parse_pitch(word.substr(0, colon));
      EXPECT_TRUE(pitch) << word;
      Stroke stroke;
      stroke.onset = measure.length;
      stroke.duration = Fraction(std::stoi(word.substr(colon + 1)), 8);
      Note note;
      note.pitch = *pitch;
      stroke.notes.push_back(note);
      measure.length += stroke.duration;
      measure.strokes.push_back(std::move(stroke));
    }
  }
  close();
  normalize(score);
  return score;
}

// ---- what the ways have in common ----------------------------------------------------------------------

struct Statement {
  std::string measure;  // as printed
  int beat = 1;
  Placement placement;
};

std::map<std::string, std::vector<Statement>> read_known_ways() {
  std::map<std::string, std::vector<Statement>> ways;
  std::ifstream file(FIXTURES "/../tests/arrange/known_ways.txt");
  EXPECT_TRUE(file);
  std::string line;
  std::string tune;
  while (std::getline(file, line)) {
    if (line.rfind("tune: ", 0) == 0) tune = line.substr(6);
    if (line.rfind("measure ", 0) != 0) continue;
    const std::size_t colon = line.find(':');
    const std::string measure = line.substr(8, colon - 8);
    std::istringstream words(line.substr(colon + 1));
    std::string beat_word;
    std::string place;
    Statement statement;
    while (words >> beat_word >> statement.beat >> place) {
      EXPECT_EQ(beat_word, "beat") << line;
      statement.measure = measure;
      statement.placement.string = static_cast<std::int8_t>(place.at(0) - '0');
      statement.placement.fret = static_cast<std::int8_t>(std::stoi(place.substr(2)));
      ways[tune].push_back(statement);
    }
  }
  return ways;
}

// ---- what an arrangement has there ---------------------------------------------------------------------

// The melody's places at a time: of a note that slides, where it goes to.
std::vector<Placement> melody_places(const Score& score, const Statement& at) {
  std::vector<Placement> places;
  for (const Measure& measure : score.measures) {
    if (measure.number != at.measure) continue;
    const Fraction onset(at.beat - 1, 4);
    for (std::size_t s = 0; s < measure.strokes.size(); ++s) {
      const Stroke& stroke = measure.strokes[s];
      if (stroke.onset != onset || stroke.grace != Grace::none) continue;
      for (const Note& note : stroke.notes) {
        if (note.role != Role::melody || !note.placement) continue;
        Placement place = *note.placement;
        if (note.out_of == Technique::slide && s + 1 < measure.strokes.size()) {
          for (const Note& goal : measure.strokes[s + 1].notes) {
            if (goal.into == Technique::slide && goal.placement && goal.placement->string == place.string) {
              place = *goal.placement;
            }
          }
        }
        places.push_back(place);
      }
    }
  }
  return places;
}

std::string text_of(const std::vector<Placement>& places) {
  std::string text;
  for (const Placement& place : places) {
    text += ' ';
    text += std::to_string(place.string);
    text += ':';
    text += std::to_string(place.fret);
  }
  return text.empty() ? " nothing" : text;
}

// Of a hundred statements, how many have to come back: what has been reached, rounded down to 5.
constexpr int share_reached = 95;

TEST(KnownWays, ArrangementsHaveWhatWaysOfPlayingATuneAgreeOn) {
  const auto ways = read_known_ways();
  int statements = 0;
  int met = 0;
  for (const PlainTune& tune : plain_tunes) {
    const auto known = ways.find(std::string(tune.title));
    ASSERT_NE(known, ways.end()) << tune.title;
    ASSERT_GE(known->second.size(), 10U) << tune.title;
    const Score plain = plain_score(tune);
    ASSERT_TRUE(flaws(plain).empty()) << tune.title << ": " << flaws(plain).front();
    for (const int level : {2, 3}) {
      ArrangeOptions options;
      options.level = level;
      const Score score = arrange(plain, options).score;
      int met_here = 0;
      for (const Statement& statement : known->second) {
        const auto places = melody_places(score, statement);
        if (std::find(places.begin(), places.end(), statement.placement) != places.end()) {
          ++met_here;
        } else {
          std::cout << tune.title << ", level " << level << ", measure " << statement.measure << ", beat "
                    << statement.beat << ": " << text_of({statement.placement}) << " was expected, there is"
                    << text_of(places) << '\n';
        }
      }
      std::cout << tune.title << ", level " << level << ": " << met_here << " of " << known->second.size()
                << '\n';
      statements += static_cast<int>(known->second.size());
      met += met_here;
    }
  }
  ASSERT_GT(statements, 0);
  const int share = 100 * met / statements;
  std::cout << "share of what known ways agree on: " << share << " %\n";
  RecordProperty("share_of_known_ways", share);
  EXPECT_GE(share, share_reached);
}

}  // namespace
}  // namespace fifthpeg
