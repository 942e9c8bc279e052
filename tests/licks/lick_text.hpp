// Licks as a player would write them down, for tests.
//
// A word is a stroke, an eighth long or * that many: notes joined by +, each string:fret, then the fret-hand
// finger after a point and the picking finger's letter, where they are given. Before the string: h hammered
// on, p pulled off, s slid into, from the note before on the same string; ( a grace note. - is a rest, | a
// barline, [G] a chord symbol at the next stroke. A first measure that is not full is a pickup where there
// are more.
#pragma once

#include <algorithm>
#include <gtest/gtest.h>
#include <sstream>
#include <string>
#include <string_view>
#include <vector>

#include "fifthpeg/edit.hpp"
#include "fifthpeg/score.hpp"

namespace fifthpeg::testing {

struct LickKind {
  Meter meter{};
  Key key{1, Mode::major};
  int capo = 0;
  Fraction each{1, 8};
  int tempo = 0;  // quarters a minute; 0: none is given
};

namespace detail {

inline Technique technique_of_letter(char letter) {
  return letter == 'h'   ? Technique::hammer_on
         : letter == 'p' ? Technique::pull_off
         : letter == 's' ? Technique::slide
                         : Technique::none;
}

// "h3:2.1T"
inline Note note_of(std::string_view word, const Banjo& banjo, const Key& key) {
  Note note;
  note.into = technique_of_letter(word.front());
  if (note.into != Technique::none) word.remove_prefix(1);
  const auto string = static_cast<std::int8_t>(word.front() - '0');
  word.remove_prefix(2);
  int fret = 0;
  for (; !word.empty() && word.front() >= '0' && word.front() <= '9'; word.remove_prefix(1))
    fret = 10 * fret + (word.front() - '0');
  note.placement = Placement{string, static_cast<std::int8_t>(fret)};
  if (!word.empty() && word.front() == '.') {
    note.finger = static_cast<FretFinger>(word[1] - '0');
    word.remove_prefix(2);
  }
  if (!word.empty())
    note.picking_finger = static_cast<PickingFinger>(std::string_view("TIMRLN").find(word.front()));
  note.pitch = spell(banjo.midi_at(*note.placement).value(), key);
  return note;
}

inline void lead_from(Score& score, const Note& to) {
  for (std::size_t m = score.measures.size(); m-- > 0;) {
    auto& strokes = score.measures[m].strokes;
    for (std::size_t s = strokes.size(); s-- > 0;) {
      for (Note& from : strokes[s].notes) {
        if (from.placement->string != to.placement->string) continue;
        from.out_of = to.into;
        return;
      }
    }
  }
}

}  // namespace detail

inline Score lick_score(const std::string& text, const LickKind& kind = {}) {
  Score score;
  score.banjo.capo = kind.capo;
  score.banjo.fifth_capo = usual_fifth_capo(kind.capo);
  Fraction at;
  const auto open_measure = [&] {
    Measure measure;
    measure.number = std::to_string(score.measures.size() + 1);
    measure.meter = kind.meter;
    measure.key = kind.key;
    measure.length = kind.meter.length();
    if (score.measures.empty() && kind.tempo > 0) measure.tempos.push_back({0, kind.tempo, {1, 4}, "", true});
    score.measures.push_back(measure);
    at = 0;
  };
  open_measure();
  std::istringstream words(text);
  for (std::string word; words >> word;) {
    if (word == "|") {
      if (score.measures.size() == 1 && at < score.measures.front().length) {
        score.measures.front().length = at;
        score.measures.front().implicit = true;
      }
      open_measure();
      continue;
    }
    if (word.front() == '[') {
      ChordSymbol chord = parse_chord_symbol(word.substr(1, word.size() - 2)).value();
      chord.at = at;
      score.measures.back().chords.push_back(chord);
      continue;
    }
    Stroke stroke;
    stroke.onset = at;
    stroke.duration = kind.each;
    const std::size_t star = word.find('*');
    if (star != std::string::npos) stroke.duration = kind.each * Fraction(std::stoi(word.substr(star + 1)));
    std::string_view rest = std::string_view(word).substr(0, star);
    if (rest.front() == '(') {
      stroke.grace = Grace::slashed;
      rest.remove_prefix(1);
    }
    while (rest != "-" && !rest.empty()) {
      const std::size_t plus = std::min(rest.find('+'), rest.size());
      const Note note = detail::note_of(rest.substr(0, plus), score.banjo, kind.key);
      if (note.into != Technique::none) detail::lead_from(score, note);
      stroke.notes.push_back(note);
      rest.remove_prefix(std::min(plus + 1, rest.size()));
    }
    if (stroke.grace == Grace::none) at += stroke.duration;
    score.measures.back().strokes.push_back(stroke);
  }
  refill(score, score.measures.size() - 1);
  normalize(score);
  EXPECT_EQ(flaws(score), std::vector<std::string>{}) << text;
  return score;
}

// "3:0 2:1*2 -": of a measure, in eighths.
inline std::string tab_of(const Measure& measure) {
  std::string text;
  for (const Stroke& stroke : measure.strokes) {
    if (!text.empty()) text += ' ';
    if (stroke.is_rest()) text += '-';
    for (const Note& note : stroke.notes) {
      if (&note != stroke.notes.data()) text += '+';
      text += std::to_string(note.placement->string) + ':' + std::to_string(note.placement->fret);
    }
    const Fraction eighths = stroke.duration * 8;
    if (eighths != 1) text += '*' + to_string(eighths);
  }
  return text;
}

}  // namespace fifthpeg::testing
