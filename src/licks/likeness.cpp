// How alike two licks are.
//
// Two licks are laid side by side, stroke for stroke, as well as they go together: no stroke twice, none
// before one that it comes after, and none more than a quarter note away from the other. A pair of strokes
// has up to 100 points:
//
//   interval    50  the same notes after one of the licks has been moved by half steps, by as many all
//   through;
//                   of several at once in part; a third of it for another octave
//   onset       20  at the same time; half of it up to an eighth away, a quarter up to a quarter note
//   contour     10  from the stroke before both go up, down, or stay
//   manner      10  both plain, or both slurred, slid, brushed, choked ...
//   fingering   10  on the same strings, as when one roll goes over two chords; notes that are the same have
//                   it in any case, since a lick that moves to another key may have to change strings
//
// Likeness is the share of the points that both could have, so that what only one of them has counts against
// it. It is 1 if and only if the notes, their times from the barline and their manner are the same, whatever
// the key, the capo and the strings. Where licks go together better with their first notes at the same time
// than with their barlines, they are not the same lick any more: 5 % are taken off for whole beats, 15 % for
// what turns strong beats into weak ones.
//
// The figures are the writer's: a player hears the notes first, then when they come; they say what is nearer,
// and not what listeners would say in percent. Points are whole numbers, so that the order of the two plays
// no part in the result.
#include <algorithm>
#include <cstdint>
#include <map>
#include <vector>

#include "fifthpeg/licks.hpp"
#include "licks/form.hpp"

namespace fifthpeg {
namespace licks {
namespace {

constexpr int interval_points = 50;
constexpr int octave_points = 16;
constexpr int onset_points = 20;
constexpr int near_onset_points = 10;
constexpr int far_onset_points = 5;
constexpr int contour_points = 10;
constexpr int manner_points = 10;
constexpr int fingering_points = 10;
constexpr int most_points =
    interval_points + onset_points + contour_points + manner_points + fingering_points;
constexpr Fraction near_onset{1, 8};
constexpr Fraction farthest_onset{1, 4};

// What is left of the points, in percent.
constexpr int barlines_together = 100;
constexpr int beats_together = 95;
constexpr int only_first_notes_together = 85;

// Two strokes, one of each lick, that may stand side by side.
struct LikePair {
  std::size_t one = 0;
  std::size_t other = 0;
  int points = 0;             // that they have however the lick is moved
  bool same_strings = false;  // whose points are among them
};

int points_of_onsets(Fraction apart) {
  if (apart == 0) return onset_points;
  return apart <= near_onset ? near_onset_points : far_onset_points;
}

// With the other lick later by `shift`; in the order of the first one's strokes, then of the other's.
std::vector<LikePair> pairs_of(const LickForm& one, const LickForm& other, Fraction shift) {
  std::vector<LikePair> pairs;
  std::size_t first = 0;  // the first stroke of the other that is not too early for any that follows
  for (std::size_t a = 0; a < one.strokes.size(); ++a) {
    const FormStroke& stroke = one.strokes[a];
    for (std::size_t b = first; b < other.strokes.size(); ++b) {
      const FormStroke& beside = other.strokes[b];
      const Fraction later = beside.at + shift - stroke.at;
      if (later > farthest_onset) break;
      if (later < -farthest_onset) {
        first = b + 1;
        continue;
      }
      LikePair pair{a, b, points_of_onsets(std::max(later, -later)), false};
      if (stroke.direction == beside.direction) pair.points += contour_points;
      if (stroke.manner == beside.manner) pair.points += manner_points;
      pair.same_strings = !stroke.strings.empty() && stroke.strings == beside.strings;
      if (pair.same_strings) pair.points += fingering_points;
      pairs.push_back(pair);
    }
  }
  return pairs;
}

// The moves of the other lick, in half steps, that bring the most notes together, and those that bring at
// least half as many.
std::vector<int> moves_worth_trying(const LickForm& one, const LickForm& other,
                                    const std::vector<LikePair>& pairs) {
  std::map<int, int> together;
  int most = 0;
  for (const LikePair& pair : pairs) {
    for (const int a : one.strokes[pair.one].pitches) {
      for (const int b : other.strokes[pair.other].pitches) most = std::max(most, ++together[a - b]);
    }
  }
  std::vector<int> moves;
  for (const auto& [half_steps, notes] : together) {
    if (2 * notes >= most) moves.push_back(half_steps);
  }
  return moves;
}

// Of rising notes, those of `b` moved by half steps.
int points_of_intervals(const std::vector<int>& a, const std::vector<int>& b, int half_steps) {
  int shared = 0;
  for (std::size_t at = 0, beside = 0; at < a.size() && beside < b.size();) {
    const int moved = b[beside] + half_steps;
    if (a[at] == moved) ++shared;
    const bool a_goes_on = a[at] <= moved;
    if (moved <= a[at]) ++beside;
    if (a_goes_on) ++at;
  }
  if (shared > 0) return interval_points * 2 * shared / static_cast<int>(a.size() + b.size());
  const bool has_octave = std::any_of(a.begin(), a.end(), [&](int note) {
    return std::any_of(b.begin(), b.end(),
                       [&](int beside) { return (beside + half_steps - note) % 12 == 0; });
  });
  return has_octave ? octave_points : 0;
}

// The most points of strokes laid side by side, with the other lick moved by half steps.
std::int64_t best_points(const LickForm& one, const LickForm& other, const std::vector<LikePair>& pairs,
                         int half_steps) {
  // best[b]: of the strokes of `one` so far and the first b of the other.
  std::vector<std::int64_t> best(other.strokes.size() + 1, 0);
  std::vector<std::int64_t> with_next = best;
  auto pair = pairs.begin();
  for (std::size_t a = 0; a < one.strokes.size(); ++a) {
    for (std::size_t b = 0; b < other.strokes.size(); ++b) {
      std::int64_t most = std::max(best[b + 1], with_next[b]);
      if (pair != pairs.end() && pair->one == a && pair->other == b) {
        int points =
            pair->points + points_of_intervals(one.strokes[a].pitches, other.strokes[b].pitches, half_steps);
        if (!pair->same_strings && points - pair->points == interval_points) points += fingering_points;
        most = std::max(most, best[b] + points);
        ++pair;
      }
      with_next[b + 1] = most;
    }
    best = with_next;
  }
  return best.back();
}

// What is left of the points where the other lick is later by `shift`.
int share_of(Fraction shift) {
  constexpr Fraction beat{1, 4};
  if (shift == 0) return barlines_together;
  return (shift / beat).is_whole() ? beats_together : only_first_notes_together;
}

}  // namespace

double likeness(const LickForm& one, const LickForm& other) {
  if (one.strokes.empty() || other.strokes.empty()) return one.strokes.size() == other.strokes.size() ? 1 : 0;
  std::vector<Fraction> shifts{0};
  const Fraction to_first = one.strokes.front().at - other.strokes.front().at;
  if (to_first != 0) shifts.push_back(to_first);
  std::int64_t points = 0;
  for (const Fraction shift : shifts) {
    const std::vector<LikePair> pairs = pairs_of(one, other, shift);
    for (const int half_steps : moves_worth_trying(one, other, pairs)) {
      points = std::max(points, share_of(shift) * best_points(one, other, pairs, half_steps));
    }
  }
  const auto strokes = static_cast<std::int64_t>(one.strokes.size() + other.strokes.size());
  constexpr std::int64_t most_of_a_stroke = std::int64_t{barlines_together} * most_points;
  return static_cast<double>(2 * points) / static_cast<double>(most_of_a_stroke * strokes);
}

}  // namespace licks

double likeness(const Score& one, const Score& other) {
  return licks::likeness(licks::form_of(one), licks::form_of(other));
}

}  // namespace fifthpeg
