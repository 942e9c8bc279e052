#include "arrange/phrases.hpp"

#include <algorithm>
#include <array>
#include <cstddef>

#include "harmony/units.hpp"

namespace fifthpeg::arranging {
namespace {

constexpr std::array<int, 3> phrase_moves{0, -12, 12};
// What is worse, and how much: a note alone in another octave than its phrase; each note of a phrase that
// moves; a phrase that moves otherwise than the one before.
constexpr int note_alone = 4;
constexpr int moved_note = 1;
constexpr int other_octave = 2;

// Octaves that bring a note into a range, if it is as wide as one.
int into_range(int midi, MelodyRange range) {
  int moved = 0;
  while (midi + moved < range.low) moved += 12;
  while (midi + moved > range.high) moved -= 12;
  return moved;
}

struct Phrase {
  std::size_t end = 0;                                    // of its notes, the one after the last
  std::array<int, phrase_moves.size()> cost{};            // of each move, with the best of all phrases before
  std::array<std::size_t, phrase_moves.size()> before{};  // which of their moves that is
};

bool is_double(BarStyle bar) {
  return bar == BarStyle::light_light || bar == BarStyle::light_heavy;
}

}  // namespace

std::vector<bool> phrase_ends(const Score& score, const std::vector<Tone>& melody, Fraction slot) {
  std::vector<bool> ends(melody.size(), false);
  if (melody.empty()) return ends;
  ends.back() = true;
  Fraction end;
  std::vector<int> number;
  number.reserve(score.measures.size());
  harmony::BarCounter counter(true);
  for (const Measure& measure : score.measures) {
    end += measure.length;
    counter.next(measure, &measure == &score.measures.back());
    const int counted = number.empty() ? 0 : number.back();
    number.push_back(counted + (counter.start() == 0 ? 1 : 0));
  }
  const Fraction usual = (end - melody.front().at) / Fraction(static_cast<std::int64_t>(melody.size()));
  for (std::size_t i = 0; i + 1 < melody.size(); ++i) {
    const Measure& measure = score.measures[melody[i].measure];
    const bool last_there = melody[i + 1].measure != melody[i].measure;
    const Fraction wait = melody[i + 1].at - melody[i].at;
    const Fraction beat = measure.meter.is_compound() ? measure.meter.beat() : slot * 2;
    const bool fourth = number[melody[i].measure] % 4 == 0;
    const bool sign = last_there && (measure.repeat_times > 0 || is_double(measure.right_bar));
    ends[i] = sign || (fourth && wait > beat) || (wait >= beat * 2 && wait * 2 >= usual * 5);
  }
  return ends;
}

std::vector<OctaveMove> octave_moves(const std::vector<Tone>& melody, const std::vector<bool>& ends,
                                     MelodyRange range, int half_steps) {
  std::vector<Phrase> phrases;
  for (std::size_t first = 0; first < melody.size();) {
    Phrase phrase;
    phrase.end = first;
    while (!ends[phrase.end]) ++phrase.end;
    ++phrase.end;
    for (std::size_t m = 0; m < phrase_moves.size(); ++m) {
      int cost = phrase_moves.at(m) == 0 ? 0 : moved_note * static_cast<int>(phrase.end - first);
      for (std::size_t i = first; i < phrase.end; ++i)
        cost += into_range(melody[i].midi + half_steps + phrase_moves.at(m), range) != 0 ? note_alone : 0;
      for (std::size_t other = 0; !phrases.empty() && other < phrase_moves.size(); ++other) {
        const auto with = [&](std::size_t move) {
          return phrases.back().cost.at(move) + (move == m ? 0 : other_octave);
        };
        if (with(other) < with(phrase.before.at(m))) phrase.before.at(m) = other;
        if (other + 1 == phrase_moves.size()) cost += with(phrase.before.at(m));
      }
      phrase.cost.at(m) = cost;
    }
    first = phrase.end;
    phrases.push_back(phrase);
  }
  std::vector<OctaveMove> moves(melody.size());
  if (phrases.empty()) return moves;
  const auto& last = phrases.back().cost;
  auto move = static_cast<std::size_t>(std::min_element(last.begin(), last.end()) - last.begin());
  for (std::size_t p = phrases.size(); p-- > 0;) {
    for (std::size_t i = p == 0 ? 0 : phrases[p - 1].end; i < phrases[p].end; ++i) {
      const int by_phrase = phrase_moves.at(move);
      const int alone = into_range(melody[i].midi + half_steps + by_phrase, range);
      moves[i] = {static_cast<std::int8_t>(by_phrase + alone), alone != 0};
    }
    move = phrases[p].before.at(move);
  }
  return moves;
}

}  // namespace fifthpeg::arranging
