#include "arrange/variation.hpp"

#include <algorithm>
#include <array>
#include <memory>
#include <random>
#include <utility>

namespace fifthpeg::arranging {
namespace {

// A note of the melody that the first break keeps is not worth a nicer roll.
constexpr int kept_by_all = 300;
// By how much cells are liked more or less, from 0 to under this.
constexpr unsigned most_liking = 14;
constexpr std::size_t patterns_known = 64;
// Up the neck: a stopped note below this fret, and an open string that is no drone.
constexpr int high_fret = 5;
constexpr int below_high_fret = 20;
constexpr int open_up_the_neck = 3;

// What one break likes. Only raw numbers of the engine: distributions differ by library.
class Taste {
 public:
  explicit Taste(std::uint32_t seed) {
    std::mt19937 engine(seed);
    for (int& cost : costs_) cost = static_cast<int>(engine() % most_liking);
  }
  // Candidates of no pattern have the last.
  int of(const Candidate& candidate) const {
    const auto pattern = static_cast<std::size_t>(candidate.pattern);
    return costs_.at(candidate.pattern < 0 ? patterns_known : std::min(pattern, patterns_known - 1));
  }

 private:
  std::array<int, patterns_known + 1> costs_{};
};

int cost_down_the_neck(const Candidate& candidate) {
  int cost = 0;
  for (const SlotPlay& slot : candidate.slots) {
    for (std::size_t n = 0; n < static_cast<std::size_t>(slot.count); ++n) {
      const Played& note = slot.notes.at(n);
      if (note.string == fifth_string) continue;
      cost += note.fret == 0 ? open_up_the_neck : note.fret < high_fret ? below_high_fret : 0;
    }
  }
  return cost;
}

// Places and times alone, whoever picks them.
bool is_played_alike(const Measure& a, const Measure& b) {
  const auto same_note = [](const Note& one, const Note& other) { return one.placement == other.placement; };
  return std::equal(a.strokes.begin(), a.strokes.end(), b.strokes.begin(), b.strokes.end(),
                    [&](const Stroke& one, const Stroke& other) {
                      return one.onset == other.onset && one.grace == other.grace &&
                             std::equal(one.notes.begin(), one.notes.end(), other.notes.begin(),
                                        other.notes.end(), same_note);
                    });
}

struct Height {
  int frets = 0;
  int notes = 0;
};

Height whole_height(const Score& score) {
  Height height;
  for (const Measure& measure : score.measures) {
    for (const Stroke& stroke : measure.strokes) {
      for (const Note& note : stroke.notes) {
        if (!note.placement || note.placement->string == fifth_string) continue;
        height.frets += note.placement->fret;
        ++height.notes;
      }
    }
  }
  return height;
}

int times_played(const Unit& unit, const Candidate& candidate, const std::vector<BreakWay>& earlier) {
  int times = 0;
  for (const BreakWay& one : earlier) {
    const auto there =
        std::lower_bound(one.units.begin(), one.units.end(), unit, [](const Unit& a, const Unit& b) {
          return a.measure != b.measure ? a.measure < b.measure : a.at < b.at;
        });
    if (there == one.units.end() || there->measure != unit.measure || there->at != unit.at) continue;
    const Candidate& played = one.way.chosen[static_cast<std::size_t>(there - one.units.begin())];
    const auto same_places = [](const SlotPlay& a, const SlotPlay& b) {
      return a.count == b.count && std::equal(a.notes.begin(), a.notes.begin() + a.count, b.notes.begin(),
                                              [](const Played& x, const Played& y) {
                                                return x.string == y.string && x.fret == y.fret;
                                              });
    };
    if (std::equal(played.slots.begin(), played.slots.end(), candidate.slots.begin(), same_places)) ++times;
  }
  return times;
}

}  // namespace

std::vector<Unit> with_kept_melody(const BreakWay& other) {
  std::vector<Unit> units = other.units;
  for (std::size_t u = 0; u < units.size(); ++u) {
    std::vector<bool> kept(units[u].wanted.size(), false);
    for (const SlotPlay& slot : other.way.chosen[u].slots) {
      const int wanted = slot.count > 0 ? slot.notes[0].wanted : -1;
      if (wanted >= 0) kept[static_cast<std::size_t>(wanted)] = true;
    }
    std::vector<Wanted> melody;
    melody.reserve(kept.size());
    for (std::size_t w = 0; w < kept.size(); ++w) {
      if (!kept[w]) continue;
      melody.push_back(units[u].wanted[w]);
      melody.back().weight = static_cast<std::int16_t>(melody.back().weight + kept_by_all);
    }
    units[u].wanted = std::move(melody);
  }
  return units;
}

Candidates varied(const Candidates& plain, const std::vector<BreakWay>& earlier, std::uint32_t seed,
                  bool high, int again) {
  const auto taste = std::make_shared<const Taste>(seed);
  return [&plain, &earlier, taste, high, again](const Unit& unit) {
    std::vector<Candidate> candidates = plain(unit);
    for (Candidate& candidate : candidates) {
      candidate.cost += taste->of(candidate) + again * times_played(unit, candidate, earlier);
      if (high) candidate.cost += cost_down_the_neck(candidate);
    }
    std::stable_sort(candidates.begin(), candidates.end(),
                     [](const Candidate& a, const Candidate& b) { return a.cost < b.cost; });
    return candidates;
  };
}

bool is_another(const Score& score, const std::vector<Score>& others) {
  return std::all_of(others.begin(), others.end(), [&](const Score& other) {
    std::size_t differ = 0;
    for (std::size_t m = 0; m < score.measures.size() && m < other.measures.size(); ++m)
      differ += is_played_alike(score.measures[m], other.measures[m]) ? 0U : 1U;
    return differ * 3 >= score.measures.size();
  });
}

bool lies_higher(const Score& score, const Score& than) {
  const Height one = whole_height(score);
  const Height other = whole_height(than);
  return std::int64_t{one.frets} * other.notes > std::int64_t{other.frets} * one.notes;
}

}  // namespace fifthpeg::arranging
